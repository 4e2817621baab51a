"""When the bars of a stress-laminated span are read and when they are pulled again.

Schedule after erection: full force again after about one week, once more 4 to 8 weeks on, measured at one year, then
every 2 years for the first 6 and at the owner's interval (2 to 5 years) after that. Bars are pulled again at once when
the least local pressure falls below 1.25 x 40 psi or any bar below 40 psi. Unknown counts as absent.

A reading taken on the day of a stressing, or before it, says nothing of the force standing after it, so it asks for no
second pull; a check some weeks later is asked for instead. (A rating is more careful: there an old low reading counts
until a new one is made.)
"""

from dataclasses import dataclass
from datetime import date, timedelta

from inspections.vocabulary.states import ReminderKind
from inventory.mechanics.bars import BarReading, least_local_pressure, pressure_psi
from inventory.mechanics.errors import OutsideValidity

from . import intervals
from .months import add_months, add_years
from .terms import Due, Policy, clip, day

# A reading this close before a step of the schedule serves for it (policy).
STEP_SLACK = timedelta(days=7)


@dataclass(frozen=True, kw_only=True)
class BarFact:
    """One bar and every reading of its standing force: (day, lb), by lift-off or load cell, 0 where loose to the hand.

    Of two readings on one day the lower counts.
    """

    number: int
    station_ft: float
    level: str = "mid"
    readings: tuple[tuple[date, float], ...] = ()

    @property
    def name(self) -> str:
        return str(self.number) if self.level == "mid" else f"{self.number} {self.level}"

    def standing(self, since: date | None, until: date | None) -> tuple[date, float] | None:
        """The last reading after `since` and not after `until`; None where there is none."""
        counted = [
            reading
            for reading in self.readings
            if (since is None or reading[0] > since) and (until is None or reading[0] <= until)
        ]
        if not counted:
            return None
        last = max(on for on, _ in counted)
        return last, min(force_lb for on, force_lb in counted if on == last)


@dataclass(frozen=True, kw_only=True)
class BarsFacts:
    """The bars of one span. Sizes in ft and in; `stressed_on` every day the bars were pulled, `erected_on` the first
    stressing of the present erection where it is known."""

    span_index: int
    span_count: int
    length_ft: float
    spacing_in: float
    thickness_in: float
    bars: tuple[BarFact, ...]
    registered_on: date
    opened_on: date | None = None
    erected_on: date | None = None
    stressed_on: tuple[date, ...] = ()
    # Day on which a forecast's lower edge reaches the re-tension limit, where one was made.
    reaches_limit_on: date | None = None

    @property
    def place(self) -> str:
        return f"span {self.span_index}: " if self.span_count > 1 else ""

    @property
    def last_stressed_on(self) -> date | None:
        return max(self.stressed_on, default=None)


def standing_forces(facts: BarsFacts, until: date | None = None) -> dict[BarFact, tuple[date, float]]:
    """Day and force, lb, of every bar read since the last stressing, as known on `until` (all readings if None)."""
    since = facts.last_stressed_on
    found = ((bar, bar.standing(since, until)) for bar in facts.bars)
    return {bar: reading for bar, reading in found if reading is not None}


def last_read_on(facts: BarsFacts) -> date | None:
    """The last day on which any bar's standing force was read, before or after the last stressing."""
    return max((on for bar in facts.bars for on, _ in bar.readings), default=None)


def bar_dues(facts: BarsFacts, policy: Policy, as_of: date) -> list[Due]:
    """The next reading, and a pull where the schedule or a reading asks for one."""
    dues = [_bar_check(facts, policy)]
    pull = _weak(facts) or _next_pass(facts, as_of)
    return dues + ([pull] if pull else [])


def _in_erection(facts: BarsFacts) -> bool:
    last = facts.last_stressed_on
    return bool(facts.erected_on and last and last <= add_years(facts.erected_on, 1))


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
    if facts.reaches_limit_on and facts.reaches_limit_on < due_on:
        sentence = (
            f"Read the bars: {facts.place}the forecast of bar force may reach {intervals.RETENSION_BELOW_PSI:g} psi on "
            f"{day(facts.reaches_limit_on)}, before the {day(due_on)} of the interval ({why}); the forecast governs."
        )
        due_on = max(facts.reaches_limit_on, read_on)
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
    if _in_erection(facts):
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
        start = facts.erected_on if _in_erection(facts) else last
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


def _next_pass(facts: BarsFacts, as_of: date) -> Due | None:
    """The second or third stressing of a new deck, within its first year; after that a measurement decides."""
    if not _in_erection(facts) or as_of > add_years(facts.erected_on, 1):
        return None
    passes = sorted({on for on in facts.stressed_on if on >= facts.erected_on})
    if len(passes) == 1:
        due_on = passes[0] + timedelta(days=intervals.SECOND_PASS.number)
        sentence = (
            f"Second stressing: {facts.place}to full force again about one week after {day(passes[0])}, "
            "as fresh wood creeps."
        )
        return _due(ReminderKind.RETENSION, due_on, due_on + STEP_SLACK, passes[0], sentence)
    if len(passes) == 2:
        due_on = passes[1] + timedelta(days=intervals.THIRD_PASS.number)
        latest = passes[0] + timedelta(days=intervals.THIRD_PASS_LATEST.number)
        sentence = (
            f"Third stressing: {facts.place}to full force again 4 to 8 weeks after the first on {day(passes[0])}, "
            f"not less than 4 weeks after the second on {day(passes[1])}."
        )
        return _due(ReminderKind.RETENSION, due_on, max(due_on, latest), passes[1], sentence)
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
    return _due(ReminderKind.RETENSION, seen_on, seen_on, counted_from, sentence)


def _weakness(facts: BarsFacts, until: date | None) -> str:
    """What is too low, as known on that day; empty where nothing is."""
    standing = standing_forces(facts, until)
    pressures = {bar: _bar_psi(facts, force_lb) for bar, (_, force_lb) in standing.items()}
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


def _bar_psi(facts: BarsFacts, force_lb: float) -> float:
    return pressure_psi(force_lb=force_lb, spacing_in=facts.spacing_in, thickness_in=facts.thickness_in)


def _local(facts: BarsFacts, level: str, until: date | None = None):
    """The kernel's least local pressure of one level's bars, and those bars in order; None where it cannot be had."""
    standing = standing_forces(facts, until)
    row = sorted((bar for bar in facts.bars if bar.level == level), key=lambda bar: bar.station_ft)
    readings = tuple(
        BarReading(station_ft=bar.station_ft, force_lb=standing[bar][1] if bar in standing else None) for bar in row
    )
    try:
        return least_local_pressure(bars=readings, length_ft=facts.length_ft, thickness_in=facts.thickness_in), row
    except OutsideValidity:
        return None, row


def least_local_psi(facts: BarsFacts, until: date | None = None) -> float | None:
    """The least mean pressure over any three bars or 10 ft, psi, of the standing readings; None where a stretch of
    bars was not read, so that it is not known."""
    found = [_local(facts, level, until)[0] for level in {bar.level for bar in facts.bars}]
    if not found or any(local is None or local.bars_absent for local in found):
        return None
    return min(local.least_psi for local in found)


def unread_stretch(facts: BarsFacts) -> list[BarFact]:
    """The bars without a reading that no neighbour's reading can stand for."""
    unread = []
    for level in sorted({bar.level for bar in facts.bars}):
        local, row = _local(facts, level)
        unread += [row[index] for index in local.bars_absent] if local else []
    return unread


def _names(bars: list[BarFact]) -> str:
    names = ", ".join(bar.name for bar in bars[:12])
    return names + (f" and {len(bars) - 12} more" if len(bars) > 12 else "")


def _due(kind: ReminderKind, due_on: date, late_after: date, counted_from: date, sentence: str) -> Due:
    return Due(kind=kind, due_on=due_on, late_after=late_after, counted_from=counted_from, reason=clip(sentence))
