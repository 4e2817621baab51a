"""Condition class of a structure, and the condition state that a timber defect's size suggests.

Classes: 23 CFR 490.409, defined for the National Highway System and used for county bridges as common practice: Good
7 to 9, Fair 5 and 6, Poor 4 or less, by the lowest of items 58, 59, 60, or item 62 of a culvert [memory; that 4 or
less is deficient: 490.411 checked]. Condition states: AASHTO Manual for Bridge Element Inspection, 2019, defects 1140
to 1180 [memory]; state 4 is never proposed, because it follows from a structural review.
"""

from dataclasses import dataclass

from inspections.vocabulary.findings import FindingKind
from inventory.vocabulary.structures import ConditionClass

GOOD_FROM = 7
FAIR_FROM = 5


@dataclass(frozen=True, kw_only=True)
class Condition:
    """The class, the lowest rating it rests on (None where nothing is rated), and why in sentences."""

    condition: str
    lowest: int | None
    reasons: tuple[str, ...]


def condition_class(
    *, deck: str = "", superstructure: str = "", substructure: str = "", culvert: str = ""
) -> Condition:
    """The class by the lowest rating; N and blank say nothing; nothing rated is 'not rated', never Poor."""
    given = {"deck": deck, "superstructure": superstructure, "substructure": substructure, "culvert": culvert}
    rated = {name: int(code) for name, code in given.items() if len(code) == 1 and code in "0123456789"}
    if not rated:
        return Condition(
            condition=ConditionClass.NOT_RATED.value, lowest=None, reasons=("No component rating is on record.",)
        )
    lowest = min(rated.values())
    names = " and ".join(name for name, value in rated.items() if value == lowest)
    if lowest >= GOOD_FROM:
        chosen, band = ConditionClass.GOOD, "7 to 9"
    elif lowest >= FAIR_FROM:
        chosen, band = ConditionClass.FAIR, "5 and 6"
    else:
        chosen, band = ConditionClass.POOR, "4 and less"
    reason = f"{chosen.label}: the lowest component rating is {lowest} ({names}), and {band} is {chosen.label}."
    return Condition(condition=chosen.value, lowest=lowest, reasons=(reason,))


@dataclass(frozen=True, kw_only=True)
class ProposedState:
    """Condition state 1 to 3 with the sentence that says why."""

    state: int
    reason: str


def proposed_state(
    *,
    kind: str,
    loss_ratio: float | None = None,
    depth_ratio: float | None = None,
    in_tension_zone: bool = False,
    length_ratio: float | None = None,
    arrested: bool = False,
) -> ProposedState | None:
    """The state that a timber defect's size suggests; None where the kind has no published sizes or none was given.

    `loss_ratio` lost area over the member's section (decay, void) or lost depth over thickness (wear); `depth_ratio`
    the penetration of a check over the thickness; `length_ratio` length of a split over the member's depth.
    """
    if kind in (FindingKind.SURFACE_DECAY, FindingKind.INTERNAL_VOID) and loss_ratio is not None:
        return _by_ten_percent(loss_ratio, "of the member section is lost")
    if kind == FindingKind.WEAR and loss_ratio is not None:
        return _by_ten_percent(loss_ratio, "of the thickness is worn away")
    if kind == FindingKind.CHECK and depth_ratio is not None:
        return _check_state(depth_ratio, in_tension_zone)
    if kind == FindingKind.CRACK:
        word = "a crack that was arrested" if arrested else "a crack that was not arrested"
        return ProposedState(state=2 if arrested else 3, reason=f"Across the grain, {word}.")
    if kind == FindingKind.SPLIT and length_ratio is not None:
        if arrested or length_ratio < 1.0:
            return ProposedState(state=2, reason="A split shorter than the member is deep, or arrested.")
        return ProposedState(state=3, reason="A split as long as the member is deep, or longer.")
    return None


def _by_ten_percent(ratio: float, words: str) -> ProposedState:
    if ratio <= 0:
        return ProposedState(state=1, reason=f"Nothing {words}.")
    if ratio < 0.10:
        return ProposedState(state=2, reason=f"{ratio:.0%} {words}, under 10 %.")
    return ProposedState(state=3, reason=f"{ratio:.0%} {words}, 10 % or more.")


def _check_state(ratio: float, in_tension_zone: bool) -> ProposedState:
    said = f"The check goes {ratio:.0%} into the thickness"
    if ratio < 0.05:
        return ProposedState(state=1, reason=f"{said}, under 5 %.")
    if in_tension_zone:
        return ProposedState(state=3, reason=f"{said}, in a tension zone, where 5 % and more is state 3.")
    if ratio <= 0.50:
        return ProposedState(state=2, reason=f"{said}, 5 to 50 %, outside tension zones.")
    return ProposedState(state=3, reason=f"{said}, over 50 %.")
