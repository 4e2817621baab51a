"""When the next inspection is due (23 CFR 650.311 and 650.313, rule of 2022)."""

from dataclasses import dataclass
from datetime import date

from inspections.vocabulary.states import ReminderKind

from . import intervals
from .months import add_months, month_end
from .terms import Due, Policy, clip, day


@dataclass(frozen=True, kw_only=True)
class InspectionFacts:
    """What the record says. `is_federal` is true for more than 20 ft and where the length is not known.

    `last_routine_on` is the day the field portion of the last initial or routine inspection was finished; the lowest
    rating is the least of deck, superstructure, substructure and culvert, each as last coded.
    """

    registered_on: date
    is_federal: bool = True
    opened_on: date | None = None
    last_routine_on: date | None = None
    last_underwater_on: date | None = None
    lowest_rating: int | None = None
    lowest_component: str = ""
    interval_on_record_months: int | None = None


def routine_interval(facts: InspectionFacts, policy: Policy) -> tuple[int, str]:
    """Months between routine inspections, and why.

    12 where a component is 3 or less (checked-2nd); otherwise the shortest of the agency's policy, the interval on
    record and, for a bridge under the federal rule, 24: a timber span does not qualify for 48 (derived). A structure
    not longer than 20 ft follows the county's own policy, with the same 12 months where a rating is 3 or less.
    """
    asked = [(max(1, policy.routine_months), "the county's regular interval")]
    if facts.interval_on_record_months:
        asked.append((facts.interval_on_record_months, "the interval on record"))
    months, why = min(asked)
    if facts.is_federal and months > intervals.TIMBER_MOST_MONTHS:
        months, why = intervals.TIMBER_MOST_MONTHS, "the most a timber span may have under 23 CFR 650.311"
    if _is_serious(facts) and months > intervals.ROUTINE_REDUCED.number:
        months = intervals.ROUTINE_REDUCED.number
        why = f"the {facts.lowest_component or 'lowest component'} is rated {facts.lowest_rating}, serious or worse"
    return months, why


def tolerance_end(due_on: date, interval_months: int) -> date:
    """Last day on which the inspection may still be done: the end of the second month after the month it was due,
    the third for intervals of 24 months or more (650.311(e), memory)."""
    tolerance = intervals.TOLERANCE_SHORT if interval_months < 24 else intervals.TOLERANCE_LONG
    return month_end(add_months(due_on.replace(day=1), tolerance.number))


def inspection_dues(facts: InspectionFacts, policy: Policy) -> list[Due]:
    """The initial or the next routine inspection, and the next underwater one where there was one before."""
    dues = [_routine(facts, policy) if facts.last_routine_on else _initial(facts)]
    if facts.last_underwater_on:
        dues.append(_underwater(facts))
    return dues


def _is_serious(facts: InspectionFacts) -> bool:
    return facts.lowest_rating is not None and facts.lowest_rating <= intervals.SERIOUS_RATING


def _routine(facts: InspectionFacts, policy: Policy) -> Due:
    months, why = routine_interval(facts, policy)
    due_on = add_months(facts.last_routine_on, months)
    if facts.is_federal:
        late_after = tolerance_end(due_on, months)
        rule = f"It may be done until {day(late_after)}; the due date does not move (23 CFR 650.311)."
    else:
        late_after = due_on
        rule = "Not longer than 20 ft: the county's own policy, no federal tolerance."
    sentence = f"Routine inspection: {months} months after {day(facts.last_routine_on)}, {why}. {rule}"
    return _due(due_on, late_after, facts.last_routine_on, sentence)


def _initial(facts: InspectionFacts) -> Due:
    if facts.opened_on is None:
        sentence = (
            "No inspection and no opening date are on record: inspect, or enter the last inspection from the record."
        )
        return _due(facts.registered_on, facts.registered_on, facts.registered_on, sentence)
    due_on = add_months(facts.opened_on, intervals.INITIAL.number)
    if due_on < facts.registered_on:
        sentence = (
            f"No inspection is on record, though open since {day(facts.opened_on)}: inspect now, or enter the last "
            "inspection from the State's record."
        )
        return _due(facts.registered_on, facts.registered_on, facts.registered_on, sentence)
    sentence = (
        f"Initial inspection: within {intervals.INITIAL.number} months of opening on {day(facts.opened_on)} "
        "(23 CFR 650.313); no inspection is on record."
    )
    return _due(due_on, due_on, facts.opened_on, sentence)


def _underwater(facts: InspectionFacts) -> Due:
    months = intervals.UNDERWATER.number
    due_on = add_months(facts.last_underwater_on, months)
    sentence = f"Underwater inspection: {months} months after {day(facts.last_underwater_on)} (23 CFR 650.311(b))."
    late_after = tolerance_end(due_on, months) if facts.is_federal else due_on
    return _due(due_on, late_after, facts.last_underwater_on, sentence)


def _due(due_on: date, late_after: date, counted_from: date, sentence: str) -> Due:
    return Due(
        kind=ReminderKind.INSPECTION,
        due_on=due_on,
        late_after=late_after,
        counted_from=counted_from,
        reason=clip(sentence),
    )
