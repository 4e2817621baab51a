"""A member made ready to rate: allowable stresses, sections along it, dead load, and its share of each vehicle."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from inventory.mechanics.distribution import Share
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.material import (
    Allowable,
    Service,
    Use,
    bearing_resistance,
    bearing_stress,
    bending_resistance,
    bending_stress,
    modulus,
    shear_resistance,
    shear_stress,
)
from inventory.mechanics.section import SEAT_RATIO
from inventory.mechanics.tables.design_values import DesignValue, next_lower_grade
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle

from .cases import MemberCase, SpanCase
from .dead import Dead
from .levels import Level
from .policy import RatingPolicy
from .sections import CRUSHING_LIMIT_IN, Piece, SectionOf, pieces_along


@dataclass(frozen=True, kw_only=True)
class Shares:
    """Wheel lines on the member for one vehicle: bending, shear, load over the bearing and the rest of the reaction.

    ``wood_shear`` True: the live shear is the mean of undistributed and distributed values (13.6.5);
    ``capacity_ratio`` below 1 where laminations within the strip are lost or jointed.
    """

    bending: Share
    shear: Share
    over_bearing: Share
    rest: Share
    wood_shear: bool
    capacity_ratio: float = 1.0


@dataclass(frozen=True, kw_only=True)
class Element:
    """Everything the limit states need of one member by one method; ``scale`` brings its section to the width rated.

    ``strength`` is "" for allowable stresses, else the limit state of the factored resistances; ``levels`` gives the
    levels at which a vehicle is rated with them.
    """

    label: str
    span_ft: float
    depth_in: float
    dc_plf: float
    dw_plf: float
    pieces: tuple[Piece, ...]
    scale: float
    bending: Allowable
    bending_dead: Allowable
    shear: Allowable
    modulus: Allowable
    bearing: Allowable | None
    bearing_area_in2: float
    shares: Callable[[Vehicle], Shares]
    strength: str
    levels: Callable[[Vehicle], tuple[Level, ...]]

    @property
    def dead_plf(self) -> float:
        return self.dc_plf + self.dw_plf

    @property
    def standing(self) -> Element:
        """The element that carries dead load alone."""
        return self

    def choose(self, vehicle: Vehicle) -> Element:
        """The element whose stiffness counts for this vehicle; a plain member is always itself."""
        return self

    def notes(self, vehicles: tuple[Vehicle, ...]) -> tuple[str, ...]:
        return ()

    @property
    def stiffest_in4(self) -> float:
        return max(piece.section.inertia_in4 for piece in self.pieces) * self.scale


def member_service(case: SpanCase, member: MemberCase) -> Service:
    """Conditions of service of the member; wet unless the record says otherwise."""
    wet = case.wet_service if member.wet_service is None else member.wet_service
    return Service(
        wet=wet,
        temperature_f=case.service_temperature_f,
        incised=bool(member.incised),
        maker_wet=member.maker_wet,
    )


def member_material(member: MemberCase) -> DesignValue:
    """The design value; one grade lower for bending and shear where early decay is suspected and not drilled."""
    if not any(loss.kind == "early_decay" for loss in member.losses):
        return member.material
    lower = next_lower_grade(member.material)
    if lower is None:
        raise OutsideValidity(
            name=f"early decay on {member.label}",
            value="suspected, not drilled",
            valid=f"a grade below {member.material.title} on the table; drill the member and record what is left",
            source="grade step for suspected decay",
        )
    return replace(
        member.material,
        grade=f"{member.material.grade}, taken as {lower.grade}",
        fb_psi=min(member.material.fb_psi, lower.fb_psi),
        fv_psi=min(member.material.fv_psi, lower.fv_psi),
    )


def trace_allowable(trace: Trace, allowable: Allowable, value: DesignValue) -> None:
    """Reference value, each factor, and the product, as steps."""
    name = allowable.symbol.rstrip("'").removeprefix("phi ")
    source = f"{value.source}, edition {value.edition}"
    trace.add(name, allowable.reference_psi, "psi", value.title, source, value.mark)
    for factor in allowable.factors:
        trace.add(factor.symbol, factor.value, "", factor.formula, factor.source, factor.mark)
    formula = " x ".join([name, *(factor.symbol for factor in allowable.factors)])
    clause, mark = "NDS Tables 4.3.1 and 5.3.1", "checked-2nd"
    if allowable.symbol.startswith("phi"):
        clause, mark = "AASHTO LRFD 8.4.4.1, 8.6 to 8.8", "memory"
    trace.add(allowable.symbol, allowable.stress_psi, "psi", formula, clause, mark)


def make_element(
    *,
    case: SpanCase,
    member: MemberCase,
    policy: RatingPolicy,
    trace: Trace,
    dead: Dead,
    sharing: str,
    scale: float,
    shares: Callable[[Vehicle], Shares],
    strength: str = "",
    levels: Callable[[Vehicle], tuple[Level, ...]],
    section_of: SectionOf | None = None,
) -> Element:
    """Stresses and sections of a member by one method, recorded; ``OutsideValidity`` where a rule ends."""
    service, value = member_service(case, member), member_material(member)
    unbraced = 0.0 if member.braced else (member.unbraced_ft if member.unbraced_ft is not None else case.span_ft)
    use = Use(
        width_in=member.width_in,
        depth_in=member.depth_in,
        span_ft=case.span_ft,
        sharing=sharing,
        unbraced_ft=unbraced,
    )
    pieces = pieces_along(member=member, span_ft=case.span_ft, policy=policy, section_of=section_of)
    if strength:
        bending = bending_resistance(value=value, service=service, use=use, strength=strength)
        shear = shear_resistance(value=value, service=service, strength=strength)
    else:
        bending = bending_stress(value=value, service=service, use=use)
        shear = shear_stress(value=value, service=service)
    bearing, area = _bearing(case, member, value, service, pieces, scale, strength)
    stiffness = modulus(value=value, service=service)
    trace.heading(
        f"Factored resistances, {strength}: {member.label}" if strength else f"Allowable stresses: {member.label}"
    )
    for allowable in (bending, shear, bearing, stiffness):
        if allowable is not None:
            trace_allowable(trace, allowable, value)
    trace_pieces(trace, f"Sections: {member.label}", pieces, scale)
    if area:
        seat, mark = ("a seat of half the diameter", "model") if member.shape == "round" else ("net width", "computed")
        trace.add("A bearing", area, "in2", f"{seat} x bearing length", "statics", mark)
    return Element(
        label=member.label,
        span_ft=case.span_ft,
        depth_in=member.depth_in,
        dc_plf=dead.dc_plf,
        dw_plf=dead.dw_plf,
        pieces=pieces,
        scale=scale,
        bending=bending,
        bending_dead=bending_stress(value=value, service=service, use=use, duration="permanent"),
        shear=shear,
        modulus=stiffness,
        bearing=bearing,
        bearing_area_in2=area,
        shares=shares,
        strength=strength,
        levels=levels,
    )


def _bearing(case, member, value, service, pieces, scale, strength) -> tuple[Allowable | None, float]:
    """Allowable stress and area over the bearing; wet where it is crushed.

    A round member bears on a flat of ``SEAT_RATIO`` of its diameter (model), or on what voids leave if that is less.
    """
    if member.bearing_length_in is None:
        return None, 0.0
    crushed = any(loss.kind == "crushing" and loss.depth_in > CRUSHING_LIMIT_IN for loss in member.losses)
    service = replace(service, wet=service.wet or crushed)
    ends = [piece for piece in pieces if piece.from_ft <= 0.0 or piece.to_ft >= case.span_ft]
    width = min(piece.section.least_width_in for piece in ends)
    if member.shape == "round":
        width = min(width, SEAT_RATIO * member.depth_in)
    length = member.bearing_length_in
    if strength:
        allowable = bearing_resistance(value=value, service=service, length_in=length, strength=strength)
    else:
        allowable = bearing_stress(value=value, service=service, length_in=length)
    return allowable, width * scale * member.bearing_length_in


def trace_pieces(trace: Trace, heading: str, pieces: tuple[Piece, ...], scale: float) -> None:
    """Record I, S, I b/Q and any shear reduction of every stretch of a member."""
    trace.heading(heading)
    for piece in pieces:
        where = f"{piece.from_ft:g} to {piece.to_ft:g} ft"
        words = "net of loss" if piece.lost else "sound"
        section = piece.section
        for symbol, number, unit, formula in (
            ("I", section.inertia_in4, "in4", "about the net centroid"),
            ("S", section.modulus_in3, "in3", "I over the farther face"),
            ("I b/Q", section.shear_in2, "in2", "least over the depth"),
        ):
            trace.add(f"{symbol}, {where}", number * scale, unit, f"{words}, {formula}", "mechanics", "computed")
        if piece.shear_ratio < 1:
            words = "sound shell too thin near a support" if piece.shear_ratio == 0 else "split near a support"
            trace.add(f"shear ratio, {where}", piece.shear_ratio, "", words, "owner policy", "model")
