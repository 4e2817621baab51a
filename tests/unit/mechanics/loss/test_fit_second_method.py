"""The fit and the forecast against the same model solved by plain means (`second_method`)."""

from __future__ import annotations

import numpy as np
import pytest

from inventory.mechanics.bars.loss import ForceRead, LossPolicy, fit_row, forecast
from tests.unit.mechanics.loss.rows import row
from tests.unit.mechanics.loss.second_method import brute_force

SOME = row(count=5, stressed=(0.0,), read=(100.0, 400.0, 1100.0), seed=3)
FEW = row(
    count=6,
    stressed=(0.0,),
    readings=(
        ForceRead(on_day=300.0, bar_index=1, force_lb=31000.0, repeats=3),
        ForceRead(on_day=300.0, bar_index=4, force_lb=36500.0),
    ),
)


@pytest.mark.parametrize(("given", "day"), [(SOME, 2200.0), (SOME, 1105.0), (FEW, 1400.0)])
def test_parameters_and_band(given, day):
    """Slope within 0.002 and its deviation within 5 % (the grids of parameters and scales differ), weight within 0.02;
    edges of least pressure and mean force within 1 % (20,000 draws: about 0.5 % at the edges of such a band)."""
    policy = LossPolicy()
    slope, sd, weight, forces = brute_force(given, policy, day, 20000, seed=11)
    logarithmic = fit_row(given, policy).fits[0]
    assert logarithmic.weight_ratio == pytest.approx(weight, abs=0.02)
    assert logarithmic.parameters["log_slope_ratio"]["mean"] == pytest.approx(slope, abs=0.002)
    assert logarithmic.parameters["log_slope_ratio"]["sd"] == pytest.approx(sd, rel=0.05)
    point = forecast(given, policy=policy, from_day=day, days_ahead=1.0).points[0]
    three = np.stack([forces[:, i : i + 3].sum(axis=1) / (144 * 12) for i in range(forces.shape[1] - 2)])
    least = np.quantile(three.min(axis=0), [0.1, 0.5, 0.9])
    mean = np.quantile(forces.mean(axis=1), [0.1, 0.5, 0.9])
    assert (point.least_lower_psi, point.least_middle_psi, point.least_upper_psi) == pytest.approx(least, rel=0.01)
    assert (point.mean_lower_lb, point.mean_middle_lb, point.mean_upper_lb) == pytest.approx(mean, rel=0.01)


def test_estimates_of_unread_bars():
    """The two bars read and the four not, one by one, against the same draws: middle 1 %, deviation 5 %."""
    forces = brute_force(FEW, LossPolicy(), 1400.0, 20000, seed=5)[3]
    bars = forecast(FEW, policy=LossPolicy(), from_day=1400.0, days_ahead=1.0).bars
    assert [each.middle_lb for each in bars] == pytest.approx(np.median(forces, axis=0), rel=0.01)
    assert [each.sd_lb for each in bars] == pytest.approx(forces.std(axis=0), rel=0.05)
    assert [each.is_read for each in bars] == [False, True, False, False, True, False]
