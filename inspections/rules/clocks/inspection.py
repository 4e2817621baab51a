"""When the next inspection of each kind is due (23 CFR 650.311 and 650.313, rule of 2022).

The next date counts from the day the field portion of the last one of its kind was finished, early or late; the
tolerance never moves it (derived from the definitions).
"""

from dataclasses import dataclass, replace
from datetime import date

from inspections.vocabulary.findings import InspectionKind
from inspections.vocabulary.states import ReminderKind

from . import intervals
from .inspection_facts import InspectionFacts, NeedFact
from .inspection_interval import (
    Asked,
    in_depth_asked,
    in_depth_by_age,
    routine_asked,
    special_asked,
    standing_in,
    underwater_asked,
)
from .months import add_months, add_years
from .terms import Due, Policy, clip, count, day
from .tolerance import special_tolerance_end, tolerance_end


@dataclass(frozen=True, kw_only=True)
class Clock:
    """One kind of inspection of one structure: its interval, the last one, and what is due; None where none is."""

    kind: InspectionKind
    asked: Asked | None
    last_on: date | None
    due: Due | None


def inspection_clocks(facts: InspectionFacts, policy: Policy) -> list[Clock]:
    """The calendar's kinds, each with what is due: initial or routine, underwater, in-depth, special."""
    first = _routine(facts, policy) if facts.last_routine_on else _initial(facts, policy)
    return [first, _underwater(facts, policy), _in_depth(facts, policy), _special(facts, policy)]


def inspection_dues(facts: InspectionFacts, policy: Policy) -> list[Due]:
    """What the calendar asks for, in the order of the kinds."""
    return [clock.due for clock in inspection_clocks(facts, policy) if clock.due is not None]


def _routine(facts: InspectionFacts, policy: Policy) -> Clock:
    asked, last_on = routine_asked(facts, policy), facts.last_routine_on
    due_on = add_months(last_on, asked.months)
    if asked.need is not None:
        others = tuple(need for need in facts.needs if need is not asked.need)
        without = routine_asked(_with_needs(facts, others), policy)
        due_on = _by_need(asked.need, last_on, asked.months, _other(last_on, asked, without))
    late_after, rule = _tolerance(facts, due_on, asked.months, policy)
    counted = f"{count(asked.months, 'month')} after {day(last_on)}"
    sentence = f"Routine inspection: {counted}, {asked.why}. {rule}"
    due = _due(ReminderKind.INSPECTION, due_on, late_after, last_on, sentence)
    return Clock(kind=InspectionKind.ROUTINE, asked=asked, last_on=last_on, due=due)


def _initial(facts: InspectionFacts, policy: Policy) -> Clock:
    due_on = add_months(facts.opened_on, policy.initial_months) if facts.opened_on else None
    if due_on is not None and due_on >= facts.registered_on:
        counted_from = facts.opened_on
        sentence = (
            f"Initial inspection: within {count(policy.initial_months, 'month')} of opening on {day(facts.opened_on)} "
            "(23 CFR 650.313); no inspection is on record."
        )
    else:
        due_on = counted_from = facts.registered_on
        sentence = (
            "No inspection and no opening date are on record: inspect, or enter the last inspection from the record."
            if facts.opened_on is None
            else f"No inspection is on record, though open since {day(facts.opened_on)}: inspect now, or enter the "
            "last inspection from the State's record."
        )
    due = _due(ReminderKind.INSPECTION, due_on, due_on, counted_from, sentence)
    asked = Asked(months=policy.initial_months, why="after opening to traffic", basis="regular")
    return Clock(kind=InspectionKind.INITIAL, asked=asked, last_on=None, due=due)


def _underwater(facts: InspectionFacts, policy: Policy) -> Clock:
    asked, last_on = underwater_asked(facts, policy), facts.last_underwater_on
    if asked is None:
        return Clock(kind=InspectionKind.UNDERWATER, asked=None, last_on=None, due=None)
    if last_on is None:
        need = facts.need(InspectionKind.UNDERWATER)
        due_on, counted_from = _first_underwater(need, facts.opened_on, asked.months), need.set_on
        counted = "the first one, none on record"
    else:
        due_on, counted_from = add_months(last_on, asked.months), last_on
        if asked.need is not None:
            others = tuple(need for need in facts.needs if need is not asked.need)
            without = underwater_asked(_with_needs(facts, others), policy)
            due_on = _by_need(asked.need, last_on, asked.months, _other(last_on, asked, without))
        counted = f"{count(asked.months, 'month')} after {day(last_on)}"
    late_after, rule = _tolerance(facts, due_on, asked.months, policy)
    sentence = f"Underwater inspection: {counted}, {asked.why} (23 CFR 650.311(b)). {rule}"
    due = _due(ReminderKind.UNDERWATER, due_on, late_after, counted_from, sentence)
    return Clock(kind=InspectionKind.UNDERWATER, asked=asked, last_on=last_on, due=due)


def _first_underwater(need: NeedFact, opened_on: date | None, months: int) -> date:
    """The day a person named; else within 12 months of opening (memory), or of being asked for at an older bridge."""
    if need.first_due_on is not None:
        return need.first_due_on
    months = min(months, intervals.UNDERWATER_FIRST.number)
    of_opening = add_months(opened_on, months) if opened_on else None
    return of_opening if of_opening and of_opening >= need.set_on else add_months(need.set_on, months)


def _in_depth(facts: InspectionFacts, policy: Policy) -> Clock:
    asked, last_on = in_depth_asked(facts, policy), facts.last_in_depth_on
    if asked is None:
        return Clock(kind=InspectionKind.IN_DEPTH, asked=None, last_on=last_on, due=None)
    by_age = in_depth_by_age(policy)
    start, aged_due = _by_age(facts, policy, by_age) if by_age else (None, None)
    if asked.need is not None:
        is_shorter = by_age is not None and asked.months <= by_age.months
        due_on = _by_need(asked.need, last_on, asked.months, aged_due if is_shorter else None)
        counted_from = last_on or asked.need.set_on
    else:
        due_on, counted_from = aged_due, last_on or start
    counted = f"{count(asked.months, 'month')} after {day(last_on)}" if last_on else "none on record"
    late_after, rule = _tolerance(facts, due_on, asked.months, policy)
    sentence = f"In-depth inspection, with moisture, probing and sample drilling: {counted}, {asked.why}. {rule}"
    due = _due(ReminderKind.IN_DEPTH, due_on, late_after, counted_from, sentence)
    return Clock(kind=InspectionKind.IN_DEPTH, asked=asked, last_on=last_on, due=due)


def _by_age(facts: InspectionFacts, policy: Policy, asked: Asked) -> tuple[date, date]:
    """Where the county's clock by age starts, and its next date. A structure that was older when it entered the
    register, or whose age is not known, counts from that entry: a first one within one interval (ours)."""
    of_age = add_years(facts.built_on, policy.in_depth_from_years) if facts.built_on else date.min
    if facts.last_in_depth_on is not None:
        return facts.last_in_depth_on, max(add_months(facts.last_in_depth_on, asked.months), of_age)
    start = max(of_age, facts.registered_on)
    return start, add_months(start, asked.months)


def _special(facts: InspectionFacts, policy: Policy) -> Clock:
    asked, last_on = special_asked(facts), facts.last_special_on
    if asked is None:
        return Clock(kind=InspectionKind.SPECIAL, asked=None, last_on=last_on, due=None)
    due_on = _by_need(asked.need, last_on, asked.months, None)
    serves = ""
    if facts.last_routine_on and standing_in(facts, policy):
        # It stands for the routine inspection at the reduced interval, so it may not come later than that would.
        seen_on = max(filter(None, (facts.last_routine_on, last_on)))
        due_on = min(due_on, add_months(seen_on, policy.routine_reduced_months))
        serves = " It serves instead of a routine inspection at the reduced interval (23 CFR 650.311(a)(1))."
    counted = f"{count(asked.months, 'month')} after {day(last_on)}" if last_on else "the first one"
    late_after = special_tolerance_end(due_on, asked.months, policy) if facts.is_federal else due_on
    sentence = f"Special inspection: {counted}, {asked.why}.{serves}"
    due = _due(ReminderKind.SPECIAL, due_on, late_after, last_on or asked.need.set_on, sentence)
    return Clock(kind=InspectionKind.SPECIAL, asked=asked, last_on=last_on, due=due)


def _by_need(need: NeedFact, last_on: date | None, months: int, otherwise: date | None) -> date:
    """The date by what a person set: counted from the last of its kind; the first time by the day they named, else not
    before the day they set it, and never later than `otherwise`."""
    if last_on is not None and last_on >= need.set_on:
        return add_months(last_on, months)
    counted = add_months(last_on or need.set_on, months)
    first = need.first_due_on or max(counted, need.set_on)
    return min(first, otherwise) if otherwise is not None else first


def _other(last_on: date, asked: Asked, without: Asked) -> date:
    """The date that a person's interval may not pass: by the other interval where theirs is the shorter, else by
    their own count."""
    return add_months(last_on, max(asked.months, without.months))


def _with_needs(facts: InspectionFacts, needs: tuple[NeedFact, ...]) -> InspectionFacts:
    return replace(facts, needs=needs)


def _tolerance(facts: InspectionFacts, due_on: date, months: int, policy: Policy) -> tuple[date, str]:
    if not facts.is_federal:
        return due_on, "Not longer than 20 ft: the county's own policy, no federal tolerance."
    late_after = tolerance_end(due_on, months, policy)
    return late_after, f"It may be done until {day(late_after)}; the due date does not move (23 CFR 650.311)."


def _due(kind: ReminderKind, due_on: date, late_after: date, counted_from: date, sentence: str) -> Due:
    return Due(kind=kind, due_on=due_on, late_after=late_after, counted_from=counted_from, reason=clip(sentence))
