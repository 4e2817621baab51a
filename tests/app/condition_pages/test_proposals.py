"""What the findings propose, on the entry sheet and the inspection's page; the inspector decides."""

from datetime import date

import pytest

from inspections.actions import receive
from inspections.models import Inspection
from inspections.reckoning.proposed_ratings import proposed_elements, proposed_ratings
from inventory.models import Work
from tests.app.inspection_pages.sheets import decay as typed_decay
from tests.app.inspection_pages.sheets import row, sheet
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import decay, draft, submitted

pytestmark = [pytest.mark.django_db, pytest.mark.database]
TODAY = date(2026, 6, 15)
STRINGERS = {"number": "117", "total": "180", "cs1": "180", "cs2": "0", "cs3": "0", "cs4": "0"}


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def opened(county, bridge, now):
    return receive.open_inspection(structure=bridge, kind="routine", by=county.people["inspector"], at=now)


def edit(inspection):
    return f"/inspections/{inspection.pk}/edit/"


def text(answer):
    return " ".join(answer.content.decode().split())


def test_what_is_proposed_is_kept_when_it_is_handed_in(county, bridge, now):
    # 4 in of 16 in is 25 % of one stringer of ten: one place, major; code 4 of the scale.
    inspection = submitted(bridge, county.people["inspector"], now, [decay(bridge, depth_in=4.0)])
    inspection.refresh_from_db()
    kept = inspection.rating_proposals["superstructure"]
    assert kept["rating"] == "4" and "stringer 4" in kept["reasons"][0]
    assert inspection.superstructure_rating == "6"  # the inspector's word stands


def test_the_sheet_shows_proposals_and_saves_reasons(county, opened):
    client = county.client("inspector")
    sent = sheet(opened, typed_decay(opened, depth_in="4"), superstructure_reason="One stringer, propped last week.")
    answer = client.post(edit(opened), sent | {"then": "propose"})
    assert answer.status_code == 302 and answer.url.endswith("#proposals")
    opened.refresh_from_db()
    assert opened.rating_reasons == {"superstructure": "One stringer, propped last week."}
    page = text(client.get(edit(opened)))
    assert "Ratings the findings propose: you decide" in page and "25%" in page
    assert 'value="One stringer, propped last week."' in page
    assert "[model]" in page and "major from" in page


def test_proposing_live_reads_what_was_typed_and_saves_nothing(county, opened):
    client = county.client("inspector")
    sent = sheet(opened, typed_decay(opened, depth_in="4"))
    answer = client.post(f"/inspections/{opened.pk}/propose/", sent)
    assert "4 Poor" in text(answer) and "<html" not in text(answer)
    assert Inspection.objects.get().revision == 0 and not opened.findings.exists()


def test_a_sheet_that_cannot_be_read_says_what_is_wrong(county, opened):
    sent = sheet(opened, typed_decay(opened, depth_in="four"))
    answer = county.client("inspector").post(f"/inspections/{opened.pk}/propose/", sent)
    assert answer.status_code == 200 and "is not a number" in text(answer) and "nothing is proposed" in text(answer)


def test_quantities_proposed_are_saved_by_their_button_and_add_up(county, opened):
    client = county.client("inspector")
    # 4 ft of one stringer with 1.5 in of 16 in lost (9 %): state 2.
    sent = sheet(opened, typed_decay(opened), row("e", 0, STRINGERS)) | {"then": "quantities"}
    assert client.post(edit(opened), sent).status_code == 302
    saved = opened.elements.get(number=117)
    assert (saved.total, saved.cs1, saved.cs2, saved.cs3, saved.cs4) == (180, 176, 4, 0, 0)


def test_an_element_nobody_listed_comes_with_the_total_of_the_record(opened, bridge, county, now):
    inspection = receive.save_draft(inspection=opened, revision=0, fields={}, findings=[decay(bridge, depth_in=2.0)],
                                    elements=[], by=county.people["inspector"], at=now)  # fmt: skip
    (made,) = proposed_elements(inspection)
    # 18 ft x 10 stringers; 2 ft of 12.5 % lost is state 3.
    assert (made.number, made.states.total, made.states.states) == (117, 180.0, (178.0, 0.0, 2.0, 0.0))


def test_a_total_off_by_more_than_a_twentieth_is_asked_about(county, opened):
    client = county.client("inspector")
    sent = sheet(opened, typed_decay(opened), row("e", 0, STRINGERS | {"total": "150", "cs1": "150"}))
    client.post(edit(opened), sent)
    assert "the total is 150 ft, but the record gives 18 ft x 10 = 180 ft" in text(client.get(edit(opened)))


def test_the_inspections_page_says_where_the_inspector_differs_and_why(county, bridge, now):
    by = county.people["inspector"]
    inspection = submitted(bridge, by, now, [decay(bridge, depth_in=4.0)])
    page = text(county.client("engineer").get(f"/inspections/{inspection.pk}/"))
    assert "rated higher" in page and "No reason is given for the difference" in page


def test_an_earlier_rating_bounds_until_something_is_repaired(county, bridge, now):
    by = county.people["inspector"]
    submitted(bridge, by, now, [decay(bridge, depth_in=4.0)], superstructure_rating="4",
              field_completed_on=date(2024, 5, 14))  # fmt: skip
    again = draft(bridge, by, now)
    assert proposed_ratings(again, as_of=TODAY)["superstructure"].rating == "4"
    Work.objects.create(structure=bridge, kind="repair", done_on=date(2025, 5, 1), summary="Stringer 4 replaced")
    made = proposed_ratings(again, as_of=TODAY)["superstructure"]
    assert made.rating == "" and "Repair is on record" in made.reasons[0]


def test_what_instruments_found_before_still_counts(county, bridge, now):
    """A routine look cannot show that an internal void is gone: it stands (rules of losses)."""
    by = county.people["inspector"]
    hole = decay(bridge) | {"kind": "internal_void", "face": "", "depth_in": None, "width_in": 5.0, "height_in": 8.0}
    submitted(bridge, by, now, [hole], field_completed_on=date(2024, 5, 14), superstructure_rating="7")
    again = draft(bridge, by, now)
    made = proposed_ratings(again, as_of=TODAY)["superstructure"]
    # 5 x 8 of 6 x 16 in is 42 %: major, one place.
    assert made.rating == "4" and "found on 14 May 2024" in made.reasons[0]


def test_a_finding_carried_on_counts_once(county, bridge, now):
    by = county.people["inspector"]
    hole = decay(bridge) | {"kind": "internal_void", "face": "", "depth_in": None, "width_in": 5.0, "height_in": 8.0}
    first = submitted(bridge, by, now, [hole], field_completed_on=date(2024, 5, 14), superstructure_rating="7")
    identity = first.findings.get().identity
    again = draft(bridge, by, now, [hole | {"carries_on": identity, "width_in": 1.0, "height_in": 4.0}])
    reasons = " ".join(proposed_ratings(again, as_of=TODAY)["superstructure"].reasons)
    assert "found on" not in reasons


def test_the_table_is_there_for_a_device(county):
    answer = county.client("inspector").get("/inspections/rating-table/")
    assert answer.json()["mark"] == "model" and len(answer.json()["codes"]) == 9


@pytest.mark.parametrize("role", ["crew", "office", "reviewer"])
def test_only_who_enters_inspections_may_ask(county, opened, role):
    assert county.client(role).post(f"/inspections/{opened.pk}/propose/", {}).status_code == 403
