"""When the bars of a span are pulled again: the schedule after erection, what readings show, what the forecast says.

Schedule after erection: full force again after about one week and once more 4 to 8 weeks on; after that a measurement
or the forecast decides. Bars are pulled again at once when the least local pressure falls below 1.25 x 40 psi or any
bar below 40 psi. The earliest of what is owed counts.
"""

from datetime import date, timedelta

from inspections.vocabulary.states import ReminderKind

from . import intervals
from .bar_facts import BarsFacts, bar_psi, in_erection, least_local_psi, standing_forces
from .months import add_years
from .terms import Due, clip, day

# A reading this close before a step of the schedule serves for it (policy).
STEP_SLACK = timedelta(days=7)


def retension_due(facts: BarsFacts, as_of: date) -> Due | None:
    """The one pull owed: by the readings or the schedule of erection, or by the forecast where that is earlier."""
    owed = [due for due in (recorded_due(facts, as_of), _forecast_due(facts)) if due is not None]
    return min(owed, key=lambda due: due.due_on, default=None)


def recorded_due(facts: BarsFacts, as_of: date) -> Due | None:
    """A pull owed by the readings, else by the schedule after erection; no forecast in it."""
    return _weak(facts) or _next_pass(facts, as_of)


def _forecast_due(facts: BarsFacts) -> Due | None:
    told = facts.forecast
    if told is None or told.retension_on is None:
        return None
    counted_from = facts.last_stressed_on or facts.opened_on or facts.registered_on
    sentence = f"Re-tension: {facts.place}{told.why}"
    return _due(told.retension_on, told.retension_on, min(counted_from, told.retension_on), sentence)


def _next_pass(facts: BarsFacts, as_of: date) -> Due | None:
    """The second or third stressing of a new deck, within its first year; after that a measurement decides."""
    if not in_erection(facts) or as_of > add_years(facts.erected_on, 1):
        return None
    passes = sorted({on for on in facts.stressed_on if on >= facts.erected_on})
    if len(passes) == 1:
        due_on = passes[0] + timedelta(days=intervals.SECOND_PASS.number)
        sentence = (
            f"Second stressing: {facts.place}to full force again about one week after {day(passes[0])}, "
            "as fresh wood creeps."
        )
        return _due(due_on, due_on + STEP_SLACK, passes[0], sentence)
    if len(passes) == 2:
        due_on = passes[1] + timedelta(days=intervals.THIRD_PASS.number)
        latest = passes[0] + timedelta(days=intervals.THIRD_PASS_LATEST.number)
        sentence = (
            f"Third stressing: {facts.place}to full force again 4 to 8 weeks after the first on {day(passes[0])}, "
            f"not less than 4 weeks after the second on {day(passes[1])}."
        )
        return _due(due_on, max(due_on, latest), passes[1], sentence)
    return None


def _weak(facts: BarsFacts) -> Due | None:
    """A pull owed because the standing readings are too low, with the bars named.

    It counts from the first reading that showed it: reading the bars again without pulling them gives no new time.
    """
    reading_days = sorted({on for bar in facts.bars for on, _ in bar.readings}, reverse=True)
    said, seen_on = _weakness(facts, None), None
    if not said:
        return None
    for on in reading_days:
        if not _weakness(facts, on):
            break
        seen_on = on
    counted_from = facts.last_stressed_on or seen_on - timedelta(days=1)
    sentence = f"Re-tension now: {facts.place}{said}; first read on {day(seen_on)}."
    return _due(seen_on, seen_on, counted_from, sentence)


def _weakness(facts: BarsFacts, until: date | None) -> str:
    """What is too low, as known on that day; empty where nothing is."""
    standing = standing_forces(facts, until)
    pressures = {bar: bar_psi(facts, force_lb) for bar, (_, force_lb) in standing.items()}
    low = [(bar, psi) for bar, psi in pressures.items() if psi < intervals.BAR_FLOOR_PSI]
    least = least_local_psi(facts, until)
    said = []
    if low:
        named = ", ".join(f"{bar.name} ({psi:.1f} psi)" for bar, psi in low[:8])
        more = f" and {len(low) - 8} more" if len(low) > 8 else ""
        said.append(f"below {intervals.BAR_FLOOR_PSI:g} psi: {'bar' if len(low) == 1 else 'bars'} {named}{more}")
    if least is not None and least < intervals.RETENSION_BELOW_PSI:
        said.append(f"least local pressure {least:.1f} psi, below {intervals.RETENSION_BELOW_PSI:g} psi")
        if least < intervals.CLOSE_BELOW_PSI:
            grave = f"under {intervals.CLOSE_BELOW_PSI:g} psi: call the engineer now, closing is recommended until then"
            said.insert(0, grave)
    return "; ".join(said)


def _due(due_on: date, late_after: date, counted_from: date, sentence: str) -> Due:
    return Due(
        kind=ReminderKind.RETENSION,
        due_on=due_on,
        late_after=late_after,
        counted_from=counted_from,
        reason=clip(sentence),
    )
