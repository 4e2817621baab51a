"""Every place of a wheel line across the roadway solved once; any vehicle, lane count and station is then a sum.

The harmonics of a deck stand apart, and a vehicle enters each only by the amplitude of its axles. So one set of unit
wheel lines, ``step_in`` apart from 24 in off the near curb (and off the far one, where the deck is not alike from both
sides), serves all vehicles: M(y) = sum_m A_m sin(k x) C_m(y, line). The same numbers as ``sweep_roadway`` gives one
place at a time (tested against it); only the grid of places is its own. D_1 must be nought, as for every deck here.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_array

from inventory.mechanics.errors import OutsideValidity, require_range

from .deck import Deck
from .fineness import Fineness
from .harmonics import Stretch
from .loads import CURB_IN, GAUGE_IN, LANE_GAP_IN, TIRE_LENGTH_IN, TIRE_WIDTH_IN, Axle
from .series import WidthSeries
from .strips import StripMesh, fine_nodes_in

SOURCE = "wheel lines across the roadway"
STEP_IN = 12.0
"""Divides the 6 ft gauge and the 4 ft between lanes, so that every wheel of every lane stands on the grid."""
LINES_OF_DECK_IN = 2.0
JOINT_LINES_IN = 4.0
FINENESS = Fineness(fine_in=2.0, coarse_in=3.0, peak_reach=40)


@dataclass(frozen=True, kw_only=True)
class Roadway:
    """A deck with its curbs (in from y = 0; outside the deck where the curb overhangs it) and the patch of a wheel."""

    deck: Deck
    near_curb_in: float
    far_curb_in: float
    length_in: float = TIRE_LENGTH_IN
    width_in: float = TIRE_WIDTH_IN

    def __post_init__(self) -> None:
        if self.deck.stiffness.d1_lbin:
            raise OutsideValidity(name="D_1", value=self.deck.stiffness.d1_lbin, valid="0", source=SOURCE)
        room = self.far_curb_in - self.near_curb_in
        least = GAUGE_IN + 2.0 * CURB_IN
        require_range(name="roadway between curbs", value=room, least=least, most=1200, unit="in", source=SOURCE)
        require_range(name="first wheel line", value=self.near_curb_in + CURB_IN, least=0, unit="in", source=SOURCE)
        last = self.far_curb_in - CURB_IN
        require_range(name="last wheel line", value=last, least=0, most=self.deck.width_in, unit="in", source=SOURCE)

    @property
    def most_lanes(self) -> int:
        """How many lanes of vehicles side by side the curbs leave room for, 1 to 6."""
        room = self.far_curb_in - self.near_curb_in - 2.0 * CURB_IN + LANE_GAP_IN
        return int(min(6, (room + 1e-6) // (GAUGE_IN + LANE_GAP_IN)))

    @property
    def is_alike_from_both_sides(self) -> bool:
        centred = abs(self.near_curb_in + self.far_curb_in - self.deck.width_in) < 1e-6
        return centred and self.deck.near_edge == self.deck.far_edge


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where a vehicle's first wheel line stands (in from y = 0), with so many lanes loaded."""

    lanes: int
    first_wheel_in: float


class WheelLines:
    """Unit wheel lines of one roadway; ask for moments per in, moments of strips, or the demand on joints."""

    def __init__(self, roadway: Roadway, *, fineness: Fineness = FINENESS) -> None:
        self.roadway, self.fineness = roadway, fineness
        first, last = roadway.near_curb_in + CURB_IN, roadway.far_curb_in - CURB_IN
        grid = np.arange(0.0, last - first + 1e-6, STEP_IN)
        anchored = [first + grid] if roadway.is_alike_from_both_sides else [first + grid, last - grid[::-1]]
        self._grids = [slice(0, len(grid)), slice(len(grid), 2 * len(grid))][: len(anchored)]
        self.lines_in = np.concatenate(anchored)
        self._strips: dict[tuple[float, ...], np.ndarray] = {}
        half = roadway.width_in / 2.0
        self._sides = np.clip(np.stack([self.lines_in - half, self.lines_in + half], axis=1), 0, roadway.deck.width_in)

    # What stands on a grid of lines becomes what stands under whole vehicles

    def places(self, lanes: int) -> list[Place]:
        """Every place tried for so many lanes, in the order of the last axis of the answers below."""
        starts = self._starts(lanes)
        return [Place(lanes=lanes, first_wheel_in=float(self.lines_in[at])) for at in starts]

    def _offsets(self, lanes: int) -> list[int]:
        pitch = GAUGE_IN + LANE_GAP_IN
        return [round((lane * pitch + side) / STEP_IN) for lane in range(lanes) for side in (0.0, GAUGE_IN)]

    def _starts(self, lanes: int) -> np.ndarray:
        reach = self._offsets(lanes)[-1]
        return np.concatenate([np.arange(grid.start, grid.stop - reach) for grid in self._grids])

    def whole_vehicles(self, single: np.ndarray, lanes: int) -> np.ndarray:
        """Answers per line (last axis) summed to answers per place of the vehicle in so many lanes."""
        starts = self._starts(lanes)
        return sum(single[..., starts + offset] for offset in self._offsets(lanes))

    # Along the span: finite strips

    @cached_property
    def _mesh(self) -> StripMesh:
        deck = self.roadway.deck
        fine = tuple((low - 6.0, high + 6.0) for low, high in self._sides)
        nodes = fine_nodes_in(
            width_in=deck.width_in, fine=fine, fine_in=self.fineness.fine_in, coarse_in=self.fineness.coarse_in
        )
        count = self.fineness.harmonics(
            reach=self.fineness.strip_reach, span_in=deck.span_in, parts=(self._unit_stretch(),)
        )
        return StripMesh(nodes_in=nodes, stiffness=deck.stiffness, edges=deck.edges, span_in=deck.span_in, count=count)

    def _curved(self) -> np.ndarray:
        """D_x k2 (Y, Y') under a unit amplitude on each line: (harmonics, unknowns, lines); too large to be kept."""
        mesh, deck = self._mesh, self.roadway.deck
        vectors = np.stack([mesh.load_vector(low_in=low, high_in=high) for low, high in self._sides], axis=1)
        unknowns = mesh.solve(np.broadcast_to(vectors, (len(mesh.k), *vectors.shape)).copy())
        return unknowns * (deck.stiffness.dx_lbin * mesh.k**2)[:, None, None]

    def _taken(self, rows: np.ndarray) -> np.ndarray:
        """Rows of weights on the unknowns, applied: (harmonics, rows, lines)."""
        curved = self._curved()
        count, unknowns, lines = curved.shape
        flat = np.ascontiguousarray(curved.transpose(1, 0, 2)).reshape(unknowns, count * lines)
        found = (csr_array(rows) @ flat).reshape(len(rows), count, lines)
        return np.ascontiguousarray(found.transpose(1, 0, 2))

    @cached_property
    def deck_lines_in(self) -> np.ndarray:
        """Lines across the width at which ``moments_along`` answers."""
        width = self.roadway.deck.width_in
        return np.linspace(0.0, width, int(np.ceil(width / LINES_OF_DECK_IN)) + 1)

    @cached_property
    def _along(self) -> np.ndarray:
        return self._taken(self._mesh.shapes(self.deck_lines_in)[0])

    def _of_strips(self, edges_in: tuple[float, ...]) -> np.ndarray:
        """D_x k2 Y summed over each strip, the edge beams with the outer ones: (harmonics, strips, lines), kept."""
        if edges_in not in self._strips:
            mesh, dx = self._mesh, self.roadway.deck.stiffness.dx_lbin
            rows = np.array(
                [mesh.load_vector(low_in=a, high_in=b) * (b - a) for a, b in zip(edges_in, edges_in[1:], strict=False)]
            )
            for strip, at, beam in zip((0, -1), (0, -2), self.roadway.deck.edges, strict=True):
                rows[strip, at] += beam.e_psi * beam.inertia_in4 / dx
            self._strips[edges_in] = self._taken(rows)
        return self._strips[edges_in]

    def moments_along_lbin_per_in(self, *, axles: tuple[Axle, ...], x_in: float) -> np.ndarray:
        """M_x at ``deck_lines_in`` under one wheel line of the axles on each line: (lines of deck, wheel lines)."""
        weights, rest = self._weights(axles, x_in)
        inside = np.clip(self.deck_lines_in, 1e-6, self.roadway.deck.width_in - 1e-6)[:, None]
        low, high = self._sides.T
        cover = (np.sign(np.round(inside - low, 9)) - np.sign(np.round(inside - high, 9))) / 2.0 / (high - low)
        return _summed_over_harmonics(weights, self._along) + rest * cover

    def strip_moments_lbin(self, *, axles: tuple[Axle, ...], x_in: float, edges_in: tuple[float, ...]) -> np.ndarray:
        """M_x summed over each strip, edge beams with the outer ones, under one wheel line: (strips, wheel lines)."""
        weights, rest = self._weights(axles, x_in)
        low, high = self._sides.T
        starts, stops = (np.array(edges_in, dtype=float)[at, None] for at in (slice(None, -1), slice(1, None)))
        cover = np.clip(np.minimum(stops, high) - np.maximum(starts, low), 0.0, None) / (high - low)
        return _summed_over_harmonics(weights, self._of_strips(tuple(edges_in))) + rest * cover

    def line_moment_lbin(self, *, axles: tuple[Axle, ...], x_in: float) -> float:
        """Beam moment of one wheel line of the axles, lb-in."""
        return self._stretch(axles).beam_moment(x_in=x_in, span_in=self.roadway.deck.span_in)

    def _weights(self, axles: tuple[Axle, ...], x_in: float) -> tuple[np.ndarray, float]:
        """A_m sin(k x), and the beam moment that the harmonics leave over (bent by each line of deck alone)."""
        mesh, stretch, span = self._mesh, self._stretch(axles), self.roadway.deck.span_in
        weights = stretch.amplitudes(count=len(mesh.k), span_in=span) * np.sin(mesh.k * x_in)
        return weights, stretch.beam_moment(x_in=x_in, span_in=span) - float(np.sum(weights / mesh.k**2))

    def _stretch(self, axles: tuple[Axle, ...]) -> Stretch:
        half, span, pieces = self.roadway.length_in / 2.0, self.roadway.deck.span_in, []
        for axle in axles:
            low, high = max(axle.x_in - half, 0.0), min(axle.x_in + half, span)
            if high > low:
                pieces.append((low, high, axle.wheel_lb / self.roadway.length_in))
        if not pieces:
            raise OutsideValidity(name="axles on the span", value=0, valid="at least 1", source=SOURCE)
        return Stretch(low_in=0.0, high_in=self.roadway.width_in, pieces=tuple(pieces))

    def _unit_stretch(self) -> Stretch:
        length = self.roadway.length_in
        return Stretch(low_in=0.0, high_in=1.0, pieces=((0.0, length, 1.0 / length),))

    # Across the laminations: exact

    @cached_property
    def joint_lines_in(self) -> np.ndarray:
        """Lines at which M_y is looked at: 4 in apart under and between the wheel lines, and the free edges."""
        first, last, width = float(self.lines_in.min()), float(self.lines_in.max()), self.roadway.deck.width_in
        inner = np.arange(first, last + 1e-6, JOINT_LINES_IN)
        return np.unique(np.round(np.concatenate([[0.0], inner, self.lines_in, [width]]), 6))

    def _series(self, reach: int) -> WidthSeries:
        deck = self.roadway.deck
        count = self.fineness.harmonics(reach=reach, span_in=deck.span_in, parts=(self._unit_stretch(),))
        return WidthSeries(
            width_in=deck.width_in, span_in=deck.span_in, stiffness=deck.stiffness, edges=deck.edges, count=count
        )

    @cached_property
    def _across(self) -> tuple[np.ndarray, np.ndarray]:
        """k and -D_y Y'' under a unit amplitude on each line: (harmonics, joint lines, wheel lines)."""
        series = self._series(self.fineness.series_reach)
        unit = series.unit_derivatives(sides_in=self._sides, y_in=self.joint_lines_in, orders=(2,))
        found = -self.roadway.deck.stiffness.dy_lbin * unit[0] * (series.k**2)[:, None, None]
        return series.k, np.ascontiguousarray(found)

    @cached_property
    def _sheared(self) -> tuple[np.ndarray, np.ndarray]:
        """k and Q_y at the edges of the patches under a unit amplitude on each line."""
        series, s = self._series(self.fineness.peak_reach), self.roadway.deck.stiffness
        sharp = np.unique(np.round(self._sides.ravel(), 6))
        slope, third = series.unit_derivatives(sides_in=self._sides, y_in=sharp, orders=(1, 3))
        found = (2.0 * s.dk_lbin * slope - s.dy_lbin * third) * (series.k**3)[:, None, None]
        return series.k, np.ascontiguousarray(found)

    def joint_moments_lbin_per_in(self, *, axles: tuple[Axle, ...], x_in: float) -> np.ndarray:
        """M_y at ``joint_lines_in``, sagging positive: (joint lines, wheel lines)."""
        return self._summed(self._across, axles, x_in)

    def joint_shears_lb_per_in(self, *, axles: tuple[Axle, ...], x_in: float) -> np.ndarray:
        """Q_y at the edges of all patches, where it has its peaks: (edges, wheel lines)."""
        return self._summed(self._sheared, axles, x_in)

    def _summed(self, unit: tuple[np.ndarray, np.ndarray], axles: tuple[Axle, ...], x_in: float) -> np.ndarray:
        k, answers = unit
        rate = self._stretch(axles).amplitudes(count=len(k), span_in=self.roadway.deck.span_in)
        return _summed_over_harmonics(rate * np.sin(k * x_in), answers)


def _summed_over_harmonics(weights: np.ndarray, answers: np.ndarray) -> np.ndarray:
    return (weights @ answers.reshape(len(weights), -1)).reshape(answers.shape[1:])
