"""The rest of a stressing day made again from what stands: same targets, same order, the interaction as learned."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from inventory.mechanics.errors import require_range

from .course import Course, add_pass, run_course
from .flexibility import compatibility_matrix
from .inputs import check_input
from .interaction import SqueezedRow
from .limits import SLIP, Moment
from .log import SOURCE, LoggedPull, jack_of, logged_pulls
from .passes import Planner
from .plan import finished_plan, refused_beforehand
from .relearn import known_after, relearn
from .sentences import above_targets
from .terms import BarPull, PlanInput, Pull, PullDone, Relearned, Revision, StressingPlan

LEFT_OUT = "left out during the day"


def revise(
    plan: StressingPlan, done: tuple[PullDone, ...], released_most_lb: float, *, leave_out: tuple[int, ...] = ()
) -> Revision:
    """The day's plan with the pulls already made, then the rest made again from what stands.

    ``done``: everything logged this day, whether or not the plan was revised before. Pulls keep their numbers, and
    those made carry in ``after_lb`` what is known by the log. ``plan.given`` stays what the day was planned from; the
    learned values stand in ``relearned``. ``leave_out``: bars (indexes) not to be pulled any more today.
    ``needs_release`` where a coming pull is above ``released_most_lb``, lb, above 0. ``OutsideValidity`` for a log that
    cannot be, or a row that is no row any more (`log`, `inputs`). Source: the interaction model of `flexibility`.
    """
    require_range(name="released greatest pull", value=released_most_lb, above=0, unit="lb", source=SOURCE)
    given = _without(plan.given, leave_out)
    learned, pulls = relearn(plan, done), logged_pulls(plan, done)
    known = known_after(plan, done, learned)
    standing_lb = known[max(known)] if known else np.array(plan.start_lb)
    given_now = replace(
        given,
        deck=learned.deck,
        seating_in=learned.seating_in,
        bars=tuple(replace(bar, standing_lb=float(lb)) for bar, lb in zip(given.bars, standing_lb, strict=True)),
    )
    course = _rest(given_now, plan, pulls, standing_lb)
    refusals = refused_beforehand(course)
    if not refusals:
        _run_rest(course, plan, pulls)
    coming = finished_plan(given_now, course, standing_lb, refusals)
    made = tuple(_made(plan, pull, known[pull.number]) for pull in pulls)
    over = above_targets(course) if not coming.refusals else []
    return _revision(plan, given, learned, coming, made, released_most_lb, over)


def _without(given: PlanInput, leave_out: tuple[int, ...]) -> PlanInput:
    bars = tuple(
        replace(bar, is_planned=False, why_not=bar.why_not or LEFT_OUT) if index in leave_out else bar
        for index, bar in enumerate(given.bars)
    )
    left_given = replace(given, bars=bars, given_order=tuple(bar for bar in given.given_order if bar not in leave_out))
    check_input(left_given)
    return left_given


def _rest(given: PlanInput, plan: StressingPlan, pulls: tuple[LoggedPull, ...], standing_lb: np.ndarray) -> Course:
    """A course that starts after the last pull of the log."""
    row = SqueezedRow(compatibility_matrix(deck=given.deck, bars=given.bars))
    last = max((pull.number for pull in pulls), default=0)
    course = Course(
        planner=Planner(given, row, given.seating_in),
        state=row.standing(standing_lb),
        bars=tuple(index for index, bar in enumerate(given.bars) if bar.is_planned),
        pass_number=_pass_of(plan, last),
        number=last + 1,
    )
    course.moments.append(Moment(last, standing_lb))
    return course


def _pass_of(plan: StressingPlan, number: int) -> int:
    return max((pull.pass_number for pull in plan.pulls if pull.number <= number), default=0)


def _run_rest(course: Course, plan: StressingPlan, pulls: tuple[LoggedPull, ...]) -> None:
    """The rest of the pass under way, then what is still needed."""
    given, passed = course.given, course.pass_number
    part_ratio = given.first_pass_ratio
    if not passed:
        run_course(course, passes=given.pass_count, part_ratio=part_ratio)
        return
    waiting = _waiting(course, plan, pulls, passed)
    is_part = passed == 1 and part_ratio < 1.0
    if waiting:
        course.pass_number -= 1
        equal = given.method == "equal_passes"
        add_pass(course, waiting, part_ratio if is_part else 1.0 if equal else None)
        course.pass_number = passed
    left = None if given.pass_count is None else max(given.pass_count - passed, 0)
    run_course(course, passes=left, short_only=not is_part)


def _waiting(course: Course, plan: StressingPlan, pulls, passed: int) -> tuple[int, ...]:
    """Bars the pass under way had still to pull, in the order of the row."""
    asked = {each.bar_index for pull in plan.pulls if pull.pass_number == passed for each in pull.bars}
    made = {int(bar) for pull in pulls if _pass_of(plan, pull.number) == passed for bar in pull.held}
    return tuple(bar for bar in course.bars if bar in asked - made)


def _made(plan: StressingPlan, logged: LoggedPull, after_lb: np.ndarray) -> Pull:
    """A pull of the log as the plan had it, for the bars that were pulled, with what is known to stand after it."""
    planned = {each.bar_index: each for pull in plan.pulls if pull.number == logged.number for each in pull.bars}
    bars = tuple(
        planned.get(each.bar_index) or _not_planned(plan, each, float(set_lb), after_lb)
        for each, set_lb in zip(logged.done, logged.set_lb, strict=True)
    )
    return Pull(
        number=logged.number,
        pass_number=max(_pass_of(plan, logged.number), 1),
        bars=bars,
        after_lb=tuple(float(force) for force in after_lb),
    )


def _not_planned(plan: StressingPlan, each: PullDone, set_lb: float, after_lb: np.ndarray) -> BarPull:
    peak_lb = plan.given.lift_off_ratio * set_lb
    return BarPull(
        bar_index=each.bar_index,
        jack=jack_of(plan, each).name,
        set_lb=set_lb,
        gauge_psi=each.gauge_psi,
        peak_lb=peak_lb,
        locked_lb=float(after_lb[each.bar_index]),
        elongation_in=each.elongation_in or 0.0,
        stress_psi=peak_lb / plan.given.bars[each.bar_index].net_area_in2,
    )


def _revision(plan, given, learned: Relearned, coming: StressingPlan, made, released_most_lb: float, over) -> Revision:
    pulls = made + coming.pulls
    whole = replace(
        coming,
        given=given,
        pulls=pulls,
        start_lb=plan.start_lb,
        greatest_set_lb=max((each.set_lb for pull in pulls for each in pull.bars), default=0.0),
    )
    above = [
        (pull.number, given.bars[each.bar_index].name, each.set_lb)
        for pull in coming.pulls
        for each in pull.bars
        if each.set_lb > released_most_lb * (1.0 + SLIP)
    ]
    told = [*learned.sentences]
    if made:
        told.append(
            "What stands in bars not read since they were pulled is by the model: read them before the day ends."
        )
    if coming.pulls:
        told.append(
            f"{len(coming.pulls)} pull{'s' if len(coming.pulls) > 1 else ''} to come, the greatest "
            f"{coming.greatest_set_lb:,.0f} lb."
        )
    elif not coming.refusals:
        told.append("No pull is left to make.")
    told += [
        f"Pull {number} of bar {name} asks {set_lb:,.0f} lb, above the {released_most_lb:,.0f} lb the engineer "
        "released: wait for the engineer."
        for number, name, set_lb in above
    ]
    told += [*over, *coming.refusals]
    return Revision(relearned=learned, plan=whole, needs_release=bool(above), sentences=tuple(told))
