"""A deck on two bearings with free long edges under wheel patches: deflection, moments, transverse shear.

M_x = -(D_x w,xx + D_1 w,yy)   M_y = -(D_y w,yy + D_1 w,xx)   M_xy = -2 D_k w,xy
Q_y = -(D_y w,yyy + (D_1 + 2 D_k) w,xxy)
Deflection and M_x by finite strips (``strips``), M_y, M_xy and Q_y exact across the width (``series``). Harmonics that
are left out bend each line of the deck as a beam under its own load: that rest is added to M_x in closed form, so
that M_x summed over the width (edge beams included) is the beam moment exactly. Thin plate, linear, no uplift at the
bearings, no skew. Source: plate theory; the page of worked cases (computed). Ranges: span 24 to 2400 in, width 24 to
1200 in.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.mechanics.errors import OutsideValidity, require_range

from .fineness import DEFAULT, Fineness
from .harmonics import Stretch, stretches, wave_numbers
from .loads import Patch
from .series import WidthSeries
from .stiffness import NO_EDGE_BEAM, EdgeBeam, PlateStiffness
from .strips import StripMesh, fine_nodes_in

SOURCE = "deck on two bearings with free edges"


@dataclass(frozen=True, kw_only=True)
class Deck:
    """Span between bearings and width between free edges (in), stiffness, and the beams under the edges if any."""

    span_in: float
    width_in: float
    stiffness: PlateStiffness
    near_edge: EdgeBeam = NO_EDGE_BEAM
    far_edge: EdgeBeam = NO_EDGE_BEAM

    def __post_init__(self) -> None:
        require_range(name="span", value=self.span_in, least=24, most=2400, unit="in", source=SOURCE)
        require_range(name="deck width", value=self.width_in, least=24, most=1200, unit="in", source=SOURCE)

    @property
    def edges(self) -> tuple[EdgeBeam, EdgeBeam]:
        return self.near_edge, self.far_edge


@dataclass(frozen=True, kw_only=True)
class Peak:
    """A largest value across the width and the line y (in) where it stands."""

    value: float
    y_in: float


@dataclass(frozen=True, kw_only=True)
class SectionPeaks:
    """Largest values over the width at station x: in; lb-in per in; lb per in (shear: the larger of both signs)."""

    x_in: float
    deflection: Peak
    moment_along: Peak
    sagging_across: Peak
    hogging_across: Peak
    shear_across: Peak

    @property
    def joint_moment_lbin_per_in(self) -> float:
        """M_T, the larger of sagging and hogging across the laminations, lb-in per in."""
        return max(self.sagging_across.value, -self.hogging_across.value)

    @property
    def joint_shear_lb_per_in(self) -> float:
        """V_T, lb per in."""
        return abs(self.shear_across.value)


class DeckResponse:
    """The answer of one deck to one set of patches; ask it at points, over a section, or per strip of width."""

    def __init__(
        self, *, deck: Deck, parts: tuple[Stretch, ...], fineness: Fineness, mesh: StripMesh | None = None
    ) -> None:
        self.deck, self._parts = deck, parts
        self._series_count = fineness.harmonics(reach=fineness.series_reach, span_in=deck.span_in, parts=parts)
        self._peak_count = fineness.harmonics(reach=fineness.peak_reach, span_in=deck.span_in, parts=parts)
        self._mesh = mesh or deck_mesh(deck=deck, parts=parts, fineness=fineness)
        self.lines_in = self._mesh.nodes_in
        count = len(self._mesh.k)
        self._amplitudes = [part.amplitudes(count=count, span_in=deck.span_in) for part in parts]
        vectors = [self._mesh.load_vector(low_in=part.low_in, high_in=part.high_in) for part in parts]
        load = sum(np.outer(rate, vector) for rate, vector in zip(self._amplitudes, vectors, strict=True))
        self._unknowns = self._mesh.solve(load)
        self._cache: dict[tuple, np.ndarray] = {}

    # Longitudinal: finite strips

    def deflection_in(self, *, x_in: float, y_in: float | np.ndarray) -> float | np.ndarray:
        """w, in, downward positive."""
        rows, _bend = self._mesh.shapes(self._lines(x_in, y_in))
        return _like(y_in, rows @ (self._sines(x_in) @ self._unknowns))

    def moment_along_lbin_per_in(self, *, x_in: float, y_in: float | np.ndarray) -> float | np.ndarray:
        """M_x, lb-in per in, sagging positive; on the edge of a patch the mean of both sides of the rest."""
        y, s = self._lines(x_in, y_in), self.deck.stiffness
        rows, bend = self._mesh.shapes(y)
        curved = (self._sines(x_in) * self._mesh.k**2) @ self._unknowns
        moment = s.dx_lbin * (rows @ curved)
        if s.d1_lbin:
            moment -= s.d1_lbin * (bend @ (self._sines(x_in) @ self._unknowns))
        for part, rest in zip(self._parts, self._rests(x_in), strict=True):
            moment += rest * part.cover(np.clip(y, 1e-6, self.deck.width_in - 1e-6))  # a free edge has one side only
        return _like(y_in, moment)

    def strip_moments_lbin(self, *, x_in: float, edges_in: tuple[float, ...]) -> tuple[float, ...]:
        """M_x summed between each two neighbouring lines of ``edges_in``, lb-in: the moment of a web or a foot.

        The first and the last line may be the free edges; edge beams are not in it (see ``edge_moments_lbin``).
        """
        y, s = self._lines(x_in, np.asarray(edges_in, dtype=float)), self.deck.stiffness
        if len(y) < 2 or np.any(np.diff(y) <= 0):
            raise OutsideValidity(name="strip edges", value=edges_in, valid="two or more, rising", source=SOURCE)
        curved = (self._sines(x_in) * self._mesh.k**2) @ self._unknowns
        flat = self._sines(x_in) @ self._unknowns
        found = []
        for low, high in zip(y, y[1:], strict=False):
            width = self._mesh.load_vector(low_in=low, high_in=high) * (high - low)
            total = s.dx_lbin * (width @ curved) - s.d1_lbin * (self._slope(flat, high) - self._slope(flat, low))
            for part, rest in zip(self._parts, self._rests(x_in), strict=True):
                shared = max(0.0, min(high, part.high_in) - max(low, part.low_in))
                total += rest * shared / part.width_in
            found.append(float(total))
        return tuple(found)

    def edge_moments_lbin(self, *, x_in: float) -> tuple[float, float]:
        """Moments of the two edge beams, lb-in: E I k2 Y sin kx summed."""
        self._lines(x_in, 0.0)
        curved = (self._sines(x_in) * self._mesh.k**2) @ self._unknowns
        near, far = self.deck.edges
        return near.e_psi * near.inertia_in4 * float(curved[0]), far.e_psi * far.inertia_in4 * float(curved[-2])

    def beam_moment_lbin(self, *, x_in: float) -> float:
        """Moment of all patches on a simple beam at x, lb-in: what strips and edge beams must add up to."""
        return sum(part.beam_moment(x_in=x_in, span_in=self.deck.span_in) for part in self._parts)

    # Transverse: exact across the width

    def moment_across_lbin_per_in(self, *, x_in: float, y_in: float | np.ndarray) -> float | np.ndarray:
        """M_y, lb-in per in, sagging positive."""
        y, s = self._lines(x_in, y_in), self.deck.stiffness
        flat, _slope, bend, _third = self._width(y, self._series_count)
        k, sine = self._waves(x_in, self._series_count)
        return _like(y_in, (sine * k**2) @ (s.d1_lbin * flat - s.dy_lbin * bend))

    def twist_lbin_per_in(self, *, x_in: float, y_in: float | np.ndarray) -> float | np.ndarray:
        """M_xy, lb-in per in."""
        y = self._lines(x_in, y_in)
        slope = self._width(y, self._series_count)[1]
        k = wave_numbers(count=self._series_count, span_in=self.deck.span_in)
        return _like(y_in, -2.0 * self.deck.stiffness.dk_lbin * ((np.cos(k * x_in) * k**2) @ slope))

    def shear_across_lb_per_in(
        self, *, x_in: float, y_in: float | np.ndarray, harmonics: int | None = None
    ) -> float | np.ndarray:
        """Q_y, lb per in, with the harmonics of the peak reach unless told otherwise."""
        y, s = self._lines(x_in, y_in), self.deck.stiffness
        count = harmonics or self._peak_count
        _flat, slope, _bend, third = self._width(y, count)
        k, sine = self._waves(x_in, count)
        return _like(y_in, (sine * k**3) @ ((s.d1_lbin + 2.0 * s.dk_lbin) * slope - s.dy_lbin * third))

    def section_peaks(self, *, x_in: float) -> SectionPeaks:
        """Largest w, M_x, M_y (both signs) and Q_y over the width at station x, at the lines of the mesh.

        Q_y is taken with all its harmonics at the edges of the patches, where it has its cusps, and with those of
        the series elsewhere.
        """
        y = self.lines_in
        sharp = np.unique([edge for part in self._parts for edge in (part.low_in, part.high_in)])
        across = self.moment_across_lbin_per_in(x_in=x_in, y_in=y)
        shear = np.concatenate(
            [
                self.shear_across_lb_per_in(x_in=x_in, y_in=sharp),
                self.shear_across_lb_per_in(x_in=x_in, y_in=y, harmonics=self._series_count),
            ]
        )
        return SectionPeaks(
            x_in=x_in,
            deflection=_peak(self.deflection_in(x_in=x_in, y_in=y), y),
            moment_along=_peak(self.moment_along_lbin_per_in(x_in=x_in, y_in=y), y),
            sagging_across=_peak(across, y),
            hogging_across=_peak(across, y, least=True),
            shear_across=_peak(shear, np.concatenate([sharp, y]), either=True),
        )

    def _lines(self, x_in: float, y_in: float | np.ndarray) -> np.ndarray:
        require_range(name="station", value=float(x_in), least=0, most=self.deck.span_in, unit="in", source=SOURCE)
        y = np.atleast_1d(np.asarray(y_in, dtype=float))
        for worst in (float(y.min()), float(y.max())):
            require_range(name="line y", value=worst, least=0, most=self.deck.width_in, unit="in", source=SOURCE)
        return y

    def _waves(self, x_in: float, count: int) -> tuple[np.ndarray, np.ndarray]:
        k = wave_numbers(count=count, span_in=self.deck.span_in)
        return k, np.sin(k * x_in)

    def _sines(self, x_in: float) -> np.ndarray:
        return np.sin(self._mesh.k * x_in)

    def _rests(self, x_in: float) -> list[float]:
        """Beam moment of each stretch less what its harmonics already carry, lb-in."""
        weights = self._sines(x_in) / self._mesh.k**2
        exact = (part.beam_moment(x_in=x_in, span_in=self.deck.span_in) for part in self._parts)
        return [moment - float(weights @ rate) for moment, rate in zip(exact, self._amplitudes, strict=True)]

    def _slope(self, flat: np.ndarray, y_in: float) -> float:
        """w,y at a line from cubic elements."""
        nodes = self.lines_in
        at = int(np.clip(np.searchsorted(nodes, y_in, side="right") - 1, 0, len(nodes) - 2))
        h = nodes[at + 1] - nodes[at]
        z = (y_in - nodes[at]) / h
        shape = np.array([6 * (z * z - z) / h, 1 - 4 * z + 3 * z * z, 6 * (z - z * z) / h, 3 * z * z - 2 * z])
        return float(shape @ flat[2 * at : 2 * at + 4])

    def _width(self, y: np.ndarray, count: int) -> np.ndarray:
        key = (count, y.tobytes())
        if key not in self._cache:
            deck = self.deck
            series = WidthSeries(
                width_in=deck.width_in, span_in=deck.span_in, stiffness=deck.stiffness, edges=deck.edges, count=count
            )
            self._cache[key] = series.derivatives(stretches=self._parts, y_in=y)
        return self._cache[key]


def analyse_deck(*, deck: Deck, patches: tuple[Patch, ...], fineness: Fineness = DEFAULT) -> DeckResponse:
    """The response of a deck to wheel patches of any number of vehicles and lanes together.

    Raises ``OutsideValidity`` for a patch whose centre is off the deck, or no load on the span. No impact, no
    multiple presence factor: the caller applies the code's.
    """
    parts = stretches(patches=patches, span_in=deck.span_in, width_in=deck.width_in)
    return DeckResponse(deck=deck, parts=parts, fineness=fineness)


def deck_mesh(*, deck: Deck, parts: tuple[Stretch, ...], fineness: Fineness = DEFAULT) -> StripMesh:
    """Strips of a deck, fine within 6 in of every stretch; good for any load that stands on fine strips."""
    near = tuple((part.low_in - 6.0, part.high_in + 6.0) for part in parts)
    exact = tuple((part.low_in, part.high_in) for part in parts)
    return StripMesh(
        nodes_in=fine_nodes_in(
            width_in=deck.width_in, fine=near + exact, fine_in=fineness.fine_in, coarse_in=fineness.coarse_in
        ),
        stiffness=deck.stiffness,
        edges=deck.edges,
        span_in=deck.span_in,
        count=fineness.harmonics(reach=fineness.strip_reach, span_in=deck.span_in, parts=parts),
    )


def _like(y_in: float | np.ndarray, values: np.ndarray) -> float | np.ndarray:
    return float(values[0]) if np.ndim(y_in) == 0 else values


def _peak(values: np.ndarray, y: np.ndarray, *, least: bool = False, either: bool = False) -> Peak:
    at = int(np.argmin(values) if least else np.argmax(np.abs(values) if either else values))
    return Peak(value=float(values[at]), y_in=float(y[at]))
