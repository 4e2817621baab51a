"""Pile caps: bending and shear between the piles, bearing on them, by both methods.

RF = (ratio C - dc DC - dw DW)/(live R G): R the largest reaction of a lane of the vehicle on the cap, G what one lane
(or two) of 1 lb each does at the section, moved freely across the roadway. Shear is taken at the depth of the cap from
the face of a pile, not beyond a quarter of the bay (LRFD 8.7 and common practice, memory), against the least section of
the bay. Bearing: F_cp' on the area of a round pile as wide as the length that bears, no wider than the cap (model).
Allowable stress takes one lane and two alike; LRFR 1.20 and 1.00 (LRFD 3.6.1.1.2, memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from math import pi

from inventory.mechanics.distribution import Share
from inventory.mechanics.material import (
    Allowable,
    Use,
    bearing_resistance,
    bearing_stress,
    bending_resistance,
    bending_stress,
    shear_resistance,
    shear_stress,
)
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle

from .cap_lines import CapFrame, Spot, cap_frame, cap_spots
from .cap_loads import Held, cap_dead_plf, held_spans, lane_reaction_lb
from .cases import CapCase, MemberCase, SpanCase
from .dead import Dead
from .elements import member_material, member_service, trace_allowable
from .levels import Level, levels_of
from .limit_states import level_result
from .policy import RatingPolicy
from .results import LimitStateResult
from .sections import CRUSHING_LIMIT_IN, Piece, grave_findings, pieces_along, split_depth_in, thin_shell

STRENGTHS = {"ASR": ("",), "LRFR": ("strength I", "strength II")}
PRESENCE = {"ASR": {1: 1.0, 2: 1.0}, "LRFR": {1: 1.20, 2: 1.00}}
ROUND_PILE = pi / 4.0
LABEL = "pile cap"
EDGE_FT = 1e-6


@dataclass(frozen=True, kw_only=True)
class _Cap:
    """A cap made ready to rate: its layout, sections along it, dead load, and stresses by one method."""

    member: MemberCase
    frame: CapFrame
    pieces: tuple[Piece, ...]
    dead: Dead
    stresses: dict[str, Allowable]
    policy: RatingPolicy
    seat_in: float
    known: dict[tuple, tuple[float, float]] = field(default_factory=dict)

    def capacity(self, spot: Spot) -> tuple[float, float]:
        """Strength at the weakest of the places that work alike, lb-ft or lb, and that place, ft from the left end."""
        key = (spot.state, spot.stations_ft)
        if key not in self.known:
            self.known[key] = min((self._strength(spot.state, station), station) for station in spot.stations_ft)
        return self.known[key]

    def _strength(self, state: str, station: float) -> float:
        stress = self.stresses[state].stress_psi
        if state == "bending":
            return stress * min(p.section.modulus_in3 for p in self._beside(station, EDGE_FT)) / 12.0
        if state == "shear":
            bay = self._beside(station, self.frame.spacing_ft)
            return stress * min(piece.section.shear_in2 for piece in bay) * self._shear_ratio(station)
        half = self.seat_in / 24.0
        width = min(piece.section.least_width_in for piece in self._beside(station, half))
        return stress * ROUND_PILE * self.seat_in * min(width, self.seat_in)

    def _beside(self, station: float, reach: float) -> list[Piece]:
        return [p for p in self.pieces if p.from_ft <= station + reach and p.to_ft >= station - reach]

    def _shear_ratio(self, station: float) -> float:
        """Every place on a cap is near a pile: 0 beside too thin a shell, a half beside deep splits (owner policy)."""
        reach = self.frame.spacing_ft
        near = tuple(
            loss for loss in self.member.losses if loss.from_ft <= station + reach and loss.to_ft >= station - reach
        )
        if thin_shell(member=self.member, losses=near, policy=self.policy):
            return 0.0
        return 0.5 if split_depth_in(near) > self.member.width_in / 2.0 else 1.0


def cap_results(
    *,
    cap: CapCase,
    cases: tuple[SpanCase, ...],
    vehicles: tuple[Vehicle, ...],
    policy: RatingPolicy,
    method: str,
    trace: Trace,
) -> tuple[LimitStateResult, ...]:
    """Bending, shear and bearing of a cap for every vehicle and level of a method.

    ``cases`` are all spans of the structure in order; stations are feet from the left end of the cap. Raises
    ``OutsideValidity`` for spans that are not there, fewer than two piles, sizes of nothing, losses off the cap.
    """
    held = held_spans(cap=cap, cases=cases)
    frame = cap_frame(cap=cap, spans=held.spans)
    found: list[LimitStateResult] = []
    for strength in STRENGTHS.get(method, ()):
        ready = None
        for vehicle in vehicles:
            levels = levels_of(vehicle=vehicle, case=_case(cap, held), policy=policy, method=method)
            levels = tuple(level for level in levels if level.strength == strength)
            if not levels:
                continue
            ready = ready or _ready(cap, held, frame, policy, strength, trace)
            found += _results(ready, vehicle, lane_reaction_lb(held=held, vehicle=vehicle), levels, method)
    return tuple(found)


def cap_member(cap: CapCase) -> MemberCase:
    """The cap as a member, so that the rules of losses and design values hold for it."""
    return MemberCase(
        label=LABEL,
        role="stringer",
        material=cap.material,
        width_in=cap.width_in,
        depth_in=cap.depth_in,
        incised=cap.incised,
        wet_service=cap.wet_service,
        maker_wet=cap.maker_wet,
        losses=cap.losses,
    )


def _case(cap: CapCase, held: Held) -> SpanCase:
    """A span with the cap's own condition, and the surfacing of both spans, for the factors of LRFR."""
    return replace(
        held.spans[0],
        members=(cap_member(cap),),
        condition_rating=cap.condition_rating,
        surfacing=tuple(layer for span in held.spans for layer in span.surfacing),
        wet_service=any(span.wet_service for span in held.spans),
    )


def _ready(cap: CapCase, held: Held, frame: CapFrame, policy, strength: str, trace: Trace) -> _Cap:
    member = cap_member(cap)
    pieces = pieces_along(member=member, span_ft=frame.length_ft, policy=policy)
    ready = _Cap(
        member=member,
        frame=frame,
        pieces=pieces,
        dead=cap_dead_plf(member=member, held=held),
        stresses=_stresses(cap, member, held, strength),
        policy=policy,
        seat_in=cap.pile_bearing_in,
    )
    _trace_cap(ready, strength, trace)
    return ready


def _stresses(cap: CapCase, member: MemberCase, held: Held, strength: str) -> dict[str, Allowable]:
    case = _case(cap, held)
    value, service = member_material(member), member_service(case, member)
    use = Use(width_in=member.width_in, depth_in=member.depth_in, span_ft=cap.pile_spacing_ft)
    crushed = any(loss.kind == "crushing" and loss.depth_in > CRUSHING_LIMIT_IN for loss in member.losses)
    seat = {"value": value, "service": replace(service, wet=service.wet or crushed), "length_in": cap.pile_bearing_in}
    if strength:
        return {
            "bending": bending_resistance(value=value, service=service, use=use, strength=strength),
            "shear": shear_resistance(value=value, service=service, strength=strength),
            "bearing": bearing_resistance(**seat, strength=strength),
        }
    return {
        "bending": bending_stress(value=value, service=service, use=use),
        "shear": shear_stress(value=value, service=service),
        "bearing": bearing_stress(**seat),
    }


def _trace_cap(ready: _Cap, strength: str, trace: Trace) -> None:
    label, frame = ready.member.label, ready.frame
    trace.heading(f"Layout: {label}")
    words = f"{len(frame.piles_ft)} piles centred on the deck"
    trace.add("s", frame.spacing_ft, "ft", words, "record", "model")
    low, high = frame.zone_ft
    trace.add(
        "wheels", f"{low:.2f} to {high:.2f}", "ft", "from the left end, 2 ft inside the curbs", "layout", "memory"
    )
    trace.add("lanes", float(frame.lanes), "", "one and, where loaded, two side by side", "record", "input")
    trace.add("x shear", frame.shear_ft, "ft", "half the bearing + d, not beyond s/4", "LRFD 8.7, practice", "memory")
    trace.add(
        "w DC", ready.dead.dc_plf, "lb/ft", "half of each span over the deck width, and the cap", "model", "model"
    )
    trace.add("w DW", ready.dead.dw_plf, "lb/ft", "surfacing, the same way", "model", "model")
    trace.heading(f"Factored resistances, {strength}: {label}" if strength else f"Allowable stresses: {label}")
    for allowable in ready.stresses.values():
        trace_allowable(trace, allowable, ready.member.material)


def _results(ready: _Cap, vehicle: Vehicle, reaction_lb: float, levels: Iterable[Level], method: str):
    found = []
    edges = tuple(sorted({edge for piece in ready.pieces for edge in (piece.from_ft, piece.to_ft)}))
    spots = [(spot, *_live(spot, method)) for spot in cap_spots(frame=ready.frame, edges_ft=edges)]
    for state in ("bending", "shear", "bearing"):
        mine = [one for one in spots if one[0].state == state and one[2] > 0.0]
        for level in levels:
            tried = [(_factor(ready, one, reaction_lb, level), one) for one in mine]
            if tried:
                worst = min(tried, key=lambda pair: pair[0])[1]
                found.append(_result(ready, vehicle, reaction_lb, level, worst))
    return found


def _live(spot: Spot, method: str) -> tuple[int, float]:
    """Lanes that do most at the spot, and their effect per lb of lane reaction with the presence factor."""
    presence = PRESENCE[method]
    return max(((lanes, effect * presence[lanes]) for lanes, effect in spot.live.items()), key=lambda pair: pair[1])


def _factor(ready: _Cap, one: tuple[Spot, int, float], reaction_lb: float, level: Level) -> float:
    spot, _lanes, live = one
    return level.factor(
        capacity=ready.capacity(spot)[0],
        dc_effect=ready.dead.dc_plf * spot.dead_per_plf,
        dw_effect=ready.dead.dw_plf * spot.dead_per_plf,
        live_effect=reaction_lb * live,
    )


def _result(ready: _Cap, vehicle: Vehicle, reaction_lb: float, level: Level, worst) -> LimitStateResult:
    """``lane_effect`` is the lane's reaction, for bending times s/4 (the reaction at the middle of a bay)."""
    spot, lanes, live = worst
    capacity, station = ready.capacity(spot)
    lane = reaction_lb * (ready.frame.spacing_ft / 4.0 if spot.state == "bending" else 1.0)
    counted = "one lane" if lanes == 1 else "two lanes"
    rule = f"{counted}, worst place across the roadway, {spot.model}"
    if level.method == "LRFR":
        rule += f", presence {PRESENCE['LRFR'][lanes]:g}"
    share = Share(wheel_lines=2.0 * reaction_lb * live / lane, rule=rule, source="pile cap, statics", mark="model")
    return level_result(
        element=ready.member,
        vehicle=vehicle,
        state=spot.state,
        level=level,
        capacity=capacity,
        dead=(ready.dead.dc_plf * spot.dead_per_plf, ready.dead.dw_plf * spot.dead_per_plf),
        lane=lane,
        live=reaction_lb * live,
        station_ft=station,
        unit="lb-ft" if spot.state == "bending" else "lb",
        share=share,
    )


def cap_notes(*, cap: CapCase, cases: tuple[SpanCase, ...]) -> tuple[str, ...]:
    """What the rating of a cap takes for granted."""
    held = held_spans(cap=cap, cases=cases)
    told = [
        "Rated as simple beams between its piles and as continuous over them, the worse counts; piles "
        "and roadway centred on the deck, dead load spread evenly over it (model).",
        "The piles themselves, bracing and the ground are not rated.",
        f"It rests on a pile over a circle of {cap.pile_bearing_in:g} in, no wider than the cap (model).",
    ]
    if max(span.lanes_loaded for span in held.spans) > 2:
        told.append("No more than two lanes stand side by side on it here.")
    if any(span.skew_deg for span in held.spans):
        told.append("The skew is not counted; pile spacing is taken as measured along the cap.")
    service = _case(cap, held)
    wet = service.wet_service if cap.wet_service is None else cap.wet_service
    told.append(f"{'Wet' if wet else 'Dry'} service; {cap.material.title} ({cap.material.mark}).")
    if cap.incised is None and cap.material.kind in ("dimension", "timber"):
        told.append("No incising on record; taken as not incised.")
    return tuple(told)


def cap_flags(*, cap: CapCase, cases: tuple[SpanCase, ...], policy: RatingPolicy) -> tuple[str, ...]:
    """Findings on the cap that need the engineer whatever the factors."""
    member = cap_member(cap)
    frame = cap_frame(cap=cap, spans=held_spans(cap=cap, cases=cases).spans)
    return grave_findings(member=member, pieces=pieces_along(member=member, span_ft=frame.length_ft, policy=policy))
