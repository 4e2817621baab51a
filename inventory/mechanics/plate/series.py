"""The deck exact across the width: Y of each harmonic from the closed solution of its differential equation.

D_y Y'''' - 2 H k2 Y'' + D_x k4 Y = q_m. Exponents r k with r2 = (H +- sqrt(H2 - D_x D_y))/D_y. An even load between two
lines on an endless plate has a closed solution; four more exponentials meet the free edges (or edge beams). Taken for
M_y, M_xy and Q_y, whose peaks at the edge of a wheel cubic elements miss. Source: Levy's solution (Timoshenko and
Woinowsky-Krieger chapter 6, memory). Error of the sum: Q_y about 1/m2 beside a patch, far less elsewhere.
"""

from __future__ import annotations

import numpy as np

from .harmonics import Stretch, wave_numbers
from .stiffness import EdgeBeam, PlateStiffness

NEARLY_EQUAL = 1e-4


def _exponents(s: PlateStiffness) -> np.ndarray:
    """r1, r2 with positive real part. Equal roots are parted by raising H by 1e-5 of itself (error of that order)."""
    h, product = s.h_lbin, s.dx_lbin * s.dy_lbin
    if abs(h * h / product - 1.0) < NEARLY_EQUAL:
        h = np.sqrt(product) * (1.0 + 1e-5)
    root = np.sqrt(complex(h * h - product))
    return np.sqrt(np.array([h + root, h - root]) / s.dy_lbin)


class WidthSeries:
    """Derivatives 0 to 3 of w across the width, per harmonic, at chosen lines y, for a list of stretches."""

    def __init__(
        self,
        *,
        width_in: float,
        span_in: float,
        stiffness: PlateStiffness,
        edges: tuple[EdgeBeam, EdgeBeam],
        count: int,
    ) -> None:
        self.stiffness, self.edges, self.width_in, self.span_in = stiffness, edges, width_in, span_in
        self.k = wave_numbers(count=count, span_in=span_in)
        self._r = _exponents(stiffness)
        first, second = self._r
        split = 2.0 * stiffness.dy_lbin * (first**2 - second**2)
        self._a = np.array([-1.0 / (split * first), 1.0 / (split * second)])  # times 1/k3: answer to a line load

    def derivatives(self, *, stretches: tuple[Stretch, ...], y_in: np.ndarray) -> np.ndarray:
        """Y, Y'/k, Y''/k2, Y'''/k3 as (4, harmonics, lines)."""
        rates = [s.amplitudes(count=len(self.k), span_in=self.span_in) / s.width_in for s in stretches]
        ends = np.array([0.0, self.width_in])
        pairs = list(zip(rates, stretches, strict=True))
        at_ends = sum(rate[None, :, None] * self._loaded(stretch, ends) for rate, stretch in pairs)
        found = sum(rate[None, :, None] * self._loaded(stretch, y_in) for rate, stretch in pairs)
        falls, powers = self._free(ends)
        free = powers[:, None, :, None] * falls[None]
        system = np.stack([self._edge_residual(free[:, :, column]) for column in range(4)], axis=2)
        need = self._edge_residual(at_ends)
        factors = np.linalg.solve(system, -need[:, :, None].astype(complex))[:, :, 0]
        picked, times = (slice(None, None, 2), 2.0) if self._r[0].imag else (slice(None), 1.0)  # conjugates in pairs
        falls, powers = self._free(y_in, picked)
        for order in range(4):
            weights = times * factors[:, picked] * powers[order]
            found[order] += np.einsum("mcy,mc->my", falls, weights).real
        return found

    def unit_derivatives(
        self, *, sides_in: np.ndarray, y_in: np.ndarray, orders: tuple[int, ...]
    ) -> tuple[np.ndarray, ...]:
        """The derivatives of ``orders`` over powers of k under a unit amplitude on each pair of sides.

        Each (harmonics, lines, pairs). On a grid most distances from a line to a side come again and again: the
        closed solution is worked out once for each distance.
        """
        ends = np.array([0.0, self.width_in])
        widths = (sides_in[:, 1] - sides_in[:, 0])[None, None, None]
        at_ends = self._between(sides_in, ends, range(4)) / widths
        falls, powers = self._free(ends)
        free = powers[:, None, :, None] * falls[None]
        system = np.stack([self._edge_residual(free[:, :, column]) for column in range(4)], axis=2)
        need = np.stack([self._edge_residual(at_ends[..., pair]) for pair in range(len(sides_in))], axis=2)
        factors = np.linalg.solve(system, -need.astype(complex))
        picked, times = (slice(None, None, 2), 2.0) if self._r[0].imag else (slice(None), 1.0)  # conjugates in pairs
        falls, powers = self._free(y_in, picked)
        found = self._between(sides_in, y_in, orders) / widths
        for at, order in enumerate(orders):
            weights = times * factors[:, picked] * powers[order][None, :, None]
            found[at] += (falls.transpose(0, 2, 1) @ weights).real
        return tuple(found)

    def _between(self, sides: np.ndarray, y: np.ndarray, orders) -> np.ndarray:
        """Even unit pressure between two sides of an endless plate: (orders, harmonics, lines, pairs)."""
        away = np.round(y[:, None, None] - sides[None], 6)
        every, place = np.unique(away, return_inverse=True)
        edge = np.array([self._beside_edge(every, order) for order in orders])
        both = edge[:, :, place.reshape(away.shape)]
        return both[..., 0] - both[..., 1]

    def _beside_edge(self, away: np.ndarray, order: int) -> np.ndarray:
        """Pressure on all of an endless plate beyond an edge ``away`` behind: (harmonics, distances)."""
        k, side = self.k[:, None], np.sign(away)
        pairs = list(zip(self._r, self._a, strict=True))
        if self._r[0].imag:  # the second is the conjugate of the first: twice the real part of one
            pairs = [(self._r[0], 2.0 * self._a[0])]
        found = np.zeros((len(self.k), len(away)))
        for r, a in pairs:
            fall = a * np.exp(-r * k * np.abs(away))
            if order == 0:
                found += side * ((a / r).real - (fall / r).real)
            else:
                found += (-1.0 if order == 2 else 1.0) * ((side if order == 2 else 1.0) * r ** (order - 1) * fall).real
        return found / k**4

    def _loaded(self, stretch: Stretch, y: np.ndarray) -> np.ndarray:
        """Even unit pressure on the stretch of an endless plate: Y and its derivatives over powers of k."""
        k = self.k[:, None]
        found = np.zeros((4, len(self.k), len(y)))
        pairs = list(zip(self._r, self._a, strict=True))
        if self._r[0].imag:  # the second is the conjugate of the first: twice the real part of one
            pairs = [(self._r[0], 2.0 * self._a[0])]
        for edge, sense in ((stretch.low_in, 1.0), (stretch.high_in, -1.0)):
            away = np.round(y - edge, 9)
            side = np.sign(away)
            for r, a in pairs:
                fall = sense * a * np.exp(-r * k * np.abs(away))
                found[0] += side * (sense * (a / r).real - (fall / r).real)
                found[1] += fall.real
                found[2] -= side * (r * fall).real
                found[3] += (r**2 * fall).real
        return found / k**4

    def _free(self, y: np.ndarray, picked: slice = slice(None)) -> tuple[np.ndarray, np.ndarray]:
        """The unloaded solutions, each falling away from one edge, as (harmonics, solutions, lines).

        With them the factors (4, solutions) that make their derivatives over powers of k.
        """
        r = np.concatenate([self._r, self._r])[picked]
        turn = np.array([-1.0, -1.0, 1.0, 1.0])[picked]
        away = np.array([y, y, self.width_in - y, self.width_in - y])[picked]
        falls = np.exp(-self.k[:, None, None] * (r[:, None] * away)[None])
        return falls, (turn * r)[None, :] ** np.arange(4)[:, None]

    def _edge_residual(self, ends: np.ndarray) -> np.ndarray:
        """Edge moment and edge shear that remain at both edges, over D_y k2 and D_y k3: (harmonics, 4)."""
        s, k, rows = self.stiffness, self.k, []
        shear = (s.d1_lbin + 4.0 * s.dk_lbin) / s.dy_lbin
        for at, (beam, turn) in enumerate(zip(self.edges, (-1.0, 1.0), strict=True)):
            y0, y1, y2, y3 = ends[:, :, at]
            twist = beam.g_psi * beam.torsion_in4 * k / s.dy_lbin
            bend = beam.e_psi * beam.inertia_in4 * k / s.dy_lbin
            rows.append(turn * (y2 - s.d1_lbin / s.dy_lbin * y0) + twist * y1)
            rows.append(turn * (shear * y1 - y3) + bend * y0)
        return np.stack(rows, axis=1)
