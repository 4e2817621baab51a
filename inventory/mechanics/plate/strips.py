"""Finite strips: w = sum Y_m(y) sin(m pi x/a), Y by cubic Hermite elements across the width.

K_m = Int [D_y Y''Y'' - k2 D_1 (Y''Y + Y Y'') + 4 D_k k2 Y'Y' + D_x k4 Y Y] dy, k = m pi/a, plus E I k4 Y2 + G J k2 Y'2
of a beam at a free edge; load F_m Int Y dy / v. No condition is imposed at the free edges. All harmonics stand in one
banded matrix of half-bandwidth 3, solved once for any number of load cases. Source: Cheung, Finite Strip Method in
Structural Analysis (memory). Error of w and M_x about h4 in the element width h for harmonics with k h below 1.
"""

from __future__ import annotations

import numpy as np
from scipy.linalg import cho_solve_banded, cholesky_banded

from .harmonics import wave_numbers
from .stiffness import EdgeBeam, PlateStiffness


def _element(h: float) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Int N''N'', Int (N''N + N N''), Int N'N', Int N N of one cubic element of width h."""
    bend = np.array(
        [[12, 6 * h, -12, 6 * h], [0, 4 * h * h, -6 * h, 2 * h * h], [0, 0, 12, -6 * h], [0, 0, 0, 4 * h * h]]
    )
    slope = np.array(
        [[36, 3 * h, -36, 3 * h], [0, 4 * h * h, -3 * h, -h * h], [0, 0, 36, -3 * h], [0, 0, 0, 4 * h * h]]
    )
    mass = np.array(
        [[156, 22 * h, 54, -13 * h], [0, 4 * h * h, 13 * h, -3 * h * h], [0, 0, 156, -22 * h], [0, 0, 0, 4 * h * h]]
    )
    slope = slope / (30.0 * h)
    ends = np.zeros((4, 4))
    ends[0, 1], ends[2, 3] = -1.0, 1.0
    return bend / h**3, ends - 2.0 * slope, slope, mass * h / 420.0


class StripMesh:
    """The factored strips of one deck for all harmonics; ``solve`` gives Y and Y' at the nodes."""

    def __init__(
        self,
        *,
        nodes_in: np.ndarray,
        stiffness: PlateStiffness,
        edges: tuple[EdgeBeam, EdgeBeam],
        span_in: float,
        count: int,
    ) -> None:
        self.nodes_in = nodes_in
        self.k = wave_numbers(count=count, span_in=span_in)
        self._factor = cholesky_banded(
            self._banded(stiffness, edges), lower=True, overwrite_ab=True, check_finite=False
        )

    def _banded(self, s: PlateStiffness, edges: tuple[EdgeBeam, EdgeBeam]) -> np.ndarray:
        size = 2 * len(self.nodes_in)
        parts = np.zeros((3, 4, size))  # coefficients of 1, k2 and k4; lower bands
        for element, h in enumerate(np.diff(self.nodes_in)):
            bend, cross, slope, mass = _element(h)
            held = (s.dy_lbin * bend, 4.0 * s.dk_lbin * slope - s.d1_lbin * cross, s.dx_lbin * mass)
            for power, matrix in enumerate(held):
                for row in range(4):
                    for column in range(row, 4):
                        parts[power, column - row, 2 * element + row] += matrix[row, column]
        for beam, at in zip(edges, (0, size - 2), strict=True):
            parts[2, 0, at] += beam.e_psi * beam.inertia_in4
            parts[1, 0, at + 1] += beam.g_psi * beam.torsion_in4
        k2 = (self.k**2)[:, None, None]
        whole = parts[0] + k2 * parts[1] + k2**2 * parts[2]
        return np.ascontiguousarray(whole.transpose(1, 0, 2).reshape(4, -1))

    def load_vector(self, *, low_in: float, high_in: float) -> np.ndarray:
        """Int N dy over low..high divided by its width: the exact consistent load, also of part of an element."""
        start, h = self.nodes_in[:-1], np.diff(self.nodes_in)
        a, b = (np.clip((edge - start) / h, 0.0, 1.0) for edge in (low_in, high_in))
        vector = np.zeros(2 * len(self.nodes_in))
        for offset, part in enumerate(_shape_integrals(b, h) - _shape_integrals(a, h)):
            vector[offset : offset + 2 * len(h) : 2] += part
        return vector / (high_in - low_in)

    def solve(self, loads: np.ndarray) -> np.ndarray:
        """Y, Y' of every node for loads (harmonics, unknowns, cases); same shape."""
        shape = loads.shape
        flat = cho_solve_banded((self._factor, True), loads.reshape(shape[0] * shape[1], -1), check_finite=False)
        return flat.reshape(shape)

    def shapes(self, y_in: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Rows that give Y and Y'' at each y from the unknowns."""
        element = np.clip(np.searchsorted(self.nodes_in, y_in, side="right") - 1, 0, len(self.nodes_in) - 2)
        h = np.diff(self.nodes_in)[element]
        z = (y_in - self.nodes_in[element]) / h
        value = (1 - 3 * z**2 + 2 * z**3, h * (z - 2 * z**2 + z**3), 3 * z**2 - 2 * z**3, h * (z**3 - z**2))
        bend = ((12 * z - 6) / h**2, (6 * z - 4) / h, (6 - 12 * z) / h**2, (6 * z - 2) / h)
        rows = np.zeros((2, len(y_in), 2 * len(self.nodes_in)))
        at = np.arange(len(y_in))
        for offset in range(4):
            rows[0, at, 2 * element + offset] = value[offset]
            rows[1, at, 2 * element + offset] = bend[offset]
        return rows[0], rows[1]


def _shape_integrals(z: np.ndarray, h: np.ndarray) -> np.ndarray:
    """Int of the four shape functions from the start of each element to the part z of it."""
    return h * np.array(
        [
            z - z**3 + z**4 / 2,
            h * (z**2 / 2 - 2 * z**3 / 3 + z**4 / 4),
            z**3 - z**4 / 2,
            h * (z**4 / 4 - z**3 / 3),
        ]
    )


def fine_nodes_in(
    *, width_in: float, fine: tuple[tuple[float, float], ...], fine_in: float, coarse_in: float
) -> np.ndarray:
    """Nodes across the width: ``fine_in`` apart within each fine stretch, ``coarse_in`` at most elsewhere.

    An edge of a stretch within half a fine element of another line gives way: loads on part of an element are exact,
    while a sliver of an element would spoil the solution.
    """
    wanted = sorted({min(max(edge, 0.0), width_in) for pair in fine for edge in pair})
    marks = [0.0]
    for edge in wanted:
        if marks[-1] + fine_in / 2.0 <= edge <= width_in - fine_in / 2.0:
            marks.append(edge)
    marks.append(width_in)
    nodes = [0.0]
    for low, high in zip(marks, marks[1:], strict=False):
        middle = (low + high) / 2.0
        step = fine_in if any(a <= middle <= b for a, b in fine) else coarse_in
        count = max(1, int(np.ceil((high - low) / step - 1e-9)))
        nodes.extend(low + (high - low) * np.arange(1, count + 1) / count)
    return np.array(nodes)
