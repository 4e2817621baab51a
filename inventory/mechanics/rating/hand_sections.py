"""Lines for the section that governs: sound rectangles and rounds, and what is left of a rectangle strip by strip.

A decayed or hollow rectangle is cut into level strips of one net width each, from the soffit up; area, centroid, I and
S follow by hand. Source: mechanics of materials, as ``section.rectangle``.
"""

from __future__ import annotations

from math import pi

from inventory.mechanics.section import SEAT_RATIO
from inventory.mechanics.section.rectangle import net_strips
from inventory.mechanics.trace import Step

from .cases import MemberCase, SectionLoss
from .hand_arithmetic import printed
from .policy import RatingPolicy
from .sections import effective_surfaces, effective_voids, is_split_through

PER_FOOT_IN = 12.0


def losses_at(*, member: MemberCase, station_ft: float, span_ft: float) -> tuple[SectionLoss, ...]:
    """Losses that take from the section at a station, an edge included."""
    return tuple(
        loss
        for loss in member.losses
        if loss.kind in ("surface", "void", "low_resistance", "shell", "split")
        and max(0.0, loss.from_ft) - 1e-4 <= station_ft <= min(span_ft, loss.to_ft) + 1e-4
    )


def sound_lines(member: MemberCase, limit_state: str) -> list[str]:
    """A formula with numbers for each property of the sound member; lamination decks per foot of width."""
    width = f"{PER_FOOT_IN:g}" if member.role == "lamination_deck" else f"{member.width_in:g}"
    depth = f"{member.depth_in:g}"
    if limit_state == "bearing" and member.bearing_length_in is not None:
        seat = f"{SEAT_RATIO:g} x {depth}" if member.shape == "round" else width
        return [f"{seat} x {member.bearing_length_in:g}"]
    if member.shape == "round":
        return [f"{pi:.4f} x {depth}^3 / 32", f"0.75 x {pi:.4f} x {depth}^2 / 4"]
    return [f"{width} x {depth}^2 / 6", f"2 x {width} x {depth} / 3"]


def net_steps(*, member: MemberCase, losses: tuple[SectionLoss, ...], policy: RatingPolicy) -> list[tuple[Step, str]]:
    """Steps with a worked line for a rectangle with losses: strips, A, y bar, I and the distance to the farther face.

    Empty for round, split or composite members, and where nothing was lost.
    """
    if member.shape != "rectangle" or not losses or is_split_through(losses, member) or member.role == "web":
        return []
    bending, _shear = net_strips(
        width_in=member.width_in,
        depth_in=member.depth_in,
        surface=effective_surfaces(losses, policy),
        voids=effective_voids(member=member, losses=losses, policy=policy),
    )
    if not bending:
        return []
    area = sum(width * (top - low) for low, top, width in bending)
    if area <= 0:
        return []  # nothing of the section is left
    first = sum(width * (top - low) * (low + top) / 2 for low, top, width in bending)
    centre = first / area
    inertia = sum(
        width * (top - low) ** 3 / 12 + width * (top - low) * ((low + top) / 2 - centre) ** 2
        for low, top, width in bending
    )
    far = max(bending[-1][1] - centre, centre - bending[0][0])
    pieces = [
        (printed(width, "in"), printed(top - low, "in"), printed((low + top) / 2, "in")) for low, top, width in bending
    ]
    y = printed(centre, "in")
    face = f"{printed(bending[-1][1], 'in')} - {y}" if far > centre - bending[0][0] + 1e-9 else y
    if face == y and bending[0][0] > 0:
        face = f"{y} - {printed(bending[0][0], 'in')}"
    words = "; ".join(
        f"{printed(width, 'in')} wide from {printed(low, 'in')} to {printed(top, 'in')}" for low, top, width in bending
    )
    return [
        (_step("strips", words, "in", "what is left, from the soffit up, decay with its transition layer gone"), ""),
        (_step("A", area, "in2", "sum b h"), " + ".join(f"{b} x {h}" for b, h, _y in pieces)),
        (
            _step("y bar", centre, "in", "sum b h y / A, above the soffit"),
            f"({' + '.join(f'{b} x {h} x {at}' for b, h, at in pieces)}) / {printed(area, 'in2')}",
        ),
        (
            _step("I", inertia, "in4", "sum b h^3/12 + b h (y - y bar)^2"),
            " + ".join(f"{b} x {h}^3 / 12 + {b} x {h} x ({at} - {y})^2" for b, h, at in pieces),
        ),
        (_step("c", far, "in", "to the farther face"), face),
        (_step("S net", inertia / far, "in3", "I / c"), f"{printed(inertia, 'in4')} / {printed(far, 'in')}"),
    ]


def _step(symbol: str, value: float | str, unit: str, formula: str) -> Step:
    return Step(symbol=symbol, value=value, unit=unit, formula=formula, source="mechanics", mark="computed")
