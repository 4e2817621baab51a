"""Factors of the National Design Specification against printed values (A6).

Source: NDS 3.10.4 (checked-2nd); the stability factor by hand from NDS 3.3.3.
"""

from __future__ import annotations

import pytest

from inventory.mechanics.material import (
    Service,
    Use,
    beam_stability_factor,
    bearing_area_factor,
    bending_stress,
    volume_factor,
)
from tests.unit.mechanics.spans import DF_GLULAM


@pytest.mark.parametrize(
    ("length", "factor"), [(0.5, 1.75), (1.0, 1.38), (1.5, 1.25), (2.0, 1.19), (3.0, 1.13), (4.0, 1.10)]
)
def test_bearing_area_factor(length, factor):
    """A6: NDS 3.10.4 (checked-2nd), printed to two places; 1 in an end bearing."""
    assert bearing_area_factor(length_in=length, end_distance_in=3).value == pytest.approx(factor, abs=0.0065)
    assert bearing_area_factor(length_in=length, end_distance_in=1).value == 1.0


def test_volume_and_stability_factors_of_a_glulam_girder():
    """D2 (computed): C_V 0.7963 for 8-3/4 x 36, 40 ft; l_u 10 ft: C_L 0.9794 with E_y,min' 708,050 psi."""
    volume = volume_factor(span_ft=40, depth_in=36, width_in=8.75, exponent=10)
    assert volume.value == pytest.approx(0.7963, abs=0.00005)
    stability = beam_stability_factor(fb_star_psi=2208, e_min_psi=708050, width_in=8.75, depth_in=36, unbraced_ft=10)
    assert stability.value == pytest.approx(0.9794, abs=0.00005)
    use = Use(width_in=8.75, depth_in=36, span_ft=40)
    assert bending_stress(value=DF_GLULAM, service=Service(wet=True), use=use).stress_psi == pytest.approx(
        1758.2, abs=0.05
    )
