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
ROUNDING = 1e-9
"""0.6 in of 6 in is a tenth, whatever a computer makes of it."""


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
    is_missing: bool | None = None,
    is_tolerable: bool | None = None,
    depth_in: float | None = None,
    across_in: float | None = None,
    width_in: float | None = None,
    spacing_ft: float | None = None,
) -> ProposedState | None:
    """The state that a defect suggests; None where the kind has no published sizes or none was given.

    `loss_ratio` lost area over the member's section (decay, void) or lost depth over thickness (wear); `depth_ratio`
    the penetration of a check over the thickness; `length_ratio` length of a split over the member's depth;
    `depth_in` and `across_in` of a pothole, or the depth of pits on steel; `width_in` and `spacing_ft` of surface
    cracks; `is_missing` of fasteners; `is_tolerable` of sag, settlement and scour (sag: whether it needs no
    mitigation). What is not known of the last four counts as the worse. Element defects 1000, 1020, 1140 to 1180,
    1900, 3210, 3220, 4000 and 6000 of the element manual of 2019 [memory].
    """
    if kind in (FindingKind.SURFACE_DECAY, FindingKind.INTERNAL_VOID, FindingKind.DRILLING, FindingKind.STRESS_WAVE):
        return None if loss_ratio is None else _by_ten_percent(loss_ratio, "of the member section is lost")
    if kind == FindingKind.WEAR:
        return None if loss_ratio is None else _by_ten_percent(loss_ratio, "of the thickness is worn away")
    if kind == FindingKind.CHECK:
        return None if depth_ratio is None else _check_state(depth_ratio, in_tension_zone)
    if kind in (FindingKind.CRACK, FindingKind.BROKEN):
        word = "a crack that was arrested" if arrested else "a crack that was not arrested"
        return ProposedState(state=2 if arrested else 3, reason=f"Across the grain, {word}.")
    if kind == FindingKind.SPLIT:
        return None if length_ratio is None else _split_state(length_ratio, arrested)
    if kind == FindingKind.CONNECTION:
        return _connection_state(is_missing)
    if kind in _TOLERATED:
        return _tolerated_state(kind, depth_in, arrested, is_tolerable)
    if kind == FindingKind.POTHOLE:
        return _pothole_state(depth_in, across_in)
    if kind == FindingKind.SURFACE_CRACK:
        return _surface_crack_state(width_in, spacing_ft)
    return _steel_state(depth_in) if kind == FindingKind.BAR_DEFECT else None


# Defects 1900, 4000 and 6000: no number is published, only whether it can be borne.
_TOLERATED = {
    FindingKind.CAMBER: ("sag", "needs no mitigation", "needs mitigation"),
    FindingKind.SETTLEMENT: ("settlement", "is within what can be borne", "is beyond what can be borne"),
    FindingKind.SCOUR: ("scour", "is within what can be borne", "is beyond what can be borne"),
}


def _tolerated_state(kind: str, depth_in: float | None, arrested: bool, is_tolerable: bool | None) -> ProposedState:
    """`depth_in` is how far down it went: zero or less is none."""
    name, fine, bad = _TOLERATED[FindingKind(kind)]
    if depth_in is not None and depth_in <= 0:
        return ProposedState(state=1, reason=f"No {name}.")
    if arrested or is_tolerable:
        return ProposedState(state=2, reason=f"The {name} {'was arrested' if arrested else fine}.")
    if is_tolerable is False:
        return ProposedState(state=3, reason=f"The {name} {bad}.")
    return ProposedState(state=3, reason=f"Nobody has said that the {name} {fine}: it counts as one that {bad}.")


def _connection_state(is_missing: bool | None) -> ProposedState:
    if is_missing is False:
        return ProposedState(state=2, reason="Fasteners are loose and the joint still works.")
    said = "Fasteners are missing." if is_missing else "Not said whether loose or missing: missing ones are state 3."
    return ProposedState(state=3, reason=said)


def _pothole_state(depth_in: float | None, across_in: float | None) -> ProposedState:
    """Defect 3210: 1 in deep or 6 in across, and more, is state 3; the worse of the two sizes counts."""
    if depth_in is None and across_in is None:
        return ProposedState(state=3, reason="The hole has no size: it counts as one through the full depth.")
    if (depth_in or 0.0) >= 1.0 or (across_in or 0.0) >= 6.0:
        return ProposedState(state=3, reason="The hole is 1 in deep or 6 in across, or more.")
    return ProposedState(state=2, reason="The hole is less than 1 in deep and less than 6 in across.")


def _surface_crack_state(width_in: float | None, spacing_ft: float | None) -> ProposedState | None:
    """Defect 3220: 0.012 and 0.05 in, or 3 and 1 ft apart; where both are known the worse counts."""
    if width_in is None and spacing_ft is None:
        return None
    by_width = 1 if width_in is None or width_in < 0.012 else 2 if width_in <= 0.05 else 3
    by_spacing = 1 if spacing_ft is None or spacing_ft > 3.0 else 2 if spacing_ft >= 1.0 else 3
    said = [f"{width_in:g} in wide"] if width_in is not None else []
    said += [f"{spacing_ft:g} ft apart"] if spacing_ft is not None else []
    return ProposedState(
        state=max(by_width, by_spacing), reason=f"Cracks {' and '.join(said)} (limits 0.012 and 0.05 in, 3 and 1 ft)."
    )


def _steel_state(depth_in: float | None) -> ProposedState:
    """Defect 1000 on a bar or its anchorage: corrosion without lost section is state 2."""
    if depth_in is not None and depth_in <= 0:
        return ProposedState(state=2, reason="Rust has begun and no steel is lost.")
    said = f"Pits {depth_in:g} in deep: steel is lost." if depth_in else "Depth of the pits not given: steel is lost."
    return ProposedState(state=3, reason=said)


def _split_state(ratio: float, arrested: bool) -> ProposedState:
    if arrested or ratio < 1.0:
        return ProposedState(state=2, reason="A split shorter than the member is deep, or arrested.")
    return ProposedState(state=3, reason="A split as long as the member is deep, or longer.")


def _by_ten_percent(ratio: float, words: str) -> ProposedState:
    if ratio <= 0:
        return ProposedState(state=1, reason=f"Nothing {words}.")
    if ratio < 0.10 - ROUNDING:
        return ProposedState(state=2, reason=f"{ratio:.1%} {words}, under 10 %.")
    return ProposedState(state=3, reason=f"{ratio:.0%} {words}, 10 % or more.")


def _check_state(ratio: float, in_tension_zone: bool) -> ProposedState:
    said = f"The check goes {ratio:.0%} into the thickness"
    if ratio < 0.05 - ROUNDING:
        return ProposedState(state=1, reason=f"{said}, under 5 %.")
    if in_tension_zone:
        return ProposedState(state=3, reason=f"{said}, in a tension zone, where 5 % and more is state 3.")
    if ratio <= 0.50 + ROUNDING:
        return ProposedState(state=2, reason=f"{said}, 5 to 50 %, outside tension zones.")
    return ProposedState(state=3, reason=f"{said}, over 50 %.")
