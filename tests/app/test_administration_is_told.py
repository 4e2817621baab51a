"""A change of people or policy in the administrator's room leaves an event where it matters."""

import pytest

from inventory.models import Event

pytestmark = pytest.mark.django_db


@pytest.fixture
def room(county, client):
    person = county.people["administrator"]
    person.is_staff = person.is_superuser = True
    person.save()
    client.force_login(person)
    return client


def test_policy_change_is_told(county, room):
    agency = county.agency
    page = room.get(f"/office/inventory/agency/{agency.pk}/change/")
    form = {name: value for name, value in page.context["adminform"].form.initial.items() if value is not None}
    form = {name: value for name, value in form.items() if value is not False} | {"treatment_years": 4}
    assert room.post(f"/office/inventory/agency/{agency.pk}/change/", form).status_code == 302
    event = Event.objects.filter(agency=agency, verb="settings_changed").get()
    assert "reatment years" in event.sentence and event.by == county.people["administrator"]


def test_person_change_is_told_in_their_agency(county, room):
    person = county.people["crew"]
    form = {
        "username": person.username,
        "licence": "none",
        "is_active": "on",
        "date_joined_0": "2026-01-01",
        "date_joined_1": "00:00:00",
        "memberships-TOTAL_FORMS": "0",
        "memberships-INITIAL_FORMS": "0",
    }
    assert room.post(f"/office/inventory/person/{person.pk}/change/", form).status_code == 302
    assert Event.objects.filter(agency=county.agency, verb="settings_changed", sentence__contains=str(person)).exists()
