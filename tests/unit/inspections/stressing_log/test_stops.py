"""Stop rules: arithmetic shown beside each number; facts of the trade marked.

Common practice, no source: gauge and elongation must agree within a few percent; nobody jacks above the sheet. The
jack: ram 20 in2, efficiency 0.97, so 1 psi is 19.4 lb and 3,000 psi is 58,200 lb.
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.stressing.stops import (
    WHAT_TO_DO,
    PullAsked,
    PullSeen,
    StopLimits,
    above_sheet,
    entry_refusals,
    expected_elongation_in,
    held_words,
    stop_reasons,
    what_happened,
)

LIMITS = StopLimits(disagree_pct=7.0, sink_most_in=0.125, short_of_pct=5.0)
ASKED = PullAsked(
    bar="4",
    jack="Jack 1",
    pull_number=3,
    pass_number=1,
    set_lb=58_200.0,
    gauge_psi=3_000.0,
    locked_lb=56_900.0,
    elongation_in=0.60,
    before_lb=28_200.0,
    ram_area_in2=20.0,
    efficiency=0.97,
    gauge_division_psi=50.0,
    released_most_lb=62_000.0,
    bar_limit_lb=0.70 * 150_000 * 0.85,  # 89,250 lb: a 1 in bar of 150 ksi
    capacity_lb=120_000.0,
    gauge_most_psi=10_000.0,
)


def stops(asked=ASKED, **seen):
    return stop_reasons(asked, PullSeen(**{"gauge_psi": 3_000.0, **seen}), LIMITS)


def test_a_pull_as_planned_stops_nothing():
    assert stops(elongation_in=0.60, plate_sunk_in=0.05, locked_lb=56_500.0) == ()
    assert entry_refusals(ASKED, PullSeen(gauge_psi=3_000.0, elongation_in=0.6, locked_lb=56_500.0)) == ()


def test_force_is_pressure_times_ram_times_efficiency():
    """F = p A eff: 3,000 x 20 x 0.97 = 58,200 lb."""
    assert ASKED.force_lb(3_000.0) == pytest.approx(58_200.0)


@pytest.mark.parametrize(
    ("gauge_psi", "is_short"),
    # 5 % short of 58,200 lb is 55,290 lb, 2,850 psi.
    [(2_860.0, False), (2_840.0, True), (0.0, True)],
)
def test_a_bar_that_does_not_reach(gauge_psi, is_short):
    told = stops(gauge_psi=gauge_psi)
    assert bool(told) is is_short
    if is_short:
        (sentence,) = told
        assert f"{gauge_psi:,.0f} psi" in sentence and "58,200 lb" in sentence
        for words in ("Stop.", "off slowly", "out of line", "call the engineer"):
            assert words in sentence


def test_the_crew_s_word_stops_a_bar_that_nearly_reached():
    (sentence,) = stops(gauge_psi=2_900.0, did_not_reach=True)
    assert "would not go further" in sentence


def test_a_plate_that_sinks():
    assert stops(plate_sunk_in=0.125) == ()
    (sentence,) = stops(plate_sunk_in=0.19)
    assert "0.19 in" in sentence and "0.125 in" in sentence and "Stop." in sentence


def test_elongation_goes_with_the_rise():
    """Hooke: half the rise, half the movement: 43,200 lb is half way from 28,200 to 58,200."""
    half_way = 43_200.0 / 19.4
    assert expected_elongation_in(ASKED, half_way) == pytest.approx(0.30)
    assert expected_elongation_in(ASKED, 3_000.0) == pytest.approx(0.60)


@pytest.mark.parametrize(
    ("moved_in", "is_off"),
    # 7 % of 0.60 in is 0.042 in.
    [(0.64, False), (0.645, True), (0.56, False), (0.555, True)],
)
def test_gauge_and_elongation_must_agree(moved_in, is_off):
    assert bool(stops(elongation_in=moved_in)) is is_off


def test_a_small_movement_is_judged_by_what_a_tape_can_read():
    """A repair pull that moves the bar 0.05 in: 7 % of it (0.0035 in) cannot be read; 1/32 in is let pass."""
    small = replace(ASKED, before_lb=55_700.0, elongation_in=0.05)
    assert stops(small, elongation_in=0.08) == ()
    assert stops(small, elongation_in=0.09)


def test_a_loose_bar_may_move_more_but_not_less():
    """Common practice, no source: the first pull of a loose bar closes gaps, so it moves more than it stretches."""
    loose = replace(ASKED, before_lb=0.0)
    assert stops(loose, elongation_in=1.5) == ()
    assert stops(loose, elongation_in=0.3)


def test_no_load_above_the_sheet():
    """62,000 lb released; half a division of the gauge is 25 psi, 485 lb: 3,225 psi is 62,565 lb, 3,215 psi 62,371."""
    assert above_sheet(ASKED, 3_215.0) == ""
    told = entry_refusals(ASKED, PullSeen(gauge_psi=3_225.0))
    assert len(told) == 1 and "no load above the sheet" in told[0] and "62,565 lb" in told[0]
    # Looked at again, it is kept, and it stops the day.
    really = PullSeen(gauge_psi=3_225.0, gauge_is_so=True)
    assert entry_refusals(ASKED, really) == ()
    assert "no load above the sheet" in stop_reasons(ASKED, really, LIMITS)[0]


def test_neither_the_bar_s_limit_nor_the_jack_s_rating_is_passed():
    weak = replace(ASKED, bar_limit_lb=58_000.0, released_most_lb=90_000.0)
    assert "0.70 of its tensile strength" in entry_refusals(weak, PullSeen(gauge_psi=3_050.0))[0]
    small = replace(ASKED, capacity_lb=58_000.0, released_most_lb=90_000.0)
    assert "rating of Jack 1" in entry_refusals(small, PullSeen(gauge_psi=3_050.0))[0]


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        ({"gauge_psi": None}, "Write the gauge pressure"),
        ({"gauge_psi": -5.0}, "below zero"),
        ({"gauge_psi": 58_200.0}, "looks like a force in lb"),
        ({"gauge_psi": 11_000.0}, "ends at 10,000 psi"),
        ({"elongation_in": -0.1}, "outside 0 to 60 in"),
        ({"plate_sunk_in": 99.0}, "outside 0 to 12 in"),
        ({"locked_lb": 71_000.0}, "cannot hold 71,000 lb"),
        ({"locked_lb": -1.0}, "below zero"),
        ({"locked_lb": 2_900.0}, "as a pressure of 2,900 psi on the gauge"),
    ],
)
def test_what_cannot_be_is_refused_in_words(seen, words):
    told = entry_refusals(ASKED, PullSeen(**{"gauge_psi": 3_000.0, **seen}))
    assert told and words in " ".join(told)


def test_a_bar_that_really_holds_little_may_be_logged():
    """The question of psi for lb is asked once: ticked as not reached, the low force is kept."""
    assert entry_refusals(ASKED, PullSeen(gauge_psi=3_000.0, locked_lb=2_900.0, did_not_reach=True)) == ()
    assert entry_refusals(ASKED, PullSeen(gauge_psi=3_000.0, locked_lb=2_900.0, note="nut ran back")) == ()


def test_several_reasons_are_all_told():
    assert len(stops(gauge_psi=2_000.0, plate_sunk_in=0.5, elongation_in=0.9)) == 3


def test_a_held_day_says_the_order_once_and_first():
    told = stops(gauge_psi=2_000.0, plate_sunk_in=0.5)
    words = held_words("", told, 400)
    assert words.startswith(WHAT_TO_DO) and words.count(WHAT_TO_DO) == 1
    assert all(what_happened(reason) in words for reason in told)
    assert held_words(words, told, 400) == words
    long = held_words(words, ("x" * 500,), 400)
    assert len(long) <= 400 and long.endswith("...") and long.startswith(WHAT_TO_DO)


@given(gauge_psi=st.floats(0, 9_999), factor=st.floats(1.0, 1.5))
def test_law_more_gauge_is_never_shorter(gauge_psi, factor):
    """Monotony: where a gauge reaches, a higher one (within the sheet) reaches too."""
    high = min(gauge_psi * factor, 3_200.0)
    if high >= gauge_psi and not stops(gauge_psi=gauge_psi):
        assert not stops(gauge_psi=high)


@given(gauge_psi=st.floats(0, 20_000))
def test_law_nothing_is_taken_above_the_sheet(gauge_psi):
    """Whatever is typed: an entry that is not refused stands within half a division of the released greatest."""
    if not entry_refusals(ASKED, PullSeen(gauge_psi=gauge_psi)):
        assert ASKED.force_lb(gauge_psi) <= 62_000.0 + 19.4 * 25.0 + 1e-3


def test_no_pull_above_what_the_wood_at_that_bar_allows_though_the_sheet_pulls_others_further():
    """50,000 lb at an end bar, half a division 485 lb: 2,600 psi (50,440 lb) passes and 2,610 psi (50,634 lb) stops."""
    end = replace(ASKED, set_lb=48_500.0, gauge_psi=2_500.0, wood_limit_lb=50_000.0)
    assert above_sheet(end, 2_600.0) == ""
    assert "plate, deck or flange at bar 4, 50,000 lb" in above_sheet(end, 2_610.0)
    assert above_sheet(replace(end, wood_limit_lb=None), 2_610.0) == ""
