"""Moments and shears of HS20 and H15 against the Standard Specifications (B1, B2). Per lane, no impact.

Source: AASHTO Standard Specifications, appendix A (memory): the bigger of truck and lane, kip-ft and kip.
"""

from __future__ import annotations

import pytest

from inventory.mechanics.beam import absolute_moment, shear_at
from inventory.mechanics.rating import find_vehicle

HS20_TABLE = [
    (10, 80.0, 32.0),
    (20, 160.0, 41.6),
    (24, 192.7, 45.3),
    (28, 252.0, 48.0),
    (30, 282.1, 49.6),
    (40, 449.8, 55.2),
    (60, 806.5, 60.8),
    (70, 985.6, 62.4),
    (80, 1164.9, 63.6),
    (90, 1344.4, 64.5),
    (100, 1524.0, 65.3),
]
H15_TABLE = [
    (10, 60.0, 24.0),
    (15, 90.0, 24.4),
    (20, 120.0, 25.8),
    (25, 150.0, 26.6),
    (30, 185.0, 27.2),
    (35, 222.2, 27.9),
    (40, 259.5, 29.1),
    (50, 334.2, 31.5),
    (60, 418.5, 33.9),
    (80, 654.0, 38.7),
    (100, 937.5, 43.5),
]


@pytest.mark.parametrize(("span", "moment", "shear"), HS20_TABLE)
def test_hs20_against_appendix_a(span, moment, shear):
    """Source: AASHTO Standard Specifications, appendix A (memory). Printed rounding is uneven by 0.1."""
    vehicle = find_vehicle("HS20")
    assert absolute_moment(vehicle=vehicle, span_ft=span).value / 1000 == pytest.approx(moment, abs=0.11)
    assert shear_at(vehicle=vehicle, span_ft=span, station_ft=0).value / 1000 == pytest.approx(shear, abs=0.06)


@pytest.mark.parametrize(("span", "moment", "shear"), H15_TABLE)
def test_h15_against_appendix_a(span, moment, shear):
    """Source: AASHTO Standard Specifications, appendix A (memory)."""
    vehicle = find_vehicle("H15")
    assert absolute_moment(vehicle=vehicle, span_ft=span).value / 1000 == pytest.approx(moment, abs=0.06)
    assert shear_at(vehicle=vehicle, span_ft=span, station_ft=0).value / 1000 == pytest.approx(shear, abs=0.06)
