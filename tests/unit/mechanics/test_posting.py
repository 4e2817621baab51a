"""Posting values: boundaries by arithmetic, rounding by policy."""

from __future__ import annotations

import pytest

from inventory.mechanics.rating import RatingPolicy, VehicleRating, find_vehicle
from inventory.mechanics.rating.posting import posting_suggestion, rounded_tons


def rated(key: str, inventory: float, operating: float, level: float = 1.0) -> VehicleRating:
    vehicle = find_vehicle(key)
    factor = inventory + level * (operating - inventory)
    return VehicleRating(
        vehicle=key,
        name=vehicle.name,
        vehicle_class=vehicle.vehicle_class,
        gross_tons=vehicle.gross_tons,
        inventory_factor=inventory,
        operating_factor=operating,
        inventory_tons=inventory * vehicle.gross_tons,
        operating_tons=operating * vehicle.gross_tons,
        posting_factor=factor,
        posting_tons=factor * vehicle.gross_tons,
        span="1",
        member="stringer",
        limit_state="bending",
        station_ft=9.0,
        sign_class=vehicle.sign_class,
    )


def suggest(*ratings, **policy):
    return posting_suggestion(governing=ratings, policy=RatingPolicy(**policy))


def test_tons_are_the_factor_times_the_weight_rounded_down():
    """ASR posting = RF x W (MBE 6B.7, memory): 25 x 0.85 = 21.25, 36 x 0.85 = 30.6, 40 x 0.62 = 24.8."""
    found = suggest(rated("TYPE3", 0.6, 0.85), rated("TYPE3S2", 0.6, 0.85), rated("TYPE3-3", 0.5, 0.62))
    assert found.action == "post"
    assert found.vehicle_tons == {"TYPE3": 21, "TYPE3S2": 30, "TYPE3-3": 24}
    assert (found.single_unit_tons, found.combination_tons, found.two_trailer_tons) == (21, 30, 24)
    assert found.single_tons == 21


def test_single_units_share_one_class_value():
    """R12-5 holds one value per class: the least of Type 3 and SU4 (27 x 0.5 = 13.5)."""
    found = suggest(rated("TYPE3", 0.6, 0.85), rated("SU4", 0.4, 0.5))
    assert found.single_unit_tons == 13


@pytest.mark.parametrize(("factor", "action", "tons"), [(1.0, "open", None), (0.999, "post", 24), (0.12, "post", 3)])
def test_boundaries(factor, action, tons):
    """RF 1 needs no limit; 25 x 0.999 = 24.98 -> 24; 25 x 0.12 = 3.0, the smallest posting (23 CFR 650.313, memory)."""
    found = suggest(rated("TYPE3", factor, factor), rated("TYPE3S2", 1.2, 1.5))
    assert (found.action, found.single_tons) == (action, tons)


def test_below_three_tons_is_closed():
    """25 x 0.119 = 2.98 tons."""
    found = suggest(rated("TYPE3", 0.119, 0.119), rated("TYPE3S2", 1.2, 1.5))
    assert found.action == "close"
    assert "3 tons" in found.sentences[0]


def test_all_factors_below_0_3_are_closed_even_above_three_tons():
    """Manual for Bridge Evaluation 6A.8.3 (memory): 36 x 0.29 = 10.4 tons, and still closing is to be considered."""
    keys = ("TYPE3", "TYPE3S2", "TYPE3-3")
    found = suggest(*(rated(key, 0.29, 0.29) for key in keys))
    assert found.action == "close"
    assert suggest(*(rated(key, 0.30, 0.30) for key in keys)).action == "post"


def test_level_lies_between_inventory_and_operating():
    """25 x (0.6 + 0.5 x 0.2) = 17.5."""
    assert suggest(rated("TYPE3", 0.6, 0.8, level=0.5)).single_tons == 17
    assert suggest(rated("TYPE3", 0.6, 0.8, level=0.0)).single_tons == 15
    assert suggest(rated("TYPE3", 0.6, 0.8, level=1.0)).single_tons == 20


@pytest.mark.parametrize(
    ("tons", "ceiling", "rounding", "expected"),
    [
        (17.9, 20.0, "down", 17),
        (17.9, 20.0, "nearest", 18),
        (17.9, 17.95, "nearest", 17),
        (33.9, 40.0, "down_by_5_above_30", 30),
        (36.0, 40.0, "down_by_5_above_30", 35),
        (29.9, 40.0, "down_by_5_above_30", 29),
        (18.0, 20.0, "down", 18),
        (22.0, 20.4, "down", 20),
        (-1.0, 20.0, "down", 0),
    ],
)
def test_rounding_is_never_above_operating(tons, ceiling, rounding, expected):
    assert rounded_tons(tons=tons, ceiling_tons=ceiling, rounding=rounding) == expected


def test_emergency_vehicles_have_their_own_values():
    """RF x axle: EV2 0.8 x 16.75 = 13.4, EV3 0.6 x 31 = 18.6; gross the lesser of 0.8 x 28.75 = 23 and 25.8."""
    found = suggest(rated("TYPE3", 1.1, 1.4), rated("EV2", 0.6, 0.8), rated("EV3", 0.4, 0.6))
    assert found.action == "post"
    assert found.single_tons is None
    limits = found.emergency
    assert (limits.single_axle_tons, limits.tandem_tons, limits.gross_tons) == (13, 18, 23)


def test_without_a_legal_vehicle_nothing_is_suggested():
    found = suggest(rated("HS20", 0.5, 0.7))
    assert found.action == "undetermined"
    assert found.single_tons is None
