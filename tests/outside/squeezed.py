"""A deck squeezed at its bar lines, by a general finite element library: the scalar problem, and plane stress.

Half of the width is meshed, v = 0 on the centre line; the closing at a bar is twice the mean displacement under its
bearing. Quadratic elements on a mesh with lines at every bearing's edges, finer towards the loaded edge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementQuad2, ElementVector, FacetBasis, LinearForm, MeshQuad, condense
from skfem.helpers import ddot, dot, grad, sym_grad

from inventory.mechanics.bars.jacking import Squeezed


@dataclass(frozen=True)
class SqueezedByElements:
    """``fine`` is the number of elements under a bearing; ``e_along_psi`` and ``poisson`` only for plane stress."""

    deck: Squeezed
    stations_in: tuple[float, ...]
    fine: int = 8
    e_along_psi: float | None = None
    poisson: float = 0.37

    def flexibility(self) -> np.ndarray:
        """C, in per lb, (n, n): closing at bar i for 1 lb in bar j."""
        mesh = MeshQuad.init_tensor(self._along(), self._across())
        scalar = self.e_along_psi is None
        element = ElementQuad2() if scalar else ElementVector(ElementQuad2())
        basis = Basis(mesh, element, intorder=5)
        matrix = self._scalar_stiffness(basis) if scalar else self._plane_stiffness(basis)
        loads = np.stack([self._under(mesh, element, station) for station in self.stations_in], axis=1)
        held = self._held(basis, scalar)
        inner, _, _, free = condense(matrix, np.zeros(matrix.shape[0]), D=held)
        moved = np.zeros_like(loads)
        moved[free] = splu(inner.tocsc()).solve(loads[free])
        return 2.0 * loads.T @ moved / self.deck.thickness_in

    def _along(self) -> np.ndarray:
        """Mesh lines along the span, finest at the edges of the bearings."""
        half, length = self.deck.bearing_length_in / 2.0, self.deck.deck_length_in
        edges = sorted({0.0, length} | {s + side * half for s in self.stations_in for side in (-1, 1)})
        lines, step = {0.0, length}, 2.0 * half / self.fine
        for first, last in zip(edges, edges[1:], strict=False):
            lines |= set(first + (last - first) * _graded(last - first, step / 4.0))
        return np.array(sorted(lines))

    def _across(self) -> np.ndarray:
        half = self.deck.deck_width_in / 2.0
        parts = _graded(2.0 * half, self.deck.bearing_length_in / self.fine / 4.0)
        return 2.0 * half * parts[: len(parts) // 2 + 1][::-1] * -1.0 + half

    def _scalar_stiffness(self, basis):
        across, shear = self.deck.e_transverse_psi, self.deck.shear_modulus_psi * self.deck.reach_factor**2

        @BilinearForm
        def strain(v, w, _):
            return across * grad(v)[1] * grad(w)[1] + shear * grad(v)[0] * grad(w)[0]

        return strain.assemble(basis)

    def _plane_stiffness(self, basis):
        along, across, shear = self.e_along_psi, self.deck.e_transverse_psi, self.deck.shear_modulus_psi
        other = self.poisson * across / along
        scale = 1.0 / (1.0 - self.poisson * other)

        @BilinearForm
        def strain(u, v, _):
            e = sym_grad(u)
            sx = scale * (along * e[0, 0] + self.poisson * across * e[1, 1])
            sy = scale * (across * e[1, 1] + self.poisson * across * e[0, 0])
            sxy = 2.0 * shear * e[0, 1]
            return ddot(np.array([[sx, sxy], [sxy, sy]]), sym_grad(v))

        return strain.assemble(basis)

    def _under(self, mesh, element, station: float) -> np.ndarray:
        """Mean displacement under a bearing as a form: also the load of 1 lb spread evenly over it, per in of depth."""
        half, top = self.deck.bearing_length_in / 2.0, mesh.p[1].max()
        facets = mesh.facets_satisfying(
            lambda x: (np.abs(x[1] - top) < 1e-9) & (np.abs(x[0] - station) < half), boundaries_only=True
        )
        basis = FacetBasis(mesh, element, facets=facets, intorder=5)
        width = 2.0 * half

        @LinearForm
        def pressed(v, w):
            return (v if self.e_along_psi is None else dot(np.array([0.0 * w.x[0], 1.0 + 0.0 * w.x[0]]), v)) / width

        return pressed.assemble(basis)

    def _held(self, basis, scalar: bool) -> np.ndarray:
        """v = 0 on the centre line; in plane stress also one point of it along the span."""
        line = basis.get_dofs(lambda x: x[1] < 1e-9)
        if scalar:
            return line.all()
        return np.concatenate([line.all(["u^2"]), line.all(["u^1"])[:1]])


def _graded(length: float, smallest: float) -> np.ndarray:
    """Parts 0 to 1 of a length, steps from ``smallest`` at both ends growing by 1.4 towards the middle."""
    steps = [smallest]
    while sum(steps) < length / 2.0:
        steps.append(steps[-1] * 1.4)
    half = np.concatenate([[0.0], np.cumsum(steps)])
    half = half / half[-1] / 2.0
    return np.concatenate([half, 1.0 - half[-2::-1]])
