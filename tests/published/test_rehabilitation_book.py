"""Lane load of HS20, truck of H20, end shear of HS20 against a printed book (A1, A2, A3). Per lane, no impact.

Source: "Bridge and Highway Structure Rehabilitation and Repair", Table 6.7 and the table on page 167 (checked).
"""

from __future__ import annotations

import pytest

from inventory.mechanics.beam import absolute_moment, shear_at
from inventory.mechanics.rating import Vehicle, find_vehicle

# Table 6.7, lane load: span ft, moment kip-ft, shear kip.
LANE_20 = [
    (20, 122, 32.4),
    (30, 207, 35.6),
    (40, 308, 38.8),
    (50, 425, 42.0),
    (60, 558, 45.2),
    (70, 707, 48.4),
    (80, 872, 51.6),
    (90, 1053, 54.8),
    (100, 1250, 58.0),
]
# Page 167, total less lane part.
HS20_END_SHEAR = [(70, 62.4), (75, 63.04), (80, 63.6), (85, 64.09), (90, 64.53), (95, 64.92), (100, 65.28)]
# Table 6.7, H20. Rows under 26.5 ft leave out the single axle and are not used.
H20_TRUCK = [
    (28, 226.8),
    (30, 246.61),
    (32, 266.45),
    (34, 286.31),
    (36, 306.18),
    (38, 326.06),
    (40, 345.96),
    (42, 365.87),
    (45, 395.74),
    (50, 445.57),
    (55, 495.43),
]


def without_lane(key: str) -> Vehicle:
    full = find_vehicle(key)
    return Vehicle(id=key + " truck", name=key, axles_kip=full.axles_kip, spacings_ft=full.spacings_ft)


@pytest.mark.parametrize(("span", "moment", "shear"), LANE_20)
def test_lane_load_of_hs20_against_table_6_7(span, moment, shear):
    """Source: Table 6.7 of the book named above (checked). The lane is set against a truck too light to govern."""
    lane = find_vehicle("HS20").lane
    feather = Vehicle(id="lane", name="lane only", axles_kip=(0.001,), spacings_ft=(), lane=lane)
    assert absolute_moment(vehicle=feather, span_ft=span).value / 1000 == pytest.approx(moment, abs=0.5)
    assert shear_at(vehicle=feather, span_ft=span, station_ft=0).value / 1000 == pytest.approx(shear, abs=0.05)


@pytest.mark.parametrize(("span", "shear"), HS20_END_SHEAR)
def test_truck_end_shear_of_hs20_against_page_167(span, shear):
    """Source: page 167 of the same book (checked); 95 ft is printed 64.92 where 64.926 rounds to 64.93."""
    found = shear_at(vehicle=without_lane("HS20"), span_ft=span, station_ft=0).value / 1000
    assert found == pytest.approx(shear, abs=0.011)


@pytest.mark.parametrize(("span", "moment"), H20_TRUCK)
def test_truck_moment_of_h20_against_table_6_7(span, moment):
    """Source: Table 6.7 of the same book (checked)."""
    assert absolute_moment(vehicle=without_lane("H20"), span_ft=span).value / 1000 == pytest.approx(moment, abs=0.011)


def test_one_axle_alone_governs_h_trucks_below_26_5_ft():
    """Law: 8/32 kip at 14 ft give 40 (L/2 - 1.4)^2/L, one 32 kip axle gives 8 L; equal at L = 26.5 ft (arithmetic)."""
    truck = without_lane("H20")
    below, above = 26.0, 27.0
    assert absolute_moment(vehicle=truck, span_ft=below).value == pytest.approx(8000 * below)
    pair = 40000 * (above / 2 - 1.4) ** 2 / above
    assert absolute_moment(vehicle=truck, span_ft=above).value == pytest.approx(pair)
    assert pair > 8000 * above
