"""Back-test of the forecast on invented histories with known truth (`bar_histories`): how often the band is right.

Asked: of bands of 80 % for a day one to three years (and up to 300 days more) after the last reading, between 70 and
90 % must hold the force that then stands, for the least local pressure and for the mean force each, over 500 histories.
The forecast is asked for on that very day; a law of `unit/mechanics/loss` holds that one made before says the same.
`ops/check --long` runs them whole; otherwise a seeded tenth, held to what a band of 70 to 90 % may give in so few (the
binomial's own 0.5 and 99.5 % points).

Whole run, seeds [17, 0] to [17, 499], least and mean in per cent (`SPANLEDGER_LONG=1`, pytest on this file).
Logarithmic: every bar 80.8 and 81.8, a third 77.6 and 79.2, target only 79.8 and 80.6, stressed again 78.6 and 82.8,
steep county with others 75.8 and 82.0. Exponential: every bar 77.0 and 81.0, a third 79.0 and 82.6, county with others
74.6 and 79.8. Beyond the model: power law 81.0 and 81.0, with seasons 71.2 and 70.2, uneven bars 69.2 and 77.6. Not
held to anything, and the known limit: a bridge alone whose slope is 0.20 where the policy says 0.13 give or take 0.04,
a third of its bars read four times: 37.2 and 53.4. Such a county must change its policy, or let other bridges lend.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.stats import binom

from inventory.mechanics.bars.loss import LossPolicy, fit_row, forecast, pool
from tests.outside.bar_histories import YEAR, Plan, Truth, bridge_and_row, exponential, logarithmic, power
from tests.outside.seeds import seeds

pytestmark = pytest.mark.long

HISTORIES, LEAST, MOST = 500, 0.70, 0.90
POLICY = LossPolicy()
FULL = Plan()
SAMPLED = Plan(sampled=0.34)
TARGET_ONLY = Plan(sampled=0.34, forces_read=False)
RESTRESSED = replace(SAMPLED, stressed=(0.0, 7.0, 49.0, 800.0), read=(180.0, 365.0, 790.0, 1000.0, 1500.0))
ONE_DAY = Plan(sampled=0.34, read=(200.0,))


@dataclass(frozen=True)
class Case:
    """A truth, what is on record of a bridge, how many others lend to it and what is on record of those."""

    truth: Truth
    plan: Plan
    others: int = 0
    of_others: Plan = SAMPLED


CASES = {
    "logarithmic, every bar read": Case(logarithmic(), FULL),
    "logarithmic, a third of the bars read": Case(logarithmic(), SAMPLED),
    "logarithmic, target only": Case(logarithmic(), TARGET_ONLY),
    "logarithmic, stressed again": Case(logarithmic(), RESTRESSED),
    "exponential, every bar read": Case(exponential(), FULL),
    "exponential, a third of the bars read": Case(exponential(), SAMPLED),
    "steep county, one day of reading, 12 others": Case(logarithmic(0.16, 0.02), ONE_DAY, 12),
    "exponential county, one day of reading, 12 others": Case(exponential(0.45), ONE_DAY, 12),
}
BEYOND = {
    "power law, a third of the bars read": Case(power(), SAMPLED),
    "power law with seasons": Case(power(season=0.05, day_sd=0.03), SAMPLED),
    "bars far more uneven than the policy's": Case(logarithmic(bar_loss_sd=0.25, left_sd=0.08), SAMPLED),
    "slopes two deviations off the policy's, 12 others": Case(logarithmic(0.20, 0.01), SAMPLED, 12),
}
"""Truths the model does not hold for: neither published form, more scatter, a county unlike the policy."""


def held(case: Case, seed: int) -> tuple[bool, bool]:
    """Whether the band held the least pressure and the mean force of one history."""
    chance = np.random.default_rng([17, seed])
    lent = None
    if case.others:
        rows = [bridge_and_row(case.truth, case.of_others, chance, f"other {i}")[1] for i in range(case.others)]
        lent = pool([fit_row(row, POLICY) for row in rows], POLICY)
    bridge, row = bridge_and_row(case.truth, case.plan, chance, "this one")
    day = max(case.plan.read) + chance.uniform(1.0, 300.0) + chance.uniform(1.0, 3.0) * YEAR
    point = forecast(row, policy=POLICY, from_day=day, days_ahead=1.0, pool=lent).points[0]
    least, mean = bridge.least_and_mean(day)
    return (
        point.least_lower_psi <= least <= point.least_upper_psi,
        point.mean_lower_lb <= mean <= point.mean_upper_lb,
    )


def counted(name: str, case: Case, capsys) -> tuple[np.ndarray, int]:
    runs = seeds(HISTORIES)
    found = np.array([held(case, seed) for seed in runs]).sum(axis=0)
    with capsys.disabled():
        print(f"\nforecast, {name}: least {found[0] / len(runs):.1%}, mean {found[1] / len(runs):.1%} of {len(runs)}")
    return found, len(runs)


@pytest.mark.parametrize("name", CASES)
def test_the_band_is_right_about_as_often_as_it_says(name, capsys):
    found, runs = counted(name, CASES[name], capsys)
    low = LEAST * HISTORIES if runs == HISTORIES else binom.ppf(0.005, runs, LEAST)
    high = MOST * HISTORIES if runs == HISTORIES else binom.ppf(0.995, runs, MOST)
    assert low <= found.min() and found.max() <= high


@pytest.mark.parametrize("name", BEYOND)
def test_the_band_bends_and_does_not_break_where_the_model_is_wrong(name, capsys):
    """Half at least hold, three in five in the long run: less would be a false number."""
    found, runs = counted(name, BEYOND[name], capsys)
    assert found.min() >= binom.ppf(0.005, runs, 0.6)


def test_the_simulator_alone_knows_the_truth_it_was_given():
    """Arithmetic: without scatter a bridge of slope 0.13 stressed once holds 1 - 0.13 log10(366) = 66.7 % at a year,
    and stressed on days 0, 7 and 49, 83.2 % (D8, computed)."""
    still = logarithmic(spread=0.0, bar_loss_sd=0.0, left_sd=0.0, jack_sd=0.0, short_sd=0.0, day_sd=0.0, reading_sd=0.0)
    for stressed, percent in (((0.0,), 66.7), ((0.0, 7.0, 49.0), 83.2)):
        plan = Plan(stressed=stressed, read=(365.0,))
        bridge, row = bridge_and_row(still, plan, np.random.default_rng(0), "still")
        least, _ = bridge.least_and_mean(365.0)
        assert least == pytest.approx(percent, abs=0.06)
        assert row.readings[0].force_lb == pytest.approx(least * 576.0)


def test_a_band_half_as_wide_would_be_found_out():
    """The check can fail: bands of 40 % offered as 80 % hold the truth far too seldom."""
    narrow = replace(POLICY, band_ratio=0.4)
    hits = 0
    for seed in range(60):
        chance = np.random.default_rng([17, seed])
        bridge, row = bridge_and_row(logarithmic(), SAMPLED, chance, "this one")
        day = max(SAMPLED.read) + 800.0
        point = forecast(row, policy=narrow, from_day=day, days_ahead=1.0).points[0]
        hits += point.mean_lower_lb <= bridge.least_and_mean(day)[1] <= point.mean_upper_lb
    assert hits < binom.ppf(0.005, 60, LEAST)
