"""The passes of a stressing day one after another, until every bar has its target.

One pass: the optimum, held back at the limits of bar, plate, flange, jack and gauge, then repair passes over the bars
that are short. Equal passes: all bars, again and again. A first pass at part force closes the gaps of a new deck, whose
real losses are larger than the model's (`stress-lamination`, `model`).
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from .inputs import PASSES_MOST
from .interaction import RowState
from .limits import Moment
from .orders import pull_groups
from .passes import PassRun, Planner
from .terms import PlanInput, Pull

GAIN_RATIO = 1e-3
"""A pass that brings the least bar no further than this part of its target is the last: more would not help."""


@dataclass
class Course:
    """What has been computed so far; grows pass by pass."""

    planner: Planner
    state: RowState
    bars: tuple[int, ...]
    pass_number: int = 0
    number: int = 1
    pulls: list[Pull] = field(default_factory=list)
    moments: list[Moment] = field(default_factory=list)
    held_back: dict[int, str] = field(default_factory=dict)

    @property
    def given(self) -> PlanInput:
        return self.planner.given

    def groups(self, bars: tuple[int, ...]) -> tuple[tuple[int, ...], ...]:
        """Bars pulled together in the plan's order."""
        given = self.given
        return pull_groups(
            order=given.order,
            stations_in=tuple(bar.station_in for bar in given.bars),
            planned=bars,
            middle_in=given.deck.deck_length_in / 2.0,
            jack_count=len(given.jacks),
            given_order=tuple(bar for bar in given.given_order if bar in bars),
        )

    def reached(self) -> np.ndarray:
        """Force over target of the bars of this course, (len(bars),)."""
        bars = list(self.bars)
        return self.state.force_lb[bars] / self.planner.target_lb[bars]

    @property
    def least_ratio(self) -> float:
        return float(self.reached().min()) if self.bars else 1.0

    def take(self, run: PassRun) -> None:
        self.state = run.state
        self.pulls += run.pulls
        self.moments += run.moments
        self.number += len(run.pulls)
        self.held_back |= run.held_back


def run_course(course: Course, *, passes: int | None, part_ratio: float = 1.0, short_only: bool = False) -> None:
    """Add passes until every bar has ``reach_ratio`` of its target, ``passes`` are made, or another would not help.

    ``short_only``: a full pass was made before, so that only bars still short are pulled again.
    """
    passes = PASSES_MOST if passes is None else passes
    if part_ratio < 1.0 and passes:
        add_pass(course, course.bars, part_ratio)
        passes -= 1
    if course.given.method == "equal_passes":
        _equal_passes(course, passes)
    else:
        _one_pass_and_repairs(course, passes, short_only)


def equal_passes_needed(course: Course) -> int | None:
    """Number of equal passes, those of the course included, until every bar has ``reach_ratio``; None where none do."""
    on = replace(course, pulls=[], moments=[], held_back={})
    while on.least_ratio < course.given.reach_ratio:
        before = on.least_ratio
        if on.pass_number >= 2 * PASSES_MOST or not add_pass(on, on.bars, 1.0) or on.least_ratio < before + GAIN_RATIO:
            return None
    return on.pass_number


def add_pass(course: Course, bars: tuple[int, ...], part_ratio: float | None = None) -> bool:
    """One pass over ``bars``: equal to a part of the targets, or the optimum. False where nothing was left to pull."""
    groups, at = course.groups(bars), {"pass_number": course.pass_number + 1, "number": course.number}
    if part_ratio is None:
        made = course.planner.best_pass(course.state, groups, **at)
    else:
        made = course.planner.equal_pass(course.state, groups, part_ratio, **at)
    course.take(made)
    course.pass_number += bool(made.pulls)
    return bool(made.pulls)


def _equal_passes(course: Course, passes: int) -> None:
    """The number the engineer gave, or as many as it takes."""
    as_needed = course.given.pass_count is None
    for _ in range(passes):
        before = course.least_ratio
        if as_needed and before >= course.given.reach_ratio:
            return
        if not add_pass(course, course.bars, 1.0) or (as_needed and course.least_ratio < before + GAIN_RATIO):
            return


def _one_pass_and_repairs(course: Course, passes: int, short_only: bool) -> None:
    for _ in range(passes):
        before = course.least_ratio
        if short_only and before >= course.given.reach_ratio:
            return
        bars = short_bars(course) if short_only else course.bars
        if not bars or not add_pass(course, bars) or (short_only and course.least_ratio < before + GAIN_RATIO):
            return
        short_only = True


def short_bars(course: Course) -> tuple[int, ...]:
    """Bars to pull again: those short by more than half of what reach allows, and those that would become short."""
    reach_ratio = course.given.reach_ratio
    short = [bar for bar, part in zip(course.bars, course.reached(), strict=True) if part < (1.0 + reach_ratio) / 2.0]
    while short:
        final_lb = course.planner.final_if(course.state, np.array(short))
        fallen = [
            bar
            for bar in course.bars
            if bar not in short and final_lb[bar] < reach_ratio * course.planner.target_lb[bar]
        ]
        if not fallen:
            break
        short = sorted(short + fallen)
    return tuple(short)
