"""A deck as a thin orthotropic plate by a general finite element library: bicubic elements of 16 unknowns.

The library meshes, integrates, assembles and solves; here stand only the weak form of the plate, the free edges with
their beams, and the tire prints. Moments are looked at where such elements are best: second derivatives at the points
of two-point integration, third ones at the middle of an element. The library makes its element's functions from powers
of the coordinates themselves, so small elements far from the origin lose figures: the origin stands amid the wheels.
"""

from __future__ import annotations

import logging
from dataclasses import dataclass

import numpy as np
from skfem import Basis, BilinearForm, ElementQuadBFS, FacetBasis, LinearForm, MeshQuad, condense, solve
from skfem.helpers import dd, ddd

from inventory.mechanics.plate import Deck, Patch

logging.getLogger("skfem").setLevel(logging.WARNING)


class Bicubic(ElementQuadBFS):
    """The library's element, asked for third derivatives too."""

    derivatives = 3


TWO_POINTS = 0.5 + np.array([-0.5, 0.5]) / np.sqrt(3.0)


def lines_of(length: float, marks: list[tuple[float, float]], fine: float, coarse: float) -> np.ndarray:
    """Mesh lines: every mark, ``fine`` apart within and just beyond a pair of marks, growing to ``coarse``."""
    stops = sorted({0.0, length, *(min(max(edge, 0.0), length) for pair in marks for edge in pair)})
    stops = [a for a, b in zip(stops, [*stops[1:], 2 * length], strict=True) if b - a > 0.05 or a in (0.0, length)]
    found = [0.0]
    for low, high in zip(stops, stops[1:], strict=False):
        loaded = any(a < (low + high) / 2 < b for a, b in marks)
        if loaded:
            steps = np.full(max(1, round((high - low) / fine)), 1.0)
        else:
            steps = _growing(high - low, fine, coarse)
        found += list(low + (high - low) * np.cumsum(steps) / steps.sum())
    return np.array(found)


def _growing(length: float, fine: float, coarse: float) -> np.ndarray:
    """Steps from fine at both ends to coarse in the middle, each 1.6 times the one before."""
    half, step = [], fine
    while sum(half) + step < length / 2:
        half.append(step)
        step = min(coarse, step * 1.6)
    return np.array([*half, *half[::-1]]) if half else np.ones(max(1, round(length / fine)))


@dataclass
class Column:
    """Values over the width at one station: y, and one value per y."""

    x_in: float
    y_in: np.ndarray
    value: np.ndarray


class PlateByElements:
    """The library's answer for a deck under patches; ``fine`` and ``coarse`` element sizes across it, in.

    Along the span, where a patch is 10 in long, elements are 5/3 as large. ``beams`` are (y in, E I lb-in2), each a
    line of mesh that bends with the plate.
    """

    def __init__(
        self,
        deck: Deck,
        patches: tuple[Patch, ...],
        *,
        fine: float = 2.0,
        coarse: float = 24.0,
        beams: tuple[tuple[float, float], ...] = (),
    ) -> None:
        self.deck = deck
        along = [(p.x_in - p.length_in / 2, p.x_in + p.length_in / 2) for p in patches]
        across = [(p.y_in - p.width_in / 2, p.y_in + p.width_in / 2) for p in patches]
        self.xs = lines_of(deck.span_in, along, 5.0 * fine / 3.0, 5.0 * coarse / 3.0)
        self.ys = lines_of(deck.width_in, across + [(y, y) for y, _stiff in beams], fine, coarse)
        self.beams = beams
        middle = min((p.x_in for p in patches), key=lambda x: abs(x - deck.span_in / 2))
        self.origin = np.array([middle, sum(p.y_in for p in patches) / len(patches)])
        mesh = MeshQuad.init_tensor(self.xs - self.origin[0], self.ys - self.origin[1])
        self.basis = Basis(mesh, ElementQuadBFS(), intorder=6)
        matrix = self._stiffness()
        held = self.basis.get_dofs(lambda x: (x[0] < mesh.p[0].min() + 1e-9) | (x[0] > mesh.p[0].max() - 1e-9)).nodal
        self._system = matrix, np.concatenate([held["u"], held["u_y"]])
        self.unknowns = self.answer(patches)

    @property
    def size(self) -> int:
        return self._system[0].shape[0]

    def load(self, patches: tuple[Patch, ...]) -> np.ndarray:
        @LinearForm
        def pressed(v, w):
            x, y = w.x[0] + self.origin[0], w.x[1] + self.origin[1]
            total = 0.0 * x
            for p in patches:
                inside = (abs(x - p.x_in) < p.length_in / 2) & (abs(y - p.y_in) < p.width_in / 2)
                total = total + inside * p.load_lb / (p.length_in * p.width_in)
            return total * v

        return pressed.assemble(self.basis)

    def answer(self, patches: tuple[Patch, ...]) -> np.ndarray:
        matrix, held = self._system
        return solve(*condense(matrix, self.load(patches), D=held))

    def _stiffness(self):
        s = self.deck.stiffness

        @BilinearForm
        def plate(u, v, w):
            a, b = dd(u), dd(v)
            bent = s.dx_lbin * a[0, 0] * b[0, 0] + s.dy_lbin * a[1, 1] * b[1, 1]
            poisson = s.d1_lbin * (a[0, 0] * b[1, 1] + a[1, 1] * b[0, 0])
            return bent + poisson + 4.0 * s.dk_lbin * a[0, 1] * b[0, 1]

        matrix = plate.assemble(self.basis)
        edges = ((0.0, self.deck.near_edge), (self.deck.width_in, self.deck.far_edge))
        lines = [(at, b.e_psi * b.inertia_in4, b.g_psi * b.torsion_in4) for at, b in edges]
        for at, ei, gj in [*lines, *((y, stiff, 0.0) for y, stiff in self.beams)]:
            if ei == 0 and gj == 0:
                continue

            @BilinearForm
            def edge(u, v, w, ei=ei, gj=gj):
                return ei * dd(u)[0, 0] * dd(v)[0, 0] + gj * dd(u)[0, 1] * dd(v)[0, 1]

            edge_y = at - self.origin[1]
            facets = self.basis.mesh.facets_satisfying(lambda x, edge_y=edge_y: abs(x[1] - edge_y) < 1e-6)
            matrix = matrix + edge.assemble(FacetBasis(self.basis.mesh, ElementQuadBFS(), facets=facets, intorder=6))
        return matrix

    def _look(self, column: int, points: np.ndarray):
        """The field on one column of elements (between xs[column] and the next) at reference points; y of them."""
        middle = (self.xs[column] + self.xs[column + 1]) / 2 - self.origin[0]
        mesh = self.basis.mesh
        elements = np.nonzero(abs(mesh.p[0, mesh.t].mean(axis=0) - middle) < 1e-6)[0]
        view = Basis(
            mesh, Bicubic(), elements=elements, quadrature=(points, np.ones(points.shape[1]) / points.shape[1])
        )
        return view.interpolate(self.unknowns), np.asarray(view.global_coordinates()) + self.origin[:, None, None]

    def columns(self, column: int) -> dict[str, Column]:
        """w, M_x and M_y at a station of two-point integration, Q_y at the middle of the column."""
        s, found = self.deck.stiffness, {}
        field, place = self._look(column, np.array([np.repeat(TWO_POINTS, 2), np.tile(TWO_POINTS, 2)]))
        bent = dd(field)

        def at(values, x, y):
            """The points of the nearer of the two stations, in order of y."""
            here = np.nonzero(x.ravel() < x.min() + 1e-6)[0]
            here = here[np.argsort(y.ravel()[here])]
            return Column(x_in=float(x.min()), y_in=y.ravel()[here], value=np.asarray(values).ravel()[here])

        found["deflection"] = at(field, *place)
        found["moment along"] = at(-(s.dx_lbin * bent[0, 0] + s.d1_lbin * bent[1, 1]), *place)
        found["moment across"] = at(-(s.dy_lbin * bent[1, 1] + s.d1_lbin * bent[0, 0]), *place)
        field, place = self._look(column, np.array([[0.5], [0.5]]))
        third = ddd(field)
        shear = -(s.dy_lbin * third[1, 1, 1] + (s.d1_lbin + 2.0 * s.dk_lbin) * third[0, 0, 1])
        found["shear across"] = at(shear, *place)
        return found

    def beam_moment_lbin(self, beam: int, column: int) -> float:
        """E I times the mean curvature of a beam over one column of elements, from the slopes at its two ends."""
        y, stiff = self.beams[beam]
        ends = self.basis.mesh.p + self.origin[:, None]
        nodes = [np.argmin(np.hypot(ends[0] - self.xs[at], ends[1] - y)) for at in (column, column + 1)]
        assert np.allclose(ends[1, nodes], y)
        low, high = self.unknowns[self.basis.nodal_dofs[1, nodes]]
        return float(-stiff * (high - low) / (self.xs[column + 1] - self.xs[column]))

    def column_at(self, x_in: float) -> int:
        """The column of elements that begins at or holds a station."""
        return int(np.clip(np.searchsorted(self.xs, x_in + 1e-6) - 1, 0, len(self.xs) - 2))
