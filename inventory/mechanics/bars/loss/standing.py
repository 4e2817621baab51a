"""Forces that may stand on days ahead: a deterministic set of equally likely rows of bars, day by day.

Each member of the set is one node of the grid (drawn by its weight) with one set of bar and day effects (from their
joint normal given the readings). The members come from a Sobol sequence, not scrambled and moved by half a step,
through the normal quantile: the same every time. So the least over many overlapping stretches is met as it is, with the
bars alike where the readings leave them alike, instead of by adding up edges of bands.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy.linalg import solve_triangular
from scipy.special import ndtri

from .fit import Solved
from .scatter import Places, bar_covariance, day_covariance, kept_parts, loss_loading, unlike

MEMBERS = 1024
LEAST_VARIANCE = 1e-10


@lru_cache(maxsize=64)
def _even(columns: int) -> tuple[np.ndarray, np.ndarray]:
    """(MEMBERS,) of a uniform and (MEMBERS, columns) of normals, evenly spread."""
    from scipy.stats import qmc  # slow to load, and only a forecast needs it

    points = qmc.Sobol(columns + 1, scramble=False).random(MEMBERS) + 0.5 / MEMBERS
    return points[:, 0], ndtri(points[:, 1:])


def standing_forces(solved: Solved, node_weights: np.ndarray, days: np.ndarray) -> np.ndarray:
    """(members, days, bars), lb. ``node_weights`` (S, G) sum to 1; ``days`` (T,) from the forecast's first."""
    history, count = solved.history, len(solved.history.row.stations_ft)
    current = np.full(len(days), len(history.stressed_days) - 1)
    parts = kept_parts(solved.grid, history, days, current)
    uniform, normal = _even(count)
    scale_at, node_at = _chosen(node_weights, parts[:, -1].mean(axis=0), uniform)
    out = np.empty((MEMBERS, len(days), count))
    of_bar, base = unlike(history)[1], history.left_lb[:, -1]
    effects = _Effects(solved, days)
    for scale in np.unique(scale_at):
        members = np.flatnonzero(scale_at == scale)
        nodes, back = np.unique(node_at[members], return_inverse=True)
        means, roots = effects.given(scale, nodes)
        logs = means[:, :, back.reshape(-1)].transpose(2, 0, 1)
        logs += (normal[members] @ roots.transpose(0, 2, 1)).transpose(1, 0, 2)
        kept = parts[:, :, node_at[members]][of_bar]
        out[members] = base * np.exp(logs) * kept.transpose(2, 1, 0)
    out[:, :, history.is_slack] = 0.0
    return out


def _roots(covariance: np.ndarray) -> np.ndarray:
    """Roots R with R R' the covariance; by eigenvalues where rounding has left one of them below nothing."""
    try:
        return np.linalg.cholesky(covariance)
    except np.linalg.LinAlgError:
        values, vectors = np.linalg.eigh(covariance)
        return vectors * np.sqrt(np.maximum(values, 0.0))[..., None, :]


def _chosen(node_weights: np.ndarray, left_at_end: np.ndarray, uniform: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Scale and node of each member; nodes in the order of what they leave in the end, so that even points stay so."""
    order = np.argsort(left_at_end, kind="stable")
    summed = np.cumsum(node_weights[:, order].T.ravel())
    picked = np.minimum(np.searchsorted(summed, uniform * summed[-1], side="right"), len(summed) - 1)
    scales = len(node_weights)
    return picked % scales, order[picked // scales]


class _Effects:
    """Joint normal of the log effects of every bar on every day ahead, given the observations, per scale.

    A bar's effect is A + loading C + D: as the last stressing left it, what it loses of its own, the day. Rows below
    stand for A of every bar, C of every bar, D of every day ahead.
    """

    def __init__(self, solved: Solved, days: np.ndarray):
        history, policy, scatter = solved.history, solved.policy, solved.scatter
        count, last = len(history.row.stations_ft), len(history.stressed_days) - 1
        self.solved, self.count = solved, count
        bars = np.arange(count)
        now = Places(bar=bars, stressing=np.full(count, last), loading=np.ones(count))
        left, lost = bar_covariance(policy, scatter.likeness, now, scatter.seen)
        self.seen = (left, lost * scatter.seen.loading)
        self.own = bar_covariance(policy, scatter.likeness, now, now)
        self.level = np.zeros((count, len(scatter.level_cov)))
        self.level[:, last] = 1.0
        for at, fall in enumerate(history.falls):
            fallen = bars if fall.bar is None else fall.bar
            self.level[fallen, last + 1 + at] = float(fall.stressing == last)
        self.day_lead = np.zeros((len(days), len(scatter.day_cov)))
        self.day_lead[:, : len(scatter.read_days)] = day_covariance(policy, days, scatter.read_days)
        grid_bars = np.tile(bars, len(days))
        loading = loss_loading(policy, history, np.repeat(days, count), grid_bars, np.full(len(grid_bars), last))
        self.loading = loading.reshape(len(days), count)
        self.kept: dict[float, tuple[np.ndarray, ...]] = {}

    def _crossed(self, scale: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Of A and C with the observations, whitened: with residuals, with factors, with themselves."""
        losses = self.solved.grid.scales[scale, 0]
        if losses not in self.kept:
            each = self.solved.whitened_at(scale)
            seen = np.concatenate([self.seen[0], losses**2 * self.seen[1]])
            white = solve_triangular(each.root, seen.T, lower=True, check_finite=False).T
            self.kept[losses] = (white @ each.residual, white @ each.factors, white @ white.T)
        return self.kept[losses]

    def given(self, scale: int, nodes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Means (T, bars, nodes) and lower roots of the covariance (T, bars, bars)."""
        m, load = self.count, self.loading
        mean, known = self._posterior(scale, nodes)
        of_losses, of_days = self.solved.grid.scales[scale] ** 2
        means = mean[:m] + load[..., None] * mean[m : 2 * m] + mean[2 * m :, None]
        level = self.level @ self.solved.scatter.level_cov @ self.level.T
        left = level + self.own[0] - known[:m, :m]
        lost = of_losses * self.own[1] - known[m : 2 * m, m : 2 * m]
        mixed = -known[:m, m : 2 * m]
        shared = -known[:m, 2 * m :].T - load * known[m : 2 * m, 2 * m :].T
        day = of_days * self.solved.policy.day_sd_ratio**2 - np.diagonal(known)[2 * m :]
        cov = left + load[:, :, None] * lost * load[:, None, :] + mixed * load[:, None, :] + mixed.T * load[:, :, None]
        cov += day[:, None, None] + shared[:, :, None] + shared[:, None, :]
        return means, _roots(cov + LEAST_VARIANCE * np.eye(m))

    def _posterior(self, scale: int, nodes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Means of A, C, D at the nodes, and the covariance the observations take away, by the inversion lemma."""
        solved, m, each = self.solved, self.count, self.solved.whitened_at(scale)
        settled, levels, of_days = solved.settled[scale], self.level.shape[1], solved.grid.scales[scale, 1] ** 2
        pulled, crossed, squared = self._crossed(scale)
        lead = np.zeros((2 * m + len(self.day_lead), len(settled)))
        lead[:m, :levels] = self.level @ solved.scatter.level_cov
        lead[2 * m :, levels:] = of_days * self.day_lead
        bars, shared = slice(0, 2 * m), settled @ each.shared[:, nodes]
        mean = lead @ (each.shared[:, nodes] - each.gram @ shared)
        mean[bars] += pulled[:, nodes] - crossed @ shared
        known = lead @ (each.gram - each.gram @ settled @ each.gram) @ lead.T
        half = (crossed - crossed @ settled @ each.gram) @ lead.T
        known[bars] += half
        known[:, bars] += half.T
        known[bars, bars] += squared - crossed @ settled @ crossed.T
        return mean, known
