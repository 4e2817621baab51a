"""What a pile cap carries: the largest reaction of a lane of each vehicle, and the dead load of the spans it holds up.

Over two simple spans the influence line of the pier rises from 0 at the far end of one to 1 over the cap and falls to 0
at the far end of the other; it is nowhere below 0 and falls away from the cap, so the worst train has an axle over it.
Stringers that run through over the cap take the reaction of the continuous beam where that is more. Dead load is spread
evenly over the width of the deck (model). Source: mechanics.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from inventory.mechanics.beam import (
    ContinuousBeam,
    InfluenceLine,
    continuous_dead_reactions_lb,
    live_reaction,
    vehicle_live,
)
from inventory.mechanics.beam.critical import largest
from inventory.mechanics.beam.influence import Piece
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle

from .cases import CapCase, MemberCase, SpanCase
from .dead import Dead, deck_dead_plf, stringer_dead_plf, timber_pcf, trace_layers
from .unit_lines import unit_spans

SOURCE = "reactions on a pile cap"


@dataclass(frozen=True, kw_only=True)
class Held:
    """The spans whose ends the cap carries (one or two), and the continuous unit through it: its spans and support."""

    spans: tuple[SpanCase, ...]
    unit: tuple[SpanCase, ...] = ()
    support_no: int = 0

    @property
    def beam(self) -> ContinuousBeam | None:
        return ContinuousBeam(spans_ft=tuple(span.span_ft for span in self.unit)) if self.unit else None


def held_spans(*, cap: CapCase, cases: tuple[SpanCase, ...]) -> Held:
    """The spans before and after the cap; ``OutsideValidity`` where one named is not among the spans, or none is."""
    labels = [label for label in (cap.before, cap.after) if label]
    by_label = {case.label: case for case in cases}
    for label in labels:
        if label not in by_label:
            raise OutsideValidity(
                name=f"span held by {cap.label}", value=label, valid=", ".join(by_label) or "no span", source=SOURCE
            )
    if not labels:
        raise OutsideValidity(
            name=f"spans held by {cap.label}", value="none", valid="the span before or after it", source=SOURCE
        )
    spans = tuple(by_label[label] for label in labels)
    unit = unit_spans(cases)[cases.index(spans[0])]
    if len(spans) < 2 or unit is None or spans[1] not in unit.cases[unit.span_no :]:
        return Held(spans=spans)
    return Held(spans=spans, unit=unit.cases, support_no=unit.span_no + 1)


def pier_line(*, spans_ft: tuple[float, ...]) -> InfluenceLine:
    """Reaction of the support between two simple spans, or at the end of one: triangles with 1 over the support."""
    first = spans_ft[0]
    pieces = [Piece(0.0, first, (0.0, 1.0 / first, 0.0, 0.0))]
    if len(spans_ft) > 1:
        pieces.append(Piece(first, first + spans_ft[1], (1.0, -1.0 / spans_ft[1], 0.0, 0.0)))
    return InfluenceLine(effect="reaction", pieces=tuple(pieces))


def lane_reaction_lb(*, held: Held, vehicle: Vehicle) -> float:
    """Largest reaction on the cap of one lane of a vehicle, lb: simple spans, or the continuous unit if that is more.

    Truck, or the lane load with its load for shear over the cap; HL-93 with its lane, over two spans also 90 % of two
    trucks. Exact. Sources as in ``vehicle_live``.
    """
    line = pier_line(spans_ft=tuple(span.span_ft for span in held.spans))
    live = vehicle_live(vehicle=vehicle)
    found = []
    for combination in live.combinations:
        if combination.interior_only and len(held.spans) < 2:
            continue
        (train,) = largest(lines=[line], loads=combination.trains) if combination.trains else (None,)
        value = 0.0 if train is None else train.value
        found.append(value + combination.uniform_plf * line.area() + combination.shear_point_lb)
    if held.beam is not None:
        found.append(live_reaction(beam=held.beam, live=live, support_no=held.support_no)[0].value)
    return max(found)


def superstructure_psf(case: SpanCase) -> Dead:
    """Weight of a span over the width of its deck, lb/ft2, railing and curbs of both sides spread over it (model)."""
    bare = replace(case, railing_plf=0.0)
    found = [_member_psf(bare, member) for member in case.members]
    rail = 2.0 * case.railing_plf / case.deck_width_ft
    return Dead(
        dc_plf=max((dead.dc_plf for dead in found), default=0.0) + rail,
        dw_plf=max((dead.dw_plf for dead in found), default=0.0),
    )


def _member_psf(case: SpanCase, member: MemberCase) -> Dead:
    if member.role in ("stringer", "web") and member.spacing_ft:
        width = member.spacing_ft
        if member.role == "stringer":
            dead = stringer_dead_plf(case=case, member=member, width_ft=width, trace=Trace())
        else:
            dead = _web_plf(case, member, width)
        return Dead(dc_plf=dead.dc_plf / width, dw_plf=dead.dw_plf / width)
    return deck_dead_plf(case=case, member=member, width_ft=1.0, trace=Trace())


def _web_plf(case: SpanCase, member: MemberCase, width_ft: float) -> Dead:
    flange = (member.flange_depth_in or 0.0) + (member.bottom_flange_depth_in or 0.0)
    clear = max(0.0, width_ft * 12.0 - member.width_in)
    own = member.width_in * member.depth_in / 144.0 * timber_pcf(member)
    layers = trace_layers(case=case, width_ft=width_ft, trace=Trace())
    return Dead(dc_plf=own + clear * flange / 144.0 * case.deck_unit_weight_pcf + layers.dc_plf, dw_plf=layers.dw_plf)


def cap_dead_plf(*, member: MemberCase, held: Held) -> Dead:
    """Dead load along the cap, lb/ft: half of each span held, or the continuous reaction if more, and the cap itself.

    The weight of one foot of the deck's width comes down on one foot of the cap.
    """
    weights = [superstructure_psf(span) for span in held.spans]
    own = member.width_in * member.depth_in / 144.0 * timber_pcf(member)
    parts = []
    for name in ("dc_plf", "dw_plf"):
        half = sum(getattr(dead, name) * span.span_ft / 2.0 for dead, span in zip(weights, held.spans, strict=True))
        if held.beam is not None:
            loads = tuple(getattr(superstructure_psf(span), name) for span in held.unit)
            half = max(half, continuous_dead_reactions_lb(beam=held.beam, loads_plf=loads)[held.support_no - 1])
        parts.append(half)
    return Dead(dc_plf=parts[0] + own, dw_plf=parts[1])
