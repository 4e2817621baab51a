"""The kernel's door: load rating of timber spans by allowable stress.

Build a ``SpanCase`` (with its ``MemberCase`` and, for stressed spans, ``BarState``), call
``rate_span(case, vehicles=..., policy=RatingPolicy(...))`` and get a ``SpanRating``, or a ``NotRated`` whose reasons
say in sentences what is missing. ``rate_structure`` takes the least over spans. Both sides have ``as_dict()`` and
``from_dict()`` for snapshots. Nothing here is an order: the posting is a suggestion to a licensed engineer.
"""

from inventory.mechanics.material import MakerWetFactors
from inventory.mechanics.tables.design_values import DESIGN_VALUES, DesignValue, find_design_value
from inventory.mechanics.vehicle import STANDARD_VEHICLES, LaneLoad, Vehicle, find_vehicle

from .cases import BarState, CapCase, DeadLayer, DeckCase, MemberCase, SectionLoss, SpanCase
from .policy import RatingPolicy
from .results import (
    KERNEL_VERSION,
    EmergencyLimits,
    LimitStateResult,
    NotRated,
    PostingSuggestion,
    SpanRating,
    StructureRating,
    VehicleRating,
)
from .span import DEFAULT_VEHICLES, rate_span
from .structure import rate_structure

__all__ = [
    "DEFAULT_VEHICLES",
    "DESIGN_VALUES",
    "KERNEL_VERSION",
    "STANDARD_VEHICLES",
    "BarState",
    "CapCase",
    "DeadLayer",
    "DeckCase",
    "DesignValue",
    "EmergencyLimits",
    "LaneLoad",
    "LimitStateResult",
    "MakerWetFactors",
    "MemberCase",
    "NotRated",
    "PostingSuggestion",
    "RatingPolicy",
    "SectionLoss",
    "SpanCase",
    "SpanRating",
    "StructureRating",
    "Vehicle",
    "VehicleRating",
    "find_design_value",
    "find_vehicle",
    "rate_span",
    "rate_structure",
]
