"""Quantities of elements in states 1 to 4 proposed from the findings; they always add up to the total.

Which defects bear on which element: element manual of 2019 [memory]. The length or area that a finding affects is its
own length; a finding without one counts over the whole member, one at a point as 1 ft or 1 sq ft [model]. Quantities
are whole, rounded up to the worse. State 4 follows from a structural review: it is never proposed, and one already
entered is kept.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from inspections.vocabulary.elements import ELEMENTS
from inspections.vocabulary.findings import FindingKind

from .element_totals import DECK_AREA, SLAB_AREA, SURFACE_AREA
from .finding_state import OnMember, place_words, state_of

AT_A_POINT = 1.0
"""Feet of a member that a finding without a length takes [model]."""

WOOD_DEFECTS = frozenset(
    {
        FindingKind.SURFACE_DECAY,
        FindingKind.INTERNAL_VOID,
        FindingKind.DRILLING,
        FindingKind.STRESS_WAVE,
        FindingKind.CHECK,
        FindingKind.SPLIT,
        FindingKind.CRACK,
        FindingKind.BROKEN,
        FindingKind.WEAR,
        FindingKind.CONNECTION,
    }
)
SUPPORT_DEFECTS = WOOD_DEFECTS | {FindingKind.SETTLEMENT, FindingKind.SCOUR}
_SUPPORTS = (206, 208, 212, 216, 228, 235)
APPLIES: dict[int, frozenset[str]] = {
    **dict.fromkeys((31, 54, 111, 117, 156, 332), WOOD_DEFECTS),
    **dict.fromkeys((135, 146), WOOD_DEFECTS | {FindingKind.CAMBER}),
    106: WOOD_DEFECTS,
    **dict.fromkeys(_SUPPORTS, SUPPORT_DEFECTS),
    510: frozenset({FindingKind.SURFACE_CRACK, FindingKind.POTHOLE}),
}
"""Which kinds of finding bear on which element: the table of defects 1020 to 1180, 1900, 4000, 6000, 3210 and 3220
[memory]; 106 as the timber girders, since no national box-girder element of timber exists [derived]."""


@dataclass(frozen=True, kw_only=True)
class Affected:
    """A part of an element in a worse state than 1: a stretch of one member, or a bare quantity of it."""

    number: int
    state: int
    quantity: float
    reason: str
    member: object = None
    from_ft: float = 0.0
    to_ft: float = 0.0
    per_ft: float = 1.0


@dataclass(frozen=True, kw_only=True)
class ProposedStates:
    """Quantities in states 1 to 4 that add up to the total, with a sentence for every finding counted."""

    number: int
    unit: str
    total: float
    states: tuple[float, float, float, float]
    reasons: tuple[str, ...]


def affected_by(
    finding: Mapping, member: OnMember | None, *, number: int | None, member_key: object = None, total: float = 0.0
) -> Affected | None:
    """What a finding takes of an element of quantity `total`; None where it takes nothing or does not apply to it."""
    kind = finding.get("kind") or ""
    if number is None or kind not in APPLIES.get(number, frozenset()):
        return None
    state, why = _state(finding, member)
    if state < 2:
        return None
    per_ft, unit = _per_ft(number, member), ELEMENTS[number][1]
    start, end = _stretch(finding, member)
    quantity = max(end - start, AT_A_POINT) * per_ft
    if number == SURFACE_AREA:
        area_pct, extent_ft = finding.get("area_pct"), finding.get("extent_ft")
        quantity = total * area_pct / 100.0 if area_pct else max(extent_ft or 0.0, AT_A_POINT)
    if unit == "each":
        quantity = 1.0
    reason = f"{place_words(finding, member)}: state {state}, {quantity:.3g} {unit}. {why}"
    of_one = None
    if member is not None and finding.get("member_number") and unit == "ft":
        of_one = (member_key, finding["member_number"])
    return Affected(
        number=number,
        state=state,
        quantity=quantity,
        reason=reason,
        member=of_one,
        from_ft=start,
        to_ft=max(end, start + AT_A_POINT),
        per_ft=per_ft,
    )


def _state(finding: Mapping, member: OnMember | None) -> tuple[int, str]:
    """The inspector's own state where one is given; 4 counts as 3 here, since 4 is entered, not proposed."""
    own = finding.get("condition_state")
    if own:
        said = "The inspector gave the state."
        return min(own, 3), said if own < 4 else "The inspector gave state 4: enter it after the structural review."
    found = state_of(finding, member)
    return (found.state, found.reason) if found else (1, "")


def _per_ft(number: int, member: OnMember | None) -> float:
    """Square feet of a deck for each foot along one of its members; of beams, feet."""
    if number in (DECK_AREA, SLAB_AREA) and member is not None:
        return max(member.width_in, 1.0) / 12.0
    return 1.0


def _stretch(finding: Mapping, member: OnMember | None) -> tuple[float, float]:
    """From and to along the member; the whole member where the length is not known."""
    kind, extent_ft = finding.get("kind"), finding.get("extent_ft")
    start = finding.get("station_ft")
    if kind in (FindingKind.CRACK, FindingKind.CONNECTION) and extent_ft is None:
        extent_ft = 0.0
    if kind == FindingKind.BROKEN or extent_ft is None or start is None:
        length = member.span_ft if member is not None else (extent_ft or AT_A_POINT)
        return 0.0, length
    end = start + extent_ft
    if member is not None:
        start, end = min(start, member.span_ft), min(end, member.span_ft)
    return start, end


def proposed_states(
    *, number: int, total: float, affected: Iterable[Affected] = (), given_cs4: float = 0.0
) -> ProposedStates:
    """States that add up to `total`: the worst first, what is left over is state 1. `given_cs4` is kept as it is."""
    mine = [each for each in affected if each.number == number]
    room = max(0.0, total)
    severe = min(room, max(0.0, given_cs4))
    poor = min(room - severe, _whole(_quantity(mine, 3), total))
    both = _whole(_quantity(mine, 2), total)
    fair = min(room - severe - poor, max(0.0, both - poor))
    good = room - severe - poor - fair
    reasons = tuple(sorted({each.reason for each in mine})) or ("No finding with a size takes anything from state 1.",)
    return ProposedStates(
        number=number,
        unit=ELEMENTS.get(number, ("", ""))[1],
        total=room,
        states=(good, fair, poor, severe),
        reasons=reasons,
    )


def _quantity(affected: list[Affected], worst_from: int) -> float:
    """What is in a state or worse; stretches of one member that overlap count once."""
    found = [each for each in affected if each.state >= worst_from]
    loose = sum(each.quantity for each in found if each.member is None)
    by_member: dict[object, list[Affected]] = {}
    for each in found:
        if each.member is not None:
            by_member.setdefault(each.member, []).append(each)
    return loose + sum(_joined_ft(stretches) for stretches in by_member.values())


def _joined_ft(stretches: list[Affected]) -> float:
    covered, end = 0.0, -math.inf
    for each in sorted(stretches, key=lambda one: one.from_ft):
        covered += max(0.0, each.to_ft - max(each.from_ft, end))
        end = max(end, each.to_ft)
    return covered


def _whole(quantity: float, total: float) -> float:
    """Rounded up to a whole unit, not beyond the total."""
    return min(total, float(math.ceil(quantity - 1e-6)))
