"""Forces that may stand on days ahead: a deterministic set of equally likely rows of bars, day by day.

Each member of the set is one node of the grid (drawn by its weight) with one set of bar and day effects (from their
joint normal given the readings). The members come from a Sobol sequence, not scrambled and moved by half a step,
through the normal quantile: the same every time. So the least over many overlapping stretches is met as it is, with the
bars alike where the readings leave them alike, instead of by adding up edges of bands.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy.special import ndtri
from scipy.stats import qmc

from .fit import Solved
from .scatter import Latents, bar_covariance, day_covariance, kept_parts, level_covariance, loss_loading, unlike

MEMBERS = 1024


@lru_cache(maxsize=64)
def _even(columns: int) -> tuple[np.ndarray, np.ndarray]:
    """(MEMBERS,) of a uniform and (MEMBERS, columns) of normals, evenly spread."""
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


def _chosen(node_weights: np.ndarray, left_at_end: np.ndarray, uniform: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Scale and node of each member; nodes in the order of what they leave in the end, so that even points stay so."""
    order = np.argsort(left_at_end, kind="stable")
    summed = np.cumsum(node_weights[:, order].T.ravel())
    picked = np.minimum(np.searchsorted(summed, uniform * summed[-1], side="right"), len(summed) - 1)
    scales = len(node_weights)
    return picked % scales, order[picked // scales]


class _Effects:
    """Joint normal of log effects of every bar on every day ahead, given the observations, per scale."""

    def __init__(self, solved: Solved, days: np.ndarray):
        history, policy = solved.history, solved.policy
        count, last = len(history.row.stations_ft), len(history.stressed_days) - 1
        self.solved, self.count = solved, count
        bars = np.arange(count)
        now = Latents(bar=bars, stressing=np.full(count, last), loading=np.zeros(count))
        loss = Latents(bar=bars, stressing=now.stressing, loading=np.ones(count))
        none = Latents(bar=bars, stressing=np.full(count, -1), loading=loss.loading)
        seen, likeness = solved.scatter.seen, solved.scatter.likeness
        # As left by the last stressing (A), and in what it loses (C): A + loading C is a bar's effect on a day.
        self.fixed_seen = level_covariance(history, now, seen)
        self.fixed = level_covariance(history, now, now)
        self.own_seen = np.concatenate(
            [bar_covariance(policy, likeness, now, seen), _loss_part(policy, likeness, none, seen)]
        )
        self.own = (bar_covariance(policy, likeness, now, now), _loss_part(policy, likeness, none, none))
        read = history.is_reading
        self.day_seen = np.where(read, day_covariance(policy, days, history.day), 0.0)
        self.day = policy.day_sd_ratio**2
        grid_bars = np.tile(bars, len(days))
        stressing = np.full(len(grid_bars), last)
        loading = loss_loading(policy, history, np.repeat(days, count), grid_bars, stressing)
        self.loading = loading.reshape(len(days), count)

    def given(self, scale: int, nodes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Means (T, bars, nodes) and lower roots of the covariance (T, bars, bars)."""
        solved, m, load = self.solved, self.count, self.loading
        within, between = solved.grid.scales[scale] ** 2
        cross = np.concatenate([within * self.own_seen, between * self.day_seen])
        cross[:m] += self.fixed_seen
        weights = cross @ solved.inverse[scale]
        mean = (weights @ solved.offset)[:, None] - weights @ solved.gather @ solved.log_kept[:, nodes]
        means = mean[:m] + load[..., None] * mean[m : 2 * m] + mean[2 * m :, None]
        known = weights @ cross.T
        a = self.fixed + within * self.own[0] - known[:m, :m]
        c = within * self.own[1] - known[m : 2 * m, m : 2 * m]
        ac = -known[:m, m : 2 * m]
        ad, cd = -known[:m, 2 * m :].T, -known[m : 2 * m, 2 * m :].T
        day = between * self.day - np.diagonal(known)[2 * m :]
        cov = a + load[:, :, None] * c * load[:, None, :] + ac * load[:, None, :] + (ac.T * load[:, :, None])
        shared = ad + load * cd
        cov = cov + day[:, None, None] + shared[:, :, None] + shared[:, None, :]
        return means, np.linalg.cholesky(cov + 1e-12 * np.eye(m))


def _loss_part(policy, likeness, a: Latents, b: Latents) -> np.ndarray:
    """Covariance of a bar's own loss (loading 1) with what was seen."""
    whole = bar_covariance(policy, likeness, a, b)
    still = Latents(bar=a.bar, stressing=a.stressing, loading=np.zeros(len(a.bar)))
    return whole - bar_covariance(policy, likeness, still, b)
