"""Axles and gross weights of the rating vehicles against those who published them."""

from __future__ import annotations

from inventory.mechanics.rating import find_vehicle


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
