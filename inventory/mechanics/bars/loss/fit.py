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

from .grid import Grid, grid_of, own_weights
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
class Solved:
    """The fit of a row with all that a forecast needs.

    ``root`` (N, N) lower root of the bars' own covariance; ``residual`` (N, G) observations less log of the part kept,
    and ``factors`` (N, r) levels and days, both whitened by it; ``log_likelihood`` (S, G); ``settled`` (S, r, r) of
    `_settled`; ``factor_cov`` (S, r, r).
    """

    history: History
    policy: LossPolicy
    grid: Grid
    scatter: Scatter
    root: np.ndarray
    residual: np.ndarray
    factors: np.ndarray
    factor_cov: np.ndarray
    settled: np.ndarray
    log_likelihood: np.ndarray

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
        fits=form_fits(solved.grid, *own_weights(policy), likelihood),
        readings_used=solved.history.readings_used,
        readings_left_out=solved.history.readings_left_out,
        sentences=solved.history.sentences,
    )


def grid_key(policy: LossPolicy) -> str:
    """Names a policy: fits can be pooled only under one and the same."""
    return sha256(repr(policy).encode()).hexdigest()[:16]


def solve(row: BarRow, policy: LossPolicy, by_day: float | None = None) -> Solved:
    """The whole fit of a row (see `Solved`)."""
    grid = grid_of(policy)
    history = history_of(row, policy, by_day)
    scatter = scatter_of(history, policy)
    offset = history.log_lb - np.log(history.left_lb[history.bar, history.stressing])
    root = np.linalg.cholesky(scatter.own)
    residual = solve_triangular(root, offset[:, None] - _log_kept(grid, history), lower=True, check_finite=False)
    both = np.concatenate([scatter.levels, scatter.days], axis=1)
    factors = solve_triangular(root, both, lower=True, check_finite=False)
    covariance = _factor_cov(scatter, grid)
    settled, halved = _settled(covariance, factors.T @ factors, grid.scales[:, 0] ** 2)
    likelihood = _likelihood(grid.scales[:, 0] ** 2, residual, factors.T @ residual, settled) - halved[:, None]
    return Solved(
        history=history, policy=policy, grid=grid, scatter=scatter, root=root, residual=residual, factors=factors,
        factor_cov=covariance, settled=settled, log_likelihood=likelihood,
    )  # fmt: skip


def _log_kept(grid: Grid, history: History) -> np.ndarray:
    """(N, G) log of the part kept of the force left; 0 for a force read at stressing."""
    read = history.is_reading
    days, at = np.unique(history.day[read], return_inverse=True)
    stressing = np.searchsorted(history.stressed_days, days, side="right") - 1
    parts = np.log(np.maximum(kept_parts(grid, history, days, stressing), LEAST_KEPT))
    logs = np.zeros((len(read), parts.shape[2]))
    logs[read] = parts[unlike(history)[1][history.bar[read]], at.reshape(-1)]
    return logs


def _factor_cov(scatter: Scatter, grid: Grid) -> np.ndarray:
    """(S, r, r) covariance of the factors: levels as they are, days by the scale between days."""
    levels, days = len(scatter.level_cov), len(scatter.day_cov)
    out = np.zeros((len(grid.scales), levels + days, levels + days))
    out[:, :levels, :levels] = scatter.level_cov
    out[:, levels:, levels:] = grid.scales[:, 1, None, None] ** 2 * scatter.day_cov
    return out


def _settled(covariance: np.ndarray, gram: np.ndarray, within: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(S, r, r) R (w^2 I + R' F'F R)^-1 R' for covariance R R', and (S,) half the log determinant of the whole.

    The matrix inversion lemma: (w^2 I + F C F')^-1 = (I - F R (w^2 I + R' F'F R)^-1 R' F') / w^2. Half of the log
    determinant of the bars' own covariance is the same at every scale and is left out.
    """
    count = len(gram)
    root = np.linalg.cholesky(covariance + 1e-14 * np.eye(count))
    inner = within[:, None, None] * np.eye(count) + root.transpose(0, 2, 1) @ gram @ root
    settled = root @ np.linalg.solve(inner, root.transpose(0, 2, 1))
    return settled, 0.5 * np.linalg.slogdet(inner)[1] - 0.5 * count * np.log(within)


def _likelihood(within: np.ndarray, residual: np.ndarray, shared: np.ndarray, settled: np.ndarray) -> np.ndarray:
    """(S, G) -1/2 r' K^-1 r, less what N residuals of variance w^2 cost."""
    squares = np.einsum("ng,ng->g", residual, residual)
    taken = np.einsum("rg,srg->sg", shared, settled @ shared)
    return -0.5 * (squares - taken) / within[:, None] - 0.5 * len(residual) * np.log(within)[:, None]


def form_fits(grid: Grid, slope_weights, pair_weights, node_likelihood: np.ndarray) -> tuple[FormFit, ...]:
    """Each form's weight beside the other (half each before any reading) and its parameters' mean and deviation."""
    count = len(grid.slopes)
    seen = np.exp(node_likelihood - node_likelihood.max())
    slopes, pairs = slope_weights * seen[:count], pair_weights * seen[count:]
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
