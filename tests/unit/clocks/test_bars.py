"""Bar clocks: the stressing schedule of stress-laminated decks (AASHTO LRFD 9.9.5.6, memory; re-tensioning every 2 to 5
years recommended by Dahlberg and Wacker 2021, checked) and the floor of 40 psi with its 1.25 margin (model)."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.clocks import BarFact, BarsFacts, ForecastFact, Policy, bar_dues
from inspections.rules.clocks.bars import least_local_psi, standing_forces
from inspections.vocabulary.states import ReminderKind

ERECTED = date(2026, 3, 2)
# Bars at 4 ft in a deck 12 in thick: 48 x 12 = 576 in2 each, so 50 psi is 28,800 lb and 40 psi is 23,040 lb.
AREA_IN2 = 48 * 12
LBS_50 = 28_800.0
LBS_40 = 23_040.0


def span(readings=None, stressed=(ERECTED,), erected=ERECTED, **more) -> BarsFacts:
    """Five bars at 2, 6, 10, 14 and 18 ft of a 20 ft deck: each serves 4 ft. `readings` per bar, a tuple each."""
    readings = readings or [()] * 5
    bars = tuple(BarFact(number=n + 1, station_ft=2.0 + 4.0 * n, readings=tuple(r)) for n, r in enumerate(readings))
    values = {
        "span_index": 1,
        "span_count": 1,
        "length_ft": 20.0,
        "spacing_in": 48.0,
        "thickness_in": 12.0,
        "bars": bars,
        "registered_on": date(2026, 1, 5),
        "erected_on": erected,
        "stressed_on": tuple(stressed),
    }
    return BarsFacts(**(values | more))


def read_all(on: date, force_lb: float = 40_000.0):
    return [((on, force_lb),)] * 5


def dues(facts, as_of=date(2030, 6, 1), policy=None) -> dict:
    return {due.kind: due for due in bar_dues(facts, policy or Policy(), as_of)}


def test_second_pass_one_week_after_the_first():
    """2 Mar + 7 = 9 Mar."""
    found = dues(span(), as_of=date(2026, 3, 3))
    assert found[ReminderKind.RETENSION].due_on == date(2026, 3, 9)


def test_third_pass_four_to_eight_weeks_on_and_four_weeks_after_the_second():
    """First 2 Mar, second 12 Mar: 12 Mar + 28 = 9 Apr; eight weeks after the first are 2 Mar + 56 = 27 Apr."""
    found = dues(span(stressed=(ERECTED, date(2026, 3, 12))), as_of=date(2026, 3, 13))[ReminderKind.RETENSION]
    assert (found.due_on, found.late_after) == (date(2026, 4, 9), date(2026, 4, 27))


def test_after_three_passes_the_next_is_a_measurement_at_one_year():
    found = dues(span(stressed=(ERECTED, date(2026, 3, 9), date(2026, 4, 20))))
    assert ReminderKind.RETENSION not in found
    assert found[ReminderKind.BAR_CHECK].due_on == date(2027, 3, 2)


def test_missed_passes_are_not_asked_for_after_a_year():
    found = dues(span(), as_of=date(2027, 3, 3))
    assert ReminderKind.RETENSION not in found and found[ReminderKind.BAR_CHECK].due_on == date(2027, 3, 2)


def test_every_two_years_for_the_first_six_then_the_countys_interval():
    """Read 10 Mar 2027 in the second year: 24 months although the county says 60; read in 2033: 60 months."""
    policy, three = Policy(bar_check_months=60), (ERECTED, date(2026, 3, 9), date(2026, 4, 20))
    young = dues(span(read_all(date(2027, 3, 10)), three), policy=policy)[ReminderKind.BAR_CHECK]
    old = dues(span(read_all(date(2033, 3, 10)), three), policy=policy)[ReminderKind.BAR_CHECK]
    assert (young.due_on, old.due_on) == (date(2029, 3, 10), date(2038, 3, 10))


def test_interval_is_capped_at_five_years():
    """2 to 5 years (checked): a policy of 10 years does not stretch it."""
    found = dues(span(read_all(date(2033, 3, 10))), policy=Policy(bar_check_months=120))[ReminderKind.BAR_CHECK]
    assert found.due_on == date(2038, 3, 10)


def test_unknown_reading_means_check_now():
    found = dues(span(stressed=(), erected=None, opened_on=None))[ReminderKind.BAR_CHECK]
    assert found.due_on == date(2026, 1, 5) and "counts as absent" in found.reason


def test_bars_that_no_neighbour_can_stand_for_are_named():
    """Only the middle bar read: the outer ones have a reading on one side only, so nothing stands for them."""
    readings = [(), (), ((date(2027, 3, 10), 40_000.0),), (), ()]
    found = dues(span(readings))[ReminderKind.BAR_CHECK]
    assert found.due_on == date(2027, 3, 10) and "bars 1, 2, 4, 5" in found.reason


def test_least_local_pressure_is_force_over_the_area_served():
    """Five equal bars over 20 ft x 12 in of deck: 5 F / (240 x 12) = 5 x 28,800 / 2,880 = 50 psi."""
    assert abs(least_local_psi(span(read_all(date(2027, 3, 10), LBS_50))) - 50.0) < 1e-9


def test_weak_mean_asks_for_a_pull_below_fifty_psi_and_not_at_it():
    at, below = (span(read_all(date(2027, 3, 10), lb)) for lb in (LBS_50, LBS_50 - 100))
    assert ReminderKind.RETENSION not in dues(at)
    found = dues(below)[ReminderKind.RETENSION]
    assert found.due_on == date(2027, 3, 10) and "below 50 psi" in found.reason


def test_one_slack_bar_asks_for_a_pull_and_is_named():
    """Bar 4 at 20,000 lb: 20,000 / 576 = 34.7 psi; the others at 40,000 lb keep the mean above 50 psi:
    three bars 4 + neighbours: (40,000 + 20,000 + 40,000) / (3 x 576) = 57.9 psi."""
    readings = read_all(date(2027, 3, 10))
    readings[3] = ((date(2027, 3, 10), 20_000.0),)
    found = dues(span(readings))[ReminderKind.RETENSION]
    assert "4 (34.7 psi)" in found.reason and "least local" not in found.reason


def test_reading_again_without_pulling_gives_no_new_time():
    readings = [((date(2027, 3, 10), 20_000.0), (date(2027, 9, 1), 19_000.0))] * 5
    assert dues(span(readings))[ReminderKind.RETENSION].due_on == date(2027, 3, 10)


def test_a_later_good_reading_ends_it_and_a_fresh_low_one_starts_anew():
    good = [((date(2027, 3, 10), 20_000.0), (date(2027, 9, 1), 40_000.0))] * 5
    again = [(*row, (date(2028, 9, 1), 20_000.0)) for row in good]
    assert ReminderKind.RETENSION not in dues(span(good))
    assert dues(span(again))[ReminderKind.RETENSION].due_on == date(2028, 9, 1)


def test_lower_of_two_readings_on_one_day_counts():
    """Safety rule of the register: between two readings the lower counts."""
    day = date(2027, 3, 10)
    found = dues(span([((day, 40_000.0), (day, 20_000.0))] * 5))
    assert ReminderKind.RETENSION in found


def test_a_pull_ends_the_call_and_asks_for_a_check_in_four_to_eight_weeks():
    """Pulled 20 Mar 2028: 20 Mar + 28 = 17 Apr, + 56 = 15 May."""
    pulled = (ERECTED, date(2026, 3, 9), date(2026, 4, 20), date(2028, 3, 20))
    found = dues(span(read_all(date(2028, 3, 10), 20_000.0), pulled))
    assert ReminderKind.RETENSION not in found
    check = found[ReminderKind.BAR_CHECK]
    assert (check.due_on, check.late_after) == (date(2028, 4, 17), date(2028, 5, 15))


def test_forecast_governs_where_it_comes_first_and_both_dates_are_shown():
    facts = span(read_all(date(2033, 3, 10)), forecast=ForecastFact(reaches_limit_on=date(2034, 1, 15)))
    found = dues(facts)[ReminderKind.BAR_CHECK]
    assert found.due_on == date(2034, 1, 15)
    assert "15 Jan 2034" in found.reason and "10 Mar 2035" in found.reason and "governs" in found.reason


def test_a_forecast_that_reaches_the_limit_right_after_a_reading_asks_for_no_second_reading():
    """Read 10 Mar 2033; a limit reached on 20 Mar 2033 brings the re-tension forward, not another reading."""
    told = ForecastFact(reaches_limit_on=date(2033, 3, 20), retension_on=date(2033, 3, 20), why="by the forecast.")
    found = dues(span(read_all(date(2033, 3, 10)), forecast=told))
    assert found[ReminderKind.BAR_CHECK].due_on == date(2035, 3, 10)
    assert found[ReminderKind.RETENSION].due_on == date(2033, 3, 20)


def test_the_earlier_of_forecast_and_record_is_owed_with_its_own_words():
    """Schedule: second stressing 2 Mar + 7 = 9 Mar. A forecast of 6 Mar comes before it, one of 1 Jun does not."""
    early = ForecastFact(retension_on=date(2026, 3, 6), why="the forecast says so.")
    late = ForecastFact(retension_on=date(2026, 6, 1), why="the forecast says so.")
    found = dues(span(forecast=early), as_of=date(2026, 3, 3))[ReminderKind.RETENSION]
    assert (found.due_on, found.reason) == (date(2026, 3, 6), "Re-tension: the forecast says so.")
    found = dues(span(forecast=late), as_of=date(2026, 3, 3))[ReminderKind.RETENSION]
    assert found.due_on == date(2026, 3, 9) and "Second stressing" in found.reason


def test_bars_read_after_the_last_pull_of_the_day_are_read_and_those_read_before_it_are_not():
    on = date(2028, 5, 2)
    bars = tuple(BarFact(number=n, station_ft=4.0 * n - 2.0, readings=((on, 40_000.0),)) for n in range(1, 6))
    after = tuple(replace(bar, after_pull=(on,)) for bar in bars)
    before, seen = (span(stressed=(ERECTED, on), bars=rows) for rows in (bars, after))
    assert standing_forces(before) == {} and len(standing_forces(seen)) == 5


@given(force=st.floats(0, 60_000), drop=st.floats(0, 60_000))
def test_less_force_never_asks_for_less(force, drop):
    """Law: taking force away cannot make a needed pull unneeded."""
    lower = max(0.0, force - drop)
    asked = [ReminderKind.RETENSION in dues(span(read_all(date(2027, 3, 10), lb))) for lb in (force, lower)]
    assert asked[1] or not asked[0]


@given(first=st.integers(0, 3000), later=st.integers(0, 1500))
def test_later_reading_never_falls_due_earlier(first, later):
    start = date(2027, 4, 1)
    early, late = (
        dues(span(read_all(start + timedelta(days=days))))[ReminderKind.BAR_CHECK].due_on
        for days in (first, first + later)
    )
    assert early <= late
