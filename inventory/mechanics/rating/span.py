"""Rating of one simply supported timber span by allowable stress and by load and resistance factors."""

from __future__ import annotations

from dataclasses import replace

from inventory.mechanics.beam import truck_deflection_in
from inventory.mechanics.errors import OutsideValidity, require_range
from inventory.mechanics.tables import load_factors as table
from inventory.mechanics.tables import table_versions
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle, find_vehicle

from .beams import StressedBeam, build_beam
from .build import (
    Build,
    assumption_notes,
    build_lamination,
    build_panel,
    build_stringer,
    load_factor_notes,
    span_pressure_worth,
)
from .cases import SpanCase
from .continuous import UnitElement, build_unit_stringer
from .decks import deck_flags, deck_notes, deck_refusal, deck_results
from .elements import Element
from .governing import governing_ratings, hs_value, load_factor_ratings, policy_notes, screen_notes, trace_results
from .limit_states import dead_load_alone, limit_state_results
from .limits import MOST_SPAN_FT, limit_sentences
from .needs import STRESSED, missing_sentences
from .policy import LOAD_FACTOR_TABLES, METHODS, ROUNDINGS, RatingPolicy
from .posting import posting_suggestion
from .refined import trace_refined
from .results import CAUTIONS, KERNEL_VERSION, METHOD, NotRated, SpanRating
from .sections import grave_findings, loss_flags
from .unit_lines import UnitSpan

DEFAULT_VEHICLES = ("H15", "HS20", "TYPE3", "TYPE3S2", "TYPE3-3", "SU4", "SU5", "SU6", "SU7", "EV2", "EV3")
DEFAULT_POLICY = RatingPolicy()


def rate_span(
    case: SpanCase,
    vehicles: tuple[str | Vehicle, ...] = DEFAULT_VEHICLES,
    policy: RatingPolicy = DEFAULT_POLICY,
    unit: UnitSpan | None = None,
) -> SpanRating | NotRated:
    """Rate a span for each vehicle by both methods; ``NotRated`` names what is missing.

    ``unit`` the spans its stringers run through with (``unit_spans``), where they do.

    ``vehicles`` are ids of standard vehicles or vehicles of the county's own. Raises nothing for bad input: a value
    outside the range of a rule comes back as a reason. ``KeyError`` for an unknown vehicle id.
    """
    train = tuple(find_vehicle(v) if isinstance(v, str) else v for v in vehicles)
    trace = Trace()
    reasons = list(missing_sentences(case, unit)) + (_policy_reasons(policy) or list(limit_sentences(policy, train)))
    if not train:
        reasons.append("No vehicle was named to rate for.")
    elif all(vehicle.id == "HL93" for vehicle in train):
        reasons.append("HL-93 has no allowable stress rating; name another vehicle beside it.")
    worth = None
    flags = list(case.critical_findings)
    try:
        worth = span_pressure_worth(case, policy, trace, () if reasons else train)
        if worth is not None and (worth.retension_due or worth.close_recommended):
            flags += worth.sentences
        if not reasons:
            require_range(name="span", value=case.span_ft, above=0, most=MOST_SPAN_FT, unit="ft", source="this kernel")
            return _rated(Build(case=case, policy=policy, worth=worth, unit=unit), train, trace, flags)
    except OutsideValidity as refusal:
        reasons.append(str(refusal))
    for member in case.members:
        flags += loss_flags(member)
    flags = list(dict.fromkeys(flags))
    close = worth is not None and worth.close_recommended
    return NotRated(label=case.label, reasons=tuple(reasons), flags=tuple(flags), close_recommended=close)


def _policy_reasons(policy: RatingPolicy) -> list[str]:
    told = []
    if not 0.0 <= policy.posting_level <= 1.0:
        told.append("The posting level must lie between 0 (inventory) and 1 (operating).")
    if not table.PERMIT_LEAST <= policy.permit_live_factor <= 2.0:
        told.append(f"The live-load factor of permit vehicles must lie between {table.PERMIT_LEAST:g} and 2.0.")
    for name, value, known in (
        ("Rounding", policy.rounding, ROUNDINGS),
        ("Posting method", policy.posting_method, METHODS),
        ("Table of load factors", policy.load_factor_table, LOAD_FACTOR_TABLES),
    ):
        if value not in known:
            told.append(f"{name} '{value}' is not one of {', '.join(known)}.")
    return told


def _elements(build: Build, trace: Trace) -> tuple[Element | StressedBeam | UnitElement, ...]:
    system, members = build.case.system, build.case.members
    if build.unit is not None:
        return tuple(build_unit_stringer(build, member, trace) for member in members)
    if system == "stringer":
        return tuple(build_stringer(build, member, trace) for member in members)
    if system == "glulam_panel_deck":
        return tuple(build_panel(build, member, trace) for member in members)
    if system in ("stress_laminated_t", "stress_laminated_box"):
        return tuple(build_beam(build, member, trace) for member in members)
    return tuple(build_lamination(build, member, trace, system in STRESSED) for member in members)


def _results_of(elements: tuple[Element | StressedBeam | UnitElement, ...], vehicles: tuple[Vehicle, ...]) -> tuple:
    found = []
    for element in elements:
        for vehicle in vehicles:
            if isinstance(element, StressedBeam | UnitElement):
                found += element.results(vehicle)
            else:
                found += limit_state_results(element=element, vehicle=vehicle)
    return tuple(found)


def load_factor_vehicles(vehicles: tuple[Vehicle, ...]) -> tuple[Vehicle, ...]:
    """What LRFR rates: HL-93 always, and every vehicle that is not a design truck of the older method."""
    return (find_vehicle("HL93"), *(v for v in vehicles if v.vehicle_class != "design"))


def _load_factor_results(build: Build, vehicles: tuple[Vehicle, ...], trace: Trace) -> tuple:
    """LRFR results of strength I, and of strength II where a permit vehicle is among them."""
    found = []
    for strength in ("strength I", "strength II"):
        mine = tuple(v for v in vehicles if (v.vehicle_class == "permit") == (strength == "strength II"))
        if not mine:
            continue
        factored, own = replace(build, strength=strength), Trace()
        found += _results_of(_elements(factored, own), mine)
        trace.add_new(own.headings())
    return tuple(found)


def _rated(build: Build, train: tuple[Vehicle, ...], trace: Trace, flags: list[str]) -> SpanRating:
    case, policy, worth = build.case, build.policy, build.worth
    elements = _elements(build, trace)
    lrfr = load_factor_vehicles(train)
    results = _results_of(elements, train) + _load_factor_results(build, lrfr, trace)
    results += _deck_results(build, {"ASR": train, "LRFR": lrfr}, trace, flags)
    trace_refined(trace, case, worth, {"ASR": train, "LRFR": lrfr})
    trace_results(trace, results, continuous=build.unit is not None)
    notes = [*assumption_notes(case, worth), *deck_notes(case)]
    notes += load_factor_notes(case, policy) + policy_notes(policy)
    close = list(worth.sentences) if worth is not None and worth.close_recommended else []
    for member, element in zip(case.members, elements, strict=True):
        flags += grave_findings(member=member, pieces=element.pieces)
        overloaded = _dead_alone(element.standing, trace)
        flags += overloaded
        close += overloaded
        notes += [*element.notes(train), *_deflection_note(element, policy, trace)]
    load_factor = load_factor_ratings(results=results, vehicles=lrfr, span=case.label)
    notes += screen_notes(load_factor)
    governing = governing_ratings(
        results=results, vehicles=train, policy=policy, span=case.label, load_factor=load_factor
    )
    return SpanRating(
        label=case.label,
        method=METHOD,
        results=results,
        governing=governing,
        worst=min(governing, key=lambda rating: rating.posting_factor),
        hs_inventory=hs_value(governing, "inventory_factor"),
        hs_operating=hs_value(governing, "operating_factor"),
        posting=posting_suggestion(governing=governing, policy=policy, close_reasons=tuple(close)),
        notes=tuple(dict.fromkeys(notes)),
        flags=tuple(dict.fromkeys(flags)),
        cautions=CAUTIONS,
        trace=trace.headings(),
        kernel_version=KERNEL_VERSION,
        table_versions=table_versions(),
        load_factor=load_factor,
    )


def _deck_results(build: Build, vehicles: dict[str, tuple[Vehicle, ...]], trace: Trace, flags: list[str]) -> tuple:
    """The transverse deck by both methods; one that cannot be rated is flagged and leaves the span rated."""
    flags += deck_flags(build.case, build.policy)
    found = []
    try:
        for method, train in vehicles.items():
            own = Trace()
            found += deck_results(case=build.case, vehicles=train, policy=build.policy, method=method, trace=own)
            trace.add_new(own.headings())
    except OutsideValidity as refusal:
        flags.append(deck_refusal(case=build.case, refusal=refusal))
        return ()
    return tuple(found)


def _dead_alone(element: Element | UnitElement, trace: Trace) -> list[str]:
    continuous = isinstance(element, UnitElement)
    found = element.dead_alone() if continuous else dead_load_alone(element)
    if found is None:
        return []
    allowed, dead, station = found
    trace.heading(f"Dead load alone: {element.label}")
    source = "AASHTO Standard Specifications Table 13.5.5A"
    words = "either way on the continuous line" if continuous else "w x (L - x)/2"
    trace.add("M dead", dead, "lb-ft", f"{words} at {station:g} ft", "statics", "computed")
    trace.add("M allowed", allowed, "lb-ft", "F_b' S/12 with C_D = 0.90", source, "memory")
    if dead <= allowed:
        return []
    return [f"{element.label}: dead load alone exceeds the allowable bending stress at {station:g} ft."]


def _deflection_note(part: Element | StressedBeam, policy: RatingPolicy, trace: Trace) -> list[str]:
    """HS20 truck deflection against L over the policy's ratio: a flag for service, not a rating limit."""
    truck = find_vehicle("HS20")
    element = part.choose(truck)
    share = element.shares(truck).bending.wheel_lines / 2.0
    if element.stiffest_in4 <= 0:
        return []
    bend = truck_deflection_in(
        vehicle=truck,
        span_ft=element.span_ft,
        e_psi=element.modulus.stress_psi,
        inertia_in4=element.stiffest_in4,
        share=share,
    )
    trace.heading(f"Deflection: {element.label}")
    trace.add("delta HS20", bend, "in", "sum P a (3 L2 - 4 a2)/(48 E' I), sound section", "mechanics", "computed")
    ratio = element.span_ft * 12.0 / bend
    trace.add("L/delta", ratio, "", f"flag below {policy.deflection_ratio:g}", "AASHTO LRFD 2.5.2.6.2", "memory")
    if ratio >= policy.deflection_ratio:
        return []
    limit = f"L/{policy.deflection_ratio:g}"
    return [f"{element.label}: an HS20 truck bends it by {bend:.2f} in = L/{ratio:.0f}, more than {limit} (service)."]
