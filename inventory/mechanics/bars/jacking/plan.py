"""The plan of a stressing day: pulls, gauge readings, expected forces, limits, and what the engineer must know."""

from __future__ import annotations

import numpy as np

from .course import Course, run_course
from .flexibility import compatibility_matrix
from .inputs import check_input, check_matrix
from .interaction import SqueezedRow
from .limits import LIMIT_WORDS, SLIP, Moment, force_limits_lb, plan_checks
from .passes import Planner
from .sentences import plan_sentences
from .terms import PlanInput, StressingPlan

LIMITS = ("bar", "plate", "flange", "jack", "gauge")


def plan_stressing(given: PlanInput) -> StressingPlan:
    """Pulls that leave every planned bar at its target, with every limit looked at in every moment.

    ``OutsideValidity`` where the input is no row of bars, jacks and targets. A plan that would pass a limit, or cannot
    bring every bar to ``reach_ratio`` of its target, comes back with ``refusals`` and may not be used. Source: the
    compatibility model of `flexibility` and `interaction`; every number of it is `model`.
    """
    check_input(given)
    matrix = compatibility_matrix(deck=given.deck, bars=given.bars)
    check_matrix(matrix)
    planner = Planner(given, SqueezedRow(matrix), given.seating_in)
    start_lb = np.array([bar.standing_lb for bar in given.bars], dtype=float)
    planned = tuple(index for index, bar in enumerate(given.bars) if bar.is_planned)
    course = Course(planner=planner, state=planner.row.standing(start_lb), bars=planned)
    course.moments.append(Moment(0, start_lb))
    refusals = refused_beforehand(course)
    if not refusals:
        run_course(course, passes=given.pass_count, part_ratio=given.first_pass_ratio)
    return finished_plan(given, course, start_lb, refusals)


def refused_beforehand(course: Course) -> list[str]:
    """What no order of pulls could mend: a bar above its limit now, or a target that no jack may leave in it."""
    given, planner, told = course.given, course.planner, []
    for name, limits_lb in force_limits_lb(given).items():
        for bar, limit_lb in zip(given.bars, limits_lb, strict=True):
            if bar.standing_lb > limit_lb * (1.0 + SLIP):
                told.append(
                    f"Bar {bar.name} stands at {bar.standing_lb:,.0f} lb, above {limit_lb:,.0f} lb ({LIMIT_WORDS[name]}"
                    "). Nothing may be pulled on this row until the engineer has decided on it."
                )
            if bar.is_planned and bar.target_lb > limit_lb * (1.0 + SLIP):
                told.append(
                    f"The target of bar {bar.name}, {bar.target_lb:,.0f} lb, is above {limit_lb:,.0f} lb "
                    f"({LIMIT_WORDS[name]}). Give a lower target."
                )
    return told or _beyond_the_jacks(course, planner)


def _beyond_the_jacks(course: Course, planner: Planner) -> list[str]:
    """Targets a jack may not leave behind: the force it must show for them, with lift-off and seating, is too much."""
    given, told = course.given, []
    carrying = np.array([bar.is_planned or bar.standing_lb > 0.0 for bar in given.bars])
    seated_lb = np.diag(planner.row.stiffness(carrying)) * planner.seating_in
    for group in course.groups(course.bars):
        for bar, jack in zip(group, given.jacks, strict=False):
            most_lb, name = planner.most(bar, jack)
            needed_lb = planner.target_lb[bar] + seated_lb[bar]
            if needed_lb > most_lb * (1.0 + SLIP):
                told.append(
                    f"To leave {planner.target_lb[bar]:,.0f} lb in bar {given.bars[bar].name}, {jack.name} must show "
                    f"about {needed_lb:,.0f} lb with the seating of the nut, and may peak at "
                    f"{needed_lb * given.lift_off_ratio:,.0f} lb with lift-off; "
                    f"{most_lb * given.lift_off_ratio:,.0f} lb is {LIMIT_WORDS[name]}."
                )
    return told


def finished_plan(given: PlanInput, course: Course, start_lb: np.ndarray, refusals: list[str]) -> StressingPlan:
    """Checks, refusals and sentences of what a course has computed."""
    pulls = tuple(course.pulls)
    checks = plan_checks(given, course.moments, pulls)
    refusals = list(refusals)
    if not refusals:
        refusals += [f"{check.words} The plan may not be used." for check in checks
                     if check.name in LIMITS and check.holds is False]  # fmt: skip
        refusals += _not_reached(given, course)
    return StressingPlan(
        given=given,
        pulls=pulls,
        start_lb=tuple(float(force) for force in start_lb),
        final_lb=tuple(float(force) for force in course.state.force_lb),
        least_ratio=course.least_ratio,
        pass_count=course.pass_number,
        greatest_set_lb=max((each.set_lb for pull in pulls for each in pull.bars), default=0.0),
        checks=checks,
        refusals=tuple(refusals),
        sentences=plan_sentences(given, course, checks),
    )


def _not_reached(given: PlanInput, course: Course) -> list[str]:
    """A plan free to make as many passes as it takes must reach; a set number of passes is the engineer's choice."""
    if given.pass_count is not None or course.least_ratio >= given.reach_ratio:
        return []
    least = course.bars[int(np.argmin(course.reached()))]
    bar = given.bars[least]
    words = (
        f"After {course.pass_number} passes bar {bar.name} has {course.state.force_lb[least]:,.0f} lb, "
        f"{course.least_ratio:.1%} of its target {bar.target_lb:,.0f} lb; more passes do not help."
    )
    limits = sorted({LIMIT_WORDS[name] for name in course.held_back.values()})
    if limits:
        words += f" Pulls are held back by {' and '.join(limits)}."
    else:
        words += " Try a gauge with a finer division, another order, or a lower target."
    return [words]
