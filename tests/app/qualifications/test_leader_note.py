"""An inspection led by one who was not qualified on its day says so, with the word given for it."""

from datetime import date

import pytest

from inspections.models import FieldDay, FieldStop, Inspection
from inspections.pages.leading import NOBODY, leader_note
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import DONE_ON, draft
from tests.makers.plan import qualified

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def led(county, now):
    """A routine inspection of 14 June 2026 led by the inspector, whose qualification ended the day before."""
    person = county.people["inspector"]
    row = qualified(county.agency, person, held_since=date(2024, 1, 1), expires_on=date(2026, 6, 13))
    inspection = draft(make_stringer_bridge(county.agency), person, now)
    inspection.leader = person
    inspection.save()
    return county, inspection, row


def test_lapsed_the_day_before(led):
    _county, inspection, row = led
    assert "lapsed on 13 Jun 2026" in leader_note(inspection)
    row.expires_on = DONE_ON
    row.save()
    assert leader_note(inspection) == "", "its last day counts"


def test_the_word_given_is_said_too(led, now):
    county, inspection, _row = led
    day = FieldDay.objects.create(
        agency=county.agency, on=DONE_ON, leader=county.people["inspector"], made_at=now,
        override_by=county.people["engineer"], override_reason="State's letter",
    )  # fmt: skip
    FieldStop.objects.create(day=day, structure=inspection.structure)
    assert leader_note(inspection).endswith("by engineer-001: State's letter")


def test_kinds_without_a_leader_and_old_ones_say_nothing(led):
    _county, inspection, _row = led
    for changed in ({"kind": "damage"}, {"kind": "bar_check"}, {"from_record": True}, {"field_completed_on": None}):
        Inspection.objects.filter(pk=inspection.pk).update(state="draft", **changed)
        assert leader_note(Inspection.objects.get(pk=inspection.pk)) == "", changed
        Inspection.objects.filter(pk=inspection.pk).update(
            kind="routine", from_record=False, field_completed_on=DONE_ON
        )


def test_a_draft_without_a_leader_is_told(led):
    _county, inspection, _row = led
    inspection.leader = None
    assert leader_note(inspection) == NOBODY
    inspection.state = "accepted"
    assert leader_note(inspection) == ""
