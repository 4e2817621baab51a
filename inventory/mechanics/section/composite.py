"""A web with laminated flanges pressed to its sides, transformed to web material.

n = E_flange / E_web; I and the centroid of the transformed section; shear on the web alone, I b_web / Q. Effective
flange width with shear lag of an orthotropic flange under a half-sine moment, no strain across it (``model``):
k = (pi/L) sqrt(E_L/G_LT), width of one side b_c tanh(k b_c) / (k b_c), b_c half the clear distance between webs.
Source: mechanics; the published expressions for T and box sections were not available.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt, tanh

from inventory.mechanics.errors import require_range

from .rectangle import SurfaceLoss, Void, net_strips

SOURCE = "transformed section of a stressed T or box beam"
SHEAR_STIFFNESS_RATIO = 0.03
"""G_LT / E_L of a stress-laminated flange at service pressure (EM 7700-8 chapter 9, memory)."""


@dataclass(frozen=True, kw_only=True)
class Flange:
    """Flange between ``low_in`` and ``high_in`` above the soffit, effective ``width_in`` beside the web, ratio n."""

    low_in: float
    high_in: float
    width_in: float
    ratio: float

    @property
    def area_in2(self) -> float:
        return (self.high_in - self.low_in) * self.width_in * self.ratio

    @property
    def centre_in(self) -> float:
        return (self.high_in + self.low_in) / 2.0


@dataclass(frozen=True, kw_only=True)
class CompositeSection:
    """Transformed section in inches, web material: I, centroid above the soffit, web edges, least I b_web / Q."""

    area_in2: float
    inertia_in4: float
    centroid_in: float
    web_low_in: float
    web_high_in: float
    shear_in2: float
    least_width_in: float


def effective_side_in(*, clear_in: float, span_ft: float, shear_ratio: float = SHEAR_STIFFNESS_RATIO) -> float:
    """Effective width of the flange on one side of a web, in; ``clear_in`` between webs. At most half of L/4."""
    require_range(name="clear distance between webs", value=clear_in, least=0, most=72, unit="in", source=SOURCE)
    require_range(name="span", value=span_ft, above=0, most=200, unit="ft", source=SOURCE)
    require_range(name="ratio of shear modulus", value=shear_ratio, above=0, most=1, source=SOURCE)
    half = clear_in / 2.0
    if half == 0:
        return 0.0
    lag = pi / (span_ft * 12.0) * sqrt(1.0 / shear_ratio) * half
    return min(half * tanh(lag) / lag, span_ft * 12.0 / 8.0)


def composite_section(
    *,
    width_in: float,
    depth_in: float,
    flanges: tuple[Flange, ...],
    surface: tuple[SurfaceLoss, ...] = (),
    voids: tuple[Void, ...] = (),
) -> CompositeSection | None:
    """Transformed section of a web with its losses and flanges; None where a loss leaves no connected web."""
    bending, shear = net_strips(width_in=width_in, depth_in=depth_in, surface=surface, voids=voids)
    if not bending or any(b <= 0 for _s, _t, b in bending):
        return None
    area, centroid, inertia, _parts = _transformed(bending, flanges)
    _area, axis, stiff, parts = _transformed(shear, flanges)
    return CompositeSection(
        area_in2=area,
        inertia_in4=inertia,
        centroid_in=centroid,
        web_low_in=bending[0][0],
        web_high_in=bending[-1][1],
        shear_in2=_least_web_shear(shear, parts, axis, stiff),
        least_width_in=min(b for _s, _t, b in shear),
    )


def _transformed(web, flanges):
    """Area, centroid, I and the list of all strips (low, high, transformed width)."""
    parts = list(web) + [(f.low_in, f.high_in, f.width_in * f.ratio) for f in flanges]
    area = sum(b * (t - s) for s, t, b in parts)
    centroid = sum(b * (t - s) * (t + s) / 2.0 for s, t, b in parts) / area
    inertia = sum(b * (t - s) ** 3 / 12.0 + b * (t - s) * ((t + s) / 2.0 - centroid) ** 2 for s, t, b in parts)
    return area, centroid, inertia, parts


def _least_web_shear(web, parts, axis: float, inertia: float) -> float:
    """Least I b / Q with b of the web alone, at the neutral axis and at every edge of a strip within the web."""
    if any(b <= 0 for _s, _t, b in web):
        return 0.0
    low, high = web[0][0], web[-1][1]
    levels = {axis} | {edge for s, t, _b in parts for edge in (s, t)}
    factors = []
    for level in levels:
        if not low <= level <= high:
            continue
        moment = sum(b * (t - max(s, level)) * ((t + max(s, level)) / 2.0 - axis) for s, t, b in parts if t > level)
        touching = [b for s, t, b in web if s <= level <= t]
        if moment > 1e-9 * inertia and touching:
            factors.append(inertia * min(touching) / moment)
    return min(factors)
