"""Exact area and moments of slices of ellipses, for round members with holes and flat cuts.

A slice between two heights has the width b(y) = 2 a sqrt(1 - ((y - c)/h)2) of an ellipse of half-width a and
half-height h about the height c. With u = (y - c)/h:

    integral of sqrt(1 - u2) du = (u r + asin u)/2     of u r du = -r3/3     of u2 r du = (asin u + u r (2 u2 - 1))/8

where r = sqrt(1 - u2). Source: integral calculus; the second moment of a whole circle is pi R4/4.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, sqrt


@dataclass(frozen=True, kw_only=True)
class Ellipse:
    """Half-width, half-height and the height of the centre, in; a circle where the halves are equal."""

    half_width_in: float
    half_height_in: float
    centre_in: float

    def width_at(self, y_in: float) -> float:
        """Width at a height, in; 0 above and below."""
        u = (y_in - self.centre_in) / self.half_height_in
        return 2.0 * self.half_width_in * sqrt(1.0 - u * u) if abs(u) < 1.0 else 0.0

    def height_where(self, width_in: float) -> float:
        """Distance from the centre at which the width is ``width_in``, in; 0 where it is never so wide."""
        part = width_in / (2.0 * self.half_width_in)
        return self.half_height_in * sqrt(1.0 - part * part) if part < 1.0 else 0.0

    def moments(self, low_in: float, high_in: float) -> tuple[float, float, float]:
        """Integrals of b, b y and b y2 over the heights between, in2, in3, in4 (y from the soffit)."""
        low, high = (self._clipped(y) for y in (low_in, high_in))
        if high <= low:
            return 0.0, 0.0, 0.0
        zero, one, two = (b - a for a, b in zip(_primitives(low), _primitives(high), strict=True))
        scale, c, h = 2.0 * self.half_width_in * self.half_height_in, self.centre_in, self.half_height_in
        return (
            scale * zero,
            scale * (c * zero + h * one),
            scale * (c * c * zero + 2.0 * c * h * one + h * h * two),
        )

    def _clipped(self, y_in: float) -> float:
        return min(1.0, max(-1.0, (y_in - self.centre_in) / self.half_height_in))


def _primitives(u: float) -> tuple[float, float, float]:
    root = sqrt(max(0.0, 1.0 - u * u))
    turn = asin(u)
    return (u * root + turn) / 2.0, -(root**3) / 3.0, (turn + u * root * (2.0 * u * u - 1.0)) / 8.0


def strip_moments(width_in: float, low_in: float, high_in: float) -> tuple[float, float, float]:
    """The same integrals of a strip of constant width."""
    if high_in <= low_in:
        return 0.0, 0.0, 0.0
    return (
        width_in * (high_in - low_in),
        width_in * (high_in**2 - low_in**2) / 2.0,
        width_in * (high_in**3 - low_in**3) / 3.0,
    )
