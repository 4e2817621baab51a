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

What bars lose of their own, and days with jacks, have a scale each (`grid`), for that scatter is known the least; an
error of reading is what the policy says, and so is how unevenly bars are left: forces read at stressing show that much
better than any scale, and would otherwise speak for the losses too. Forces left and days are few, so they are carried
as factors beside what is a bar's own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .forms import force_steps, logarithmic_ratio
from .grid import Grid
from .history import YEAR_DAYS, History
from .terms import LossPolicy

TARGET_COMMON_SD, TARGET_OWN_SD, LEVEL_FREE_SD = 0.08, 0.06, 0.5
FALL_SD = 1.0
NEIGHBOUR_FT, NEIGHBOUR_SHARE = 10.0, 0.5
LOSS_SHARE, LASTING_SHARE = 0.5, 0.5
DAY_TOGETHER_DAYS = 14.0
LEAST_SD = 1e-4


@dataclass(frozen=True, eq=False)
class Places:
    """Where a force was seen or is wanted: bar, stressing, ``loading`` of the bar's own loss."""

    bar: np.ndarray
    stressing: np.ndarray
    loading: np.ndarray


@dataclass(frozen=True, eq=False)
class Scatter:
    """Covariance of the N observations at scales (losses w, days b):
    ``left + w^2 lost + levels level_cov levels' + b^2 days day_cov days'``, errors of reading within ``left``.

    ``level_cov`` is of the log forces left by every stressing, then of the falls; ``day_cov`` of every day read
    (``read_days``), then of every stressing whose forces were read.
    """

    seen: Places
    likeness: np.ndarray
    left: np.ndarray
    lost: np.ndarray
    levels: np.ndarray
    level_cov: np.ndarray
    days: np.ndarray
    day_cov: np.ndarray
    read_days: np.ndarray


def kept_parts(grid: Grid, history: History, day: np.ndarray, stressing: np.ndarray) -> np.ndarray:
    """(classes, days, nodes): force on each day over the force its stressing left, by superposition, for each class of
    bars that was left alike. ``unlike`` gives each bar's class."""
    days, classes = history.stressed_days, unlike(history)[0]
    steps, slackened = force_steps(grid.kept(days[:, None] - days[None, :]), classes)
    parts = grid.kept(day[:, None] - days[None, :])
    parts = np.where((np.arange(len(days)) <= stressing[:, None])[..., None], parts, 0.0)
    force = np.einsum("tkg,ckg->ctg", parts, steps, optimize=len(classes) > 8)
    return np.maximum(force, 0.0) * slackened[:, stressing] / classes[:, stressing][..., None]


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
    steps, slackened = force_steps(_yard(days[:, None] - days[None, :], slope), classes)
    parts = np.where(
        np.arange(len(days)) <= stressing[:, None], _yard(day[:, None] - days[None, :], slope)[..., 0], 0.0
    )
    own = of_bar[bar]
    kept = np.sum(parts * steps[own, :, 0], axis=1) * slackened[own, stressing, 0] / classes[own, stressing]
    year = -np.log(max(float(_yard(np.array([YEAR_DAYS]), slope)[0, 0]), 0.05))
    return np.clip(-np.log(np.clip(kept, 0.05, 1.0)) / max(year, 1e-9), 0.0, 2.0)


def _yard(elapsed: np.ndarray, slope: np.ndarray) -> np.ndarray:
    return np.maximum(logarithmic_ratio(np.maximum(elapsed, 0.0)[..., None], slope), 0.05)


def bar_likeness(history: History) -> np.ndarray:
    """(bars, bars) correlation of what is a bar's own with that of its neighbours."""
    at = np.array(history.row.stations_ft)
    near = NEIGHBOUR_SHARE * np.exp(-np.abs(at[:, None] - at[None, :]) / NEIGHBOUR_FT)
    return near + (1.0 - NEIGHBOUR_SHARE) * np.eye(len(at))


def bar_covariance(policy: LossPolicy, likeness: np.ndarray, a: Places, b: Places) -> tuple[np.ndarray, np.ndarray]:
    """Covariance between bars at two sets of places: as they were left, and in what they lose (loadings apart)."""
    alike = likeness[np.ix_(a.bar, b.bar)] * policy.bar_sd_ratio**2
    lasting = LASTING_SHARE + (1.0 - LASTING_SHARE) * (a.stressing[:, None] == b.stressing[None, :])
    return (1.0 - LOSS_SHARE) * alike * lasting, LOSS_SHARE * alike


def day_covariance(policy: LossPolicy, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Covariance between the effects of two sets of days."""
    return policy.day_sd_ratio**2 * np.exp(-np.abs(a[:, None] - b[None, :]) / DAY_TOGETHER_DAYS)


def scatter_of(history: History, policy: LossPolicy) -> Scatter:
    """The covariance of a row's observations under a policy."""
    loading = loss_loading(policy, history, history.day, history.bar, history.stressing)
    seen = Places(bar=history.bar, stressing=history.stressing, loading=loading)
    likeness = bar_likeness(history)
    left, lost = bar_covariance(policy, likeness, seen, seen)
    half = policy.stressing_sd_ratio**2 / 2.0
    noise = np.where(history.is_reading, policy.reading_sd_ratio**2 / history.repeats, half) + LEAST_SD**2
    levels = [seen.stressing == k for k in range(len(history.stressed_days))]
    for fall in history.falls:
        since = history.is_reading & (seen.stressing == fall.stressing) & (history.day >= fall.since_day)
        levels.append(since & (fall.bar is None or seen.bar == fall.bar))
    read_days = np.unique(history.day[history.is_reading])
    jacked = np.flatnonzero(history.is_known)
    days = [history.is_reading & (history.day == day) for day in read_days]
    days += [~history.is_reading & (seen.stressing == k) for k in jacked]
    day_cov = np.zeros((len(days), len(days)))
    day_cov[: len(read_days), : len(read_days)] = day_covariance(policy, read_days, read_days)
    day_cov[len(read_days) :, len(read_days) :] = half * np.eye(len(jacked))
    return Scatter(
        seen=seen,
        likeness=likeness,
        left=left + np.diag(noise),
        lost=lost * np.outer(loading, loading),
        levels=np.array(levels, dtype=float).T.reshape(len(loading), len(levels)),
        level_cov=_level_cov(history, len(history.falls)),
        days=np.array(days, dtype=float).reshape(len(days), len(loading)).T,
        day_cov=day_cov,
        read_days=read_days,
    )


def _level_cov(history: History, fall_count: int) -> np.ndarray:
    read = history.is_known
    shared = LEVEL_FREE_SD if history.is_guessed else TARGET_COMMON_SD
    level = np.diag(np.where(read, LEVEL_FREE_SD, TARGET_OWN_SD) ** 2) + np.outer(~read, ~read) * shared**2
    whole = np.eye(len(level) + fall_count) * FALL_SD**2
    whole[: len(level), : len(level)] = level
    return whole
