"""A row's history made ready for the fit: which readings enter, which do not and why, and what every bar was left with.

Nothing is dropped in silence: each kind of thing that does not enter has its sentence.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from inventory.mechanics.errors import OutsideValidity, require_range

from .falls import Fall, falls_of
from .screening import SOURCE, expected_ratio, in_time, plausible, slack_bars, without_frost
from .terms import BarRow, LossPolicy, Stressed

LEAST_LB, MOST_LB = 1.0, 1e7
MOST_FORCES = 2000
"""Forces of one row that enter at most: the work grows with their square."""
YEAR_DAYS = 365.0


@dataclass(frozen=True, eq=False)
class History:
    """Observations in the order stressed forces, then readings (N in all).

    ``stressed_days`` (K,); ``left_lb`` (bars, K) the force each stressing left, known or taken for known, and
    ``is_known`` (K,) whether any force of it is. Per observation: ``log_lb``, ``bar``, ``stressing``, ``day``,
    ``is_reading``, ``repeats``. ``falls`` of a bar or of the whole row (`falls`); ``is_slack`` (bars,) by the last word
    since the last stressing.
    """

    row: BarRow
    stressed_days: np.ndarray
    left_lb: np.ndarray
    is_known: np.ndarray
    is_guessed: bool
    log_lb: np.ndarray
    bar: np.ndarray
    stressing: np.ndarray
    day: np.ndarray
    is_reading: np.ndarray
    repeats: np.ndarray
    falls: tuple[Fall, ...]
    is_slack: np.ndarray
    read_bars: frozenset[int]
    readings_used: int
    readings_left_out: int
    sentences: tuple[str, ...]


def history_of(row: BarRow, policy: LossPolicy, by_day: float | None = None) -> History:
    """Sort and screen. ``by_day``: the forecast's first day; what is dated after it does not enter.

    ``OutsideValidity`` where nothing can be said: no bars, stations out of order, a force below zero, no stressing on
    record, or neither a target nor any force.
    """
    _check(row)
    row = _no_crumbs(row)
    told: list[str] = []
    stressed = _stressings(row, by_day, told)
    days = np.array([each.on_day for each in stressed])
    left, known, guessed = _left(row, stressed, told)
    readings = in_time(row, days, by_day, told)
    readings = without_frost(readings, told)
    readings = plausible(readings, row, policy, days, left, known, guessed, told)
    slack = slack_bars(row, readings, stressed, days, told)
    readings = [each for each in readings if each.force_lb > 0.0]
    at = np.array([np.searchsorted(days, each.on_day, side="right") - 1 for each in readings], dtype=int)
    falls = _falls(readings, at, policy, days, left, told)
    if guessed:
        left = _guess_left(readings, at, policy, days, left, told)
    seen = [(k, i, force) for k, each in enumerate(stressed) for i, force in enumerate(each.forces_lb) if force]
    current = len(days) - 1
    history = History(
        row=row,
        stressed_days=days,
        left_lb=left,
        is_known=known,
        is_guessed=guessed,
        log_lb=np.log(np.array([force for _, _, force in seen] + [each.force_lb for each in readings])),
        bar=np.array([i for _, i, _ in seen] + [each.bar_index for each in readings], dtype=int),
        stressing=np.array([k for k, _, _ in seen] + list(at), dtype=int),
        day=np.array([days[k] for k, _, _ in seen] + [each.on_day for each in readings], dtype=float),
        is_reading=np.array([False] * len(seen) + [True] * len(readings), dtype=bool),
        repeats=np.array([1.0] * len(seen) + [float(max(each.repeats, 1)) for each in readings]),
        falls=falls,
        is_slack=slack,
        read_bars=frozenset(each.bar_index for each, k in zip(readings, at, strict=True) if k == current),
        readings_used=len(readings),
        readings_left_out=len(row.readings) - len(readings),
        sentences=(),
    )
    return _told(history, told, by_day)


def _no_crumbs(row: BarRow) -> BarRow:
    """The row with forces under a pound as what they are: none."""
    if min((each.force_lb for each in row.readings), default=LEAST_LB) < LEAST_LB:
        reads = (replace(each, force_lb=0.0) if each.force_lb < LEAST_LB else each for each in row.readings)
        row = replace(row, readings=tuple(reads))
    if any(force is not None and force < LEAST_LB for each in row.stressed for force in each.forces_lb):
        pulls = (
            replace(each, forces_lb=tuple(f if f is None or f >= LEAST_LB else 0.0 for f in each.forces_lb))
            for each in row.stressed
        )
        row = replace(row, stressed=tuple(pulls))
    return row


def _check(row: BarRow) -> None:
    count = len(row.stations_ft)
    require_range(name=f"{row.label}: number of bars", value=count, least=1, source=SOURCE)
    require_range(name=f"{row.label}: length", value=row.length_ft, above=0, unit="ft", source=SOURCE)
    require_range(name=f"{row.label}: thickness", value=row.thickness_in, above=0, most=60, unit="in", source=SOURCE)
    for station in row.stations_ft:
        require_range(name="bar station", value=station, least=0, most=row.length_ft, unit="ft", source=SOURCE)
    if any(b <= a for a, b in zip(row.stations_ft, row.stations_ft[1:], strict=False)):
        raise OutsideValidity(
            name=f"{row.label}: bars", value="not in the order of their stations, or two at one place",
            valid="one bar after another along the span", source=SOURCE,
        )  # fmt: skip
    if row.target_lb is not None:
        require_range(
            name=f"{row.label}: target force",
            value=row.target_lb,
            least=LEAST_LB,
            most=MOST_LB,
            unit="lb",
            source=SOURCE,
        )
    forces = len(row.readings) + sum(len(each.forces_lb) for each in row.stressed)
    require_range(name=f"{row.label}: number of forces", value=forces, most=MOST_FORCES, source=SOURCE)
    for each in row.stressed:
        if each.forces_lb and len(each.forces_lb) != count:
            raise OutsideValidity(
                name=f"{row.label}: forces left by a stressing", value=len(each.forces_lb),
                valid=f"one for each of the {count} bars, or none", source=SOURCE,
            )  # fmt: skip
        for force in each.forces_lb:
            if force is not None:
                require_range(
                    name="force left by a stressing", value=force, least=0, most=MOST_LB, unit="lb", source=SOURCE
                )
    for each in row.readings:
        require_range(name="bar of a reading", value=each.bar_index, least=0, most=count - 1, source=SOURCE)
        require_range(name="force read", value=each.force_lb, least=0, most=MOST_LB, unit="lb", source=SOURCE)


def _stressings(row: BarRow, by_day: float | None, told: list[str]) -> list[Stressed]:
    """In order of time, one a day: two records of one day are one stressing, the later entry counting bar by bar."""
    days: dict[float, Stressed] = {}
    for each in sorted(row.stressed, key=lambda stressed: stressed.on_day):
        if by_day is not None and each.on_day > by_day:
            continue
        before = days.get(each.on_day)
        if before is not None and before.forces_lb and each.forces_lb:
            pairs = zip(before.forces_lb, each.forces_lb, strict=True)
            each = Stressed(on_day=each.on_day, forces_lb=tuple(b if b is not None else a for a, b in pairs))
        elif before is not None and before.forces_lb:
            each = before
        days[each.on_day] = each
    if len(days) < sum(by_day is None or each.on_day <= by_day for each in row.stressed):
        told.append("Stressings entered twice for one day count once.")
    if by_day is not None and any(each.on_day > by_day for each in row.stressed):
        told.append("A stressing dated after the first day of the forecast does not enter: correct its date.")
    if not days:
        raise OutsideValidity(
            name=f"{row.label}: stressings on record", value="none",
            valid="the day the bars were last pulled; enter that work, then the forecast can be made", source=SOURCE,
        )  # fmt: skip
    return list(days.values())


def _left(row: BarRow, stressed: list[Stressed], told: list[str]) -> tuple[np.ndarray, np.ndarray, bool]:
    """(bars, stressings) force left: as read, else the middle of the bars read that day, else the target."""
    known = np.array([any(each.forces_lb) for each in stressed])
    read = [force for each in stressed for force in each.forces_lb if force]
    fallback = row.target_lb or (float(np.median(read)) if read else None)
    guessed = fallback is None
    if guessed and not any(each.force_lb > 0.0 and not each.left_out for each in row.readings):
        raise OutsideValidity(
            name=f"{row.label}: force put into the bars", value="unknown (no target, no force read)",
            valid="the force in the bars after stressing, or one reading; enter either", source=SOURCE,
        )  # fmt: skip
    left = np.full((len(row.stations_ft), len(stressed)), fallback or 1.0)
    for k, each in enumerate(stressed):
        if known[k]:
            middle = float(np.median([force for force in each.forces_lb if force]))
            left[:, k] = [force if force else middle for force in each.forces_lb]
    if not known.all() and not guessed:
        count = int(np.sum(~known))
        which = "the target" if row.target_lb else "the middle force of the other stressings"
        told.append(
            f"Forces left by {count} of {len(stressed)} stressings are not on record: {which} is taken, give or take "
            "10 % (model)."
        )
    return left, known, guessed


def _falls(readings, at, policy, days, left, told) -> tuple[Fall, ...]:
    if not readings:
        return ()
    bars = np.array([each.bar_index for each in readings])
    on = np.array([each.on_day for each in readings])
    elapsed = on - days[at]
    against = np.log([each.force_lb for each in readings]) - np.log(left[bars, at] * expected_ratio(policy, elapsed))
    falls = falls_of(bars=bars, days=on, elapsed_days=elapsed, stressing=at, against=against)
    now = [fall for fall in falls if fall.stressing == len(days) - 1]
    alone = len({fall.bar for fall in now if fall.bar is not None})
    whole = any(fall.bar is None for fall in now)
    if alone and whole:
        told.append(
            "The bars read last are too unlike for one level: each is taken as read, and those not read may stand "
            "anywhere among them. Find out why, and read all bars."
        )
    elif alone:
        told.append(
            f"{alone} of the bars {'has' if alone == 1 else 'have'} fallen far below the others or below what "
            f"{'it' if alone == 1 else 'they'} held before: taken as last read. Find out why."
        )
    elif whole:
        told.append(
            "All bars fell at once by far more than their loss before explains: the forecast starts again from there. "
            "Find out why (plates, nuts, wet wood in frost)."
        )
    return falls


def _guess_left(readings, at, policy, days, left, told) -> np.ndarray:
    elapsed = np.array([each.on_day for each in readings]) - days[at]
    back = np.array([each.force_lb for each in readings]) / expected_ratio(policy, elapsed)
    told.append(
        "Neither a target nor the forces after stressing are on record: the level rests on the readings alone, the "
        "loss before the first of them on the policy."
    )
    return left * float(np.median(back))


def _told(history: History, told: list[str], by_day: float | None) -> History:
    """Add what the reader must know about how little there is."""
    days = history.day[history.is_reading]
    since = days[days > history.stressed_days[-1]]
    if not len(days):
        told.append("No reading enters the fit: the forecast rests on the policy and on other bridges alone.")
    elif len(days) == 1:
        told.append("One reading only: the rate of loss rests mostly on the policy and on other bridges.")
    elif len(set(days)) == 1:
        told.append("All readings are of one day: they show how much was lost, not how fast it goes on.")
    if len(days) and not len(since):
        told.append("No reading since the last stressing enters the fit.")
    last = max(since, default=history.stressed_days[-1])
    if by_day is not None and by_day - last > 5 * YEAR_DAYS:
        told.append(f"Nothing was read or pulled for {(by_day - last) / YEAR_DAYS:.0f} years: read the bars.")
    unread = len(history.row.stations_ft) - len(history.read_bars | set(np.flatnonzero(history.is_slack)))
    if unread and history.readings_used:
        told.append(
            f"{unread} of {len(history.row.stations_ft)} bars were not read since the last stressing and are estimated "
            "from the others."
        )
    object.__setattr__(history, "sentences", tuple(told))
    return history
