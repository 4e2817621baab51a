"""A structure is as strong as its weakest span."""

from __future__ import annotations

from inventory.mechanics.tables import table_versions
from inventory.mechanics.vehicle import Vehicle

from .cap_rating import rate_cap
from .cases import CapCase, SpanCase
from .governing import hs_value
from .policy import RatingPolicy
from .posting import posting_suggestion
from .results import CAUTIONS, KERNEL_VERSION, NotRated, SpanRating, StructureRating, VehicleRating
from .span import DEFAULT_POLICY, DEFAULT_VEHICLES, rate_span
from .unit_lines import unit_spans


def rate_structure(
    cases: tuple[SpanCase, ...],
    vehicles: tuple[str | Vehicle, ...] = DEFAULT_VEHICLES,
    policy: RatingPolicy = DEFAULT_POLICY,
    caps: tuple[CapCase, ...] = (),
) -> StructureRating | NotRated:
    """The least rating over spans and caps; ``NotRated`` if any span cannot be rated (flags and closing are kept).

    A cap that cannot be rated is flagged and leaves the structure rated by its spans. Rated caps stand after the
    spans in ``spans``, under their own labels.
    """
    if not cases:
        return NotRated(label="structure", reasons=("No span is on record for the structure.",))
    units = unit_spans(cases)
    spans = tuple(rate_span(case, vehicles, policy, unit) for case, unit in zip(cases, units, strict=True))
    return combined_rating(
        spans=spans, caps=tuple(rate_cap(cap, cases, vehicles, policy) for cap in caps), policy=policy
    )


def combined_rating(
    *, spans: tuple[SpanRating | NotRated, ...], caps: tuple[SpanRating | NotRated, ...], policy: RatingPolicy
) -> StructureRating | NotRated:
    """The structure's rating from those of its spans and caps, vehicle by vehicle the least."""
    flags = tuple(f"Span {span.label}: {flag}" for span in spans for flag in span.flags) + _cap_flags(caps)
    unrated = [span for span in spans if isinstance(span, NotRated)]
    if unrated:
        return NotRated(
            label="structure",
            reasons=tuple(f"Span {span.label}: {reason}" for span in unrated for reason in span.reasons),
            flags=flags,
            close_recommended=any(_closes(span) for span in spans),
        )
    named = [(f"Span {span.label}", span) for span in spans]
    named += [(cap.label, cap) for cap in caps if isinstance(cap, SpanRating)]
    spans = tuple(rating for _name, rating in named)
    governing = tuple(_least(ratings) for ratings in zip(*(span.governing for span in spans), strict=True))
    load_factor = tuple(
        min(ratings, key=lambda rating: rating.rating_factor)
        for ratings in zip(*(span.load_factor for span in spans), strict=True)
    )
    close = tuple(
        f"{name}: {sentence}"
        for name, span in named
        if span.posting.action == "close"
        for sentence in span.posting.sentences
    )
    return StructureRating(
        spans=spans,
        governing=governing,
        worst=min(governing, key=lambda rating: rating.posting_factor),
        hs_inventory=hs_value(governing, "inventory_factor"),
        hs_operating=hs_value(governing, "operating_factor"),
        posting=posting_suggestion(governing=governing, policy=policy, close_reasons=close),
        notes=tuple(f"{name}: {note}" for name, span in named for note in span.notes),
        flags=flags,
        cautions=CAUTIONS,
        kernel_version=KERNEL_VERSION,
        table_versions=table_versions(),
        load_factor=load_factor,
    )


def _cap_flags(caps: tuple[SpanRating | NotRated, ...]) -> tuple[str, ...]:
    """What was found on the caps, and which of them could not be rated and why."""
    told = [f"{cap.label}: {flag}" for cap in caps for flag in cap.flags]
    for cap in caps:
        if isinstance(cap, NotRated):
            told += [f"{cap.label} is not rated, have the engineer look at it: {reason}" for reason in cap.reasons]
    return tuple(told)


def _closes(span: SpanRating | NotRated) -> bool:
    if isinstance(span, NotRated):
        return span.close_recommended
    return span.posting.action == "close"


def _least(ratings: tuple[VehicleRating, ...]) -> VehicleRating:
    """One vehicle over the spans: each number its own least, place and member those of the least posting factor."""
    worst = min(ratings, key=lambda rating: rating.posting_factor)
    plain = {name: getattr(worst, name) for name in VehicleRating.__dataclass_fields__}
    for name in ("inventory_factor", "operating_factor", "inventory_tons", "operating_tons"):
        plain[name] = min(getattr(rating, name) for rating in ratings)
    return VehicleRating(**plain)
