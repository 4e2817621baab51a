"""Which readings enter the fit. What does not enter has a sentence; nothing is dropped in silence."""

from __future__ import annotations

import numpy as np

from .forms import logarithmic_ratio
from .terms import BarRow, ForceRead, LossPolicy

SOURCE = "forecast of bar force"
TOO_MUCH_SD = 3.0
"""A reading this many standard deviations above the force that was put in is doubted and does not enter (model)."""


def expected_ratio(policy: LossPolicy, elapsed_days: np.ndarray) -> np.ndarray:
    """What the policy's own logarithmic loss leaves: a yardstick for screening only; never below 0.05."""
    return np.maximum(logarithmic_ratio(np.maximum(elapsed_days, 0.0), np.float64(policy.log_slope_ratio)), 0.05)


def in_time(row: BarRow, days: np.ndarray, by_day: float | None, told: list[str]) -> list[ForceRead]:
    """Readings between the first stressing and ``by_day``, none of a day of stressing; in order of time."""
    kept, early, late, same = [], 0, 0, 0
    for each in sorted(row.readings, key=lambda read: (read.on_day, read.bar_index)):
        if each.on_day < days[0]:
            early += 1
        elif by_day is not None and each.on_day > by_day:
            late += 1
        elif each.on_day in days:
            same += 1
        else:
            kept.append(each)
    if early:
        told.append(
            _count(early, "was", "were") + " taken before the first stressing on record and left out of the fit: enter "
            "that earlier stressing if there was one."
        )
    if late:
        told.append(
            _count(late, "is", "are") + " dated after the first day of the forecast and left out of the fit: correct "
            "the date."
        )
    if same:
        told.append(
            _count(same, "is", "are")
            + " of a day of stressing: what the bars were left with stands in the stressing's "
            "own forces, so the fit does not take it twice."
        )
    return kept


def without_frost(readings: list[ForceRead], told: list[str]) -> list[ForceRead]:
    """Readings with no reason to be left out."""
    cold = [each for each in readings if each.left_out]
    if cold:
        reasons = ", ".join(sorted({each.left_out for each in cold}))
        told.append(_count(len(cold), "is", "are") + f" left out of the fit ({reasons}), never out of the rating.")
    return [each for each in readings if not each.left_out]


def plausible(readings, row, policy, days, left, known, guessed, told) -> list[ForceRead]:
    """Leave out a reading far above the force that was ever put in: a loss cannot have given it."""
    if guessed:
        return readings
    spread = np.sqrt(policy.reading_sd_ratio**2 + policy.day_sd_ratio**2 + policy.stressing_sd_ratio**2)
    wider = np.hypot(spread, policy.bar_sd_ratio) + 0.05
    kept = []
    for each in readings:
        k = int(np.searchsorted(days, each.on_day, side="right")) - 1
        most = left[each.bar_index, : k + 1].max() * np.exp(TOO_MUCH_SD * (spread if known[k] else wider))
        if each.force_lb <= most:
            kept.append(each)
    if len(kept) < len(readings):
        told.append(
            _count(len(readings) - len(kept), "shows", "show") + " far more force than was ever put into the bar and "
            "does not enter the fit: check the unit, the gauge and the target."
        )
    return kept


def slack_bars(row, readings, stressed, days, told) -> np.ndarray:
    """Bars whose last word since the last stressing is no force at all: they stay slack in the forecast."""
    last = {i: force for i, force in enumerate(stressed[-1].forces_lb) if force is not None}
    for each in readings:
        if each.on_day > days[-1]:
            last[each.bar_index] = each.force_lb
    slack = np.array([last.get(i, 1.0) == 0.0 for i in range(len(row.stations_ft))], dtype=bool)
    if slack.any():
        names = ", ".join(f"{row.stations_ft[i]:g}" for i in np.flatnonzero(slack))
        which = f"The bar at {names} ft is" if slack.sum() == 1 else f"The bars at {names} ft are"
        told.append(f"{which} loose and counted as carrying nothing until pulled again.")
    return slack


def _count(count: int, one: str, many: str) -> str:
    return f"1 reading {one}" if count == 1 else f"{count} readings {many}"
