"""Both forms of loss fitted to one row of bars: how likely its readings are at every node of the grid.

Given the shape of the loss and two scales of the scatter, the logs of the observations are jointly Gaussian
(`scatter`), so the likelihood is exact; shape and scales are summed over a fixed grid (`grid`). The scales do what a t
quantile does: few readings cannot rule out a large scatter, so the band stays wide. ``model``, decision 0014.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256

import numpy as np
from scipy.linalg import solve_triangular

from inventory.mechanics.plain import Plain

from .grid import GRID_EDITION, Grid, grid_of, own_weights
from .history import History, history_of
from .scatter import Scatter, kept_parts, scatter_of, unlike
from .terms import BarRow, FormFit, LossPolicy

LEAST_KEPT = 1e-3
"""A loss that leaves less than this of a force is as good as ruled out by any reading above zero."""


@dataclass(frozen=True, kw_only=True)
class RowFit(Plain):
    """What a row says of the loss, for itself and for pooling. ``log_likelihoods``: of the logarithmic nodes, then of
    the exponential ones, scales summed out, less their greatest. ``grid_key`` names the policy's grid."""

    label: str
    kind: str
    grid_key: str
    log_likelihoods: tuple[float, ...]
    fits: tuple[FormFit, ...]
    readings_used: int
    readings_left_out: int
    sentences: tuple[str, ...]
    mark: str = "model"


@dataclass(frozen=True, eq=False)
class Whitened:
    """At one scale of the losses: ``root`` (N, N) lower root of what is a bar's own. Whitened by it: ``residual``
    (N, G) of observations less log of the part kept, ``factors`` (N, r) of levels and days; ``gram`` and ``shared`` are
    their products.
    """

    root: np.ndarray
    residual: np.ndarray
    factors: np.ndarray
    gram: np.ndarray
    shared: np.ndarray


@dataclass(frozen=True, eq=False)
class Solved:
    """The fit of a row with all that a forecast needs.

    ``whitened`` one for each scale of the losses; ``log_likelihood`` (S, G); ``settled`` (S, r, r) of `_settled`.
    """

    history: History
    policy: LossPolicy
    grid: Grid
    scatter: Scatter
    whitened: tuple[Whitened, ...]
    settled: np.ndarray
    log_likelihood: np.ndarray

    def whitened_at(self, scale: int) -> Whitened:
        return self.whitened[scale // (len(self.grid.scales) // len(self.whitened))]

    @cached_property
    def node_likelihood(self) -> np.ndarray:
        """(G,) log likelihood with the scales summed out."""
        weighted = self.log_likelihood + np.log(self.grid.scale_weights)[:, None]
        most = weighted.max(axis=0)
        return most + np.log(np.exp(weighted - most).sum(axis=0))


def fit_row(row: BarRow, policy: LossPolicy, by_day: float | None = None) -> RowFit:
    """Fit both forms to what a row's readings say (those up to ``by_day``), under the policy's own expectations.

    ``OutsideValidity`` where the row cannot be fitted at all (`history`); few readings are no such case.
    """
    solved = solve(row, policy, by_day)
    likelihood = solved.node_likelihood
    return RowFit(
        label=row.label,
        kind=row.kind,
        grid_key=grid_key(policy),
        log_likelihoods=tuple(round(float(each), 4) for each in likelihood - likelihood.max()),
        fits=form_fits(solved.grid, 0.5 * np.concatenate(own_weights(policy)), likelihood),
        readings_used=solved.history.readings_used,
        readings_left_out=solved.history.readings_left_out,
        sentences=solved.history.sentences,
    )


def grid_key(policy: LossPolicy) -> str:
    """Names a policy and the edition of the grid: fits can be pooled only under one and the same."""
    return sha256(f"{GRID_EDITION} {policy!r}".encode()).hexdigest()[:16]


def solve(row: BarRow, policy: LossPolicy, by_day: float | None = None) -> Solved:
    """The whole fit of a row (see `Solved`)."""
    grid = grid_of(policy)
    history = history_of(row, policy, by_day)
    scatter = scatter_of(history, policy)
    offset = history.log_lb - np.log(history.left_lb[history.bar, history.stressing])
    residual = offset[:, None] - _log_kept(grid, history)
    factors = np.concatenate([scatter.levels, scatter.days], axis=1)
    roots = _factor_roots(scatter, grid)
    whitened, settled, likelihood = [], [], []
    for losses in np.unique(grid.scales[:, 0]):
        root = np.linalg.cholesky(scatter.left + losses**2 * scatter.lost)
        both = solve_triangular(root, np.concatenate([residual, factors], axis=1), lower=True, check_finite=False)
        each = _whitened(root, both, residual.shape[1])
        inner, halved = _settled(roots, each.gram)
        halved = halved + np.log(np.diagonal(root)).sum()
        whitened.append(each)
        settled.append(inner)
        likelihood.append(_log_likelihood(each, inner) - halved[:, None])
    return Solved(
        history=history, policy=policy, grid=grid, scatter=scatter, whitened=tuple(whitened),
        settled=np.concatenate(settled), log_likelihood=np.concatenate(likelihood),
    )  # fmt: skip


def _whitened(root: np.ndarray, both: np.ndarray, nodes: int) -> Whitened:
    residual, factors = both[:, :nodes], both[:, nodes:]
    return Whitened(
        root=root, residual=residual, factors=factors, gram=factors.T @ factors, shared=factors.T @ residual
    )


def _log_kept(grid: Grid, history: History) -> np.ndarray:
    """(N, G) log of the part kept of the force left; 0 for a force read at stressing."""
    read = history.is_reading
    days, at = np.unique(history.day[read], return_inverse=True)
    stressing = np.searchsorted(history.stressed_days, days, side="right") - 1
    parts = np.log(np.maximum(kept_parts(grid, history, days, stressing), LEAST_KEPT))
    logs = np.zeros((len(read), parts.shape[2]))
    logs[read] = parts[unlike(history)[1][history.bar[read]], at.reshape(-1)]
    return logs


def _factor_roots(scatter: Scatter, grid: Grid) -> np.ndarray:
    """(B, r, r) lower roots of the factors' covariance: levels as they are, days by each scale of the days."""
    levels, days = len(scatter.level_cov), len(scatter.day_cov)
    of_days = np.unique(grid.scales[:, 1])
    out = np.zeros((len(of_days), levels + days, levels + days))
    out[:, :levels, :levels] = np.linalg.cholesky(scatter.level_cov)
    root = np.linalg.cholesky(scatter.day_cov + 1e-14 * np.eye(days))
    out[:, levels:, levels:] = of_days[:, None, None] * root
    return out


def _settled(roots: np.ndarray, gram: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(B, r, r) R (I + R' F'F R)^-1 R' for each root R, and (B,) half the log determinant of the bracket.

    The matrix inversion lemma: (I + F R R' F')^-1 = I - F R (I + R' F'F R)^-1 R' F', determinant of the bracket.
    """
    turned = roots.transpose(0, 2, 1)
    inner = np.eye(len(gram)) + turned @ gram @ roots
    return roots @ np.linalg.solve(inner, turned), 0.5 * np.linalg.slogdet(inner)[1]


def _log_likelihood(each: Whitened, settled: np.ndarray) -> np.ndarray:
    """(B, G) -1/2 r' K^-1 r."""
    squares = np.einsum("ng,ng->g", each.residual, each.residual)
    return -0.5 * (squares - np.einsum("rg,brg->bg", each.shared, settled @ each.shared))


def form_fits(grid: Grid, prior: np.ndarray, node_likelihood: np.ndarray) -> tuple[FormFit, ...]:
    """Each form's weight beside the other and its parameters' mean and deviation, from weights before any reading."""
    count = len(grid.slopes)
    seen = np.exp(node_likelihood - node_likelihood.max())
    slopes, pairs = prior[:count] * seen[:count], prior[count:] * seen[count:]
    total = slopes.sum() + pairs.sum()
    floor, settle = grid.pair_floors, grid.pair_settles
    return (
        FormFit(
            form="logarithmic",
            weight_ratio=float(slopes.sum() / total),
            parameters={"log_slope_ratio": _mean_sd(grid.slopes, slopes)},
        ),
        FormFit(
            form="exponential",
            weight_ratio=float(pairs.sum() / total),
            parameters={"floor_ratio": _mean_sd(floor, pairs), "settle_days": _mean_sd(settle, pairs)},
        ),
    )


def _mean_sd(nodes: np.ndarray, weights: np.ndarray) -> dict:
    whole = weights.sum()
    if not whole:
        return {"mean": float(nodes.mean()), "sd": float(nodes.std())}
    mean = float((nodes * weights).sum() / whole)
    return {"mean": mean, "sd": float(np.sqrt(max(((nodes - mean) ** 2 * weights).sum() / whole, 0.0)))}
