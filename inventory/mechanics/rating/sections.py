"""Sections along a member: where losses begin and end, what is left between, and which findings are grave.

Rules of thumb for deteriorated members are owner policy (``model``): decay depth plus a transition layer is gone;
drilling under one limit of sound resistance counts as void, up to a second as half effective for bending and nothing
for shear; a split past half the width near a support halves shear, a through split makes two beams of half depth as
well; a sound shell thinner than the policy's at a support carries no shear.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.section import (
    NetSection,
    SurfaceLoss,
    Void,
    rectangle_section,
    round_section,
    round_shell_in,
    sound_shell_in,
)

from .cases import LOSS_KINDS, MemberCase, SectionLoss
from .policy import RatingPolicy

SOURCE = "section loss of a member"
GRAVE_AREA_LOSS = 1.0 / 3.0
CRUSHING_LIMIT_IN = 0.125


@dataclass(frozen=True, kw_only=True)
class Piece:
    """A stretch of the member (ft) with one net section; ``shear_ratio`` 1, 0.5 (split) or 0 (thin shell)."""

    from_ft: float
    to_ft: float
    section: NetSection
    shear_ratio: float
    area_loss_ratio: float
    lost: bool


SectionOf = Callable[[MemberCase, tuple[SectionLoss, ...], RatingPolicy], NetSection]


def shear_station_ft(*, depth_in: float, span_ft: float) -> float:
    """x_v = min(3 d, L/4), ft from the support (AASHTO Standard Specifications 13.6.5, memory)."""
    return min(3.0 * depth_in / 12.0, span_ft / 4.0)


def pieces_along(
    *, member: MemberCase, span_ft: float, policy: RatingPolicy, section_of: SectionOf | None = None
) -> tuple[Piece, ...]:
    """Cut the member at every edge of a loss; an edge belongs to both sides, so the weaker counts there."""
    losses = [loss for loss in member.losses if loss.kind in _SECTION_KINDS]
    for loss in member.losses:
        _check_loss(loss, member, span_ft)
    marks = {0.0, span_ft}
    points = set()
    for loss in losses:
        low, high = min(max(loss.from_ft, 0.0), span_ft), min(max(loss.to_ft, 0.0), span_ft)
        marks |= {low, high}
        if low == high:
            points.add(low)
    stations = sorted(marks)
    spans = list(zip(stations, stations[1:], strict=False)) + [(x, x) for x in sorted(points)]
    section_of = section_of or member_section
    sound = section_of(member, (), policy)
    found = []
    for low, high in spans:
        here = tuple(loss for loss in losses if loss.from_ft <= low and loss.to_ft >= high)
        section = section_of(member, here, policy) if here else sound
        found.append(
            Piece(
                from_ft=low,
                to_ft=high,
                section=section,
                shear_ratio=_shear_ratio(member, here, low, high, span_ft, policy),
                area_loss_ratio=1.0 - section.area_in2 / sound.area_in2,
                lost=bool(here),
            )
        )
    return tuple(found)


_SECTION_KINDS = ("surface", "void", "low_resistance", "shell", "split")


def _check_loss(loss: SectionLoss, member: MemberCase, span_ft: float) -> None:
    if loss.kind not in LOSS_KINDS:
        raise OutsideValidity(
            name=f"kind of loss on {member.label}", value=loss.kind, valid=", ".join(LOSS_KINDS), source=SOURCE
        )
    if not loss.to_ft >= loss.from_ft:
        raise OutsideValidity(
            name=f"end of the {loss.kind} on {member.label}",
            value=loss.to_ft,
            valid=f"not before its beginning at {loss.from_ft:g} ft",
            unit="ft",
            source=SOURCE,
        )
    if loss.to_ft < 0.0 or loss.from_ft > span_ft:
        raise OutsideValidity(
            name=f"the {loss.kind} on {member.label}",
            value=f"{loss.from_ft:g} to {loss.to_ft:g} ft",
            valid=f"on the span, 0 to {span_ft:g} ft",
            source=SOURCE,
        )
    for name in ("depth_in", "width_in", "height_in"):
        if not getattr(loss, name) >= 0:
            raise OutsideValidity(
                name=f"{name} of the {loss.kind} on {member.label}",
                value=getattr(loss, name),
                valid="zero and more",
                source=SOURCE,
            )
    _check_hole(loss, member)


def _check_hole(loss: SectionLoss, member: MemberCase) -> None:
    """A hole centred outside the member, an impossible resistance or a count below zero would count as no loss."""
    wrong = []
    if loss.kind in ("void", "low_resistance") and not abs(loss.offset_in) <= member.depth_in / 2.0:
        wrong.append(("centre above mid-depth", loss.offset_in, f"within half the depth of {member.depth_in:g} in"))
    if loss.resistance_ratio is not None and not loss.resistance_ratio >= 0:
        wrong.append(("resistance ratio", loss.resistance_ratio, "zero and more"))
    if not loss.count >= 0:
        wrong.append(("count", loss.count, "zero and more"))
    for name, value, valid in wrong:
        raise OutsideValidity(
            name=f"{name} of the {loss.kind} on {member.label}", value=value, valid=valid, source=SOURCE
        )


def effective_voids(*, member: MemberCase, losses: tuple[SectionLoss, ...], policy: RatingPolicy) -> tuple[Void, ...]:
    """Voids that stand for voids, zones of low drilling resistance (by the owner's limits) and hollowed members."""
    found = []
    for loss in losses:
        void = Void(width_in=loss.width_in, height_in=loss.height_in, offset_in=loss.offset_in)
        if loss.kind == "void":
            found.append(void)
        elif loss.kind == "low_resistance":
            ratio = loss.resistance_ratio or 0.0
            if ratio < policy.drilled_void_below:
                found.append(void)
            elif ratio < policy.drilled_sound_from:
                found.append(replace(void, bending_lost=0.5))
        elif loss.kind == "shell" and member.shape == "rectangle":
            inside = (member.width_in - 2.0 * loss.depth_in, member.depth_in - 2.0 * loss.depth_in)
            if min(inside) > 0:
                found.append(Void(width_in=inside[0], height_in=inside[1]))
    return tuple(found)


def effective_surfaces(losses: tuple[SectionLoss, ...], policy: RatingPolicy) -> tuple[SurfaceLoss, ...]:
    """Surface decay with the transition layer of the policy behind it."""
    return tuple(
        SurfaceLoss(face=loss.face, depth_in=loss.depth_in + policy.transition_in if loss.depth_in > 0 else 0.0)
        for loss in losses
        if loss.kind == "surface"
    )


def member_section(member: MemberCase, losses: tuple[SectionLoss, ...], policy: RatingPolicy) -> NetSection:
    """Net section of the member itself where ``losses`` are present."""
    if member.shape == "round":
        shells = [loss.depth_in for loss in losses if loss.kind == "shell"]
        return round_section(
            diameter_in=member.depth_in,
            shell_in=min(shells) if shells else None,
            surface=effective_surfaces(losses, policy),
            voids=effective_voids(member=member, losses=losses, policy=policy),
            split=is_split_through(losses, member),
        )
    section = rectangle_section(
        width_in=member.width_in,
        depth_in=member.depth_in,
        surface=effective_surfaces(losses, policy),
        voids=effective_voids(member=member, losses=losses, policy=policy),
    )
    if is_split_through(losses, member):
        section = replace(section, modulus_in3=section.modulus_in3 / 2.0, inertia_in4=section.inertia_in4 / 4.0)
    return section


def across_in(member: MemberCase) -> float:
    """Width at mid-depth, in: the diameter of a round member."""
    return member.depth_in if member.shape == "round" else member.width_in


def is_through(loss: SectionLoss, member: MemberCase) -> bool:
    return loss.kind == "split" and loss.depth_in >= across_in(member)


def is_split_through(losses: tuple[SectionLoss, ...], member: MemberCase) -> bool:
    return split_depth_in(losses) >= across_in(member)


def _shear_ratio(member, losses, low, high, span_ft, policy) -> float:
    near = shear_station_ft(depth_in=member.depth_in, span_ft=span_ft)
    if not (low <= near or high >= span_ft - near):
        return 1.0
    if thin_shell(member=member, losses=losses, policy=policy):
        return 0.0
    return 0.5 if split_depth_in(losses) > across_in(member) / 2.0 else 1.0


def split_depth_in(losses: tuple[SectionLoss, ...]) -> float:
    """Width cut by splits and checks at one place, in: the deepest from each face, those of opposite faces together."""
    deepest: dict[str, float] = {}
    for loss in losses:
        if loss.kind == "split":
            deepest[loss.face] = max(deepest.get(loss.face, 0.0), loss.depth_in)
    return sum(deepest.values())


def thin_shell(*, member: MemberCase, losses: tuple[SectionLoss, ...], policy: RatingPolicy) -> bool:
    """True where sound wood round a void is thinner than the policy's least shell."""

    def least(side_in: float) -> float:
        return max(policy.least_shell_in, policy.least_shell_ratio * side_in)

    if member.shape == "round":
        shells = [loss.depth_in for loss in losses if loss.kind == "shell"]
        if any(shell < min(least(member.depth_in), member.depth_in / 2.0) for shell in shells):
            return True
    surface = effective_surfaces(losses, policy)
    for void in effective_voids(member=member, losses=losses, policy=policy):
        if void.width_in <= 0 or void.height_in <= 0:
            continue
        shell = round_shell_in if member.shape == "round" else sound_shell_in
        side, cover = shell(width_in=across_in(member), depth_in=member.depth_in, surface=surface, void=void)
        if side < least(across_in(member)) or cover < least(member.depth_in):
            return True
    return False


def grave_findings(*, member: MemberCase, pieces: tuple[Piece, ...]) -> tuple[str, ...]:
    """Sentences on findings of this member that need the engineer at once, whatever the factors."""
    found = []
    worst = max(pieces, key=lambda piece: piece.area_loss_ratio)
    if worst.area_loss_ratio > GRAVE_AREA_LOSS:
        found.append(
            f"{member.label}: {worst.area_loss_ratio:.0%} of the section is lost between {worst.from_ft:g} and "
            f"{worst.to_ft:g} ft, more than a third."
        )
    if any(piece.shear_ratio == 0 for piece in pieces):
        found.append(
            f"{member.label}: the sound shell near a support is too thin; its shear strength is disregarded until "
            "the member is repaired."
        )
    if any(piece.shear_ratio == 0.5 for piece in pieces):
        found.append(f"{member.label}: splits or checks near a support pass half the width; half its shear counts.")
    return (*found, *loss_flags(member))


def loss_flags(member: MemberCase) -> tuple[str, ...]:
    """Sentences on losses that are grave by themselves, whether the member can be rated or not."""
    found = []
    for loss in member.losses:
        if loss.kind == "split" and loss.depth_in > across_in(member) / 2.0:
            words = "goes through" if is_through(loss, member) else "passes half the width"
            found.append(f"{member.label}: a split {words} from {loss.from_ft:g} to {loss.to_ft:g} ft.")
        if loss.kind == "crushing" and loss.depth_in > CRUSHING_LIMIT_IN:
            found.append(f"{member.label}: the bearing is crushed by {loss.depth_in:g} in.")
        if loss.kind == "lamination_lost" and loss.count > 0:
            found.append(f"{member.label}: {loss.count} laminations are broken or gone within a wheel strip.")
        if loss.kind == "early_decay":
            found.append(f"{member.label}: early decay is suspected and not drilled; rated one grade lower.")
    return tuple(found)
