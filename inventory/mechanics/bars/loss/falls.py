"""Bars that fall by more than loss in time explains: a slipped nut, a crushed plate, a split edge (``model``).

Such a bar must not be forecast near what it held before, and must not speak for the others. It gets a level of its own
from the reading on that shows the fall, so that it stands as last read.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

APART_RATIO = 0.6
"""A bar below this part of what its fellows lead to expect stands apart from them."""
FALL_RATIO = 0.75
"""A bar that keeps less than this part of what it held before, its fellows' change taken off, has fallen."""
ROW_FALL_RATIO = 0.7
ROW_BARS, KEPT_RATIO = 3, 0.88
UNEVEN_SD, UNEVEN_FEW_SD, FEW_BARS = 0.22, 0.30, 5
"""Standard deviation of logs of the bars of one day (of fewer than five: the second) above which they are unlike."""
SLOPE_ALLOWANCE = 0.15
"""Log of a further loss per tenfold time that is no fall yet, where all bars go down together."""


@dataclass(frozen=True)
class Fall:
    """From ``since_day`` on, under one stressing, a bar (None: the whole row) stands on a level of its own."""

    bar: int | None
    stressing: int
    since_day: float


def falls_of(*, bars, days, elapsed_days, stressing, against) -> tuple[Fall, ...]:
    """Falls among readings in order of time. ``against`` (n,): log of a reading over what the policy expects."""
    found = []
    for k in np.unique(stressing):
        here = stressing == k
        one = _row_fall(int(k), bars[here], days[here], elapsed_days[here], against[here])
        one += _bar_falls(int(k), bars[here], days[here], against[here])
        one = _last_words(int(k), bars[here], days[here], elapsed_days[here], against[here], one)
        found += one + _unlike(int(k), bars[here], days[here], against[here], one)
    return tuple(found)


def _row_fall(k: int, bars, days, elapsed, against) -> list[Fall]:
    """The last day on which the middle of all bars came down at once and stayed down; of days with three bars read."""
    each_day = np.array([day for day in np.unique(days) if len(set(bars[days == day])) >= ROW_BARS])
    middles = np.array([np.median(against[days == day]) for day in each_day])
    since = np.array([elapsed[days == day][0] for day in each_day])
    for at in range(len(each_day) - 1, 0, -1):
        allowed = np.log(ROW_FALL_RATIO) - SLOPE_ALLOWANCE * np.log10((1.0 + since[at]) / (1.0 + since[at - 1]))
        if middles[at:].max() - middles[at - 1] < allowed and not _some_kept(bars, days, against, each_day[at]):
            return [Fall(None, k, float(each_day[at]))]
    return []


def _some_kept(bars, days, against, day: float) -> bool:
    """Whether any bar read on ``day`` holds about what it held before: then it is no fall of the row."""
    changes = []
    for at in np.flatnonzero(days == day):
        past = against[(bars == bars[at]) & (days < day)]
        if len(past):
            changes.append(against[at] - np.median(past))
    return bool(changes) and max(changes) > np.log(KEPT_RATIO)


def _bar_falls(k: int, bars, days, against) -> list[Fall]:
    found, beside = [], _beside_others(bars, days, against)
    for bar in np.unique(bars):
        own = np.flatnonzero(bars == bar)
        values = beside[own]
        split = _split(values)
        others = np.median(against[bars != bar]) if len(np.unique(bars)) > 2 else None
        if split:
            found.append(Fall(int(bar), k, float(days[own[split]])))
        elif others is not None and np.median(against[own]) - others < np.log(APART_RATIO):
            found.append(Fall(int(bar), k, float(days[own[0]])))
    return found


def _last_words(k: int, bars, days, elapsed, against, found: list[Fall]) -> list[Fall]:
    """The same falls, from the last reading on where that is a further fall of the bar; and bars that fell among so
    many others that the middle of those hid it."""
    row = [fall for fall in found if fall.bar is None]
    since = {fall.bar: fall.since_day for fall in found if fall.bar is not None}
    for bar in list(since) if row else np.unique(bars):
        own = np.flatnonzero(bars == bar)
        past = own[(days[own] >= since.get(bar, days.min())) & (days[own] < days[own[-1]])]
        if len(past):
            longer = (1.0 + elapsed[own[-1]]) / (1.0 + elapsed[past[-1]])
            allowed = np.log(FALL_RATIO) - SLOPE_ALLOWANCE * np.log10(longer)
            if against[own[-1]] - np.median(against[past]) < allowed:
                since[bar] = days[own[-1]]
    return row + [Fall(int(bar), k, float(day)) for bar, day in since.items()]


def _unlike(k: int, bars, days, against, before: list[Fall]) -> list[Fall]:
    """Bars of the last day that are too unlike for one level, or half of them fallen: each on its own as read, and the
    row on theirs for the bars that were not read."""
    day = days.max()
    fallen, last = {fall.bar for fall in before}, set(bars[days == day])
    here = [at for at in np.flatnonzero(days == day) if bars[at] not in fallen]
    most = UNEVEN_SD if len(here) >= FEW_BARS else UNEVEN_FEW_SD
    many = 2 * len(last & fallen) >= len(last) > 1
    if not many and (len(here) < 2 or np.std(against[here], ddof=1) <= most):
        return []
    row = [] if None in fallen else [Fall(None, k, float(day))]
    return row + [Fall(int(bar), k, float(day)) for bar in sorted({bars[at] for at in here})]


def _split(values: np.ndarray) -> int:
    """Where a bar's own readings part into before and after a fall that lasts to the last of them; 0: nowhere."""
    for at in range(1, len(values)):
        if values[at:].max() - np.median(values[:at]) < np.log(FALL_RATIO):
            return at
    return 0


def _beside_others(bars, days, against) -> np.ndarray:
    """Each reading less the middle of the other bars of its day, where at least two others were read."""
    out = against.copy()
    for day in np.unique(days):
        here = np.flatnonzero(days == day)
        if len(set(bars[here])) == len(here) >= 3:
            out[here] -= _middles_without_each(against[here])
            continue
        for at in here:
            others = against[here[bars[here] != bars[at]]]
            if len(others) >= 2:
                out[at] -= np.median(others)
    return out


def _middles_without_each(values: np.ndarray) -> np.ndarray:
    """Median of all values but one, for each of them."""
    order = np.argsort(values, kind="stable")
    sorted_, left = values[order], len(values) - 1
    rank = np.empty(len(values), dtype=int)
    rank[order] = np.arange(len(values))
    low, high = (left - 1) // 2, left // 2
    return (sorted_[low + (rank <= low)] + sorted_[high + (rank <= high)]) / 2.0
