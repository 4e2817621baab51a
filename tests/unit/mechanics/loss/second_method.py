"""The posterior of loss by plain means: one dense covariance written bar by bar, densities by scipy, random draws.

Written from the model's description (decision 0014) and not from the kernel: no factors, no inversion lemma, no shared
grid, no Sobol points. For rows whose forces after stressing are not on record, one stressing, no falls.
"""

from __future__ import annotations

import numpy as np
from scipy.stats import multivariate_normal

from inventory.mechanics.bars.loss import BarRow, LossPolicy

NORMAL = np.linspace(-3, 3, 9)


def year_loss(policy: LossPolicy) -> float:
    return -np.log(1 - policy.log_slope_ratio * np.log10(366))


def covariance(policy, places, wide_losses: float, wide_days: float) -> np.ndarray:
    """Of log forces at ``places``: (station ft, day, sd of the error of reading or None for the force itself)."""
    out = np.empty((len(places), len(places)))
    for i, (x, s, _) in enumerate(places):
        for j, (y, t, _) in enumerate(places):
            alike = 0.5 * np.exp(-abs(x - y) / 10) + 0.5 * (x == y)
            grown = [-np.log(1 - policy.log_slope_ratio * np.log10(1 + d)) / year_loss(policy) for d in (s, t)]
            bars = policy.bar_sd_ratio**2 * alike * (0.5 + 0.5 * wide_losses**2 * grown[0] * grown[1])
            days = (wide_days * policy.day_sd_ratio) ** 2 * np.exp(-abs(s - t) / 14)
            out[i, j] = 0.08**2 + 0.06**2 + bars + days
    return out + np.diag([error**2 if error else 0.0 for _, _, error in places])


def shapes(policy: LossPolicy):
    """(weight, R as a function of days, slope or nan) of both forms, each half."""
    spread = np.hypot(policy.log_slope_sd_ratio, policy.log_slope_spread_ratio)
    steps = np.linspace(-4, 4, 33)
    weights = np.exp(-0.5 * steps**2)
    for step, weight in zip(steps, weights / weights.sum(), strict=True):
        a = policy.log_slope_ratio + spread * step
        if a > 0:
            yield weight / 2, (lambda t, a=a: max(1 - a * np.log10(1 + t), 0.001)), a
    wide = np.hypot(policy.floor_sd_ratio, policy.floor_spread_ratio)
    coarse = np.linspace(-3.5, 3.5, 15)
    pair = np.exp(-0.5 * coarse**2)
    pair = pair / pair.sum()
    for first, p in zip(coarse, pair, strict=True):
        for second, q in zip(coarse, pair, strict=True):
            f, tau = policy.floor_ratio + wide * first, policy.settle_days * policy.settle_spread_factor**second
            yield p * q / 2, (lambda t, f=f, tau=tau: f + (1 - f) * np.exp(-t / tau)), np.nan


def brute_force(row: BarRow, policy: LossPolicy, day: float, draws: int, seed: int):
    """Mean and sd of the slope given the logarithmic form, that form's weight, and (draws, bars) forces on ``day``."""
    at = row.stations_ft
    seen = [(at[r.bar_index], r.on_day, policy.reading_sd_ratio / np.sqrt(r.repeats)) for r in row.readings]
    ahead = [(x, day, None) for x in at]
    logs = np.log([r.force_lb / row.target_lb for r in row.readings])
    every = list(shapes(policy))
    curves = np.array([[np.log(kept(r.on_day)) for r in row.readings] for _, kept, _ in every])
    scale_weight = np.exp(-0.5 * NORMAL**2)
    weight, moments = [], []
    for i, one in enumerate(NORMAL):
        for j, two in enumerate(NORMAL):
            whole = covariance(policy, seen + ahead, np.exp(0.4 * one), np.exp(0.4 * two))
            n = len(seen)
            density = multivariate_normal(np.zeros(n), whole[:n, :n]).logpdf(logs - curves)
            weight.append(np.log(scale_weight[i] * scale_weight[j]) + density + np.log([w for w, _, _ in every]))
            gain = np.linalg.solve(whole[:n, :n], whole[:n, n:]).T
            moments.append((gain, whole[n:, n:] - gain @ whole[:n, n:]))
    weight = np.exp(np.array(weight) - np.max(weight))
    weight /= weight.sum()
    slopes = np.array([slope for _, _, slope in every])
    is_log = ~np.isnan(slopes)
    given = weight.sum(axis=0)[is_log] / weight[:, is_log].sum()
    mean = (given * slopes[is_log]).sum()
    sd = np.sqrt((given * (slopes[is_log] - mean) ** 2).sum())
    chance = np.random.default_rng(seed)
    forces = []
    for cell, count in enumerate(chance.multinomial(draws, weight.ravel())):
        if count:
            scale, shape = divmod(cell, len(every))
            gain, left = moments[scale]
            middle = gain @ (logs - curves[shape]) + np.log(every[shape][1](day))
            forces.append(row.target_lb * np.exp(chance.multivariate_normal(middle, left, count, method="cholesky")))
    return mean, sd, weight[:, is_log].sum(), np.concatenate(forces)
