"""The two published forms of loss of bar force in time, with superposition over stressings.

Sources, for both: stress-laminated decks, loss with time. Logarithmic (``model``): R(t) = 1 - a log10(1 + t/1 day), a
0.08 in dry decks of little steel to 0.18 in green hardwood. Exponential (``checked`` in form: fifteen months of a
red-oak deck in Rhode Island, TRID 451036; parameters ``model``): R(t) = f + (1 - f) exp(-t/tau), f 0.4 to 0.6, tau 90
to 365 days. Superposition: F(t) = sum of dF_k R(t - t_k), dF_k the force after stressing k minus that just before it.
"""

from __future__ import annotations

import math

import numpy as np

from inventory.mechanics.errors import OutsideValidity, require_range

from .terms import FORMS

SOURCE = "stress-laminated decks, loss with time"


def logarithmic_ratio(elapsed_days: np.ndarray, log_slope_ratio: np.ndarray) -> np.ndarray:
    """R = 1 - a log10(1 + t/1 day), never below 0 [model]; the two arguments broadcast against each other.

    t >= 0 days since the stressing, a per tenfold of time (0 to 1). Ranges are checked by `remaining_ratio`, not here.
    """
    return np.maximum(1.0 - log_slope_ratio * np.log10(1.0 + elapsed_days), 0.0)


def exponential_ratio(elapsed_days: np.ndarray, floor_ratio: np.ndarray, settle_days: np.ndarray) -> np.ndarray:
    """R = f + (1 - f) exp(-t/tau) [form checked, TRID 451036]; the arguments broadcast against each other.

    t >= 0 days since the stressing, f the part that stays (0 to 1), tau > 0 days. Ranges are checked by
    `remaining_ratio`, not here.
    """
    return floor_ratio + (1.0 - floor_ratio) * np.exp(-elapsed_days / settle_days)


def force_steps(before: np.ndarray, left: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """What superposition adds up: ``steps`` and ``slackened``, both (bars, stressings, parameters).

    After stressing k a bar holds slackened_k times the sum of step_j R(t - t_j), j up to k. ``before`` (stressings k,
    stressings j, parameters) is R(t_k - t_j), used for j < k; ``left`` (bars, stressings) the force each stressing
    left, above 0, in any unit. As published, a step is the force after a stressing less that just before, and slackened
    is 1. A bar left with less than it held (its neighbours were pulled, or it was let go) must not gain force by
    itself, which a negative step would make of it: all earlier steps shrink by one factor instead (``model``).
    """
    bars, stressings = left.shape
    steps = np.zeros((bars, stressings, before.shape[2]))
    slackened = np.ones_like(steps)
    for k in range(stressings):
        last = slackened[:, k - 1] if k else np.ones((bars, before.shape[2]))
        standing = last * np.maximum(np.einsum("ijg,jg->ig", steps[:, :k], before[k, :k]), 0.0)
        gained = left[:, k, None] - standing
        loosened = np.where(gained < 0.0, left[:, k, None] / np.maximum(standing, 1e-300), 1.0)
        slackened[:, k] = last * loosened
        steps[:, k] = np.maximum(gained, 0.0) / slackened[:, k]
    return steps, slackened


def remaining_ratio(
    *,
    form: str,
    day: float,
    stressed_on: tuple[float, ...] = (0.0,),
    log_slope_ratio: float | None = None,
    floor_ratio: float | None = None,
    settle_days: float | None = None,
) -> float:
    """Part of the target left on ``day``, every day of ``stressed_on`` having brought the bars back to the target.

    Days from any one origin. Stressings after ``day`` are refused, as are a day before the first and a form without its
    own parameters: ``log_slope_ratio`` a for "logarithmic" (0 to 1), ``floor_ratio`` f (0 to 1) and ``settle_days``
    tau for "exponential". Never below 0.
    """
    days = np.array(sorted(set(stressed_on)), dtype=float)
    if not len(days):
        raise OutsideValidity(name="number of stressings", value=0, valid="at least 1", source=SOURCE)
    require_range(name="day", value=day, least=float(days[-1]), unit="days", source=SOURCE)
    kept = _kept(form, log_slope_ratio, floor_ratio, settle_days)
    before = kept(days[:, None] - days[None, :])[..., None] if len(days) > 1 else np.ones((1, 1, 1))
    steps = force_steps(before, np.ones((1, len(days))))[0][0, :, 0]
    return float(max(np.dot(steps, kept(day - days)), 0.0))


def days_to_ratio(
    *,
    form: str,
    kept_ratio: float,
    log_slope_ratio: float | None = None,
    floor_ratio: float | None = None,
    settle_days: float | None = None,
) -> float | None:
    """Days after a single stressing until ``kept_ratio`` (0 to 1) of its force is left; None: never.

    t = 10^((1 - R)/a) - 1 days (logarithmic, same source); t = -tau ln((R - f)/(1 - f)) (exponential, solved from its
    form). Never: no loss, a floor at or above the ratio, or a day a computer cannot count to.
    """
    require_range(name="part of the force kept", value=kept_ratio, least=0.0, most=1.0, source=SOURCE)
    _kept(form, log_slope_ratio, floor_ratio, settle_days)
    if kept_ratio == 1.0:
        return 0.0
    if form == "logarithmic":
        decades = (1.0 - kept_ratio) / log_slope_ratio if log_slope_ratio else math.inf
        return 10.0**decades - 1.0 if decades < 300.0 else None
    return (
        None if floor_ratio >= kept_ratio else -settle_days * math.log((kept_ratio - floor_ratio) / (1 - floor_ratio))
    )


def _kept(form: str, log_slope_ratio: float | None, floor_ratio: float | None, settle_days: float | None):
    """R of elapsed days, parameters held against their ranges."""
    if form == "logarithmic":
        slope = require_range(name="slope of loss", value=log_slope_ratio, least=0.0, most=1.0, source=SOURCE)
        return lambda elapsed: logarithmic_ratio(np.maximum(elapsed, 0.0), np.float64(slope))
    if form == "exponential":
        floor = require_range(name="floor of loss", value=floor_ratio, least=0.0, most=1.0, source=SOURCE)
        settle = require_range(name="days to settle", value=settle_days, above=0.0, unit="days", source=SOURCE)
        return lambda elapsed: exponential_ratio(np.maximum(elapsed, 0.0), np.float64(floor), np.float64(settle))
    raise OutsideValidity(name="form of loss", value=form, valid=" or ".join(FORMS), source=SOURCE)
