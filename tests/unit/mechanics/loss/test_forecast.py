"""Laws of the forecast, and what it says of histories that are thin, wrong or odd."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.bars import BarReading, least_local_pressure
from inventory.mechanics.bars.loss import ForceForecast, ForceRead, LossPolicy, RowFit, Stressed, fit_row, forecast
from inventory.mechanics.bars.loss.forecast import least_pressures_psi
from inventory.mechanics.errors import OutsideValidity
from tests.unit.mechanics.loss.rows import EXACT, TARGET_LB, row

POLICY = LossPolicy()
READ = row(read=(180.0, 400.0, 800.0), seed=1)


def ahead(given, from_day=900.0, days_ahead=1000.0, policy=POLICY, **other) -> ForceForecast:
    return forecast(given, policy=policy, from_day=from_day, days_ahead=days_ahead, **other)


def width(given: ForceForecast, at=-1) -> float:
    return np.log(given.points[at].mean_upper_lb / given.points[at].mean_lower_lb)


def said(given: ForceForecast, *words: str) -> bool:
    return any(all(word in sentence for word in words) for sentence in given.sentences)


def test_without_scatter_the_form_itself_comes_out():
    """Law: nothing scatters, one form's share of the members is exactly on its curve. Logarithmic, stressed once, two
    years: 1 - 0.13 log10(731) = 0.6277; exponential: 0.5 + 0.5 exp(-730/180) = 0.5087 (arithmetic)."""
    point = ahead(row(stressed=(0.0,), forces_read=True), from_day=730.0, policy=EXACT).points[0]
    assert point.mean_upper_lb / TARGET_LB == pytest.approx(0.6277, abs=5e-4)
    assert point.mean_lower_lb / TARGET_LB == pytest.approx(0.5087, abs=5e-4)
    assert point.least_lower_psi == pytest.approx(50.87, abs=0.05)


@settings(max_examples=8, deadline=None)
@given(st.floats(0.05, 20.0))
def test_units_law(factor):
    """All forces times a factor: forces and pressures times that factor, chances and days as before."""
    bigger = replace(
        READ,
        target_lb=READ.target_lb * factor,
        readings=tuple(replace(each, force_lb=each.force_lb * factor) for each in READ.readings),
    )
    plain = ahead(READ, days_ahead=7300.0, need_psi=(62.0,))
    scaled = ahead(bigger, days_ahead=7300.0, need_psi=(62.0 * factor,))
    for one, two in zip(plain.points, scaled.points, strict=True):
        assert two.least_lower_psi == pytest.approx(one.least_lower_psi * factor, rel=1e-6)
        assert two.mean_upper_lb == pytest.approx(one.mean_upper_lb * factor, rel=1e-6)
    assert scaled.reachings[0].early_day == pytest.approx(plain.reachings[0].early_day, rel=1e-5)


def test_the_origin_of_days_and_the_order_of_readings_do_not_matter():
    moved = replace(
        READ,
        stressed=tuple(replace(each, on_day=each.on_day + 738000) for each in READ.stressed),
        readings=tuple(replace(each, on_day=each.on_day + 738000) for each in reversed(READ.readings)),
    )
    one, two = ahead(READ), ahead(moved, from_day=738900.0)
    assert [p.least_lower_psi for p in two.points] == pytest.approx([p.least_lower_psi for p in one.points], rel=1e-6)


def test_a_day_is_forecast_alike_from_any_day_before():
    """Law: nothing new was read, so the band of day 1,500 is the same asked for on day 900 or on day 1,500 (the curve
    between the days met is a line through them: 0.5 %)."""
    before, then = ahead(READ, days_ahead=600.0).points[-1], ahead(READ, from_day=1500.0).points[0]
    for name in ("least_lower_psi", "least_middle_psi", "least_upper_psi", "mean_lower_lb", "mean_upper_lb"):
        assert getattr(before, name) == pytest.approx(getattr(then, name), rel=0.005)


def test_edges_in_order_and_nothing_rises_without_a_pull():
    given = ahead(READ, days_ahead=7300.0)
    middles = [point.least_middle_psi for point in given.points[6:]]
    assert all(late <= early * 1.001 for early, late in zip(middles, middles[1:], strict=False))
    for point in given.points:
        assert 0 <= point.least_lower_psi <= point.least_middle_psi <= point.least_upper_psi
        assert point.mean_lower_lb <= point.mean_middle_lb <= point.mean_upper_lb
        assert point.least_middle_psi <= point.mean_middle_lb / (48 * 12)


def test_a_wider_band_is_wider():
    assert (
        width(ahead(READ, policy=replace(POLICY, band_ratio=0.95)))
        > width(ahead(READ))
        > width(ahead(READ, policy=replace(POLICY, band_ratio=0.5)))
    )


def test_more_readings_never_widen_the_band_on_average():
    """Law (information): over twelve histories the log width of the band with one, two and three days of reading."""
    widths = []
    for seed in range(12):
        days = [row(read=(180.0, 400.0, 800.0)[:count], seed=seed, sd=0.04) for count in (0, 1, 2, 3)]
        widths.append([width(ahead(each)) for each in days])
    none, one, two, three = np.mean(widths, axis=0)
    assert none > 1.3 * one and one > two > three


def test_lower_readings_lower_the_forecast():
    lower = replace(READ, readings=tuple(replace(each, force_lb=0.9 * each.force_lb) for each in READ.readings))
    for one, two in zip(ahead(READ).points, ahead(lower).points, strict=True):
        assert two.least_lower_psi < one.least_lower_psi and two.mean_middle_lb < one.mean_middle_lb


def test_repeats_count_as_better_readings():
    """Law: a reading repeated nine times tells more of its bar, and with still days of the mean."""
    still = replace(POLICY, day_sd_ratio=0.005)
    better = replace(READ, readings=tuple(replace(each, repeats=9) for each in READ.readings))
    assert width(ahead(better, policy=still), 0) < width(ahead(READ, policy=still), 0)


def test_the_rule_of_the_least_stretch_is_the_ratings_own():
    """The same forces by `least_local_pressure`, for even and uneven spacings, with a slack bar."""
    chance = np.random.default_rng(4)
    for count in (1, 2, 3, 7, 13):
        stations = tuple(np.cumsum(chance.uniform(1.0, 7.0, count)).tolist())
        given = row(count=count, stations_ft=stations, length_ft=stations[-1] + 2.0)
        forces = chance.uniform(0, 60000, count)
        forces[count // 2] = 0.0
        bars = tuple(BarReading(station_ft=x, force_lb=f) for x, f in zip(stations, forces, strict=True))
        rule = least_local_pressure(bars=bars, length_ft=given.length_ft, thickness_in=12.0)
        assert least_pressures_psi(given, forces) == pytest.approx(rule.least_psi)


def test_reaching_agrees_with_the_band():
    """The early day is where the lower edge crosses, the middle day where the middle does; half the chance there."""
    given = ahead(READ, days_ahead=7300.0, need_psi=(62.0, 1.0, 90.0))
    reached, never, already = given.reachings
    edge = np.interp(reached.early_day, [p.on_day for p in given.points], [p.least_lower_psi for p in given.points])
    assert edge == pytest.approx(62.0, abs=0.05)
    assert reached.early_day < reached.middle_day
    assert (never.early_day, never.middle_day, never.chance_already_ratio) == (None, None, 0.0)
    assert already.early_day == already.middle_day == 900.0 and already.chance_already_ratio > 0.9
    then = ahead(READ, from_day=reached.middle_day, need_psi=(62.0,))
    assert then.reachings[0].chance_already_ratio == pytest.approx(0.5, abs=0.06)


def test_what_is_dated_later_does_not_enter():
    later = replace(READ, stressed=(*READ.stressed, Stressed(on_day=850.0)))
    given = ahead(later, from_day=500.0)
    early = ahead(row(read=(180.0, 400.0), seed=1), from_day=500.0)
    assert [p.mean_middle_lb for p in given.points] == pytest.approx([p.mean_middle_lb for p in early.points])
    assert said(given, "stressing dated after") and said(given, "6 readings", "dated after")


def test_unread_bars_stand_with_their_uncertainty():
    sampled = replace(READ, readings=tuple(each for each in READ.readings if each.bar_index in (1, 4)))
    bars = ahead(sampled).bars
    assert [each.is_read for each in bars] == [False, True, False, False, True, False]
    assert min(bars[i].sd_lb for i in (0, 2, 3, 5)) > max(bars[i].sd_lb for i in (1, 4))
    assert said(ahead(sampled), "4 of 6 bars were not read")


def test_a_loose_bar_stays_loose_until_pulled():
    loose = replace(READ, readings=(*READ.readings, ForceRead(on_day=820.0, bar_index=2, force_lb=0.0)))
    given = ahead(loose)
    assert given.bars[2].middle_lb == 0.0 and said(given, "The bar at 10 ft is loose")
    assert given.points[0].least_upper_psi < 0.75 * ahead(READ).points[0].least_upper_psi
    assert [each.middle_lb for each in given.bars][4] == pytest.approx(ahead(READ).bars[4].middle_lb, rel=1e-6)
    again = ahead(replace(loose, stressed=(*loose.stressed, Stressed(on_day=830.0))))
    assert again.bars[2].middle_lb > 0.7 * TARGET_LB


def test_frost_does_not_make_a_bar_loose():
    """Checked (Mn/DOT 1998-03): lost in frost and fully recovered; a reading of nothing left out says nothing."""
    cold = ForceRead(on_day=820.0, bar_index=2, force_lb=0.0, left_out="frost, wet wood")
    assert ahead(replace(READ, readings=(*READ.readings, cold))).points == ahead(READ).points


@pytest.mark.parametrize("part", [0.6, 0.5, 0.1, 0.01])
def test_a_bar_that_fell_stands_as_last_read(part):
    """A slipped nut: after three good readings a fourth at a part of them. Within 3 % of what was read, the others as
    before within 3 %, and the least pressure lower by what its three bars lost."""
    was = ahead(READ, from_day=830.0)
    read = part * was.bars[3].middle_lb
    fell = replace(READ, readings=(*READ.readings, ForceRead(on_day=829.0, bar_index=3, force_lb=read)))
    now = ahead(fell, from_day=830.0)
    assert now.bars[3].middle_lb == pytest.approx(read, rel=0.03)
    for index in (0, 1, 5):
        assert now.bars[index].middle_lb == pytest.approx(was.bars[index].middle_lb, rel=0.03)
    assert now.points[0].least_upper_psi < was.points[0].least_middle_psi
    assert said(now, "1 of the bars has fallen")


def test_a_row_that_fell_at_once_starts_again_from_there():
    at = ahead(READ, from_day=830.0).points[0].mean_middle_lb / 2
    fell = tuple(ForceRead(on_day=829.0, bar_index=bar, force_lb=at) for bar in range(6))
    now = ahead(replace(READ, readings=READ.readings + fell), from_day=830.0)
    assert now.points[0].mean_middle_lb == pytest.approx(at, rel=0.04)
    assert said(now, "All bars fell at once")


def test_a_reading_above_what_was_put_in_is_doubted():
    high = ForceRead(on_day=500.0, bar_index=0, force_lb=3 * TARGET_LB)
    given = ahead(replace(READ, readings=(*READ.readings, high)))
    assert given.points == ahead(READ).points and said(given, "1 reading", "more force than was ever put")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"readings": ()}, ("No reading enters",)),
        ({"readings": READ.readings[:1]}, ("One reading only",)),
        ({"readings": READ.readings[:6]}, ("of one day",)),
        ({"readings": (replace(READ.readings[0], on_day=-5.0), *READ.readings)}, ("before the first stressing",)),
        ({"readings": (replace(READ.readings[0], on_day=49.0), *READ.readings)}, ("of a day of stressing",)),
        ({"stressed": (*READ.stressed, Stressed(on_day=49.0))}, ("entered twice",)),
        ({"stressed": (*READ.stressed, Stressed(on_day=850.0))}, ("No reading since the last stressing",)),
        ({"target_lb": None}, ("Neither a target nor",)),
    ],
)
def test_thin_and_odd_histories_get_a_sentence_and_a_band(change, words):
    given = ahead(replace(READ, **change))
    assert said(given, *words), given.sentences
    assert 0 < given.points[-1].least_lower_psi < given.points[-1].least_upper_psi


def test_years_of_silence_are_told():
    assert said(ahead(READ, from_day=4500.0), "for 10 years", "read the bars")
    assert width(ahead(READ, from_day=4500.0), 0) > width(ahead(READ), 0)


def test_thin_histories_are_wide():
    """One reading and none: at least one and a half times and twice the width of three days of all bars."""
    full = width(ahead(READ))
    assert width(ahead(replace(READ, readings=READ.readings[:1]))) > 1.5 * full
    assert width(ahead(replace(READ, readings=()))) > 2 * full


@pytest.mark.parametrize(
    "wrong",
    [
        {"stressed": ()},
        {"target_lb": None, "readings": ()},
        {"target_lb": float("nan")},
        {"stations_ft": (2.0, 6.0, 6.0, 14.0, 18.0, 22.0)},
        {"stations_ft": ()},
        {"stations_ft": (2.0, 6.0, 10.0, 14.0, 18.0, 99.0)},
        {"readings": (ForceRead(on_day=100.0, bar_index=6, force_lb=1000.0),)},
        {"readings": (ForceRead(on_day=100.0, bar_index=0, force_lb=-1.0),)},
        {"readings": (ForceRead(on_day=100.0, bar_index=0, force_lb=float("inf")),)},
        {"stressed": (Stressed(on_day=0.0, forces_lb=(1.0,)),)},
        {"thickness_in": 0.0},
        {"readings": READ.readings * 150},
    ],
)
def test_what_cannot_be_forecast_is_refused_in_words(wrong):
    with pytest.raises(OutsideValidity, match="outside the range"):
        ahead(replace(READ, **wrong))


def test_forecast_and_fit_go_to_json_and_back():
    given = ahead(READ, need_psi=(40.0,))
    assert ForceForecast.from_dict(given.as_dict()) == given
    fit = fit_row(READ, POLICY)
    assert RowFit.from_dict(fit.as_dict()) == fit
    assert sum(each.weight_ratio for each in given.fits) == pytest.approx(1.0)


def test_the_same_input_gives_the_same_answer():
    assert ahead(READ) == ahead(READ)


@pytest.mark.parametrize("value", [0.0, 1.0])
def test_a_policy_of_no_scatter_or_much_still_gives_a_band(value):
    """Readings that scatter under a policy that says they cannot, and the other way round: finite, in order."""
    names = ("reading_sd_ratio", "day_sd_ratio", "bar_sd_ratio", "stressing_sd_ratio")
    given = ahead(READ, policy=replace(POLICY, **dict.fromkeys(names, value)))
    for point in given.points:
        assert 0 < point.least_lower_psi <= point.least_middle_psi <= point.least_upper_psi < 1000


def test_a_force_under_a_pound_is_none():
    crumbs = replace(READ, readings=(*READ.readings, ForceRead(on_day=820.0, bar_index=2, force_lb=1e-300)))
    nothing = replace(READ, readings=(*READ.readings, ForceRead(on_day=820.0, bar_index=2, force_lb=0.0)))
    assert ahead(crumbs) == ahead(nothing)


def test_unlike_bars_stand_as_read():
    """Four of six bars at a sixth on the last day: every bar within 5 % of its reading, the least with them."""
    shares = (1.0, 0.17, 0.16, 0.18, 0.17, 1.1)
    base = ahead(READ, from_day=829.0).points[0].mean_middle_lb
    fell = tuple(ForceRead(on_day=829.0, bar_index=i, force_lb=base * share) for i, share in enumerate(shares))
    now = ahead(replace(READ, readings=READ.readings + fell), from_day=829.0)
    assert [each.middle_lb for each in now.bars] == pytest.approx([base * share for share in shares], rel=0.05)
    assert now.points[0].least_middle_psi == pytest.approx(base * (0.17 + 0.16 + 0.18) / 1728, rel=0.05)
    assert said(now, "too unlike")


@pytest.mark.parametrize("left", [1.0, 1000.0, 10000.0, 30000.0])
def test_a_bar_left_with_less_than_it_held_never_gains(left):
    """A bar whose pulled neighbours relax it, or that was let go: no source knows of one gaining force by itself."""
    first = (TARGET_LB,) * 6
    stressed = tuple(Stressed(on_day=day, forces_lb=first) for day in (0.0, 7.0))
    last = Stressed(on_day=49.0, forces_lb=(left, *first[1:]))
    given = row(count=6, readings=(), stressed=())
    for day in (50.0, 400.0, 4000.0):
        bars = ahead(replace(given, stressed=(*stressed, last)), from_day=day).bars
        assert bars[0].middle_lb < 1.02 * left
        assert bars[1].middle_lb > 0.5 * TARGET_LB
