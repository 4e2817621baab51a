"""Bar forces and lane strips of the load and resistance factor specification (B6; D3 and D9, computed).

Source: AASHTO LRFD 9.9.5.6.3 and 4.6.2.3 (memory).
"""

from __future__ import annotations

import pytest

from inventory.mechanics.bars import bar_force_lb, initial_pressure_psi, pressure_psi
from inventory.mechanics.distribution import lane_strip_width_in


def test_bar_forces_of_a_48_in_spacing():
    """D6 and B6 (computed; LRFD 9.9.5.6.3 P_pt = 0.1 s h kip, memory): 57,600 lb at 100 psi, 23,040 at 40 psi."""
    assert bar_force_lb(pressure_psi=100, spacing_in=48, thickness_in=12) == pytest.approx(57600)
    assert bar_force_lb(pressure_psi=100, spacing_in=48, thickness_in=12) == pytest.approx(0.1 * 48 * 12 * 1000)
    assert bar_force_lb(pressure_psi=40, spacing_in=48, thickness_in=12) == pytest.approx(23040)
    assert pressure_psi(force_lb=57600, spacing_in=48, thickness_in=12) == pytest.approx(100)
    assert initial_pressure_psi(design_psi=40) == pytest.approx(100)


def test_lane_strips():
    """D9, D3 (computed; AASHTO LRFD 4.6.2.3, memory): two lanes 121.33 in, one lane 107.98 in."""
    assert lane_strip_width_in(span_ft=24, width_ft=28, lanes=2) == pytest.approx(121.33, abs=0.005)
    assert lane_strip_width_in(span_ft=24, width_ft=16, lanes=1) == pytest.approx(107.98, abs=0.005)
