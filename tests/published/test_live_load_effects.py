"""Moments and shears of the design vehicles against printed tables. Per lane, no dynamic allowance."""

from __future__ import annotations

import pytest

from inventory.mechanics.beam import absolute_moment, shear_at
from inventory.mechanics.rating import Vehicle, find_vehicle

# "Bridge and Highway Structure Rehabilitation and Repair", Table 6.7 (checked), H20 and HS20 lane load.
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
# Same book, table on page 167, total less lane part (checked), HS20 truck end shear.
HS20_END_SHEAR = [(70, 62.4), (75, 63.04), (80, 63.6), (85, 64.09), (90, 64.53), (95, 64.92), (100, 65.28)]
# Same book, Table 6.7 (checked), H20 truck moment. Rows under 26.5 ft leave out the single axle and are not used.
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
# AASHTO Standard Specifications, appendix A (memory): bigger of truck and lane.
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


def test_one_axle_alone_governs_h_trucks_below_26_5_ft():
    """Law: 8/32 kip at 14 ft give 40 (L/2 - 1.4)^2/L, one 32 kip axle gives 8 L; equal at L = 26.5 ft (arithmetic)."""
    truck = without_lane("H20")
    below, above = 26.0, 27.0
    assert absolute_moment(vehicle=truck, span_ft=below).value == pytest.approx(8000 * below)
    pair = 40000 * (above / 2 - 1.4) ** 2 / above
    assert absolute_moment(vehicle=truck, span_ft=above).value == pytest.approx(pair)
    assert pair > 8000 * above


def test_axle_weights_add_up_to_the_published_gross():
    """Source: AASHTO Standard Specifications 3.7 and Manual for Bridge Evaluation D6A (memory); gross in tons."""
    gross = {
        "H15": 15, "H20": 20, "HS15": 27, "HS20": 36, "ALT-MIL": 24, "TYPE3": 25, "TYPE3S2": 36, "TYPE3-3": 40,
        "SU4": 27, "SU5": 31, "SU6": 34.75, "SU7": 38.75, "NRL": 40, "EV2": 28.75, "EV3": 43,
    }  # fmt: skip
    assert {key: find_vehicle(key).gross_tons for key in gross} == gross


def test_emergency_vehicle_axles_are_the_statutory_ones():
    """Source: FAST Act section 1410 (checked-2nd): 24 kip steer, 33.5 kip single drive, 62 kip tandem, 86 kip gross."""
    assert find_vehicle("EV2").axles_kip == (24, 33.5)
    steer, *tandem = find_vehicle("EV3").axles_kip
    assert (steer, sum(tandem), find_vehicle("EV3").gross_kip) == (24, 62, 86)
