"""A finding marked "repaired or gone": what it takes out of the rating, and what it must leave there."""

from datetime import date, timedelta

import pytest

from inspections.assembly.last_time import unanswered
from inspections.assembly.snapshot import assemble_snapshot
from inspections.queries.critical_proposals import proposals_of
from inspections.queries.inspections import standing_findings
from inspections.reckoning.proposed_ratings import proposed_ratings
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import DONE_ON, decay, draft, submitted

pytestmark = pytest.mark.django_db
BEFORE = DONE_ON - timedelta(days=400)
PHOTO = {"note": "no photograph: water too high"}


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def by(county):
    return county.people["inspector"]


def first(bridge, by, now, finding):
    return submitted(bridge, by, now, [finding], field_completed_on=BEFORE).findings.get()


def again(bridge, by, now, before, finding, change, kind="routine", do=submitted, **more):
    carried = finding | {"carries_on": before.identity, "change": change}
    return do(bridge, by, now, [carried], kind=kind, **more)


def kinds_standing(bridge):
    return [row.kind for row in standing_findings(bridge)]


def lost_in(bridge):
    (case,) = assemble_snapshot(structure=bridge, as_of=DONE_ON).cases
    return [loss.depth_in for member in case.members for loss in member.losses]


@pytest.mark.parametrize(("change", "left"), [("same", [1.0]), ("gone", [])])
def test_as_before_keeps_the_damage_and_gone_takes_it_out(bridge, by, now, change, left):
    before = first(bridge, by, now, decay(bridge))
    assert lost_in(bridge) == [1.0]
    again(bridge, by, now, before, decay(bridge), change)
    assert lost_in(bridge) == left


def test_a_draft_takes_nothing_out(bridge, by, now):
    before = first(bridge, by, now, decay(bridge))
    again(bridge, by, now, before, decay(bridge), "gone", do=draft)
    assert lost_in(bridge) == [1.0]


def test_a_special_inspection_adds_and_takes_nothing_out(bridge, by, now):
    """Only a look at the whole structure replaces (losses.which_stand)."""
    before = first(bridge, by, now, decay(bridge))
    again(bridge, by, now, before, decay(bridge), "gone", kind="special")
    assert lost_in(bridge) == [1.0]


def test_a_look_at_the_surface_does_not_fill_a_void(bridge, by, now):
    hole = decay(bridge) | {"kind": "internal_void", "face": "", "depth_in": None, "width_in": 5.0, "height_in": 8.0}
    before = first(bridge, by, now, hole)
    seen = again(bridge, by, now, before, hole, "gone")
    assert kinds_standing(bridge) == ["internal_void"]
    # 5 x 8 of 6 x 16 in is 42 %: major, one place, code 4 of the scale; and it says from when.
    made = proposed_ratings(seen, as_of=DONE_ON)["superstructure"]
    assert made.rating == "4" and "found on" in made.reasons[0]


def test_a_broken_member_put_right_is_demanded_no_more(bridge, by, now):
    broken = decay(bridge, kind="broken", face="", depth_in=None, extent_ft=None) | PHOTO
    before = first(bridge, by, now, broken)
    assert [row.kind for row in proposals_of(before.inspection)] == ["threat"]
    seen = again(bridge, by, now, before, broken, "gone")
    assert proposals_of(seen) == []
    assert assemble_snapshot(structure=bridge, as_of=DONE_ON).critical == ()


@pytest.mark.parametrize("change", ["same", "grown", "less", "gone"])
def test_every_answer_is_an_answer(bridge, by, now, change):
    before = first(bridge, by, now, decay(bridge))
    assert unanswered(again(bridge, by, now, before, decay(bridge), change, do=draft)) == []


def test_what_nobody_answered_is_named(bridge, by, now):
    first(bridge, by, now, decay(bridge))
    (said,) = unanswered(draft(bridge, by, now))
    assert said.startswith("Decay on a face, span 1, member 4 from the left") and "found on 10 May 2025" in said
    assert unanswered(draft(bridge, by, now, kind="special")) == []
    assert BEFORE == date(2025, 5, 10)
