"""Transverse decks on stringers rated for one wheel, per foot of deck along the bridge.

M = 0.80 (continuous over more than two spans, else 1) x P (s/4 - b_t/8) on a strip of width b; V = P (s - x - b_t/2)/s
with the tire just beyond x = min(t, s/4). Allowable stress: strips of Standard Specifications 3.25.1, dowelled panels
M_x = P (0.51 log10 s - K) and R_x = 0.034 P; wheels of H 20 and HS 20 are 12,000 lb on timber floors. Load and
resistance factors: strips of LRFD Table 4.6.2.1.3-1 with 1.20 for one lane, wheels of 16 kip and of the tandem. All
memory but the form of b_t. Span and tire are taken alike by both methods, and the factor 0.80 too (model in LRFD).
Overhangs, fastenings and the bearing of the deck on its stringers are not rated.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from inventory.mechanics.distribution import Share, tire_width_in
from inventory.mechanics.distribution.transverse import (
    Strip,
    deck_shear_station_in,
    deck_span_in,
    dowel_demand,
    dowelled_panel_moment,
    dowelled_panel_shear,
    lrfd_strip,
    standard_strip,
    wheel_moment_inlb,
    wheel_shear_lb,
)
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.tables import deck_strips as table
from inventory.mechanics.tables.unit_weights import TIMBER_PCF
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle, find_vehicle

from .cases import DeckCase, SpanCase
from .deck_strength import DeckStrength, deck_member, deck_strength
from .levels import Level, levels_of
from .limit_states import level_result
from .policy import RatingPolicy
from .results import LimitStateResult
from .sections import grave_findings, loss_flags, pieces_along

NO_AXLE_NEAR_IN = 1e6
STRENGTHS = {"ASR": ("",), "LRFR": ("strength I", "strength II")}


@dataclass(frozen=True, kw_only=True)
class _Wheel:
    """A wheel, lb, and the distance to the next axle, in."""

    load_lb: float
    gap_in: float


@dataclass(frozen=True, kw_only=True)
class _Demand:
    """Effect of a wheel on a foot of deck (lb-ft or lb): of two undivided wheels, of the part carried, and the rule."""

    station_ft: float
    lane: float
    live: float
    share: Share


def deck_results(
    *, case: SpanCase, vehicles: tuple[Vehicle, ...], policy: RatingPolicy, method: str, trace: Trace
) -> tuple[LimitStateResult, ...]:
    """Bending and shear of the transverse deck for every vehicle and level of a method; empty where there is none.

    Per foot of deck along the bridge: lb-ft and lb. Stations are feet from a stringer. Raises ``OutsideValidity``
    for spans over 82 in, wrong design values, or losses that are not on the deck.
    """
    deck = case.deck
    if deck is None or method not in STRENGTHS:
        return ()
    span = _trace_span(case, deck, trace)
    found: list[LimitStateResult] = []
    for strength in STRENGTHS[method]:
        known: dict[float, DeckStrength] = {}
        for vehicle in vehicles:
            levels = levels_of(vehicle=vehicle, case=case, policy=policy, method=method)
            levels = tuple(level for level in levels if level.strength == strength)
            if not levels:
                continue
            bending, shear, strip = _demands(deck, vehicle, span, method, trace)
            if strip not in known:
                told = Trace() if known else trace  # strips of other widths differ in nothing but a panel's voids
                known[strip] = deck_strength(
                    case=case, deck=deck, strip_in=strip, policy=policy, strength=strength, trace=told
                )
            found += _results(case, deck, vehicle, levels, known[strip], span, (bending, shear))
    return tuple(found)


def _results(case, deck, vehicle, levels: Iterable[Level], strength, span, demands) -> list[LimitStateResult]:
    bending, shear = demands
    found = []
    for state, unit, capacity, demand in (
        ("bending", "lb-ft", strength.moment_lbft, bending),
        ("shear", "lb", strength.shear_lb, shear),
    ):
        for level in levels:
            found.append(
                level_result(
                    element=deck_member(deck),
                    vehicle=vehicle,
                    state=state,
                    level=level,
                    capacity=capacity,
                    dead=_dead(case, deck, span, state),
                    lane=demand.lane,
                    live=demand.live,
                    station_ft=demand.station_ft,
                    unit=unit,
                    share=demand.share,
                )
            )
    return found


def _trace_span(case: SpanCase, deck: DeckCase, trace: Trace) -> float:
    spacing = deck.support_spacing_ft * 12.0
    span = deck_span_in(spacing_in=spacing, support_width_in=deck.support_width_in, thickness_in=deck.thickness_in)
    trace.heading("Transverse deck")
    trace.add(
        "t", deck.thickness_in, "in", f"{deck.kind.replace('_', ' ')}, {deck.width_in:g} in wide", "record", "input"
    )
    words = f"clear {spacing - deck.support_width_in:g} in + half a support, not above clear + t"
    trace.add("s", span, "in", words, "AASHTO Standard Specifications 3.25.1.2", "memory")
    dc, dw = _dead_psf(case, deck)
    trace.add("w DC", dc, "lb/ft2", "deck and other dead load", "AASHTO, timber 50 lb/ft3", "checked")
    trace.add("w DW", dw, "lb/ft2", "surfacing", "record", "input")
    words = "over more than two spans" if deck.continuous else "not shown to run over more than two spans"
    trace.add("continuity", _continuity(deck), "", f"on moments, {words}", f"{table.STANDARD}.3", "memory")
    return span


def _continuity(deck: DeckCase) -> float:
    return table.CONTINUITY if deck.continuous else 1.0


def _dead_psf(case: SpanCase, deck: DeckCase) -> tuple[float, float]:
    weight = max(TIMBER_PCF, case.deck_unit_weight_pcf, deck.material.density_pcf or 0.0)
    surfacing = sum(layer.thickness_in / 12.0 * layer.unit_weight_pcf for layer in case.surfacing)
    return deck.thickness_in / 12.0 * weight + case.other_dead_psf, surfacing


def _dead(case: SpanCase, deck: DeckCase, span_in: float, state: str) -> tuple[float, float]:
    """DC and DW effect on one foot of deck: w s2/8 (x 0.80), or w (s/2 - x)."""
    span = span_in / 12.0
    if state == "bending":
        factor = span**2 / 8.0 * _continuity(deck)
    else:
        factor = span / 2.0 - deck_shear_station_in(span_in=span_in, thickness_in=deck.thickness_in) / 12.0
    dc, dw = _dead_psf(case, deck)
    return dc * factor, dw * factor


def wheels_of(*, vehicle: Vehicle, method: str) -> tuple[_Wheel, ...]:
    """Every wheel that may govern, with the distance to the nearest axle.

    Half the heaviest axle; H 20 and HS 20 in allowable stress 12,000 lb. Where a strip is cut short by near axles a
    lighter wheel may do more, so all are given. HL-93: the axles of the truck and of the tandem (LRFD 3.6.1.3.3).
    """
    if method == "ASR" and vehicle.id in table.RELIEVED:
        return (_Wheel(load_lb=table.RELIEVED_WHEEL_LB, gap_in=NO_AXLE_NEAR_IN),)
    if vehicle.id == "HL93":
        parts = (find_vehicle("HL93-TRUCK"), find_vehicle("HL93-TANDEM"))
        return tuple(wheel for part in parts for wheel in wheels_of(vehicle=part, method=method))
    gaps = [NO_AXLE_NEAR_IN, *(least * 12.0 for least, _most in vehicle.spacings_ft), NO_AXLE_NEAR_IN]
    return tuple(
        _Wheel(load_lb=axle * 500.0, gap_in=min(gaps[index], gaps[index + 1]))
        for index, axle in enumerate(vehicle.axles_kip)
    )


def _strip(deck: DeckCase, wheel: _Wheel, method: str) -> Strip:
    sizes = {
        "kind": deck.kind,
        "interconnected": bool(deck.interconnected),
        "thickness_in": deck.thickness_in,
        "width_in": deck.width_in,
    }
    if method == "ASR":
        return standard_strip(**sizes)
    return lrfd_strip(**sizes, axle_gap_in=wheel.gap_in)


def uses_panel_formula(*, deck: DeckCase, span_in: float, method: str) -> bool:
    """Dowelled glulam panels by allowable stress, within the spans of the formula; else a strip of 15 in + 2 t."""
    least, most = table.PANEL_SPAN_IN
    return method == "ASR" and deck.kind == "glulam_panel" and bool(deck.interconnected) and least <= span_in <= most


def _demands(deck, vehicle, span, method, trace: Trace) -> tuple[_Demand, _Demand, float]:
    """The worst wheel for bending and for shear, and the strip of the worst in bending."""
    tried = [_wheel_demand(deck, vehicle, wheel, span, method) for wheel in wheels_of(vehicle=vehicle, method=method)]
    bending, shear = (max(tried, key=lambda one, at=at: one[at].live) for at in (0, 1))
    wheel, strip = bending[2], bending[3]
    trace.heading(f"Wheel on the deck: {vehicle.id}, {method}")
    how = "half of 24,000 lb, timber floor" if method == "ASR" and vehicle.id in table.RELIEVED else "half the axle"
    trace.add("P", wheel.load_lb, "lb", how, vehicle.source, vehicle.mark)
    tire = tire_width_in(wheel_lb=wheel.load_lb)
    trace.add("b_t", tire, "in", "sqrt(0.025 P)", "AASHTO Standard Specifications 3.30", "checked-2nd")
    trace.add("b", strip.width_in, "in", strip.rule, strip.source, strip.mark)
    if uses_panel_formula(deck=deck, span_in=span, method=method):
        shear_y, moment_y = dowel_demand(wheel_lb=wheel.load_lb, span_in=span)
        clause = f"{table.STANDARD}.4"
        trace.add("R_y", shear_y, "lb", "dowels of a joint together, for information", clause, "memory")
        trace.add("M_y", moment_y, "in-lb", "dowels of a joint together, for information", clause, "memory")
    return bending[0], shear[1], strip.width_in


def _wheel_demand(deck: DeckCase, vehicle: Vehicle, wheel: _Wheel, span: float, method: str):
    tire = tire_width_in(wheel_lb=wheel.load_lb)
    strip = _strip(deck, wheel, method)
    presence = table.PRESENCE_ONE_LANE if method == "LRFR" else 1.0
    at = deck_shear_station_in(span_in=span, thickness_in=deck.thickness_in)
    moment = wheel_moment_inlb(wheel_lb=wheel.load_lb, span_in=span, tire_in=tire) / 12.0
    shear = wheel_shear_lb(wheel_lb=wheel.load_lb, span_in=span, tire_in=tire, station_in=at)
    share = 12.0 / strip.width_in * presence
    words = f"12/b per foot, b = {strip.width_in:.2f} in, {strip.rule}" + (", x 1.20 one lane" if presence > 1 else "")
    bent, sheared, clause = moment * share * _continuity(deck), shear * share, strip.source
    rules = [words + (", x 0.80" if deck.continuous else ""), words]
    if uses_panel_formula(deck=deck, span_in=span, method=method):
        k = table.PANEL_K.get(vehicle.id, table.PANEL_K_OTHERS)
        bent = dowelled_panel_moment(wheel_lb=wheel.load_lb, span_in=span, k=k) * _continuity(deck)
        sheared = dowelled_panel_shear(wheel_lb=wheel.load_lb) * 12.0
        rules = [f"M_x = P (0.51 log10 s - {k:g})" + (", x 0.80" if deck.continuous else ""), "R_x = 0.034 P"]
        clause = f"{table.STANDARD}.4"
    return (
        _demand(span / 24.0, moment, bent, rules[0], clause, strip.mark),
        _demand(at / 12.0, shear, sheared, rules[1], clause, strip.mark),
        wheel,
        strip,
    )


def _demand(station_ft: float, wheel: float, live: float, rule: str, source: str, mark: str) -> _Demand:
    """``wheel`` is the effect of one undivided wheel; a lane has two, and a wheel line is half of them."""
    share = Share(wheel_lines=live / wheel, rule=rule, source=source, mark=mark)
    return _Demand(station_ft=station_ft, lane=2.0 * wheel, live=live, share=share)


def deck_notes(case: SpanCase) -> tuple[str, ...]:
    """What the rating of the deck takes for granted; the older note where no deck is to be rated."""
    deck = case.deck
    if deck is None:
        return (
            ("The deck on the stringers is not rated here; check it for wheel loads.",) if _on_stringers(case) else ()
        )
    told = [
        "The deck is rated for one wheel between two stringers, per foot along the bridge; overhangs, fastenings and "
        "its bearing on the stringers are not rated.",
        "Wheels on the deck: H20 and HS20 count 12,000 lb in allowable stress (timber floors), all others half of "
        "their heaviest axle (memory).",
    ]
    if deck.continuous is None:
        told.append("Whether the deck runs over more than two spans is not on record; it is taken as simple spans.")
    if deck.interconnected is None and deck.kind != "plank":
        told.append("Whether the panels or laminations of the deck are interconnected is not on record; taken as not.")
    if deck.kind == "glulam_panel" and deck.interconnected:
        told.append("The dowels between the panels are not rated; what they must pass is given for information.")
    wet = case.wet_service if deck.wet_service is None else deck.wet_service
    told.append(f"deck: {'wet' if wet else 'dry'} service; {deck.material.title} ({deck.material.mark}).")
    if deck.losses:
        told.append("The weakest place found on the deck counts for the whole of it (model).")
    return tuple(told)


def _on_stringers(case: SpanCase) -> bool:
    return case.system == "stringer"


def deck_flags(case: SpanCase, policy: RatingPolicy) -> tuple[str, ...]:
    """Findings on the deck that need the engineer whatever the factors."""
    if case.deck is None:
        return ()
    member = deck_member(case.deck)
    try:
        pieces = pieces_along(member=member, span_ft=case.deck_width_ft, policy=policy)
    except OutsideValidity:
        return loss_flags(member)
    return grave_findings(member=member, pieces=pieces)


def deck_refusal(*, case: SpanCase, refusal: OutsideValidity) -> str:
    """The sentence for a deck that cannot be rated while its span can."""
    return f"The deck of span {case.label} is not rated, have the engineer look at it: {refusal}"
