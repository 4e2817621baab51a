"""Net section of a rectangle with decay from its faces and internal voids.

A = sum b dy, I about the net centroid, S = I / (distance to the farther face); shear factor = least I b / Q over the
whole depth, so V = F_v x (I b / Q). For a sound rectangle that is 2 b d / 3. Where a void does not contain the
neutral axis its edge may govern; it is never above that without the voids. Source: mechanics of materials.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.errors import OutsideValidity, require_range

SOURCE = "net section of a rectangle"
FACES = ("top", "bottom", "left", "right")


@dataclass(frozen=True, kw_only=True)
class SurfaceLoss:
    """Wood lost to ``depth_in`` from one face (top, bottom, left, right)."""

    face: str
    depth_in: float


@dataclass(frozen=True, kw_only=True)
class Void:
    """An internal rectangle without strength, centre ``offset_in`` above (+) or below (-) the original mid-depth.

    ``bending_lost`` is the part of it lost for bending (1 void, 0.5 where drilling shows 50 to 75 % of sound wood);
    for shear it is always lost whole.
    """

    width_in: float
    height_in: float
    offset_in: float = 0.0
    bending_lost: float = 1.0


@dataclass(frozen=True, kw_only=True)
class NetSection:
    """What is left, in inches: ``shear_in2`` is the least I b / Q, ``least_width_in`` the width beside voids."""

    area_in2: float
    centroid_in: float
    inertia_in4: float
    modulus_in3: float
    shear_in2: float
    width_in: float
    depth_in: float
    least_width_in: float


def rectangle_section(
    *,
    width_in: float,
    depth_in: float,
    surface: tuple[SurfaceLoss, ...] = (),
    voids: tuple[Void, ...] = (),
) -> NetSection:
    """Net section; a section with nothing left has all properties zero. Range: width and depth above 0 to 120 in.

    Several losses on one face: the deepest counts. ``OutsideValidity`` for negative sizes or an unknown face.
    """
    bending, shear = net_strips(width_in=width_in, depth_in=depth_in, surface=surface, voids=voids)
    if not bending:
        return nothing_left()
    area, centroid, inertia = _properties(bending)
    if area <= 0 or any(b <= 0 for _s, _t, b in bending):
        return nothing_left()  # a void as wide as the member leaves loose pieces, not a beam
    low, high = bending[0][0], bending[-1][1]
    lost = {face: max((s.depth_in for s in surface if s.face == face), default=0.0) for face in FACES}
    far = max(high - centroid, centroid - low)
    width = width_in - lost["left"] - lost["right"]
    return NetSection(
        area_in2=area,
        centroid_in=centroid,
        inertia_in4=inertia,
        modulus_in3=inertia / far,
        shear_in2=min(_least_shear_factor(shear), _least_shear_factor([(low, high, width)])),
        width_in=width,
        depth_in=high - low,
        least_width_in=min(b for _s, _t, b in shear),
    )


def net_strips(*, width_in: float, depth_in: float, surface: tuple[SurfaceLoss, ...], voids: tuple[Void, ...]) -> tuple:
    """Strips (bottom, top, net width) from the soffit up, for bending and for shear; empty where nothing is left."""
    require_range(name="member width", value=width_in, above=0, most=144, unit="in", source=SOURCE)
    require_range(name="member depth", value=depth_in, above=0, most=120, unit="in", source=SOURCE)
    lost = {face: 0.0 for face in FACES}
    for loss in surface:
        if loss.face not in lost:
            raise OutsideValidity(name="decayed face", value=loss.face, valid=", ".join(FACES), source=SOURCE)
        require_range(name="depth of surface loss", value=loss.depth_in, least=0, unit="in", source=SOURCE)
        lost[loss.face] = max(lost[loss.face], loss.depth_in)
    width = width_in - lost["left"] - lost["right"]
    low, high = lost["bottom"], depth_in - lost["top"]
    if width <= 0 or high <= low:
        return (), ()
    bending = _strips(width, low, high, depth_in, voids, for_shear=False)
    return bending, _strips(width, low, high, depth_in, voids, for_shear=True)


def sound_shell_in(*, width_in: float, depth_in: float, surface: tuple[SurfaceLoss, ...], void: Void) -> tuple:
    """Thickness of sound wood beside and above or below a void: (side, least of top and bottom), in.

    The void is taken as centred in the width.
    """
    lost = {face: max((s.depth_in for s in surface if s.face == face), default=0.0) for face in FACES}
    side = (width_in - lost["left"] - lost["right"] - void.width_in) / 2.0
    centre = depth_in / 2.0 + void.offset_in
    above = depth_in - lost["top"] - (centre + void.height_in / 2.0)
    below = centre - void.height_in / 2.0 - lost["bottom"]
    return side, min(above, below)


def nothing_left() -> NetSection:
    """A section of which nothing is left."""
    return NetSection(
        area_in2=0.0,
        centroid_in=0.0,
        inertia_in4=0.0,
        modulus_in3=0.0,
        shear_in2=0.0,
        width_in=0.0,
        depth_in=0.0,
        least_width_in=0.0,
    )


def _strips(width, low, high, depth, voids, *, for_shear: bool) -> list[tuple[float, float, float]]:
    """Horizontal strips (bottom, top, net width) between all edges, from the bottom up."""
    edges, spans = {low, high}, []
    for void in voids:
        for name, value in (("width", void.width_in), ("height", void.height_in)):
            require_range(name=f"{name} of void", value=value, least=0, unit="in", source=SOURCE)
        centre = depth / 2.0 + void.offset_in
        bottom, top = max(low, centre - void.height_in / 2.0), min(high, centre + void.height_in / 2.0)
        if top > bottom:
            spans.append((bottom, top, void.width_in, 1.0 if for_shear else void.bending_lost))
            edges |= {bottom, top}
    marks = sorted(edges)
    strips = []
    for bottom, top in zip(marks, marks[1:], strict=False):
        over = [(w, part) for b, t, w, part in spans if b <= bottom and t >= top]
        strips.append((bottom, top, max(0.0, width - sum(min(w, width) * part for w, part in over))))
    return strips


def _properties(strips) -> tuple[float, float, float]:
    area = sum(b * (t - s) for s, t, b in strips)
    if area <= 0:
        return 0.0, 0.0, 0.0
    centroid = sum(b * (t - s) * (t + s) / 2.0 for s, t, b in strips) / area
    inertia = sum(b * (t - s) ** 3 / 12.0 + b * (t - s) * ((t + s) / 2.0 - centroid) ** 2 for s, t, b in strips)
    return area, centroid, inertia


def _least_shear_factor(strips) -> float:
    """Least I b / Q over the neutral axis and both sides of every strip edge."""
    area, centroid, inertia = _properties(strips)
    if area <= 0 or any(b <= 0 for _s, _t, b in strips):
        return 0.0
    levels = {s for s, _t, _b in strips} | {t for _s, t, _b in strips} | {centroid}
    factors = []
    for level in levels:
        moment = sum(
            b * (t - max(s, level)) * ((t + max(s, level)) / 2.0 - centroid) for s, t, b in strips if t > level
        )
        touching = [b for s, t, b in strips if s <= level <= t]
        if moment > 1e-9 * inertia and touching:
            factors.append(inertia * min(touching) / moment)
    return min(factors)
