"""Bar readings to pressure: N = F / (s t) (EM 7700-8 chapter 9, memory); the lower counts; unknown is absent."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.pressure import (
    BarPlace,
    Reading,
    bar_standing,
    force_to_count,
    last_current_day,
    span_pressure,
    with_lower_edge,
    worst_bar_standing,
)

TODAY = date(2026, 6, 15)
# Six bars 4 ft apart on a 24 ft deck, 2 ft from its ends: each serves 48 in; 12 in deep.
BARS = [BarPlace(bar=n, number=n, level="mid", station_ft=4.0 * n - 2.0) for n in range(1, 7)]
DECK = {"bars": BARS, "span_ft": 24.0, "stressed_depth_in": 12.0, "as_of": TODAY, "interval_months": 24}


def read(force_lb, bar=1, on=date(2026, 5, 1), method="lift_off"):
    return Reading(bar=bar, on=on, force_lb=force_lb, method=method)


def readings(forces):
    return [read(force, bar=n) for n, force in enumerate(forces, start=1)]


def test_forty_psi_is_23040_lb_at_48_by_12():
    """Worked example D6: 40 psi x 48 in x 12 in = 23,040 lb (computed)."""
    pressure = span_pressure(readings=readings([23040] * 6), **DECK)
    assert pressure.least_psi == pytest.approx(40.0)
    assert pressure.unknown == () and pressure.oldest == date(2026, 5, 1)


def test_least_mean_over_three_bars_counts_not_the_mean_of_the_deck():
    """Bars 4 to 6 at 11,520 lb: (3 x 11,520) / (3 x 576) = 20 psi, although the deck's mean is 30."""
    pressure = span_pressure(readings=readings([23040] * 3 + [11520] * 3), **DECK)
    assert pressure.least_psi == pytest.approx(20.0)


def test_an_unread_bar_between_read_ones_takes_the_lower_of_them_and_is_named():
    """Bars 2 at 23,040 and 4 at 17,280 lb: bar 3 takes 17,280; bars 3 to 5 hold 17,280 + 17,280 + 23,040 lb."""
    forces = [23040, 23040, None, 17280, 23040, 23040]
    rows = [read(force, bar=n) for n, force in enumerate(forces, start=1) if force is not None]
    pressure = span_pressure(readings=rows, **DECK)
    assert pressure.least_psi == pytest.approx((17280 + 17280 + 23040) / (3 * 576))
    assert pressure.unknown == () and pressure.filled == ("bar 3",) and "bar 3" in pressure.reasons[0]


def test_an_unread_bar_at_an_end_or_a_third_in_a_row_is_absent():
    """Bar 1 unread: bars 1 to 3 hold 2 x 23,040 over 3 x 576 in2. Bars 2 to 4 unread: nothing over 3 x 576 in2."""
    end = span_pressure(readings=readings([23040] * 6)[1:], **DECK)
    assert end.least_psi == pytest.approx(2 * 23040 / (3 * 576))
    assert end.unknown == ("bar 1",) and "counted as absent: bar 1" in end.reasons[0]
    three = readings([23040] * 6)
    assert span_pressure(readings=[three[0], *three[4:]], **DECK).least_psi == 0.0


def test_a_loose_or_lost_bar_lends_its_neighbour_nothing():
    """Bar 2 loose, bar 3 unread: both nothing, so bars 2 to 4 hold 23,040 lb over 3 x 576 in2."""
    rows = readings([23040, 0, 0, 23040, 23040, 23040])
    rows = [rows[0], read(None, bar=2, method="hand_loose"), *rows[3:]]
    assert span_pressure(readings=rows, **DECK).least_psi == pytest.approx(23040 / (3 * 576))
    whole = span_pressure(readings=readings([23040] * 6), **DECK).bars
    assert whole.with_forces(None, lost=(3,)).least_psi() == pytest.approx(2 * 23040 / (3 * 576))


@pytest.mark.parametrize("force", [None, 0.0])
def test_a_bar_found_lost_long_ago_does_not_take_its_neighbours_force(force):
    """Bar 3 broken 3 years ago, the others read this year at 23,040 lb: bars 2 to 4 hold 2 x 23,040 over 3 x 576 in2.
    Read again it counts as read; with every reading out of date nothing is known, as before."""
    rows = [row for row in readings([23040] * 6) if row.bar != 3]
    broken = read(force, bar=3, on=date(2023, 5, 1), method="hand_loose")
    pressure = span_pressure(readings=[*rows, broken], **DECK)
    assert pressure.least_psi == pytest.approx(2 * 23040 / (3 * 576))
    assert pressure.filled == () and "counted as nothing: bar 3" in pressure.reasons[-1]
    again = span_pressure(readings=[*rows, broken, read(23040, bar=3)], **DECK)
    assert again.least_psi == pytest.approx(40.0) and again.reasons == ()
    old = span_pressure(readings=[broken], **DECK)
    assert old.least_psi is None and old.oldest is None


def test_the_lower_edge_of_the_forecast_counts_where_it_is_lower_in_whole_psi():
    """Readings 40 psi: an edge of 37.9 counts as 37; one of 41.2 or of exactly 40 changes nothing; none neither."""
    pressure = span_pressure(readings=readings([23040] * 6), **DECK)
    lower = with_lower_edge(pressure, 37.9)
    assert (lower.counted_psi, lower.edge_psi, lower.least_psi) == (37.0, 37, pressure.least_psi)
    assert "37 psi" in lower.reasons[-1] and "2026" not in lower.reasons[-1]
    for edge in (41.2, 40.0, None):
        assert with_lower_edge(pressure, edge).counted_psi == pressure.least_psi
    assert with_lower_edge(pressure, -3.0).counted_psi == 0.0


def test_a_forecast_never_makes_up_for_readings_out_of_date():
    old = [read(60000, bar=n, on=date(2020, 1, 1)) for n in range(1, 7)]
    assert with_lower_edge(span_pressure(readings=old, **DECK), 55.0).counted_psi is None


def test_what_is_counted_says_when_it_was_read_and_whether_the_bars_were_pulled_since():
    pressure = span_pressure(readings=readings([23040] * 5), **DECK, pulled_on=date(2026, 6, 1))
    first, last = pressure.counted[0], pressure.counted[5]
    assert (first.force_lb, first.on, first.before_pull) == (23040.0, date(2026, 5, 1), True) and last is None


def test_no_current_reading_at_all_is_unknown_not_zero_and_not_the_old_value():
    old = [read(60000, bar=n, on=date(2020, 1, 1)) for n in range(1, 7)]
    assert span_pressure(readings=old, **DECK).least_psi is None
    lock_off = [read(60000, bar=n, method="lock_off") for n in range(1, 7)]
    assert span_pressure(readings=lock_off, **DECK).least_psi is None


def test_the_slacker_level_of_bars_counts():
    places = [BarPlace(bar=n + 100 * lvl, number=n, level=("top", "bottom")[lvl], station_ft=4.0 * n - 2.0)
              for n in range(1, 7) for lvl in (0, 1)]  # fmt: skip
    rows = [read(23040 if place.level == "top" else 5760, bar=place.bar) for place in places]
    assert span_pressure(readings=rows, **(DECK | {"bars": places})).least_psi == pytest.approx(10.0)


def test_a_pull_of_the_top_bars_sets_no_reading_of_the_bottom_ones_aside():
    """Bottom bars at 5,760 lb last year and 23,040 lb now: the lower counts, 5,760 / 576 in2 = 10 psi, unless they too
    were pulled between; then 40 psi."""
    places = [BarPlace(bar=n + 100 * lvl, number=n, level=("top", "bottom")[lvl], station_ft=4.0 * n - 2.0)
              for n in range(1, 7) for lvl in (0, 1)]  # fmt: skip
    rows = [read(23040, bar=place.bar) for place in places]
    rows += [read(5760, bar=place.bar, on=date(2025, 5, 1)) for place in places if place.level == "bottom"]
    deck, pull = DECK | {"bars": places}, date(2026, 1, 1)
    assert span_pressure(readings=rows, **deck, pulled_on={"top": pull}).least_psi == pytest.approx(10.0)
    both = {"top": pull, "bottom": pull}
    assert span_pressure(readings=rows, **deck, pulled_on=both).least_psi == pytest.approx(40.0)


def test_last_day_of_a_reading():
    assert last_current_day(date(2024, 6, 15), 24) == date(2026, 6, 15)
    assert last_current_day(date(2024, 8, 31), 6) == date(2025, 2, 28)
    assert last_current_day(date(2023, 12, 1), 1) == date(2024, 1, 1)


def count(rows, pulled_on=None):
    return force_to_count(rows, as_of=TODAY, interval_months=24, pulled_on=pulled_on)


def test_lower_of_the_last_two_days_counts():
    assert count([read(30000, on=date(2026, 5, 1)), read(26000, on=date(2025, 5, 1))]) == (26000.0, date(2025, 5, 1))
    assert count([read(30000), read(28000)])[0] == 28000.0
    assert count([read(30000), read(20000, on=date(2024, 7, 1)), read(29000, on=date(2025, 7, 1))])[0] == 29000.0


def test_a_pull_sets_the_readings_before_it_aside_once_one_was_made_after():
    before, after = read(12000, on=date(2025, 5, 1)), read(50000, on=date(2026, 5, 1))
    assert count([before, after], pulled_on=date(2026, 4, 1))[0] == 50000.0
    assert count([before], pulled_on=date(2026, 4, 1))[0] == 12000.0
    assert (
        count([before, read(57600, on=date(2026, 4, 1), method="lock_off")], pulled_on=date(2026, 4, 1))[0] == 12000.0
    )


def test_a_reading_sent_back_lowers_and_replaces_nothing():
    """Firm 30,000 and 28,000 lb on two days. Sent back: 60,000 raises nothing, 20,000 counts, alone it counts as seen;
    after a pull the firm reading from before it stays until a firm one is made."""
    old, new = read(28_000, on=date(2025, 5, 1)), read(30_000, on=date(2026, 4, 1))
    high = Reading(bar=1, on=date(2026, 6, 1), force_lb=60_000, method="lift_off", is_sent_back=True)
    low = Reading(bar=1, on=date(2026, 6, 1), force_lb=20_000, method="lift_off", is_sent_back=True)
    assert count([old, new, high])[0] == 28_000
    assert count([old, new, low]) == (20_000, date(2026, 6, 1))
    assert count([high])[0] == 60_000
    assert count([new, high], pulled_on=date(2026, 5, 10))[0] == 30_000


def test_loose_to_the_hand_is_no_force_and_tomorrow_is_not_read_today():
    assert count([read(None, method="hand_loose")])[0] == 0.0
    assert count([read(30000, on=date(2026, 6, 16))]) is None


@given(st.lists(st.floats(0, 80000), min_size=6, max_size=6), st.integers(0, 5), st.floats(0, 1))
def test_losing_force_in_one_bar_never_raises_the_pressure(forces, which, share):
    before = span_pressure(readings=readings(forces), **DECK).least_psi
    forces[which] *= share
    after = span_pressure(readings=readings(forces), **DECK).least_psi
    assert after <= before + 1e-9


@pytest.mark.parametrize(
    ("pressures", "word"),
    [((), "none"), ((None, 60), "unknown"), ((60, 39.9), "slack"), ((40, 60), "sound"), ((100,), "sound")],
)
def test_one_word_for_the_structure(pressures, word):
    assert bar_standing(pressures) == word


def test_between_the_need_and_the_floor_is_low():
    assert bar_standing([35.0], needed_psi=30.0) == "low"
    assert bar_standing([29.0], needed_psi=30.0) == "slack"


def test_each_span_is_held_against_its_own_need():
    """58 psi is slack where the plate asks for 68, sound where it asks for 40; the worst span names the structure."""
    assert worst_bar_standing([(58.0, 40.0)]) == "sound"
    assert worst_bar_standing([(58.0, 40.0), (58.0, 68.0)]) == "slack"
    assert worst_bar_standing([(58.0, 68.0), (None, 40.0)]) == "unknown"
