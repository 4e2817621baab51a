"""Jacks entered, changed, calibrated again and retired through the site; calibration told in words."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from inventory.actions.equipment import add_jack, edit_jack, retire_jack
from inventory.models import Event, Jack
from inventory.queries.bars import jacks_in_use
from inventory.queries.equipment import calibrations_at
from inventory.rules.refusals import Refused, Stale
from tests.makers.county import make_county

pytestmark = [pytest.mark.django_db, pytest.mark.database]

TYPED = {
    "name": "Jack 1",
    "serial": "J-101",
    "ram_area_in2": "12.8",
    "efficiency": "0.97",
    "capacity_lb": "120000",
    "gauge_serial": "G-7",
    "gauge_division_psi": "100",
    "gauge_most_psi": "10000",
    "calibrated_on": "2026-03-01",
    "calibration_months": "12",
    "calibrated_by": "testing house",
    "note": "",
}
VALUES = TYPED | {
    "ram_area_in2": 12.8,
    "efficiency": 0.97,
    "capacity_lb": 120_000.0,
    "gauge_division_psi": 100.0,
    "gauge_most_psi": 10_000.0,
    "calibrated_on": date(2026, 3, 1),
    "calibration_months": 12,
}


@pytest.fixture
def jack(county, now):
    return add_jack(agency=county.agency, values=VALUES, by=county.people["crew"], at=now)


def test_a_jack_is_entered_and_told(county):
    answer = county.client("crew").post("/jacks/new/", TYPED)
    row = Jack.objects.get()
    assert answer.status_code == 302 and answer.url.startswith("/jacks/")
    assert (row.agency, row.ram_area_in2, row.efficiency, row.calibrated_on) == (
        county.agency,
        12.8,
        0.97,
        date(2026, 3, 1),
    )
    event = Event.objects.get(verb="add_jack")
    assert event.by == county.people["crew"] and event.detail["jack"] == row.pk and "J-101" in event.sentence


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"name": ""}, "Give the jack a name"),
        ({"serial": " "}, "Give the serial number"),
        ({"ram_area_in2": ""}, "The ram area is needed"),
        ({"ram_area_in2": "-12.8"}, "must be from 0.5 to 100"),
        ({"ram_area_in2": "twelve"}, "Enter a number in digits"),
        ({"ram_area_in2": "nan"}, "number"),
        ({"efficiency": "97"}, "The efficiency must be from 0.9 to 1"),
        ({"efficiency": "0.89"}, "The efficiency must be from 0.9 to 1"),
        ({"gauge_division_psi": "0"}, "smallest division"),
        ({"calibrated_on": "2999-01-01"}, "lies in the future"),
        ({"calibrated_on": "soon"}, "year-month-day"),
        ({"calibration_months": "0"}, "months a calibration holds"),
    ],
)
def test_bad_input_is_refused_beside_its_entry_and_kept(county, changed, said):
    answer = county.client("engineer").post("/jacks/new/", TYPED | changed)
    page = answer.content.decode()
    assert answer.status_code == 422 and not Jack.objects.exists()
    assert said in page and 'value="G-7"' in page and "faulty" in page


def test_a_serial_is_on_record_once_in_an_agency_but_another_may_own_it(county, jack):
    answer = county.client("crew").post("/jacks/new/", TYPED | {"serial": "j-101"})
    assert answer.status_code == 422 and "on record already" in answer.content.decode()
    other = make_county("Reed County", "003")
    assert other.client("crew").post("/jacks/new/", TYPED).status_code == 302


def test_a_stale_page_is_refused_and_keeps_what_was_typed(county, jack, now):
    edit_jack(jack=jack, values=VALUES | {"note": "new hose"}, revision=0, by=county.people["office"], at=now)
    answer = county.client("crew").post(f"/jacks/{jack.pk}/edit/", TYPED | {"stamp": "0", "note": "my own note"})
    page = answer.content.decode()
    assert answer.status_code == 422 and "after you opened this page" in page and "my own note" in page
    jack.refresh_from_db()
    assert jack.note == "new hose" and jack.revision == 1
    with pytest.raises(Stale):
        retire_jack(jack=jack, revision=0, reason="worn", by=county.people["crew"], at=now)


def test_a_change_is_told_with_what_was_before(county, jack):
    answer = county.client("supervisor").post(f"/jacks/{jack.pk}/edit/", TYPED | {"stamp": "0", "efficiency": "0.95"})
    assert answer.status_code == 302
    event = Event.objects.get(verb="edit_jack")
    assert event.detail["before"] == {"efficiency": 0.97} and event.detail["after"] == {"efficiency": 0.95}


def test_a_retired_jack_is_offered_no_more_and_stays(county, jack):
    client = county.client("crew")
    assert client.post(f"/jacks/{jack.pk}/retire/", {"revision": "0", "reason": " "}).status_code == 422
    assert client.post(f"/jacks/{jack.pk}/retire/", {"revision": "0", "reason": "seal leaks"}).status_code == 302
    jack.refresh_from_db()
    assert jack.retired_on == timezone.localdate() and not jacks_in_use(county.agency)
    assert "seal leaks" in Event.objects.get(verb="retire_jack").sentence
    assert "Retired" in client.get("/jacks/").content.decode()
    again = client.post(f"/jacks/{jack.pk}/edit/", TYPED | {"stamp": "1", "note": "back"})
    assert again.status_code == 422 and "no longer changed" in again.content.decode()


@pytest.mark.parametrize(
    ("days_ago", "words"),
    [(None, "No calibration on record"), (400, "Calibration expired"), (350, "expires"), (10, "valid to")],
)
def test_the_list_says_the_state_of_the_calibration_in_words(county, now, days_ago, words):
    made = timezone.localdate() - timedelta(days=days_ago) if days_ago is not None else None
    add_jack(agency=county.agency, values=VALUES | {"calibrated_on": made}, by=county.people["crew"], at=timezone.now())
    page = county.client("inspector").get("/jacks/").content.decode()
    assert words in page
    assert ("Not in calibration today" in page) is (days_ago in (None, 400))


def test_who_keeps_jacks_and_who_only_sees_them(county, jack, now):
    for role in ("inspector", "reviewer", "administrator"):
        client = county.client(role)
        assert client.get("/jacks/").status_code == 200
        assert client.post("/jacks/new/", TYPED | {"serial": "J-2"}).status_code == 403
        assert client.post(f"/jacks/{jack.pk}/retire/", {"revision": "0", "reason": "x"}).status_code == 403
        with pytest.raises(Refused):
            edit_jack(jack=jack, values=VALUES, revision=0, by=county.people[role], at=now)
    stranger = make_county("Reed County", "003").client("engineer")
    assert stranger.get(f"/jacks/{jack.pk}/edit/").status_code == 404
    assert stranger.post(f"/jacks/{jack.pk}/retire/", {"revision": "0", "reason": "x"}).status_code == 404
    assert "J-101" not in stranger.get("/jacks/").content.decode()
    assert stranger.get(f"/jacks/?agency={county.agency.pk}").status_code == 403


def test_a_later_calibration_does_not_change_what_was_true_of_an_earlier_reading(county, jack, now):
    """Calibrated 1 Mar 2026 for 12 months, again 1 Apr 2028: a reading of May 2027 stays out of calibration."""
    edit_jack(
        jack=jack,
        values=VALUES | {"calibrated_on": date(2028, 4, 1)},
        revision=0,
        by=county.people["crew"],
        at=now + timedelta(days=700),
    )
    jack.refresh_from_db()
    days = {date(2026, 9, 1): "valid", date(2027, 5, 1): "expired", date(2028, 5, 1): "valid"}
    found = calibrations_at((jack, on) for on in days)
    assert {on: found[jack.pk, on].state for on in days} == days


def test_a_corrected_date_takes_the_place_of_the_wrong_one(county, jack, now):
    """Entered as 2026 by mistake, corrected to 2024: nothing of 2026 remains."""
    edit_jack(
        jack=jack,
        values=VALUES | {"calibrated_on": date(2024, 3, 1)},
        revision=0,
        by=county.people["crew"],
        at=now + timedelta(days=1),
    )
    jack.refresh_from_db()
    assert calibrations_at([(jack, date(2026, 6, 1))])[jack.pk, date(2026, 6, 1)].state == "expired"


def test_markup_in_a_name_is_text(county, now):
    add_jack(
        agency=county.agency,
        values=VALUES | {"name": "<b>x</b>", "note": "<script>alert(1)</script>"},
        by=county.people["crew"],
        at=now,
    )
    page = county.client("crew").get("/jacks/").content.decode()
    assert "<script>alert" not in page and "&lt;b&gt;x" in page
