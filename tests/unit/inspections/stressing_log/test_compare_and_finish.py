"""The comparison with the plan, and which forces stand as read at the end. Arithmetic and laws shown."""

from dataclasses import replace

import pytest

from inspections.rules.stressing.compare import compared, deviation_pct, side_words
from inspections.rules.stressing.finishing import (
    Entry,
    final_forces,
    range_refusals,
    standing_reads,
    unaccounted,
    work_summary,
)
from inspections.rules.stressing.stops import PullSeen
from tests.unit.inspections.stressing_log.plans import made_plan
from tests.unit.inspections.stressing_log.test_stops import ASKED, LIMITS

PLAN = made_plan(order=((0,), (1,), (2,)), per_pass=3)


def test_percent_of_the_plan():
    """3,090 of 3,000 psi is 3 % above; 55,193 of 56,900 lb is 3 % below."""
    rows = {row.name: row for row in compared(ASKED, PullSeen(gauge_psi=3_090.0, locked_lb=55_193.0), LIMITS, {})}
    assert rows["Gauge"].pct == pytest.approx(3.0) and rows["Gauge"].words == "3 % above the plan"
    locked = rows["Force left after lock-off"]
    assert locked.pct == pytest.approx(-3.0) and not locked.is_off
    assert rows["Elongation for that gauge"].words == "not read"


def test_off_is_said_in_words_not_by_colour_alone():
    (gauge, *_rest) = compared(ASKED, PullSeen(gauge_psi=2_700.0), LIMITS, {})
    assert gauge.is_off and "10 % below the plan" in gauge.words and "more than 5 % off" in gauge.words


@pytest.mark.parametrize(
    ("before", "after", "words"),
    # The plan says bar 3 goes from 40,000 to 34,000 lb: a loss of 6,000 lb.
    [
        (40_500.0, 34_500.0, "as planned"),
        (40_500.0, 36_000.0, "25 % less than planned"),
        (40_500.0, 33_000.0, "25 % more than planned"),
        (40_500.0, 41_000.0, "gained 500 lb"),
    ],
)
def test_a_neighbour_s_loss_beside_the_plan(before, after, words):
    seen = PullSeen(gauge_psi=3_000.0, neighbours=((2, before, after),))
    rows = compared(ASKED, seen, LIMITS, {2: ("3", 40_000.0, 34_000.0)})
    assert words in rows[-1].words


def test_nothing_planned_gives_no_percent():
    assert deviation_pct(0.0, 5.0) is None and deviation_pct(None, 5.0) is None and deviation_pct(5.0, None) is None
    assert side_words(0.2) == "as planned"


def test_only_what_was_read_after_the_last_pull_stands():
    """Each pull relaxes its neighbours, so a force read earlier is no longer what stands."""
    entries = [
        Entry(pull_number=1, bar_index=0, locked_lb=50_000.0, force_method="lift_off"),
        Entry(pull_number=2, bar_index=1, locked_lb=50_100.0, force_method="load_cell",
              neighbours=((0, 50_000.0, 44_000.0),)),
    ]  # fmt: skip
    assert standing_reads(entries, {}, "lift_off") == {1: (50_100.0, "load_cell"), 0: (44_000.0, "load_cell")}
    assert standing_reads(entries, {0: 43_500.0}, "lift_off")[0] == (43_500.0, "lift_off")
    later = [*entries, Entry(pull_number=3, bar_index=2)]
    assert standing_reads(later, {}, "lift_off") == {}


def test_two_jacks_of_one_movement_read_after_it_both_stand():
    entries = [Entry(pull_number=1, bar_index=0, locked_lb=1.0), Entry(pull_number=1, bar_index=2, locked_lb=2.0)]
    assert standing_reads(entries, {}, "lift_off") == {0: (1.0, "lift_off"), 2: (2.0, "lift_off")}


def test_final_forces_say_how_they_are_known():
    assert final_forces([10.0, 20.0, -1.0], {1: (25.0, "lift_off")}) == [(10.0, False), (25.0, True), (0.0, False)]
    assert final_forces([10.0, 20.0], {}, unknown={1}) == [(10.0, False), (0.0, False)]


def test_every_planned_bar_must_be_accounted_for():
    done = [Entry(pull_number=number, bar_index=number - 1) for number in (1, 2, 3)]
    assert unaccounted(PLAN, done, {}) == ()
    assert unaccounted(PLAN, done[:2], {}) == ("Bar 3: pull 3 not logged.",)
    stopped = [*done[:2], replace(done[2], is_stopped=True)]
    assert "stopped" in unaccounted(PLAN, stopped, {})[0]
    assert unaccounted(PLAN, stopped, {2: 41_000.0}) == ()
    assert unaccounted(PLAN, [*done[:2], replace(stopped[2], locked_lb=39_000.0)], {}) == ()


@pytest.mark.parametrize(
    ("force", "hard", "doubtful"),
    # 0.80 x 150,000 x 0.85 = 102,000 lb; the target is 50,000 lb, a quarter of it 12,500 lb.
    [
        (50_000.0, 0, 0),
        (101_000.0, 0, 0),
        (103_000.0, 1, 0),
        (-1.0, 1, 0),
        (2_500.0, 0, 1),
        (0.0, 0, 0),
    ],
)
def test_forces_read_at_the_end_are_plausible(force, hard, doubtful):
    found = range_refusals(PLAN, {1: force})
    assert (len(found[0]), len(found[1])) == (hard, doubtful)
    assert range_refusals(PLAN, {7: 50_000.0})[0]


def test_the_line_of_the_work():
    """Least 40,000, mean (40,000 + 44,000 + 48,000) / 3 = 44,000 lb; one read, two computed."""
    line = work_summary(
        span_index=1,
        level="mid",
        pass_count=2,
        pulled=3,
        planned=3,
        final=[(40_000.0, True), (44_000.0, False), (48_000.0, False)],
        jacks=["Jack 1, calibrated 2 Mar 2026"],
    )
    for words in ("3 of 3 bars", "2 passes", "least 40,000 lb", "mean 44,000 lb", "1 read, 2 computed", "2 Mar 2026"):
        assert words in line
    assert len(work_summary(span_index=1, level="mid", pass_count=1, pulled=1, planned=1, final=[(1.0, False)],
                            jacks=["x" * 400])) == 300  # fmt: skip
