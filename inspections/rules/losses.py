"""Which findings still stand, and what they take from the members: the kernel's section losses.

Between two readings of anything that holds a bridge up, the lower counts; what was found stays until a later look at
the whole structure replaces it. What drilling and stress-wave readings mean is the county's policy (`loss_policy`);
early decay suspected and not drilled takes one grade [model, owner policy].
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from inspections.vocabulary.findings import Change, Face, FindingKind, InspectionKind
from inspections.vocabulary.states import InspectionState
from inventory.mechanics.rating import SectionLoss

from .completeness import FULL_KINDS
from .loss_policy import DEFAULT, LossPolicy

BY_INSTRUMENT = frozenset({FindingKind.INTERNAL_VOID, FindingKind.DRILLING, FindingKind.STRESS_WAVE})
"""Found only with a tool: a routine look at the surface cannot show that they are gone."""
LOOKS_INSIDE = (InspectionKind.INITIAL, InspectionKind.IN_DEPTH)


def is_still_there(kind: str, change: str | None) -> bool:
    """Whether what a finding tells of was there when it was entered: one marked "repaired or gone" was not.

    It takes away nothing by itself: what an earlier inspection found stands or falls by `which_stand`. A bar force is a
    reading of its own day, so a word about change never takes it away.
    """
    return change != Change.GONE or kind == FindingKind.BAR_FORCE


def which_stand(inspections: Iterable[tuple[object, str, str]]) -> list[tuple[object, frozenset[str]]]:
    """For each inspection (row, kind, state; newest first) the kinds of its findings that still stand.

    A routine, in-depth or initial inspection replaces everything found before it by eye; only an in-depth or initial
    one replaces what instruments found. Special, damage and underwater inspections and bar checks add. What was sent
    back adds until it is submitted again, and replaces nothing.
    """
    everything = frozenset(kind.value for kind in FindingKind)
    standing, found = everything, []
    for row, kind, state in inspections:
        if not standing:
            break
        found.append((row, standing))
        if state == InspectionState.SENT_BACK:
            continue
        if kind in LOOKS_INSIDE:
            standing = frozenset()
        elif kind in FULL_KINDS:
            standing = standing & BY_INSTRUMENT
    return found


@dataclass(frozen=True, kw_only=True)
class Found:
    """The part of a finding that bears on strength; sizes in inches, places in feet from the first bearing.

    None is not known, and counts against the member: anywhere on it, as long as it, as large as it.
    """

    kind: str
    member_number: int | None = None
    station_ft: float | None = 0.0
    extent_ft: float | None = 0.0
    face: str = ""
    depth_in: float | None = None
    width_in: float | None = None
    height_in: float | None = None
    offset_in: float | None = None
    resistance_pct: float | None = None
    wave_time_us_per_ft: float | None = None


def section_loss(
    found: Found, *, width_in: float, depth_in: float, span_ft: float, policy: LossPolicy = DEFAULT
) -> SectionLoss | None:
    """What one finding takes from a member of the given sound section; None where it takes nothing from the section.

    A broken member is no section loss: see `stringer_row.gaps_beside` for stringers and `laminations_lost` for decks.
    What reaches out of the section takes the part that is in it.
    """
    loss = _loss_of(found, width_in, depth_in, span_ft, policy)
    return None if loss is None else _on_the_member(loss, width_in, depth_in)


def _on_the_member(loss: SectionLoss, width_in: float, depth_in: float) -> SectionLoss:
    """No more wood lost than there is; a hole wholly outside stays as told, and the rating refuses it."""
    if loss.kind in ("void", "low_resistance"):
        half = depth_in / 2.0
        low, high = (loss.offset_in + side * loss.height_in / 2.0 for side in (-1.0, 1.0))
        low, high = max(low, -half), min(high, half)
        if high < low:
            return loss
        return replace(loss, width_in=min(loss.width_in, width_in), height_in=high - low, offset_in=(high + low) / 2.0)
    most = {
        "surface": width_in if loss.face in (Face.LEFT, Face.RIGHT) else depth_in,
        "split": width_in,
        "crushing": depth_in,
    }.get(loss.kind)
    return loss if most is None else replace(loss, depth_in=min(loss.depth_in, most))


def _loss_of(found: Found, width_in: float, depth_in: float, span_ft: float, policy: LossPolicy) -> SectionLoss | None:
    zone = _zone(found, span_ft)
    depth = found.depth_in or 0.0
    if found.kind in (FindingKind.SURFACE_DECAY, FindingKind.WEAR, FindingKind.CRACK):
        return _from_face(found, zone)
    if found.kind == FindingKind.INTERNAL_VOID:
        return SectionLoss(kind="void", **zone, **_hole(found, width_in, depth_in))
    if found.kind == FindingKind.DRILLING:
        return _drilled(found, zone, _hole(found, width_in, depth_in), policy)
    if found.kind == FindingKind.STRESS_WAVE:
        return _waved(found, zone, _hole(found, width_in, depth_in), policy)
    if found.kind == FindingKind.SPLIT:
        # Splits keep no face: from which side a split was measured does not tell two of them apart.
        return SectionLoss(kind="split", **zone, depth_in=depth if found.depth_in else width_in)
    if found.kind == FindingKind.CHECK and found.face in (Face.LEFT, Face.RIGHT, Face.END) and depth > 0:
        return SectionLoss(kind="split", **zone, face=found.face, depth_in=min(depth, width_in))
    if found.kind == FindingKind.CRUSHING and depth > 0:
        return SectionLoss(kind="crushing", from_ft=zone["from_ft"], to_ft=zone["from_ft"], depth_in=depth)
    return None


_AT_A_POINT = (FindingKind.CRACK, FindingKind.CRUSHING, FindingKind.STRESS_WAVE)


def _zone(found: Found, span_ft: float) -> dict:
    """From `station_ft` for `extent_ft`, kept on the span; the whole member where the place or the length is not known.

    What has no length (a crack across the grain) asks for none.
    """
    extent = found.extent_ft
    if extent is None and found.kind in _AT_A_POINT:
        extent = 0.0
    if found.station_ft is None or extent is None:
        return {"from_ft": 0.0, "to_ft": span_ft}
    start = min(max(found.station_ft, 0.0), span_ft)
    return {"from_ft": start, "to_ft": min(start + max(extent, 0.0), span_ft)}


def _from_face(found: Found, zone: dict) -> SectionLoss | None:
    depth = found.depth_in
    if depth is None:
        return SectionLoss(kind="early_decay", **zone, measured_by="depth not recorded")
    if depth <= 0:
        return None
    if found.face == Face.END:
        return SectionLoss(kind="early_decay", **zone, measured_by="decay in the end grain")
    return SectionLoss(kind="surface", **zone, face=found.face, depth_in=depth)


def _hole(found: Found, width_in: float, depth_in: float) -> dict:
    return {
        "width_in": width_in if found.width_in is None else found.width_in,
        "height_in": depth_in if found.height_in is None else found.height_in,
        "offset_in": found.offset_in or 0.0,
    }


def _drilled(found: Found, zone: dict, hole: dict, policy: LossPolicy) -> SectionLoss | None:
    if found.resistance_pct is None:
        return None
    ratio = found.resistance_pct / 100.0
    if ratio >= policy.drilled_sound_from:
        return None
    if ratio < policy.drilled_void_below:
        return SectionLoss(kind="void", **zone, **hole, measured_by="drilling")
    return SectionLoss(kind="low_resistance", **zone, **hole, resistance_ratio=ratio, measured_by="drilling")


def _waved(found: Found, zone: dict, hole: dict, policy: LossPolicy) -> SectionLoss | None:
    step = policy.wave_step(found.wave_time_us_per_ft or 0.0)
    if step == "grade":
        return SectionLoss(kind="early_decay", **zone, measured_by="stress wave")
    if step == "half":
        ratio = policy.half_ratio
        return SectionLoss(kind="low_resistance", **zone, **hole, resistance_ratio=ratio, measured_by="stress wave")
    return SectionLoss(kind="void", **zone, **hole, measured_by="stress wave") if step == "void" else None


_INSIDE = ("void", "low_resistance")


def worst_of(losses: Iterable[SectionLoss]) -> tuple[SectionLoss, ...]:
    """The same damage told twice counts once, at its worse: larger size over the joined zone.

    Two losses are the same damage where they are of one kind, on one face, and their zones touch; two weak zones inside
    that touch are one void if either is void.
    """
    kept: list[SectionLoss] = []
    for loss in sorted(losses, key=_order):
        partner = next((index for index, other in enumerate(kept) if _same_damage(loss, other)), None)
        if partner is None:
            kept.append(loss)
        else:
            kept[partner] = _joined(loss, kept[partner])
    return tuple(sorted(kept, key=_order))


def _order(loss: SectionLoss) -> tuple:
    return (
        loss.from_ft,
        loss.to_ft,
        loss.kind,
        loss.face,
        loss.depth_in,
        loss.width_in,
        loss.height_in,
        loss.offset_in,
    )


def _same_damage(one: SectionLoss, other: SectionLoss) -> bool:
    like = one.kind == other.kind or (one.kind in _INSIDE and other.kind in _INSIDE)
    touch = one.from_ft <= other.to_ft and other.from_ft <= one.to_ft
    if one.kind in _INSIDE and like and touch:
        # Two holes one above the other stay two; they are one where their heights overlap.
        return abs(one.offset_in - other.offset_in) < (one.height_in + other.height_in) / 2.0
    return like and touch and one.face == other.face


def _joined(one: SectionLoss, other: SectionLoss) -> SectionLoss:
    """Larger in every size; of two holes the box round both."""
    kind = "void" if "void" in (one.kind, other.kind) else one.kind
    tops = [loss.offset_in + loss.height_in / 2.0 for loss in (one, other)]
    bottoms = [loss.offset_in - loss.height_in / 2.0 for loss in (one, other)]
    ratios = [loss.resistance_ratio for loss in (one, other) if loss.resistance_ratio is not None]
    return replace(
        one,
        kind=kind,
        from_ft=min(one.from_ft, other.from_ft),
        to_ft=max(one.to_ft, other.to_ft),
        depth_in=max(one.depth_in, other.depth_in),
        width_in=max(one.width_in, other.width_in),
        height_in=max(tops) - min(bottoms),
        offset_in=(max(tops) + min(bottoms)) / 2.0,
        resistance_ratio=min(ratios) if ratios and kind == "low_resistance" else None,
        count=max(one.count, other.count),
    )


def end_decay_in(found: Iterable[Found]) -> float:
    """Depth of decay into the end grain, inches: it takes that much off the bearing length."""
    depths = [f.depth_in or 0.0 for f in found if f.kind == FindingKind.SURFACE_DECAY and f.face == Face.END]
    return max(depths, default=0.0)


def laminations_lost(numbers: Iterable[int], *, lamination_in: float, strip_in: float = 48.0) -> int:
    """The most broken laminations within any strip of the deck as wide as a wheel line may serve [model: 4 ft]."""
    ordered = sorted(set(numbers))
    reach = strip_in / lamination_in
    return max((sum(1 for n in ordered if 0 <= n - first < reach) for first in ordered), default=0)
