"""Bars, anchorages, jack and needed pressure against hand calculation (D6, computed); marks beside each."""

from __future__ import annotations

import pytest

from inventory.mechanics.bars import (
    anchor_plate_thickness_in,
    bar_limit_lb,
    jack_pressure_psi,
    least_bar_spacing_in,
    needed_pressure_psi,
    plate_area_in2,
    steel_ratio,
)
from inventory.mechanics.material import Service, bearing_stress
from tests.unit.mechanics.spans import DF_DIMENSION


def test_bar_limits_of_a_one_inch_bar():
    """D6 (computed): 0.70 f_pu A = 89,250 lb; rho 0.001476; least spacing 44.27 in."""
    assert bar_limit_lb(net_area_in2=0.85) == pytest.approx(89250)
    assert steel_ratio(bar_area_in2=0.85, spacing_in=48, thickness_in=12) == pytest.approx(0.001476, abs=5e-7)
    assert least_bar_spacing_in(bar_area_in2=0.85, thickness_in=12) == pytest.approx(44.27, abs=0.005)


def test_anchorage_and_jack():
    """D6 (computed): wet F_cp' 418.75 psi, A_p 137.6 in2; 10 x 14 plate 0.93 in thick; 4,500 psi on 12.8 in2."""
    wet = bearing_stress(value=DF_DIMENSION, service=Service(wet=True), length_in=10)
    assert wet.stress_psi == pytest.approx(418.75)
    assert plate_area_in2(force_lb=57600, bearing_psi=418.75) == pytest.approx(137.6, abs=0.05)
    thickness = anchor_plate_thickness_in(force_lb=57600, plate_area_in2=140, overhang_in=3.75, steel_psi=20000)
    assert thickness == pytest.approx(0.93, abs=0.005)
    assert jack_pressure_psi(force_lb=57600, ram_area_in2=12.8) == pytest.approx(4500)


def test_needed_pressure_from_moment_and_shear():
    """Plate case A (computed): M_T 746 in-lb/in gives 31.1 psi, V_T 139.2 lb/in 49.7 psi smooth and 38.7 rough."""
    given = {"moment_inlb_in": 746, "thickness_in": 12, "floor_psi": 1}
    assert needed_pressure_psi(shear_lb_in=0, surface="surfaced", **given) == pytest.approx(31.1, abs=0.05)
    assert needed_pressure_psi(shear_lb_in=139.2, surface="surfaced", **given) == pytest.approx(49.7, abs=0.05)
    assert needed_pressure_psi(shear_lb_in=139.2, surface="rough", **given) == pytest.approx(38.7, abs=0.05)
