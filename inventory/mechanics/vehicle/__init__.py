"""Axle trains as data: the rating vehicles, and the county's own."""

from .legal_weight import WeightExcess, formula_b_lb, weight_excesses
from .trains import STANDARD_VEHICLES, LaneLoad, Vehicle, find_vehicle

__all__ = [
    "STANDARD_VEHICLES",
    "LaneLoad",
    "Vehicle",
    "WeightExcess",
    "find_vehicle",
    "formula_b_lb",
    "weight_excesses",
]
