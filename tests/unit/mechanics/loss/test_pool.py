"""What rows of one kind lend to one another."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import norm

from inventory.mechanics.bars.loss import LossPolicy, Pool, fit_row, forecast, joined, pool
from inventory.mechanics.bars.loss.grid import grid_of
from inventory.mechanics.errors import OutsideValidity
from tests.unit.mechanics.loss.rows import row

POLICY = LossPolicy()
SLOPES = [0.17 + 0.02 * step for step in (-1.6, -1.1, -0.8, -0.5, -0.3, -0.1, 0.1, 0.3, 0.5, 0.8, 1.1, 1.6)]
STEEP = [
    row(label=f"S{i}", slope=SLOPES[i], stressed=(0.0,), read=(100.0, 400.0, 1200.0), seed=i, sd=0.03)
    for i in range(12)
]
FITS = [fit_row(each, POLICY) for each in STEEP]
NEW = row(label="new", slope=0.17, stressed=(0.0,), read=(60.0,), seed=99, sd=0.02)


def slope_of(given) -> tuple[float, float]:
    found = given.fits[0].parameters["log_slope_ratio"]
    return found["mean"], found["sd"]


def ahead(given, lent=None):
    return forecast(given, policy=POLICY, from_day=365.0, days_ahead=1500.0, pool=lent)


def test_a_new_bridge_stands_between_its_own_and_its_kind():
    """Law of pooling: few readings of its own, so the slope moves from the policy's towards the kind's 0.17 and its
    deviation shrinks."""
    alone, (with_others, narrower) = slope_of(ahead(NEW)), slope_of(ahead(NEW, pool(FITS, POLICY)))
    assert alone[0] < with_others < 0.185
    assert abs(with_others - 0.17) < abs(alone[0] - 0.17)
    assert narrower < alone[1]


def test_a_well_read_bridge_keeps_to_its_own_readings():
    own = row(label="own", slope=0.10, stressed=(0.0,), forces_read=True, read=range(60, 3000, 150), seed=7, sd=0.02)
    alone, with_others = slope_of(ahead(own))[0], slope_of(ahead(own, pool(FITS, POLICY)))[0]
    assert alone <= with_others < alone + 0.35 * (0.17 - alone)


def test_mean_of_the_kind_by_a_second_method():
    """Each row's likelihood of the slope is near normal: mean and spread of the kind by direct maximum of the posterior
    (scipy), rows as normals, against the mean the pool lends to a row it does not know. Within 0.004, a sixth of the
    policy's spread: the pool averages over the spread, the other takes its likeliest."""
    slopes = grid_of(POLICY).slopes
    rows = []
    for fit in FITS:
        seen = np.exp(fit.log_likelihoods[: len(slopes)])
        mean = (seen * slopes).sum() / seen.sum()
        rows.append((mean, (seen * (slopes - mean) ** 2).sum() / seen.sum()))

    def against(at):
        spread = POLICY.log_slope_spread_ratio * np.exp(at[1])
        known = sum(norm.logpdf(mean, at[0], np.hypot(spread, var**0.5)) for mean, var in rows)
        return -known - norm.logpdf(at[0], POLICY.log_slope_ratio, POLICY.log_slope_sd_ratio) + 0.5 * (at[1] / 0.5) ** 2

    best = minimize(against, [0.13, 0.0], method="Nelder-Mead").x
    lent = pool(FITS, POLICY).weights_for("unknown", POLICY)[0]
    assert (lent * slopes).sum() == pytest.approx(best[0], abs=0.004)


def test_a_row_lends_nothing_to_itself():
    whole, others = pool(FITS, POLICY), pool(FITS[1:], POLICY)
    for one, two in zip(whole.weights_for("S0", POLICY), others.weights_for("S0", POLICY), strict=True):
        assert one == pytest.approx(two, abs=1e-9)
    assert (whole.count_without("S0"), whole.count_without("new")) == (11, 12)
    assert ahead(STEEP[0], whole).pooled_with == 11
    assert ahead(STEEP[0], pool(FITS[:1], POLICY)).pooled_with == 0


def test_pieces_joined_are_the_whole_and_go_to_json():
    whole = pool(FITS, POLICY)
    pieces = [Pool.from_dict(pool(FITS[i : i + 5], POLICY).as_dict()) for i in (0, 5, 10)]
    assert joined(pieces) == whole
    assert ahead(NEW, joined(pieces)) == ahead(NEW, whole)


def test_an_empty_pool_is_nearly_the_policy_alone():
    """The spread is then averaged over its nodes, so the expectation is a little wider than the policy's own: mean to
    0.001, deviation within 15 %."""
    empty = ahead(NEW, pool([], POLICY, kind="deck, mid"))
    assert slope_of(empty)[0] == pytest.approx(slope_of(ahead(NEW))[0], abs=0.001)
    assert slope_of(empty)[1] == pytest.approx(slope_of(ahead(NEW))[1], rel=0.15)


def test_two_kinds_or_policies_do_not_mix():
    other = fit_row(row(kind="T-beam, bottom", read=(100.0,)), POLICY)
    with pytest.raises(OutsideValidity, match="one kind"):
        pool([FITS[0], other], POLICY)
    with pytest.raises(OutsideValidity, match="policy"):
        pool(FITS, LossPolicy(reading_sd_ratio=0.06))
    with pytest.raises(OutsideValidity, match="kind of the pool"):
        ahead(row(kind="T-beam, bottom"), pool(FITS, POLICY))


def test_a_kind_that_follows_one_form_lends_that_too():
    """Rows on the logarithmic curve for three years lend it more than half, never all; a pool of none lends half."""
    lent = pool(FITS, POLICY)
    assert 0.6 < lent.logarithmic_weight("new", POLICY) <= 0.9
    assert pool([], POLICY, kind="deck, mid").logarithmic_weight("new", POLICY) == 0.5
    assert pool(FITS[:1], POLICY).logarithmic_weight("S0", POLICY) == 0.5


def test_a_pool_of_another_edition_is_known_as_such():
    old = Pool.from_dict({**pool(FITS, POLICY).as_dict(), "grid_key": "0123456789abcdef"})
    assert pool(FITS, POLICY).is_for(POLICY) and not old.is_for(POLICY)
    with pytest.raises(OutsideValidity, match="pool again"):
        ahead(NEW, old)
