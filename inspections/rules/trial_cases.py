"""Changes to try applied to the cases of a rating; the cases themselves are never touched.

Milling takes the topmost layers first. A member made sound again loses its damage and, where it stood beside a missing
neighbour, takes its own share again. Bars lost hold nothing, and the least local pressure is found anew (`pressure`).
"""

from collections.abc import Mapping
from dataclasses import replace

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import DeadLayer, MemberCase, SpanCase, find_design_value

from .pressure import SpanBars
from .trials import Changes, TrialRefused


def changed_case(case: SpanCase, changes: Changes, bars: SpanBars | None) -> tuple[SpanCase, list[str]]:
    """The case with what is changed in it, and a sentence for each; ``TrialRefused`` names the field to blame."""
    told: list[str] = []
    where = f"Span {case.label}"
    case = _surfacing(case, changes, told, where)
    if changes.lanes_loaded is not None:
        told.append(f"{where}: {changes.lanes_loaded} lanes loaded instead of {case.lanes_loaded}.")
        case = replace(case, lanes_loaded=changes.lanes_loaded)
    if changes.distribution:
        told.append(f"{where}: distribution {changes.distribution} instead of {case.distribution}.")
        case = replace(case, distribution=changes.distribution)
    if changes.touches_member:
        case = _members(case, changes, told, where)
    if changes.touches_bars and case.bars is not None:
        case = _bars(case, changes, bars, told, where)
    return case, told


def _surfacing(case: SpanCase, changes: Changes, told: list[str], where: str) -> SpanCase:
    layers = list(case.surfacing)
    before = sum(layer.thickness_in for layer in layers)
    if changes.mill_in > before + 1e-9:
        raise TrialRefused(
            ("mill_in", f"{where}: {changes.mill_in:g} in cannot be milled off {before:g} in on record.")
        )
    left = changes.mill_in
    while left > 1e-9:
        top = layers.pop()
        off = min(left, top.thickness_in)
        left -= off
        if top.thickness_in - off > 1e-9:
            layers.append(replace(top, thickness_in=top.thickness_in - off))
    if changes.mill_in:
        told.append(f"{where}: {changes.mill_in:g} in milled off {before:g} in of surfacing.")
    if changes.overlay_in:
        layers.append(
            DeadLayer(
                name="overlay tried",
                thickness_in=changes.overlay_in,
                unit_weight_pcf=changes.overlay_pcf,
                measured=False,
            )
        )
        weight = changes.overlay_in / 12.0 * changes.overlay_pcf
        told.append(f"{where}: {changes.overlay_in:g} in at {changes.overlay_pcf:g} lb/ft3 laid, {weight:.0f} lb/ft2.")
    return replace(case, surfacing=tuple(layers))


def _members(case: SpanCase, changes: Changes, told: list[str], where: str) -> SpanCase:
    members = []
    for member in case.members:
        is_meant = changes.member == member.label or (changes.member == "*" and bool(member.losses))
        members.append(_member(case, member, changes, told, where) if is_meant else member)
    return replace(case, members=tuple(members))


def _member(case: SpanCase, member: MemberCase, changes: Changes, told: list[str], where: str) -> MemberCase:
    name = f"{where}, {member.label}"
    if changes.sound_again:
        member = replace(member, losses=(), spacing_ft=_own_spacing_ft(case, member))
        told.append(f"{name}: sound again.")
    if changes.member_width_in or changes.member_depth_in:
        width = changes.member_width_in or member.width_in
        depth = changes.member_depth_in or member.depth_in
        told.append(f"{name}: {width:g} x {depth:g} in instead of {member.width_in:g} x {member.depth_in:g} in.")
        member = replace(member, width_in=width, depth_in=depth)
    if changes.species:
        member = replace(member, material=_wood(changes), maker_wet=None)
        told.append(f"{name}: {member.material.title}.")
    if changes.damage is not None:
        loss = changes.damage
        told.append(f"{name}: {loss.kind.replace('_', ' ')} from {loss.from_ft:g} to {loss.to_ft:g} ft added.")
        member = replace(member, losses=(*member.losses, loss))
    return member


def _own_spacing_ft(case: SpanCase, member: MemberCase) -> float | None:
    """Its share without a missing neighbour: the least spacing of the members like it."""
    like = [m.spacing_ft for m in case.members if m.role == member.role and m.exterior == member.exterior]
    known = [spacing for spacing in like if spacing is not None]
    return min(known, default=None)


def _wood(changes: Changes):
    try:
        return find_design_value(species=changes.species, grade=changes.grade, size_class=changes.size_class)
    except KeyError as unknown:
        raise TrialRefused(("species", str(unknown.args[0]))) from unknown


def _bars(case: SpanCase, changes: Changes, bars: SpanBars | None, told: list[str], where: str) -> SpanCase:
    least, hardware = case.bars.least_local_pressure_psi, case.bars.hardware
    known = {place.number for place in bars.places} if bars else set()
    unknown = [number for number in changes.bars_lost if number not in known]
    if unknown:
        numbers = ", ".join(str(number) for number in unknown)
        raise TrialRefused(("bars_lost", f"{where}: there is no bar {numbers} on record."))
    force = changes.bar_force_lb
    if changes.pressure_psi is not None and changes.bars_lost:
        if hardware is None:
            raise TrialRefused(("bars_lost", f"{where}: spacing of the bars is not on record."))
        force = changes.pressure_psi * hardware.spacing_in * hardware.thickness_in
    after = changes.pressure_psi
    if force is not None or changes.bars_lost:
        after = _least_psi(bars, force, changes, where)
    before = "not known" if least is None else f"{least:.1f} psi"
    told.append(f"{where}: least local bar pressure {after:.1f} psi, before {before}.{_bar_words(changes)}")
    return replace(case, bars=replace(case.bars, least_local_pressure_psi=after))


def _least_psi(bars: SpanBars | None, force_lb: float | None, changes: Changes, where: str) -> float:
    field = "bars_lost" if force_lb is None else "bar_force_lb"
    if bars is None or not bars.places:
        raise TrialRefused((field, f"{where}: no bar is on record; give a pressure instead."))
    tried = bars.with_forces(force_lb, changes.bars_lost)
    try:
        return tried.least_psi()
    except OutsideValidity as refusal:
        raise TrialRefused((field, f"{where}: {refusal}")) from refusal


def _bar_words(changes: Changes) -> str:
    told = ""
    if changes.bar_force_lb is not None:
        told += f" Every bar at {changes.bar_force_lb:,.0f} lb."
    if changes.bars_lost:
        told += f" Lost: bar {', '.join(str(number) for number in changes.bars_lost)}."
    return told


def changed_cases(
    cases: tuple[SpanCase, ...], changes: Changes, bars_by_span: Mapping[str, SpanBars]
) -> tuple[tuple[SpanCase, ...], list[str]]:
    """Every span the changes mean, in order, and what was changed."""
    found, told = [], []
    for case in cases:
        if changes.span in ("", case.label):
            case, sentences = changed_case(case, changes, bars_by_span.get(case.label))
            told += sentences
        found.append(case)
    return tuple(found), told
