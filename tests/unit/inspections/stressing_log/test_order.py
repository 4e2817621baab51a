"""What comes next, what may be logged, how a revised plan is joined to what was done. Laws and counting only."""

from dataclasses import replace

import pytest

from inspections.rules.stressing.order import (
    Slot,
    begun_pulls,
    greatest_left_lb,
    highest_allowed_lb,
    joined,
    log_refusal,
    next_slot,
    pass_to_learn,
    progress_words,
    should_read_lb,
    slots,
    slots_left,
    wood_limit_lb,
)
from inspections.rules.stressing.reopening import reopening_faults, row_least_psi
from tests.unit.inspections.stressing_log.plans import made_plan


@pytest.fixture
def plan():
    """Three bars, two passes of three pulls, one jack."""
    return made_plan(order=((0,), (1,), (2,), (0,), (1,), (2,)), per_pass=3)


@pytest.fixture
def two_jacks():
    """Four bars, two at once: pulls (0, 3) and (1, 2)."""
    return made_plan(order=((0, 3), (1, 2)), per_pass=2, bars=4)


def test_pulls_come_in_the_order_of_the_plan(plan):
    assert [slot.key for slot in slots(plan)] == [(1, 0), (2, 1), (3, 2), (4, 0), (5, 1), (6, 2)]
    assert next_slot(plan, {(1, 0), (2, 1)}).key == (3, 2)
    assert next_slot(plan, {slot.key for slot in slots(plan)}) is None
    assert progress_words(plan, Slot(pull_number=5, bar_index=1)) == "Pull 5 of 6, pass 2 of 2"


def refusal(plan, logged, pull, bar, state="under_way", **more):
    return log_refusal(plan, logged, Slot(pull_number=pull, bar_index=bar), state=state, **more)


def test_out_of_order_asks_for_a_reason(plan):
    assert refusal(plan, set(), 1, 0) == ""
    told = refusal(plan, set(), 3, 2)
    assert "Out of order" in told and "bar 1" in told
    assert refusal(plan, set(), 3, 2, order_reason="chair blocked at bar 1") == ""
    assert "Out of order" in refusal(plan, set(), 3, 2, order_reason="   ")


@pytest.mark.parametrize(
    ("state", "words"), [("drafted", "engineer must release"), ("finished", "finished"), ("withdrawn", "withdrawn")]
)
def test_a_sheet_not_in_use_takes_no_pull(plan, state, words):
    assert words in refusal(plan, set(), 1, 0, state=state)


def test_a_pull_the_plan_does_not_have(plan):
    assert "Open the log again" in refusal(plan, set(), 9, 0)
    assert "Open the log again" in refusal(plan, set(), 1, 2)


def test_both_jacks_of_one_pull_are_in_order(two_jacks):
    assert refusal(two_jacks, set(), 1, 3) == "" and refusal(two_jacks, set(), 1, 0) == ""
    assert begun_pulls(two_jacks, {(1, 0)}) == {1}
    assert begun_pulls(two_jacks, {(1, 0), (1, 3)}) == frozenset()


def test_while_held_only_the_rest_of_the_pull_under_way(two_jacks):
    assert refusal(two_jacks, {(1, 0)}, 1, 3, state="held") == ""
    told = refusal(two_jacks, {(1, 0), (1, 3)}, 2, 1, state="held", held_reason="plate of bar 1 sank.")
    assert "held for the engineer" in told and "plate of bar 1 sank" in told


def test_a_pass_is_learned_from_once(plan):
    first = {(1, 0), (2, 1), (3, 2)}
    assert pass_to_learn(plan, {(1, 0), (2, 1)}, ()) is None
    assert pass_to_learn(plan, first, ()) == 1
    assert pass_to_learn(plan, first, (1,)) is None
    assert pass_to_learn(plan, first | {(4, 0), (5, 1), (6, 2)}, (1,)) == 2


def test_what_every_bar_should_hold_now(plan):
    logged = {(1, 0), (2, 1)}
    assert should_read_lb(plan, set(), set()) == plan.start_lb
    assert should_read_lb(plan, logged, logged) == plan.pulls[1].after_lb


def test_a_stopped_pull_is_passed_over(plan):
    """Pull 2 was stopped and left the row as it was; pull 3 made after it counts."""
    assert should_read_lb(plan, {(1, 0), (2, 1)}, {(1, 0)}) == plan.pulls[0].after_lb
    logged = {(1, 0), (2, 1), (3, 2)}
    assert should_read_lb(plan, logged, logged - {(2, 1)}) == plan.pulls[2].after_lb


def test_half_a_pull_of_two_jacks_changes_nothing_yet(two_jacks):
    assert should_read_lb(two_jacks, {(1, 0)}, {(1, 0)}) == two_jacks.start_lb


def test_joined_keeps_what_was_logged_and_never_gives_a_number_a_new_meaning(plan):
    """Pull 3 (bar 3) was stopped. The revision, told of pulls 1 and 2 only, asks for bar 3 again as its own pull 3."""
    logged, known = {(1, 0), (2, 1), (3, 2)}, (1.0, 2.0, 3.0)
    made = tuple(replace(pull, after_lb=known) for pull in plan.pulls[:2])
    again = replace(plan.pulls[2], after_lb=(4.0, 5.0, 6.0))
    revised = replace(plan, pulls=(*made, again, plan.pulls[3]))
    whole = joined(plan, revised, logged, counted={1, 2})
    assert [pull.number for pull in whole.pulls] == [1, 2, 3, 4, 5]
    assert {slot.key for slot in slots(whole)} >= logged
    # The stopped bar is asked for again, with a number of its own.
    assert [slot.key for slot in slots_left(whole, logged)] == [(4, 2), (5, 0)]
    # What stands after a pull that was made is what the log knows; the stopped one left the row as it was.
    assert whole.pulls[1].after_lb == known and whole.pulls[2].after_lb == known
    assert whole.pulls[3].after_lb == (4.0, 5.0, 6.0)


def test_greatest_left_falls_as_pulls_are_made(plan):
    """Law: what is left is a part of what was, so its greatest never rises."""
    logged, before = set(), greatest_left_lb(plan, set())
    for slot in slots(plan):
        logged.add(slot.key)
        now = greatest_left_lb(plan, logged)
        assert now <= before
        before = now
    assert before == 0.0


def test_no_release_above_bar_or_jack(plan):
    """0.70 x 150,000 x 0.85 = 89,250 lb; with 1.05 for lift-off 85,000 lb. A jack of 60,000 lb: 57,143 lb."""
    most, why = highest_allowed_lb(plan)
    assert most == pytest.approx(85_000.0) and "tensile" in why
    weak = replace(plan.given.jacks[0], capacity_lb=60_000.0)
    most, why = highest_allowed_lb(replace(plan, given=replace(plan.given, jacks=(weak,))))
    assert most == pytest.approx(57_142.857) and "Jack 1" in why


def test_no_release_above_what_plate_and_flange_allow(plan):
    """A plate good for 63,000 lb, with 1.05 for lift-off: 60,000 lb. A flange at 50 psi: the bar that serves most of it
    decides the greatest, and each bar has its own limit p x served length x thickness, all below that of the plate."""
    plated = replace(plan, given=replace(plan.given, plate_limit_lb=63_000.0))
    most, why = highest_allowed_lb(plated)
    assert most == pytest.approx(60_000.0) and "plate" in why
    assert wood_limit_lb(plan, 0) == float("inf") and wood_limit_lb(plated, 0) == 63_000.0
    deck, bars = plan.given.deck, plan.given.bars
    served_in = (bars[0].station_in + bars[1].station_in) / 2.0
    squeezed = replace(plated, given=replace(plated.given, flange_limit_psi=50.0))
    assert wood_limit_lb(squeezed, 0) == pytest.approx(50.0 * served_in * deck.thickness_in)
    limits = [wood_limit_lb(squeezed, index) for index in range(len(bars))]
    assert highest_allowed_lb(squeezed)[0] == pytest.approx(max(limits) / plan.given.lift_off_ratio)


def test_least_pressure_by_hand():
    """Six bars 4 ft apart, 24 ft, 12 in: the deck is 3,456 in2. All at 57,600 lb: 6 x 57,600 / 3,456 = 100 psi.

    The last three at 28,800 lb: 3 x 28,800 over half of it = 50 psi.
    """
    stations = [2.0, 6.0, 10.0, 14.0, 18.0, 22.0]
    even = row_least_psi(stations_ft=stations, forces_lb=[57_600.0] * 6, span_ft=24.0, thickness_in=12.0)
    assert even == pytest.approx(100.0)
    half = row_least_psi(
        stations_ft=stations, forces_lb=[57_600.0] * 3 + [28_800.0] * 3, span_ft=24.0, thickness_in=12.0
    )
    assert half == pytest.approx(50.0)


@pytest.mark.parametrize(
    ("least", "need", "hard", "soft"),
    [
        (100.0, 55.0, 0, 0),
        (54.0, 55.0, 0, 1),  # under the need
        (39.0, 20.0, 0, 1),  # never under 40 psi, whatever the need (common caution)
        (45.0, None, 0, 1),  # need not on record
        (None, 55.0, 0, 1),
    ],
)
def test_traffic_comes_back_only_with_pressure(least, need, hard, soft):
    found = reopening_faults(least_psi=least, need_psi=need)
    assert (len(found[0]), len(found[1])) == (hard, soft)


def test_no_traffic_while_a_jack_may_be_on_a_bar():
    hard, _ = reopening_faults(least_psi=100.0, need_psi=40.0, other_days=["span 2"])
    assert "span 2" in hard[0]
    assert reopening_faults(least_psi=100.0, need_psi=40.0, is_finished=False)[0]
