"""The registry of inspectors: entered, changed, withdrawn; read by everyone; another agency's does not exist."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from inventory.models import Event, Qualification
from inventory.queries.qualifications import leader_answer, leaders_on
from tests.makers.county import make_county

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def typed(county, **changed):
    values = {
        "person": county.people["inspector"].pk,
        "kind": "team_leader",
        "basis": "5 years, course passed",
        "evidence": "Personnel file 12",
        "held_since": "2020-03-01",
        "expires_on": "",
        "refresher_hours": "18",
        "refreshed_on": "2025-05-02",
    }
    return values | changed


def entered(county, **changed) -> Qualification:
    answer = county.client("supervisor").post("/qualifications/new/", typed(county, **changed))
    assert answer.status_code == 302, answer.content.decode()
    return Qualification.objects.latest("pk")


def test_entered_and_shown_with_its_days(county):
    row = entered(county)
    page = county.client("reviewer").get("/qualifications/").content.decode()
    # 2 May 2025 and 60 months is 2 May 2030.
    left = (date(2030, 5, 2) - timezone.localdate()).days
    assert "2 May 2030" in page and f"{left} days left" in page and "Personnel file 12" in page
    assert Event.objects.get(verb="add_qualification").detail["person"] == row.person_id
    assert leader_answer(row.person, county.agency, "routine", date(2026, 6, 15)).may


def test_warned_sixty_days_before(county):
    today = timezone.localdate()
    entered(county, expires_on=str(today + timedelta(days=60)))
    assert "lapsing within 60 days" in county.client("crew").get("/qualifications/").content.decode()
    Qualification.objects.update(expires_on=today + timedelta(days=61))
    assert "lapsing within 60 days" not in county.client("crew").get("/qualifications/").content.decode()


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"basis": ""}, "Say what it rests on"),
        ({"held_since": "2099-01-01"}, "lies in the future"),
        ({"held_since": "yesterday"}, "year-month-day"),
        ({"refresher_hours": "many"}, "Enter a number in digits"),
        ({"person": "999999"}, "Choose one of the people listed"),
        ({"person": "x"}, "Choose one of the people listed"),
        ({"refreshed_on": "2019-01-01"}, "after the qualification was gained"),
    ],
)
def test_bad_input_is_refused_and_kept(county, changed, said):
    answer = county.client("engineer").post("/qualifications/new/", typed(county, evidence="Drawer 9", **changed))
    page = answer.content.decode()
    assert answer.status_code == 422 and said in page and "Drawer 9" in page
    assert not Qualification.objects.exists()


def test_a_refresher_is_entered_and_a_stale_page_refused(county):
    row = entered(county)
    client = county.client("engineer")
    sent = typed(county, refreshed_on="2026-02-01", stamp="0")
    assert client.post(f"/qualifications/{row.pk}/edit/", sent).status_code == 302
    row.refresh_from_db()
    assert row.refreshed_on == date(2026, 2, 1) and row.revision == 1
    assert Event.objects.get(verb="edit_qualification").detail["before"] == {"refreshed_on": "2025-05-02"}
    again = client.post(f"/qualifications/{row.pk}/edit/", typed(county, basis="Something else", stamp="0"))
    assert again.status_code == 422 and "Something else" in again.content.decode()
    row.refresh_from_db()
    assert row.basis != "Something else"


def test_withdrawn_with_its_reason_and_kept(county):
    row = entered(county)
    client = county.client("supervisor")
    refused = client.post(f"/qualifications/{row.pk}/withdraw/", {"revision": "0", "reason": ""})
    assert refused.status_code == 422 and "Say why it is withdrawn" in refused.content.decode()
    done = client.post(f"/qualifications/{row.pk}/withdraw/", {"revision": "0", "reason": "Course not renewed"})
    assert done.status_code == 302
    assert "Course not renewed" in client.get("/qualifications/").content.decode()
    today = timezone.localdate()
    assert not leader_answer(row.person, county.agency, "routine", today).may
    assert leader_answer(row.person, county.agency, "routine", today - timedelta(days=1)).may
    assert client.post(f"/qualifications/{row.pk}/edit/", typed(county, stamp="1")).status_code == 422


def test_everyone_reads_and_only_some_keep(county):
    for role in ("office", "inspector", "crew", "reviewer"):
        assert county.client(role).get("/qualifications/").status_code == 200
        assert county.client(role).post("/qualifications/new/", typed(county)).status_code == 403
    for role in ("supervisor", "engineer", "administrator"):
        assert county.client(role).get("/qualifications/new/").status_code == 200


def test_another_agency_keeps_its_own(county):
    row = entered(county)
    other = make_county("Reed County", "003")
    client = other.client("engineer")
    assert client.get(f"/qualifications/{row.pk}/edit/").status_code == 404
    assert "Personnel file 12" not in client.get("/qualifications/").content.decode()
    # A person of another agency cannot be entered here.
    answer = client.post("/qualifications/new/", typed(county))
    assert answer.status_code == 422 and Qualification.objects.count() == 1
    assert not any(said.may for _person, said in leaders_on(other.agency, date(2026, 6, 15)))
