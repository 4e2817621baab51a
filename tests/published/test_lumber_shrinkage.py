"""Shrinkage against the American softwood lumber standard (A5).

Source: FPL-RP-489 gives the equations and the lumber standard's numbers they were fitted to, 2.80 % of the width and
2.35 % of the thickness from green to 15 % moisture (checked).
"""

import pytest

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.material.shrinkage import drying_strain_ratio, thickness_shrinkage_pct, width_shrinkage_pct


def test_green_to_15_percent():
    """Standard: 2.80 and 2.35 %; the equations by hand 6.031 - 0.215 x 15 = 2.806, 5.062 - 0.181 x 15 = 2.347."""
    assert width_shrinkage_pct(moisture_pct=15) == pytest.approx(2.80, abs=0.01)
    assert thickness_shrinkage_pct(moisture_pct=15) == pytest.approx(2.35, abs=0.01)
    assert width_shrinkage_pct(moisture_pct=15) == pytest.approx(2.806)
    assert thickness_shrinkage_pct(moisture_pct=15) == pytest.approx(2.347)


@pytest.mark.parametrize("shrinkage_pct", [width_shrinkage_pct, thickness_shrinkage_pct])
def test_no_shrinkage_above_fibre_saturation(shrinkage_pct):
    """Wood shrinks below fibre saturation only, 25 to 30 % (checked-2nd): each line run on to 0 must end there."""
    at_15, at_10 = shrinkage_pct(moisture_pct=15), shrinkage_pct(moisture_pct=10)
    assert 25 < 15 + 5 * at_15 / (at_10 - at_15) < 30


def test_drying_of_laminations():
    """By hand: from 19 to 15 %, 1.623 to 2.347 % of the green size: (0.98377 - 0.97653)/0.98377 = 0.007359."""
    found = drying_strain_ratio(from_moisture_pct=19, to_moisture_pct=15)
    assert found == pytest.approx((0.98377 - 0.97653) / 0.98377)
    assert drying_strain_ratio(from_moisture_pct=15, to_moisture_pct=19) < 0 < found


@pytest.mark.parametrize("moisture", [7.9, 19.1, float("nan"), -3])
def test_outside_the_range_of_the_equations(moisture):
    with pytest.raises(OutsideValidity, match="FPL-RP-489"):
        width_shrinkage_pct(moisture_pct=moisture)
