"""Allowable stress rating of one simply supported timber span, and of a structure as the least of its spans."""

from __future__ import annotations

from inventory.mechanics.vehicle import Vehicle

from .cases import SpanCase
from .policy import RatingPolicy
from .results import NotRated, SpanRating, StructureRating

DEFAULT_VEHICLES = (
    "H15",
    "HS20",
    "TYPE3",
    "TYPE3S2",
    "TYPE3-3",
    "SU4",
    "SU5",
    "SU6",
    "SU7",
    "EV2",
    "EV3",
)

DEFAULT_POLICY = RatingPolicy()


def rate_span(
    case: SpanCase,
    vehicles: tuple[str | Vehicle, ...] = DEFAULT_VEHICLES,
    policy: RatingPolicy = DEFAULT_POLICY,
) -> SpanRating | NotRated:
    """Rate a span for each vehicle at inventory and operating level; ``NotRated`` names what is missing."""
    return NotRated(label=case.label, reasons=("The rating of spans is not in this version yet.",))


def rate_structure(
    cases: tuple[SpanCase, ...],
    vehicles: tuple[str | Vehicle, ...] = DEFAULT_VEHICLES,
    policy: RatingPolicy = DEFAULT_POLICY,
) -> StructureRating | NotRated:
    """The least rating over the spans; ``NotRated`` if any span cannot be rated (its flags are kept)."""
    return NotRated(label="structure", reasons=("The rating of spans is not in this version yet.",))
