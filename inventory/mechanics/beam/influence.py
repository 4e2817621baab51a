"""Influence lines of a continuous stringer: exact cubic pieces for moment, shear and reaction.

The moment over each support under a unit load is a cubic of the load's place in every span (see ``continuous``); so is
whatever follows from it by statics. A line is kept as pieces c0 + c1 t + c2 t2 + c3 t3, t in ft from the start of the
piece. Where a line jumps (shear at its section, an end reaction at the end) both sides are kept, one in each piece.
Off the pieces the line is 0. Source: mechanics (Mueller-Breslau lines are these cubics; memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import NamedTuple

from scipy.optimize import brentq

from .continuous import ContinuousBeam

_ROUNDING = 1e-12
_NO_CUBIC = (0.0, 0.0, 0.0, 0.0)


class Piece(NamedTuple):
    """One cubic: from ``start_ft`` to ``end_ft`` along the beam, coefficients in t = place - start."""

    start_ft: float
    end_ft: float
    cubic: tuple[float, float, float, float]

    def at(self, t: float) -> float:
        c0, c1, c2, c3 = self.cubic
        return c0 + t * (c1 + t * (c2 + t * c3))

    def from_here(self, t: float, end: float) -> Piece:
        """The part between t and ``end`` (both ft from the start) as a piece of its own."""
        _c0, c1, c2, c3 = self.cubic
        shifted = (self.at(t), c1 + t * (2.0 * c2 + 3.0 * c3 * t), c2 + 3.0 * c3 * t, c3)
        return Piece(self.start_ft + t, self.start_ft + end, shifted)

    def flat_places(self) -> list[float]:
        """t of the places inside where the slope is 0."""
        _c0, c1, c2, c3 = self.cubic
        root = c2 * c2 - 3.0 * c1 * c3
        if root < 0.0:
            return []
        q = -(c2 + (sqrt(root) if c2 >= 0.0 else -sqrt(root)))  # no difference of near equals
        found = ([q / (3.0 * c3)] if c3 else []) + ([c1 / q] if q else [])
        return sorted(t for t in found if 0.0 < t < self.end_ft - self.start_ft)

    def crossings(self) -> list[float]:
        """t of the places inside where the value changes its sign."""
        length = self.end_ft - self.start_ft
        tiny = _ROUNDING * max(abs(c) * length**power for power, c in enumerate(self.cubic))
        marks = [0.0, *self.flat_places(), length]
        values = [self.at(t) for t in marks]
        found = []
        for low, high, first, last in zip(marks, marks[1:], values, values[1:], strict=False):
            if abs(first) > tiny and abs(last) > tiny and (first > 0.0) != (last > 0.0):
                found.append(brentq(self.at, low, high, xtol=1e-14, rtol=8.9e-16))
        return found


@dataclass(frozen=True, kw_only=True)
class InfluenceLine:
    """A line in pieces from left to right. ``effect`` is moment (ft), shear or reaction (both plain numbers)."""

    effect: str
    pieces: tuple[Piece, ...]

    def ordinate(self, *, place_ft: float) -> float:
        """The line at a place along the beam; at a jump the side to the right, but at the far end the left one."""
        for piece in reversed(self.pieces):
            if piece.start_ft <= place_ft < piece.end_ft or (piece is self.pieces[-1] and place_ft == piece.end_ft):
                return piece.at(place_ft - piece.start_ft)
        return 0.0

    def adding(self, *, sign: int) -> InfluenceLine:
        """``sign`` (+1 or -1) times the line where that is above 0; the places between carry nothing."""
        kept = []
        for whole in self.pieces:
            piece = Piece(whole.start_ft, whole.end_ft, tuple(sign * c for c in whole.cubic))
            marks = [0.0, *piece.crossings(), piece.end_ft - piece.start_ft]
            for low, high in zip(marks, marks[1:], strict=False):
                if _stands_above(piece, low, high):
                    kept.append(piece.from_here(low, high))
        return InfluenceLine(effect=self.effect, pieces=tuple(kept))

    def turned(self, *, sign: int) -> InfluenceLine:
        """``sign`` times the whole line."""
        pieces = tuple(Piece(p.start_ft, p.end_ft, tuple(sign * c for c in p.cubic)) for p in self.pieces)
        return InfluenceLine(effect=self.effect, pieces=pieces)

    def area(self) -> float:
        """Exact area under the line, ft times its unit."""
        total = 0.0
        for piece in self.pieces:
            length = piece.end_ft - piece.start_ft
            total += sum(c * length ** (power + 1) / (power + 1) for power, c in enumerate(piece.cubic))
        return total

    def peak(self, *, from_ft: float, to_ft: float) -> tuple[float, float]:
        """(largest ordinate, its place ft) between two places that are ends of pieces; (0, from) if none is above 0."""
        best, place = 0.0, from_ft
        for piece in self.pieces:
            if piece.start_ft < from_ft - 1e-9 or piece.end_ft > to_ft + 1e-9:
                continue
            for t in (0.0, *piece.flat_places(), piece.end_ft - piece.start_ft):
                if piece.at(t) > best:
                    best, place = piece.at(t), piece.start_ft + t
        return best, place


def _stands_above(piece: Piece, low: float, high: float) -> bool:
    """Whether the piece is above 0 by more than rounding somewhere between two neighbouring crossings."""
    tiny = _ROUNDING * max(abs(c) * (piece.end_ft - piece.start_ft) ** power for power, c in enumerate(piece.cubic))
    tries = (low, (low + high) / 2.0, high, *(t for t in piece.flat_places() if low < t < high))
    return max(piece.at(t) for t in tries) > tiny and piece.at((low + high) / 2.0) > 0.0


def _support_cubic(beam: ContinuousBeam, support: int, span: int) -> tuple[float, ...]:
    """Moment over a support (from 0) as a cubic of the place a of a unit load in a span (from 0)."""
    length, ei = beam.spans_ft[span], beam.relative_ei[span]
    left, right = beam.support_matrix[support][span] / ei, beam.support_matrix[support][span + 1] / ei
    return (0.0, -(2.0 * left + right) * length, 3.0 * left, (right - left) / length)


def _mixed(*terms: tuple[float, tuple[float, ...]]) -> tuple[float, ...]:
    return tuple(sum(factor * cubic[power] for factor, cubic in terms) for power in range(4))


def _plus(cubic: tuple[float, ...], constant: float, slope: float) -> tuple[float, ...]:
    return (cubic[0] + constant, cubic[1] + slope, cubic[2], cubic[3])


def _section_line(beam, effect: str, span: int, x: float, shares, near, far) -> InfluenceLine:
    """Pieces of a line that takes ``shares`` of the two support moments and a broken straight line in its own span."""
    pieces = []
    for k, length in enumerate(beam.spans_ft):
        start = beam.supports_ft[k]
        cubic = _mixed((shares[0], _support_cubic(beam, span, k)), (shares[1], _support_cubic(beam, span + 1, k)))
        if k != span:
            pieces.append(Piece(start, beam.supports_ft[k + 1], cubic))
            continue
        if x > 0.0:
            pieces.append(Piece(start, start + x, _plus(cubic, *near)))
        if x < length:
            whole = Piece(start, beam.supports_ft[k + 1], _plus(cubic, *far))
            rest = whole.from_here(x, length)
            pieces.append(Piece(rest.start_ft, whole.end_ft, rest.cubic))
    return InfluenceLine(effect=effect, pieces=tuple(pieces))


def moment_line(*, beam: ContinuousBeam, span_no: int, station_ft: float) -> InfluenceLine:
    """Moment at a section, ft (lb-ft per lb), sagging positive.

    I = m(a) + M_left (1 - x/L) + M_right x/L with m = a (L - x)/L left of the section, x (L - a)/L right of it, 0 in
    other spans. Range as ``ContinuousBeam``; raises ``OutsideValidity``. Source: mechanics.
    """
    beam.check_station(span_no=span_no, station_ft=station_ft)
    span = beam.spans_ft[span_no - 1]
    part = station_ft / span
    near, far = (0.0, 1.0 - part), (station_ft, -part)
    return _section_line(beam, "moment", span_no - 1, station_ft, (1.0 - part, part), near, far)


def shear_line(*, beam: ContinuousBeam, span_no: int, station_ft: float) -> InfluenceLine:
    """Shear at a section: -a/L left of it, 1 - a/L right of it, plus (M_right - M_left)/L; jumps by 1 at the section.

    Station 0 is just right of a support, station L just left of the next. Source: mechanics.
    """
    beam.check_station(span_no=span_no, station_ft=station_ft)
    slope = 1.0 / beam.spans_ft[span_no - 1]
    return _section_line(beam, "shear", span_no - 1, station_ft, (-slope, slope), (0.0, -slope), (1.0, -slope))


def reaction_line(*, beam: ContinuousBeam, support_no: int) -> InfluenceLine:
    """Reaction of a support, upwards positive: shear just right of it less shear just left of it. Source: mechanics."""
    beam.check_support(support_no=support_no)
    here = support_no - 1
    pieces = []
    for k in range(len(beam.spans_ft)):
        cubic = _NO_CUBIC
        if here < len(beam.spans_ft):
            right = 1.0 / beam.spans_ft[here]
            ends = _support_cubic(beam, here + 1, k), _support_cubic(beam, here, k)
            cubic = _mixed((1.0, cubic), (right, ends[0]), (-right, ends[1]))
            cubic = _plus(cubic, 1.0, -right) if k == here else cubic
        if here > 0:
            left = 1.0 / beam.spans_ft[here - 1]
            ends = _support_cubic(beam, here, k), _support_cubic(beam, here - 1, k)
            cubic = _mixed((1.0, cubic), (-left, ends[0]), (left, ends[1]))
            cubic = _plus(cubic, 0.0, left) if k == here - 1 else cubic
        pieces.append(Piece(beam.supports_ft[k], beam.supports_ft[k + 1], cubic))
    return InfluenceLine(effect="reaction", pieces=tuple(pieces))
