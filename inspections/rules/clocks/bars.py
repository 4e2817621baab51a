"""When the bars of a stress-laminated span are read.

Measured 4 to 8 weeks after a re-tensioning, at one year, then every 2 years for the first 6 and at the owner's interval
(2 to 5 years) after that; earlier where the forecast may reach the re-tension limit before. Unknown counts as absent.

A reading taken on the day of a stressing, or before it, says nothing of the force standing after it, so it asks for no
second pull; a check some weeks later is asked for instead.
"""

from datetime import date, timedelta

from inspections.vocabulary.states import ReminderKind

from . import intervals
from .bar_facts import (
    BarFact,
    BarsFacts,
    in_erection,
    last_read_on,
    least_local_psi,
    standing_forces,
    unread_stretch,
)
from .months import add_months, add_years
from .retension import STEP_SLACK, retension_due
from .terms import Due, Policy, clip, day

__all__ = ["BarFact", "BarsFacts", "bar_dues", "last_read_on", "least_local_psi", "standing_forces"]

# Bars read this lately are not read again for a forecast: the re-tension it recommends is what is owed (policy).
READ_AGAIN_AFTER = timedelta(days=28)


def bar_dues(facts: BarsFacts, policy: Policy, as_of: date) -> list[Due]:
    """The next reading, and a pull where the schedule or a reading asks for one."""
    dues = [_bar_check(facts, policy)]
    pull = retension_due(facts, as_of)
    return dues + ([pull] if pull else [])


def _bar_check(facts: BarsFacts, policy: Policy) -> Due:
    standing = standing_forces(facts)
    if not standing:
        return _never_read(facts)
    read_on = max(on for on, _ in standing.values())
    gap = unread_stretch(facts)
    if gap:
        sentence = (
            f"Read the bars now: {facts.place}no standing force known for bars {_names(gap)}, so the pressure there "
            f"counts as absent; last readings {day(read_on)}."
        )
        return _due(ReminderKind.BAR_CHECK, read_on, read_on, read_on, sentence)
    due_on, why = _next_reading(facts, policy, read_on)
    limit_on = facts.forecast.reaches_limit_on if facts.forecast else None
    if limit_on is not None and read_on + READ_AGAIN_AFTER < limit_on < due_on:
        sentence = (
            f"Read the bars: {facts.place}the forecast of bar force may reach the re-tension limit on {day(limit_on)}, "
            f"before the {day(due_on)} of the interval ({why}); the forecast governs."
        )
        due_on = limit_on
    else:
        sentence = f"Read the bars: {facts.place}{why}; last read {day(read_on)}."
    return _due(ReminderKind.BAR_CHECK, due_on, due_on, read_on, sentence)


def _never_read(facts: BarsFacts) -> Due:
    """No standing reading since the last stressing, or none at all."""
    last = facts.last_stressed_on
    if last is None:
        anchor = facts.opened_on or facts.registered_on
        sentence = (
            f"Read the bars now: {facts.place}neither a stressing nor a reading is on record, and an unknown bar "
            "force counts as absent."
        )
        return _due(ReminderKind.BAR_CHECK, anchor, anchor, anchor, sentence)
    if in_erection(facts):
        due_on = late_after = add_months(facts.erected_on, intervals.FIRST_MEASURE.number)
        why = f"one year after the first stressing on {day(facts.erected_on)}"
    else:
        due_on = last + timedelta(days=intervals.THIRD_PASS.number)
        late_after = last + timedelta(days=intervals.THIRD_PASS_LATEST.number)
        why = f"4 to 8 weeks after the re-tensioning on {day(last)}, to see what force stands"
    sentence = f"Read the bars: {facts.place}{why}; not read since."
    return _due(ReminderKind.BAR_CHECK, due_on, late_after, last, sentence)


def _next_reading(facts: BarsFacts, policy: Policy, read_on: date) -> tuple[date, str]:
    """The next step of the schedule after the last standing reading, and why."""
    last = facts.last_stressed_on
    if last is not None:
        start = facts.erected_on if in_erection(facts) else last
        year = add_months(start, intervals.FIRST_MEASURE.number)
        if year > read_on + STEP_SLACK:
            return year, f"one year after the stressing on {day(start)}"
    months = min(max(1, policy.bar_check_months), intervals.BAR_CHECK_MOST.number)
    why = f"{months} months after the last reading, the county's interval"
    born = facts.erected_on or facts.opened_on
    if born and read_on < add_years(born, intervals.YOUNG_YEARS) and months > intervals.YOUNG_CHECK.number:
        months = intervals.YOUNG_CHECK.number
        why = f"{months} months after the last reading, in the first {intervals.YOUNG_YEARS} years"
    return add_months(read_on, months), why


def _names(bars: list[BarFact]) -> str:
    names = ", ".join(bar.name for bar in bars[:12])
    return names + (f" and {len(bars) - 12} more" if len(bars) > 12 else "")


def _due(kind: ReminderKind, due_on: date, late_after: date, counted_from: date, sentence: str) -> Due:
    return Due(kind=kind, due_on=due_on, late_after=late_after, counted_from=counted_from, reason=clip(sentence))
