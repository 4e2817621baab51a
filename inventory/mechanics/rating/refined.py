"""The refined distribution: the deck of a span as an orthotropic plate, where the engineer has chosen it.

Which spans can honestly be taken as a plate, with which stiffness, and what share follows. A span that cannot keeps
its rule, and a sentence says why. Bending is shared by the plate. Shear of webs and stringers follows 13.6.5 with the
plate's bending share in V_LD, as that clause asks of any bending share; shear and bearing of longitudinal decks keep
the rule, for beside a wheel thin-plate theory has no shear that a laminated deck would feel. Mark ``model``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from inventory.mechanics.bars import PressureWorth
from inventory.mechanics.distribution import PlateShare, Share, foot_share, member_share
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.tables.lane_shares import PRESENCE
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle

from .cases import DISTRIBUTIONS, MemberCase, SpanCase
from .elements import Shares
from .plates import PlateModel, plate_of

SOURCE = "finite strips of an orthotropic plate"
MARK = "model"
LEAST_WHEEL_LINES = 0.01
"""For a web that the vehicles lift, or hardly reach, by the plate: it is never left without load (model)."""


@dataclass(frozen=True, kw_only=True)
class Refined:
    """The shares of one member by the plate (``plate`` None: by its rule, ``refusal`` says why)."""

    plate: PlateModel | None
    refusal: str = ""

    def note(self, member: MemberCase) -> str:
        if self.plate is None:
            return f"{member.label}: refined distribution was chosen, but {self.refusal}; the rule is kept."
        told = f"{member.label}: bending shared by {self.plate.words} ({MARK}); {self.plate.rest_words};"
        return f"{told} a lane load takes the share of the wheels, which spread less."


def refined_of(*, case: SpanCase, member: MemberCase, worth: PressureWorth | None) -> Refined | None:
    """How the refined distribution stands for a member; None where the engineer has kept the rules."""
    if case.distribution == "rules":
        return None
    if case.distribution not in DISTRIBUTIONS:
        valid = ", ".join(DISTRIBUTIONS)
        raise OutsideValidity(name="share of wheel loads", value=case.distribution, valid=valid, source=SOURCE)
    try:
        found = plate_of(case=case, member=member, worth=worth)
    except OutsideValidity as refusal:
        found = f"the plate refuses it ({str(refusal).rstrip('.')})"
    return Refined(plate=None, refusal=found) if isinstance(found, str) else Refined(plate=found)


def _shares_by(
    plate: PlateModel, case: SpanCase, member: MemberCase, vehicle: Vehicle, method: str, rules: Shares
) -> Shares:
    share = plate_share(case=case, member=member, plate=plate, vehicle=vehicle, method=method)
    if not plate.is_per_foot:
        return replace(rules, bending=share, shear=share, rest=share, over_bearing=_more(rules.over_bearing, share))
    return replace(rules, bending=share)


def _more(rule: Share, share: Share) -> Share:
    return rule if rule.wheel_lines >= share.wheel_lines else share


def plate_share(*, case: SpanCase, member: MemberCase, plate: PlateModel, vehicle: Vehicle, method: str) -> Share:
    """Wheel lines of one foot of deck, or of one web, with the place of the vehicle that governs in words."""
    common = {
        "roadway": plate.roadway,
        "vehicle": vehicle,
        "lanes": case.lanes_loaded,
        "presence": PRESENCE if method == "LRFR" else None,
        "stations_in": stations_in(case=case, member=member),
    }
    if plate.is_per_foot:
        found = foot_share(**common)
        width = f"one wheel line over {12.0 / found.wheel_lines:.1f} in"
    else:
        found = member_share(**common, edges_in=plate.edges_in, members=plate.members)
        found = replace(found, wheel_lines=max(LEAST_WHEEL_LINES, found.wheel_lines))
        width = f"S/{2.0 * plate.spacing_ft / found.wheel_lines:.2f} lanes"
    rule = f"plate, {plate.stiffness_words}: {width}; {_place_words(found, plate)}"
    return Share(wheel_lines=found.wheel_lines, rule=rule, source=SOURCE, mark=MARK)


def _place_words(found: PlateShare, plate: PlateModel) -> str:
    lanes = "1 lane" if found.lanes == 1 else f"{found.lanes} lanes"
    where = f"{found.from_curb_in:g} in from the curb"
    told = f"{lanes} loaded x {found.presence_factor:g}, first wheel line {where}"
    if abs(found.station_in - plate.roadway.deck.span_in / 2.0) > 1e-6:
        told += f", at {found.station_in / 12.0:g} ft"
    return told


def stations_in(*, case: SpanCase, member: MemberCase) -> tuple[float, ...]:
    """Midspan, and of each loss along the member the place nearest to midspan: there the deck spreads less."""
    middle, found = case.span_ft / 2.0, {case.span_ft / 2.0}
    for loss in member.losses:
        near = min(max(middle, loss.from_ft), loss.to_ft)
        if 0.1 * case.span_ft <= near <= 0.9 * case.span_ft:
            found.add(near)
    return tuple(sorted(station * 12.0 for station in found))


def with_refined(
    *,
    case: SpanCase,
    case_of: Callable[[Vehicle], SpanCase],
    member: MemberCase,
    worth: PressureWorth | None,
    method: str,
    rules: Callable[[Vehicle], Shares],
) -> Callable[[Vehicle], Shares]:
    """``rules`` with the plate's shares in their place where the case asks for them and a plate stands.

    ``method`` ASR (reduction of the Standard Specifications 3.12 for lanes loaded together) or LRFR (presence factors
    of LRFD Table 3.6.1.1.2-1, 1.20 for one lane).
    ``case_of`` gives the case with the lanes that count for a vehicle; the plate is that of ``case``.
    """
    refined = refined_of(case=case, member=member, worth=worth)
    if refined is None or refined.plate is None:
        return rules
    plate, kept = refined.plate, {}

    def shares(vehicle: Vehicle) -> Shares:
        if vehicle not in kept:
            kept[vehicle] = _shares_by(plate, case_of(vehicle), member, vehicle, method, rules(vehicle))
        return kept[vehicle]

    return shares


def refined_notes(case: SpanCase, worth: PressureWorth | None) -> list[str]:
    """A sentence for each member on how the refined distribution was or was not used."""
    found = ((member, refined_of(case=case, member=member, worth=worth)) for member in case.members)
    told = [refined.note(member) for member, refined in found if refined is not None]
    if case.distribution == "refined" and case.skew_deg:
        told.append(f"The plate has no skew; the {case.skew_deg:g} degrees of this span are not in it.")
    return list(dict.fromkeys(told))


def trace_refined(
    trace: Trace, case: SpanCase, worth: PressureWorth | None, vehicles: Mapping[str, Iterable[Vehicle]]
) -> None:
    """Stiffness of the plate of each member, and the share of each of the ``vehicles`` of each method, as steps."""
    for member in case.members:
        refined = refined_of(case=case, member=member, worth=worth)
        if refined is None or refined.plate is None:
            continue
        trace.heading(f"Refined distribution: {member.label}")
        for step in refined.plate.steps:
            trace.add(*step)
        for method, train in vehicles.items():
            for vehicle in train:
                share = plate_share(case=case, member=member, plate=refined.plate, vehicle=vehicle, method=method)
                symbol = f"g {vehicle.id}, {method}"
                trace.add(symbol, share.wheel_lines, "wheel lines", share.rule, share.source, share.mark)
