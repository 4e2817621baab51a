"""The interaction estimated again from what the crew read: neighbours' losses, lock-offs and elongations.

Least squares with a prior: the wood's flexibility, the reach of a pull and the seating stay near what the day was
planned with unless the readings say otherwise; a few move them little. One wild reading counts less (soft L1). The
matrix is always built again from the factors, so it stays symmetric and positive definite. All spreads are `model`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import least_squares

from .flexibility import compatibility_matrix, measured_losses
from .interaction import SqueezedRow
from .log import LoggedPull, logged_pulls, played_back, read_beside
from .terms import PullDone, Relearned, Squeezed, StressingPlan

WOOD_SPREAD = 0.35
REACH_SPREAD = 0.30
"""Spreads of the prior, as standard deviations of the logarithms of ``wood_factor`` and ``reach_factor``."""
SEATING_SPREAD_IN = 0.02
READING_RATIO = 0.025
"""Standard deviation of one reading of a force by lift-off, repeated the same day with the same jack."""
TAPE_IN = 1.0 / 32.0
TAPE_RATIO = 0.05
FACTOR_MOST = 4.0
SEATING_MOST_IN = 0.25
LOSSES_MOST_RATIO = 0.475
"""Measured losses on one side are kept below this sum, so that the band stays positive definite."""
FAR_OFF = 4.0
NOTHING_READ = "No neighbour, lock-off or elongation was read: the model stays as it was planned with."
LOOSE_LB = 500.0
"""A bar read below this is taken as slack: the linear model says nothing about it."""


@dataclass(frozen=True, eq=False)
class Reading:
    """One reading: what the model says less what was read, over its standard deviation and over its scale."""

    words: str
    off_spread_ratio: float
    off_ratio: float


def relearn(plan: StressingPlan, done: tuple[PullDone, ...]) -> Relearned:
    """Wood, reach and seating to plan the rest with, and the misfit (root mean square, % of force) before and after.

    Nothing read: as planned, with a sentence. ``OutsideValidity`` for a log that cannot be (`log.logged_pulls`).
    """
    deck, pulls = plan.given.deck, logged_pulls(plan, done)
    before = _readings(plan, pulls, deck, plan.given.seating_in)
    if not before:
        return Relearned(
            deck=deck, seating_in=plan.given.seating_in, readings_used=0, misfit_before_pct=0.0, misfit_after_pct=0.0,
            sentences=(NOTHING_READ,),
        )  # fmt: skip
    learned_deck, seating_in = _fitted(plan, pulls)
    after = _readings(plan, pulls, learned_deck, seating_in)
    return Relearned(
        deck=learned_deck,
        seating_in=seating_in,
        readings_used=len(after),
        misfit_before_pct=_misfit_pct(before),
        misfit_after_pct=_misfit_pct(after),
        sentences=_told(plan, learned_deck, seating_in, before, after) + _unread(pulls),
    )


def standing_after(plan: StressingPlan, done: tuple[PullDone, ...]) -> tuple[float, ...]:
    """Best knowledge of the force in every bar, lb, after what was logged: read, else by the relearned model."""
    known = known_after(plan, done, relearn(plan, done))
    return tuple(float(force) for force in (known[max(known)] if known else np.array(plan.start_lb)))


def known_after(plan: StressingPlan, done: tuple[PullDone, ...], learned: Relearned) -> dict[int, np.ndarray]:
    """Force in every bar, lb, (n,), after each logged pull, by its number; empty where nothing was logged."""
    row = SqueezedRow(compatibility_matrix(deck=learned.deck, bars=plan.given.bars))
    return played_back(row=row, seating_in=learned.seating_in, start_lb=plan.start_lb, pulls=logged_pulls(plan, done))


def _fitted(plan: StressingPlan, pulls: tuple[LoggedPull, ...]) -> tuple[Squeezed, float]:
    planned_seating_in = plan.given.seating_in

    def off(unknown: np.ndarray) -> np.ndarray:
        deck, seating_in = _deck_of(plan.given.deck, unknown), unknown[2]
        prior = unknown / np.array([WOOD_SPREAD, REACH_SPREAD, SEATING_SPREAD_IN])
        prior[2] -= planned_seating_in / SEATING_SPREAD_IN
        return np.append([reading.off_spread_ratio for reading in _readings(plan, pulls, deck, seating_in)], prior)

    most = np.log(FACTOR_MOST)
    found = least_squares(
        off,
        x0=[0.0, 0.0, min(max(planned_seating_in, 1e-6), SEATING_MOST_IN - 1e-6)],
        bounds=([-most, -most, -1e-9], [most, most, SEATING_MOST_IN]),
        x_scale=[WOOD_SPREAD, REACH_SPREAD, SEATING_SPREAD_IN],
        loss="soft_l1",
        f_scale=2.0,
        xtol=1e-4,
        ftol=1e-6,
        max_nfev=25,
    )
    return _deck_of(plan.given.deck, found.x), float(max(found.x[2], 0.0))


def _deck_of(deck: Squeezed, unknown: np.ndarray) -> Squeezed:
    wood, reach = np.exp(unknown[:2])
    learned = replace(deck, wood_factor=float(deck.wood_factor * wood), reach_factor=float(deck.reach_factor * reach))
    total = sum(measured_losses(learned))
    if total > LOSSES_MOST_RATIO:
        learned = replace(learned, wood_factor=learned.wood_factor * LOSSES_MOST_RATIO / total)
    return learned


def _readings(plan: StressingPlan, pulls, deck: Squeezed, seating_in: float) -> list[Reading]:
    """Every reading of the log against the model; each pull by itself, from the forces known just before it."""
    row = SqueezedRow(compatibility_matrix(deck=deck, bars=plan.given.bars))
    engaged = np.array(plan.start_lb) > 0.0
    readings = []
    for pull in pulls:
        carrying = engaged.copy()
        carrying[pull.held] = True
        for read in read_beside(pull):
            carrying[read.bar_index] |= read.before_lb > 0.0
        if (pull.set_lb > np.maximum(pull.before_lb, LOOSE_LB)).all():
            readings += _of_pull(plan, pull, row.stiffness(carrying), seating_in)
        engaged = carrying
    return readings


def _of_pull(plan: StressingPlan, pull: LoggedPull, stiffness: np.ndarray, seating_in: float) -> list[Reading]:
    held, bars = pull.held, plan.given.bars
    own = stiffness[np.ix_(held, held)]
    seated_lb = pull.set_lb - seating_in * own.sum(axis=1)
    locked_lb = np.array([
        seated if each.locked_lb is None else each.locked_lb
        for seated, each in zip(seated_lb, pull.done, strict=True)
    ])  # fmt: skip
    stroke_in = np.linalg.solve(own, pull.set_lb - pull.before_lb)
    change_lb = stiffness[:, held] @ np.linalg.solve(own, locked_lb - pull.before_lb)
    readings = []
    for each, set_lb, seated, stroke in zip(pull.done, pull.set_lb, seated_lb, stroke_in, strict=True):
        words = f"bar {bars[each.bar_index].name} at pull {pull.number}"
        if each.locked_lb is not None:
            readings.append(_reading(f"force after lock-off of {words}", seated - each.locked_lb,
                                     READING_RATIO * set_lb, set_lb))  # fmt: skip
        # The first pull of a loose bar also closes gaps: its elongation says nothing about the wood.
        if each.elongation_in is not None and each.before_lb > 0.0:
            spread_in = float(np.hypot(TAPE_IN, TAPE_RATIO * stroke))
            readings.append(_reading(f"elongation of {words}", stroke - each.elongation_in, spread_in,
                                     max(each.elongation_in, stroke, TAPE_IN)))  # fmt: skip
    for read in read_beside(pull):
        if min(read.before_lb, read.after_lb) > LOOSE_LB:
            off_lb = read.before_lb + change_lb[read.bar_index] - read.after_lb
            spread_lb = READING_RATIO * float(np.hypot(read.before_lb, read.after_lb))
            words = f"force of bar {bars[read.bar_index].name} beside pull {pull.number}"
            readings.append(_reading(words, off_lb, spread_lb, read.before_lb))
    return readings


def _reading(words: str, off: float, spread: float, scale: float) -> Reading:
    return Reading(words=words, off_spread_ratio=float(off / spread), off_ratio=float(off / scale))


def _misfit_pct(readings: list[Reading]) -> float:
    return float(100.0 * np.sqrt(np.mean([reading.off_ratio**2 for reading in readings])))


def _unread(pulls: tuple[LoggedPull, ...]) -> tuple[str, ...]:
    """Lock-offs alone say little about the neighbours' losses, and those are what a day is short of."""
    if any(read_beside(pull) for pull in pulls):
        return ()
    return ("No neighbour was read during the pulls: how they lose is by the model.",)


def _told(plan: StressingPlan, deck: Squeezed, seating_in: float, before, after) -> tuple[str, ...]:
    was = plan.given
    told = [
        f"{len(after)} reading{'s' if len(after) > 1 else ''} used. They are off the model by "
        f"{_misfit_pct(before):.1f} % of force as planned, {_misfit_pct(after):.1f} % as learned.",
        f"The wood gives {deck.wood_factor / was.deck.wood_factor:.2f} times what was planned with, a pull is felt "
        f"{deck.reach_factor / was.deck.reach_factor:.2f} times as far, and the nut seats {seating_in:.3f} in "
        f"({was.seating_in:.3f} in planned).",
    ]
    told += [
        f"The {reading.words} is far off all the others ({reading.off_ratio:+.0%} of it): read it again."
        for reading in after
        if abs(reading.off_spread_ratio) > FAR_OFF
    ]
    return tuple(told)
