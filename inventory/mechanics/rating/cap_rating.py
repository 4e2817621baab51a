"""A pile cap rated for every vehicle by both methods, in the same shape as a span."""

from __future__ import annotations

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.tables import table_versions
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle, find_vehicle

from .cap_loads import held_spans, lane_reaction_lb
from .caps import cap_flags, cap_member, cap_notes, cap_results
from .cases import CapCase, SpanCase
from .governing import governing_ratings, hs_value, load_factor_ratings
from .limits import limit_sentences
from .policy import RatingPolicy
from .posting import posting_suggestion
from .results import CAUTIONS, KERNEL_VERSION, METHOD, LimitStateResult, NotRated, SpanRating
from .sections import loss_flags
from .span import load_factor_vehicles


def rate_cap(
    cap: CapCase, cases: tuple[SpanCase, ...], vehicles: tuple[str | Vehicle, ...], policy: RatingPolicy
) -> SpanRating | NotRated:
    """Rate a cap; ``NotRated`` with the reasons where it cannot be. ``cases`` are all spans in order.

    The label of the rating is that of the cap. Raises nothing for bad input; ``KeyError`` for an unknown vehicle id.
    """
    train = tuple(find_vehicle(v) if isinstance(v, str) else v for v in vehicles)
    reasons = limit_sentences(cap, cases)  # a span that cannot be, loads no cap either
    trace = Trace()
    try:
        if not reasons:
            return _rated(cap, cases, train, policy, trace)
    except OutsideValidity as refusal:
        reasons = (str(refusal),)
    return NotRated(label=cap.label, reasons=reasons, flags=loss_flags(cap_member(cap)))


def _rated(cap: CapCase, cases, train: tuple[Vehicle, ...], policy: RatingPolicy, trace: Trace) -> SpanRating:
    lrfr = load_factor_vehicles(train)
    results: tuple[LimitStateResult, ...] = ()
    for method, vehicles in (("ASR", train), ("LRFR", lrfr)):
        results += cap_results(cap=cap, cases=cases, vehicles=vehicles, policy=policy, method=method, trace=trace)
    held = held_spans(cap=cap, cases=cases)
    reactions = {vehicle.id: lane_reaction_lb(held=held, vehicle=vehicle) for vehicle in {*train, *lrfr}}
    trace_cap_results(trace, results, reactions)
    load_factor = load_factor_ratings(results=results, vehicles=lrfr, span=cap.label)
    governing = governing_ratings(
        results=results, vehicles=train, policy=policy, span=cap.label, load_factor=load_factor
    )
    return SpanRating(
        label=cap.label,
        method=METHOD,
        results=results,
        governing=governing,
        worst=min(governing, key=lambda rating: rating.posting_factor),
        hs_inventory=hs_value(governing, "inventory_factor"),
        hs_operating=hs_value(governing, "operating_factor"),
        posting=posting_suggestion(governing=governing, policy=policy, close_reasons=()),
        notes=cap_notes(cap=cap, cases=cases),
        flags=cap_flags(cap=cap, cases=cases, policy=policy),
        cautions=CAUTIONS,
        trace=trace.headings(),
        kernel_version=KERNEL_VERSION,
        table_versions=table_versions(),
        load_factor=load_factor,
    )


_WORDS = {
    "bending": ("lane reaction x s/4", "w x area of the influence line", "S/12"),
    "shear": ("lane reaction", "w x area of the influence line", "I b/Q"),
    "bearing": ("lane reaction", "w x area of the influence line", "pi/4 x bearing x width"),
}
_STRESS = {
    "ASR": {"bending": "F_b'", "shear": "F_v'", "bearing": "F_cp'"},
    "LRFR": {"bending": "phi F_b", "shear": "phi F_v", "bearing": "phi F_cp"},
}


def trace_cap_results(trace: Trace, results: tuple[LimitStateResult, ...], reactions_lb: dict[str, float]) -> None:
    """Record every result: reaction of a lane, what it does at the place, dead effect, strength and factor."""
    begun = set()
    for result in results:
        lane, dead, strength = _WORDS[result.limit_state]
        trace.heading(f"{result.limit_state.capitalize()}, {result.method}: {result.member}, {result.vehicle}")
        where, unit = f"at {result.station_ft:.2f} ft from the left end", result.unit
        key = (result.limit_state, result.vehicle, result.method, result.station_ft, result.live_effect)
        if key not in begun:
            begun.add(key)
            reaction = reactions_lb[result.vehicle]
            trace.add("R lane", reaction, "lb", "influence line of the pier, worst place", "statics", "computed")
            trace.add("lane effect", result.lane_effect, unit, lane, "statics", "computed")
            rule = result.distribution_rule
            trace.add("g", result.distribution_factor, "wheel lines", rule, "pile cap, statics", "model")
            trace.add("L", result.live_effect, unit, f"lane effect x g/2 {where}", "statics", "computed")
            trace.add("D", result.dead_effect, unit, dead, "statics", "computed")
            if result.method == "LRFR":
                words = "surfacing's part of D; DC = D - DW"
                trace.add("DW", result.wearing_effect, unit, words, "statics", "computed")
        _trace_level(trace, result, f"{_STRESS[result.method][result.limit_state]} {strength} {where}")


def _trace_level(trace: Trace, result: LimitStateResult, words: str) -> None:
    formula, clause, source = "(C - D)/L, not below 0", "MBE 6B.4.1", "MBE 6B.5.2.7"
    if result.method == "LRFR":
        clause, source = "MBE 6A.4.2.1", "MBE 6A.4.2.1: phi_c phi_s, not below 0.85"
        words = f"{result.resistance_factor:.3f} x {words}"
        formula = f"(C - {result.dc_factor:g} DC - {result.dw_factor:g} DW)/({result.live_factor:.3g} L), not below 0"
    elif result.level == "operating":
        words = f"1.33 x {words}"
    trace.add(f"C {result.level}", result.capacity, result.unit, words, source, "memory")
    trace.add(f"RF {result.level}", result.rating_factor, "", formula, clause, "memory")
