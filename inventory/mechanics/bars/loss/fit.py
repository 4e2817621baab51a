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
    """The fit of a row with all that a forecast needs: log likelihoods (S, G) and, per scale, what solves for effects.

    ``offset`` (N,): log observation less log of the force left. ``column`` (N,): which of the U distinct log parts kept
    an observation carries, -1 for a force read at stressing (nothing lost yet). ``log_kept`` (U, G).
    """

    history: History
    policy: LossPolicy
    grid: Grid
    scatter: Scatter
    inverse: np.ndarray
    log_likelihood: np.ndarray
    offset: np.ndarray
    column: np.ndarray
    log_kept: np.ndarray

    @cached_property
    def gather(self) -> np.ndarray:
        """(N, U) with a one where observation n carries column u."""
        return _gather(self.column, len(self.log_kept))

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
    log_kept, column = _columns(grid, history)
    offset = history.log_lb - np.log(history.left_lb[history.bar, history.stressing])
    if not len(offset):
        inverse, likelihood = np.zeros((len(grid.scales), 0, 0)), np.zeros((len(grid.scales), log_kept.shape[1]))
    else:
        inverse, likelihood = _likelihood(scatter.of(grid.scales), offset, _gather(column, len(log_kept)), log_kept)
    return Solved(
        history=history, policy=policy, grid=grid, scatter=scatter, inverse=inverse, log_likelihood=likelihood,
        offset=offset, column=column, log_kept=log_kept,
    )  # fmt: skip


def _columns(grid: Grid, history: History) -> tuple[np.ndarray, np.ndarray]:
    """Distinct logs of the part kept (U, G), and the column of each observation."""
    read = history.is_reading
    of_bar = unlike(history)[1]
    days, day_at = np.unique(history.day[read], return_inverse=True)
    stressing = np.searchsorted(history.stressed_days, days, side="right") - 1
    parts = kept_parts(grid, history, days, stressing)
    pairs, at = np.unique(day_at.reshape(-1) * len(parts) + of_bar[history.bar[read]], return_inverse=True)
    column = np.full(len(read), -1)
    column[read] = at.reshape(-1)
    return np.log(np.maximum(parts[pairs % len(parts), pairs // len(parts)], LEAST_KEPT)), column


def _gather(column: np.ndarray, count: int) -> np.ndarray:
    return (column[:, None] == np.arange(count)).astype(float)


def _likelihood(covariance, offset, gather, log_kept) -> tuple[np.ndarray, np.ndarray]:
    """Inverse covariance (S, N, N) and the Gaussian log likelihood (S, G) of residuals offset - gather log_kept."""
    lower = np.linalg.cholesky(covariance)
    inverse = np.linalg.inv(covariance)
    halved = np.log(np.diagonal(lower, axis1=1, axis2=2)).sum(axis=1)
    solved = inverse @ offset
    crossed = gather.T @ inverse @ gather
    quadratic = (
        (solved @ offset)[:, None]
        - 2.0 * (solved @ gather) @ log_kept
        + np.einsum("ug,sug->sg", log_kept, crossed @ log_kept)
    )
    return inverse, -0.5 * quadratic - halved[:, None]


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
