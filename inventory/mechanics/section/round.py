"""Round timber with decay from its faces, internal voids and splits; exact integrals, no stepping of the section.

A face decayed to a depth e is a flat cut e inside the edge of the circle (a flat on top or below, a chord at the side).
A void is the ellipse of its width and height, centred in the width: heart rot follows the rings (model); a void as wide
as high and centred is the hollow of a shell. I about the net centroid, S = I over the farther face, shear factor the
least I b / Q over the whole depth, never above that without the voids (a small hole off the axis lowers Q more than I,
and would rate higher by a hair). A through split leaves an upper and a lower piece that bend alike:
I = I_1 + I_2, S = I over the farther face of either from its own axis; for a sound log S falls to 0.486 of the whole.
Source: mechanics of materials; for a shell S = pi (D4 - d4)/(32 D), I b/Q = I (D - d) 12/(D3 - d3).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from scipy.optimize import minimize_scalar

from inventory.mechanics.errors import OutsideValidity, require_range

from .arcs import Ellipse, strip_moments
from .rectangle import FACES, NetSection, SurfaceLoss, Void, nothing_left

SOURCE = "net section of a round member"
LEVELS = 96
"""Heights at which the least I b / Q and the ends of the wood are first sought, before they are made exact."""
SEAT_RATIO = 0.5
"""Width of the flat on which a round stringer bears, over its diameter, where nobody measured it (model: a seat of half
the diameter takes a notch of 0.067 D)."""

Moments = tuple[float, float, float]


def round_section(
    *,
    diameter_in: float,
    shell_in: float | None = None,
    surface: tuple[SurfaceLoss, ...] = (),
    voids: tuple[Void, ...] = (),
    split: bool = False,
) -> NetSection:
    """Net section of a round member, in; nothing left has all properties zero.

    ``shell_in`` sound shell all round, None or half the diameter and more means sound throughout. ``split``: a
    horizontal split goes through at mid-depth. Range: diameter above 0 to 60 in. ``OutsideValidity`` for sizes below
    zero, an unknown face, or a void centred outside the circle.
    """
    require_range(name="diameter", value=diameter_in, above=0, most=60, unit="in", source=SOURCE)
    if shell_in is not None:
        require_range(name="sound shell", value=shell_in, least=0, unit="in", source=SOURCE)
        inside = max(0.0, diameter_in - 2.0 * shell_in)
        voids = (*voids, Void(width_in=inside, height_in=inside))
    log = _Log(diameter_in, surface, voids)
    ends = log.wood(bending=True)
    if ends is None or log.wood(bending=False) is None:
        return nothing_left()
    low, high = ends
    area, first, second = log.moments(low, high, bending=True)
    centroid = first / area
    inertia = second - first * centroid
    section = NetSection(
        area_in2=area,
        centroid_in=centroid,
        inertia_in4=inertia,
        modulus_in3=inertia / max(high - centroid, centroid - low),
        shear_in2=min(log.least_shear(), _Log(diameter_in, surface, ()).least_shear() if voids else float("inf")),
        width_in=log.right - log.left,
        depth_in=high - low,
        least_width_in=log.least_width(low, high),
    )
    return _halved(log, section, low, high) if split else section


def round_shell_in(*, width_in: float, depth_in: float, surface: tuple[SurfaceLoss, ...], void: Void) -> tuple:
    """Sound wood beside a void (half of the least left over its height) and above or below it, in, as for rectangles.

    ``width_in`` is the diameter as ``depth_in`` is: a void low in a log has less wood beside it than one in the middle.
    """
    log = _Log(min(width_in, depth_in), surface, (void,))
    if log.right <= log.left or log.high <= log.low:
        return 0.0, 0.0
    ((hole, _part),) = log.holes
    bottom, top = (hole.centre_in + side * hole.half_height_in for side in (-1.0, 1.0))
    return log.least_width(log.low, log.high) / 2.0, min(log.high - top, bottom - log.low)


def _halved(log: _Log, whole: NetSection, low: float, high: float) -> NetSection:
    """Two pieces parted at mid-depth, bending alike; the shear factor is left to the policy on splits."""
    middle = log.radius
    pieces = [log.piece(a, b) for a, b in ((low, middle), (middle, high)) if b > a]
    inertia = sum(piece[0] for piece in pieces)
    return replace(whole, inertia_in4=inertia, modulus_in3=inertia / max(piece[1] for piece in pieces))


class _Log:
    """A circle cut by flats, with voids; heights from the soffit of the sound log, sideways from its centre line."""

    def __init__(self, diameter: float, surface: tuple[SurfaceLoss, ...], voids: tuple[Void, ...]) -> None:
        lost = dict.fromkeys(FACES, 0.0)
        for loss in surface:
            if loss.face not in lost:
                raise OutsideValidity(name="decayed face", value=loss.face, valid=", ".join(FACES), source=SOURCE)
            require_range(name="depth of surface loss", value=loss.depth_in, least=0, unit="in", source=SOURCE)
            lost[loss.face] = max(lost[loss.face], loss.depth_in)
        self.radius = diameter / 2.0
        self.circle = Ellipse(half_width_in=self.radius, half_height_in=self.radius, centre_in=self.radius)
        self.left, self.right = lost["left"] - self.radius, self.radius - lost["right"]
        self.low, self.high = lost["bottom"], diameter - lost["top"]
        self.holes = [(hole, void.bending_lost) for void in voids if (hole := self._hole(void)) is not None]

    def _hole(self, void: Void) -> Ellipse | None:
        for name, value in (("width", void.width_in), ("height", void.height_in)):
            require_range(name=f"{name} of void", value=value, least=0, unit="in", source=SOURCE)
        require_range(
            name="centre of void above mid-depth",
            value=void.offset_in,
            least=-self.radius,
            most=self.radius,
            unit="in",
            source=SOURCE,
        )
        # Halved first: half of the least number a computer knows is nothing.
        if void.width_in / 2.0 == 0 or void.height_in / 2.0 == 0:
            return None
        return Ellipse(
            half_width_in=void.width_in / 2.0,
            half_height_in=void.height_in / 2.0,
            centre_in=self.radius + void.offset_in,
        )

    def host_width(self, y: float) -> float:
        half = self.circle.width_at(y) / 2.0
        return max(0.0, min(half, self.right) - max(-half, self.left))

    def width(self, y: float, *, bending: bool) -> float:
        """Net width at a height; below zero where voids are wider than the wood there."""
        lost = sum(hole.width_at(y) * (part if bending else 1.0) for hole, part in self.holes)
        return self.host_width(y) - lost

    def wood(self, *, bending: bool) -> tuple[float, float] | None:
        """Lowest and highest wood; None where nothing is left or voids part it into loose pieces."""
        if self.right <= self.left or self.high <= self.low:
            return None
        marks = self._marks()
        middles = [(a + b) / 2.0 for a, b in zip(marks, marks[1:], strict=False)]
        standing = [self.width(y, bending=bending) > 0.0 for y in middles]
        if not any(standing):
            return None
        first, last = standing.index(True), len(standing) - 1 - standing[::-1].index(True)
        positive = self._positive(bending)
        if not all(standing[first : last + 1]) or not all(positive(y) for y in marks[first + 1 : last + 1]):
            return None
        low = marks[0] if first == 0 else _edge(positive, middles[first], middles[first - 1])
        high = marks[-1] if last == len(standing) - 1 else _edge(positive, middles[last], middles[last + 1])
        return low, high

    def _positive(self, bending: bool) -> Callable[[float], bool]:
        return lambda y: self.width(y, bending=bending) > 0.0

    def _marks(self) -> list[float]:
        """Heights in order: an even grid, the edges of voids, and where side cuts meet the circle."""
        step = (self.high - self.low) / LEVELS
        found = {self.low + step * index for index in range(LEVELS + 1)} | {self.high}
        for hole, _part in self.holes:
            found |= {hole.centre_in + side * hole.half_height_in for side in (-1.0, 0.0, 1.0)}
        found |= set(self._corners())
        return sorted(y for y in found if self.low <= y <= self.high)

    def _corners(self) -> list[float]:
        reach = [self.circle.height_where(2.0 * abs(x)) for x in (self.left, self.right) if abs(x) < self.radius]
        return [self.radius + side * away for away in reach for side in (-1.0, 1.0)]

    def moments(self, low: float, high: float, *, bending: bool) -> Moments:
        """Integrals of b, b y, b y2 of the net section between two heights within the wood."""
        cuts = sorted({low, high, *(y for y in self._corners() if low < y < high)})
        parts = [self._host_moments(a, b) for a, b in zip(cuts, cuts[1:], strict=False)]
        for hole, lost in self.holes:
            share = lost if bending else 1.0
            parts.append(tuple(-share * value for value in hole.moments(low, high)))
        return tuple(sum(part[power] for part in parts) for power in range(3))

    def _host_moments(self, low: float, high: float) -> Moments:
        """Between corners each side is the circle or a straight cut throughout."""
        half = self.circle.width_at((low + high) / 2.0) / 2.0
        if min(half, self.right) <= max(-half, self.left):
            return 0.0, 0.0, 0.0
        arc = tuple(value / 2.0 for value in self.circle.moments(low, high))
        right = arc if half <= self.right else strip_moments(self.right, low, high)
        left = arc if half <= -self.left else strip_moments(-self.left, low, high)
        return tuple(r + w for r, w in zip(right, left, strict=True))

    def piece(self, low: float, high: float) -> tuple[float, float]:
        """I about its own axis and the farther face from it, of the wood between two heights."""
        area, first, second = self.moments(low, high, bending=True)
        centroid = first / area
        return second - first * centroid, max(high - centroid, centroid - low)

    def least_shear(self) -> float:
        """Least I b / Q: tried at every mark and the axis, then made exact beside the least."""
        low, high = self.wood(bending=False)
        area, first, second = self.moments(low, high, bending=False)
        axis = first / area
        inertia = second - first * axis

        def factor(y: float) -> float:
            above = self.moments(y, high, bending=False)
            moment = above[1] - axis * above[0]
            return inertia * self.width(y, bending=False) / moment if moment > 1e-9 * inertia else float("inf")

        marks = sorted({y for y in (*self._marks(), axis) if low < y < high})
        values = [factor(y) for y in marks]
        at = values.index(min(values))
        beside = marks[max(0, at - 1)], marks[min(len(marks) - 1, at + 1)]
        finer = minimize_scalar(factor, bounds=beside, method="bounded", options={"xatol": 1e-10 * self.radius})
        return max(0.0, min(values[at], float(finer.fun)))

    def least_width(self, low: float, high: float) -> float:
        """Wood beside the voids at the height where least of it is left; the full width where there is no void."""
        levels = [y for y in self._marks() if low < y < high and any(hole.width_at(y) > 0 for hole, _p in self.holes)]
        if not levels:
            return self.right - self.left
        return max(0.0, min(self.width(y, bending=False) for y in levels))


def _edge(inside: Callable[[float], bool], good: float, bad: float) -> float:
    """Height at which wood ends between a height with wood and one without, by halving."""
    for _step in range(60):
        middle = (good + bad) / 2.0
        good, bad = (middle, bad) if inside(middle) else (good, middle)
    return good
