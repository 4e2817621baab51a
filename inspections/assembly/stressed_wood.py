"""Numbers of a stressing plan that come from the span's own record, each with where it comes from.

Bar from nut to nut with the jack on it: deck and 24 in [model]; E_T and G as parts of E_L [model, owner policy]; the
edge under plates by the kernel's own check of anchorages (EM 7700-8 chapter 9 [memory]).
"""

from dataclasses import dataclass
from datetime import date

from inspections.queries.ratings import current_rating
from inspections.rules.pressed import needs_of
from inventory.mechanics.bars.jacking.terms import Squeezed
from inventory.mechanics.bars.pressure import FLOOR_PSI
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.material import Service, bearing_stress, modulus
from inventory.mechanics.rating import MemberCase, SpanCase
from inventory.mechanics.rating.anchored import anchorage_checks
from inventory.mechanics.rating.elements import member_service
from inventory.models import BarPolicy, StressingSystem

from .snapshot import assemble_snapshot

JACK_END_IN = 24.0
"""Plates, bulkheads, chair and the jack's pulling nut beyond the deck [model]: measure it, elongations hang on it."""
FULL_BEARING_IN = 6.0


@dataclass(frozen=True, kw_only=True)
class OnRecord:
    """A number and where it comes from; None with the reason where it is not on record."""

    value: float | None
    source: str


def wood_numbers(*, system: StressingSystem, policy: BarPolicy, as_of: date, row_length_ft: float) -> dict:
    """Name to `OnRecord` for every value of the plan (`rules.stressing.asked.VALUES`)."""
    structure = system.span.structure
    snapshot = assemble_snapshot(structure=structure, as_of=as_of)
    case = next((case for case in snapshot.cases if case.label == str(system.span.index)), None)
    found = _sizes(system, row_length_ft) | _policy_numbers(policy) | _edge(case)
    found |= _stiffness(case, policy, snapshot.missing)
    found["needed_psi"] = _need(system)
    return found


def _sizes(system: StressingSystem, row_length_ft: float) -> dict:
    width_ft = system.span.structure.deck_width_ft
    width = OnRecord(
        value=None if width_ft is None else 12.0 * width_ft,
        source="deck width, out to out, on record" if width_ft else "deck width is not on record; measure it",
    )
    bearing, words = system.channel_length_in, "length of channel that serves one bar"
    if not bearing:
        bearing, words = system.plate_width_in, "width of the plate along the edge"
    return {
        "deck_length_in": OnRecord(value=12.0 * row_length_ft, source="span, or as far as the bars reach, on record"),
        "deck_width_in": width,
        "thickness_in": OnRecord(value=system.stressed_depth_in, source="stressed depth, on record"),
        "bearing_length_in": OnRecord(
            value=bearing or None, source=words if bearing else "no plate or channel on record; measure it"
        ),
        "bar_length_in": OnRecord(
            value=None if width.value is None else width.value + JACK_END_IN,
            source=f"deck width and {JACK_END_IN:g} in for plates, chair and jack (model): measure it",
        ),
        "bar_modulus_psi": OnRecord(
            value=Squeezed.__dataclass_fields__["bar_modulus_psi"].default, source="ASTM A722 bar (memory)"
        ),
    }


def _policy_numbers(policy: BarPolicy) -> dict:
    words = "the county's bar policy (model)"
    return {name: OnRecord(value=getattr(policy, name), source=words)
            for name in ("seating_in", "lift_off_ratio", "reach_ratio")}  # fmt: skip


def _wood(case: SpanCase) -> tuple[MemberCase, bool]:
    """The member whose wood the bars squeeze, and whether it is its flange: the softest along the grain counts."""
    member = min(case.members, key=lambda each: (each.flange_material or each.material).e_psi)
    return member, member.flange_material is not None


def _service(case: SpanCase, member: MemberCase, is_flange: bool) -> Service:
    """The flange stands as wet as the span; laminations as their own record says."""
    if not is_flange:
        return member_service(case, member)
    return Service(wet=case.wet_service, temperature_f=case.service_temperature_f, maker_wet=member.maker_wet)


def _stiffness(case: SpanCase | None, policy: BarPolicy, missing) -> dict:
    names = {"e_transverse_psi": policy.e_transverse_ratio, "shear_modulus_psi": policy.shear_ratio}
    if case is None:
        why = f"the span cannot be read: {missing[0]}" if missing else "the span's members are not on record"
        return {name: OnRecord(value=None, source=why) for name in names}
    member, is_flange = _wood(case)
    value = member.flange_material if is_flange else member.material
    try:
        along = modulus(value=value, service=_service(case, member, is_flange))
    except OutsideValidity as refusal:
        return {name: OnRecord(value=None, source=str(refusal)) for name in names}
    factors = " x ".join(f"{factor.value:g}" for factor in along.factors)
    words = f"E of {'the flange, ' if is_flange else ''}{value.species} {value.grade}: {along.reference_psi:,.0f} psi"
    words += f" x {factors}" if factors else ""
    return {
        name: OnRecord(
            value=along.stress_psi * ratio, source=f"{ratio:g} x {words} (ratio: the county's bar policy, model)"
        )
        for name, ratio in names.items()
    }


def _edge(case: SpanCase | None) -> dict:
    """Force at which the edge crushes or the plate bends, by the checks of a rating; F_cp' of the pressed wood."""
    hardware = case.bars.hardware if case is not None and case.bars is not None else None
    plate = OnRecord(value=None, source="plate, edge or members not on record: not checked")
    flange = OnRecord(value=None, source="members not on record: not checked")
    if case is None or hardware is None:
        return {"plate_limit_lb": plate, "flange_limit_psi": flange}
    try:
        plate = _plate_limit(case, hardware) or plate
        member, is_flange = _wood(case)
        value = member.flange_material if is_flange else member.material
        allowed = bearing_stress(value=value, service=_service(case, member, is_flange), length_in=FULL_BEARING_IN)
        flange = OnRecord(
            value=allowed.stress_psi,
            source=f"F_cp' of {value.species}, {allowed.reference_psi:g} psi with its factors, as a rating takes it",
        )
    except OutsideValidity as refusal:
        flange = OnRecord(value=None, source=str(refusal))
    return {"plate_limit_lb": plate, "flange_limit_psi": flange}


def _plate_limit(case: SpanCase, hardware) -> OnRecord | None:
    """The checks under 1,000 lb tell the limits: bearing grows with the force, plate thickness with its root."""
    unit_lb, limits = 1000.0, []
    for check in anchorage_checks(case, hardware, unit_lb):
        if check.demand is None or check.limit is None or check.demand <= 0:
            continue
        if check.name == "Anchorage bearing on the edge":
            limits.append((unit_lb * check.limit / check.demand, "the edge crushes", check.formula.split("; ")[-1]))
        elif check.name == "Plate thickness":
            limits.append((unit_lb * (check.limit / check.demand) ** 2, "the plate bends", "t_p on record"))
    if not limits:
        return None
    force, what, words = min(limits)
    return OnRecord(value=force, source=f"above it {what} (anchorage check of the rating; {words})")


def _need(system: StressingSystem) -> OnRecord:
    rating = current_rating(system.span.structure)
    needs = {} if rating is None else needs_of(rating.results)
    label = str(system.span.index)
    if label in needs:
        return OnRecord(value=needs[label], source=f"the rating as of {rating.as_of:%-d %b %Y}")
    if system.needed_pressure_psi is not None:
        return OnRecord(value=system.needed_pressure_psi, source="the engineer's value, on record")
    return OnRecord(value=FLOOR_PSI, source="not rated yet: the floor of a stressed deck stands for the need (memory)")
