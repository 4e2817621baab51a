"""The Gaussian part of the fit: what scatters about the loss, as one covariance of all observations of a row.

In logs an observation is: log of the force left by its stressing + error of that force + effect of the bar + log of
the part kept + effect of the day + error of the reading. All but the part kept is linear and Gaussian, so it is
integrated in closed form (`fit`). All of it ``model``:

- Force left by a stressing: where only the target is known, 8 % common to all such stressings and 6 % of its own.
  Where forces were read: those count as observations, half of their variance common to the day (jack and gauge).
- A bar against its neighbours: half of the variance as it was left (half of that again new at each stressing), half in
  how much it loses, growing with the loss and reaching its policy value at the loss of a year. Half of each is shared
  with neighbours, exponentially over 10 ft; half is the bar's own.
- A day (moisture, temperature): common to all bars, alike for days close together (14 days).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .forms import force_steps, logarithmic_ratio
from .grid import Grid
from .history import YEAR_DAYS, History
from .terms import LossPolicy

TARGET_COMMON_SD, TARGET_OWN_SD, LEVEL_FREE_SD = 0.08, 0.06, 0.5
APART_SD = 1.0
NEIGHBOUR_FT, NEIGHBOUR_SHARE = 10.0, 0.5
LOSS_SHARE, LASTING_SHARE = 0.5, 0.5
DAY_TOGETHER_DAYS = 14.0
LEAST_SD = 1e-6


@dataclass(frozen=True, eq=False)
class Latents:
    """Where a force is wanted or was seen: bar, stressing, day, ``loading`` of the bar's own loss."""

    bar: np.ndarray
    stressing: np.ndarray
    loading: np.ndarray


def kept_parts(grid: Grid, history: History, day: np.ndarray, stressing: np.ndarray) -> np.ndarray:
    """(classes, days, nodes): force on each day over the force its stressing left, by superposition, for each class of
    bars that was left alike. ``classes_of`` gives each bar's class."""
    days, classes = history.stressed_days, unlike(history)[0]
    steps = force_steps(grid.kept(days[:, None] - days[None, :]), classes)
    parts = grid.kept(day[:, None] - days[None, :])
    parts = np.where((np.arange(len(days)) <= stressing[:, None])[..., None], parts, 0.0)
    force = np.einsum("tkg,ckg->ctg", parts, steps, optimize=True)
    return np.maximum(force, 0.0) / classes[:, stressing][..., None]


def unlike(history: History) -> tuple[np.ndarray, np.ndarray]:
    """(classes, stressings) of forces left that differ by more than a scale, and (bars,) which class a bar is of."""
    relative = np.round(history.left_lb / history.left_lb[:, -1:], 6)
    if relative.shape[1] == 1:
        return np.ones((1, 1)), np.zeros(len(relative), dtype=int)
    classes, of_bar = np.unique(relative, axis=0, return_inverse=True)
    return classes, of_bar.reshape(-1)


def loss_loading(policy: LossPolicy, history: History, day: np.ndarray, bar: np.ndarray, stressing: np.ndarray):
    """How much of a bar's own loss shows: 0 as pulled, 1 at the policy's loss of a year, at most 2."""
    days = history.stressed_days
    slope = np.array([policy.log_slope_ratio])
    classes, of_bar = unlike(history)
    steps = force_steps(_yard(days[:, None] - days[None, :], slope), classes)[:, :, 0]
    parts = np.where(
        np.arange(len(days)) <= stressing[:, None], _yard(day[:, None] - days[None, :], slope)[..., 0], 0.0
    )
    own = of_bar[bar]
    kept = np.sum(parts * steps[own], axis=1) / classes[own, stressing]
    year = -np.log(max(float(_yard(np.array([YEAR_DAYS]), slope)[0, 0]), 0.05))
    return np.clip(-np.log(np.clip(kept, 0.05, 1.0)) / max(year, 1e-9), 0.0, 2.0)


def _yard(elapsed: np.ndarray, slope: np.ndarray) -> np.ndarray:
    return np.maximum(logarithmic_ratio(np.maximum(elapsed, 0.0)[..., None], slope), 0.05)


def bar_likeness(history: History) -> np.ndarray:
    """(bars, bars) correlation of what is a bar's own with that of its neighbours."""
    at = np.array(history.row.stations_ft)
    near = NEIGHBOUR_SHARE * np.exp(-np.abs(at[:, None] - at[None, :]) / NEIGHBOUR_FT)
    return near + (1.0 - NEIGHBOUR_SHARE) * np.eye(len(at))


def level_covariance(history: History, a: Latents, b: Latents) -> np.ndarray:
    """Part no scale touches: the force left where it was not read, and bars that stand apart."""
    same = a.stressing[:, None] == b.stressing[None, :]
    read = history.is_known
    own = np.where(read, LEVEL_FREE_SD, TARGET_OWN_SD)[a.stressing] ** 2
    common = ~read[a.stressing][:, None] & ~read[b.stressing][None, :]
    shared_sd = LEVEL_FREE_SD if history.is_guessed else TARGET_COMMON_SD
    out = same * own[:, None] + common * shared_sd**2
    if history.apart.any():
        alone = history.apart[a.bar, a.stressing] * APART_SD**2
        out = out + same * (a.bar[:, None] == b.bar[None, :]) * alone[:, None]
    return out


def bar_covariance(policy: LossPolicy, likeness: np.ndarray, a: Latents, b: Latents) -> np.ndarray:
    """Part of the bars: as left, and in what they lose."""
    alike = likeness[np.ix_(a.bar, b.bar)] * policy.bar_sd_ratio**2
    lasting = LASTING_SHARE + (1.0 - LASTING_SHARE) * (a.stressing[:, None] == b.stressing[None, :])
    return alike * ((1.0 - LOSS_SHARE) * lasting + LOSS_SHARE * np.outer(a.loading, b.loading))


def day_covariance(policy: LossPolicy, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Part of the days, (days a, days b)."""
    return policy.day_sd_ratio**2 * np.exp(-np.abs(a[:, None] - b[None, :]) / DAY_TOGETHER_DAYS)


@dataclass(frozen=True, eq=False)
class Scatter:
    """Covariance of the N observations for each pair of scales: ``fixed + within^2 own + between^2 days``."""

    seen: Latents
    likeness: np.ndarray
    fixed: np.ndarray
    own: np.ndarray
    days: np.ndarray

    def of(self, scales: np.ndarray) -> np.ndarray:
        """(S, N, N) for scales (S, 2)."""
        within, between = scales[:, 0, None, None] ** 2, scales[:, 1, None, None] ** 2
        return self.fixed + within * self.own + between * self.days


def scatter_of(history: History, policy: LossPolicy) -> Scatter:
    """The covariance of a row's observations under a policy."""
    loading = loss_loading(policy, history, history.day, history.bar, history.stressing)
    seen = Latents(bar=history.bar, stressing=history.stressing, loading=loading)
    likeness = bar_likeness(history)
    half = policy.stressing_sd_ratio**2 / 2.0
    noise = np.where(history.is_reading, policy.reading_sd_ratio**2 / history.repeats, half) + LEAST_SD**2
    read = history.is_reading
    days = np.where(read[:, None] & read[None, :], day_covariance(policy, history.day, history.day), 0.0)
    jacked = ~read[:, None] & ~read[None, :] & (seen.stressing[:, None] == seen.stressing[None, :])
    return Scatter(
        seen=seen,
        likeness=likeness,
        fixed=level_covariance(history, seen, seen),
        own=bar_covariance(policy, likeness, seen, seen) + np.diag(noise),
        days=days + jacked * half,
    )
