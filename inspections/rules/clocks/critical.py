"""The clocks of a critical finding, in hours and days from the moment it was found.

Notice within 24 hours, for a closure or a steel tension member on the National Highway System (23 CFR 650.313(q)
[memory]); a written status of every critical finding each month until it is resolved [checked-2nd for monthly]; a plan
within 30 days (one State's limit [checked]). A county off that system reports to its State, which reports on [memory].
All three numbers are settings of the agency: its State's procedure governs. Warned at three quarters of the time
[model].
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from inspections.vocabulary.findings import CriticalKind
from inspections.vocabulary.states import ReminderKind

from .terms import Due, clip, count, day

WARN_AT = 0.75
"""Warned from three quarters of the time on [model]."""
TELL, PLAN, STATUS = "tell", "plan", "status"
DOING = {TELL: "tell the State", PLAN: "plan what will be done", STATUS: "send the status report"}
REPORTS_TO = "Off the National Highway System the county reports to its State, and the State to the federal agency."
REPORTS_ON = (
    "On the National Highway System the federal agency must hear of a closure or of a steel tension member within 24 "
    "hours, through the State."
)


@dataclass(frozen=True, kw_only=True)
class CriticalTerms:
    """The agency's settings: hours to tell the State, days to a plan, days from one status report to the next."""

    tell_hours: int = 24
    plan_days: int = 30
    status_days: int = 30


@dataclass(frozen=True, kw_only=True)
class CriticalFact:
    """One critical finding as the clocks read it. Every moment carries the county's own time zone.

    `told_state_at` is when the State was first told, `status_at` when the last status report went out, `done_at` the
    last moment anything at all was done about it.
    """

    kind: str
    found_at: datetime
    terms: CriticalTerms = CriticalTerms()
    told_state_at: datetime | None = None
    planned_at: datetime | None = None
    status_at: datetime | None = None
    closed_at: datetime | None = None
    done_at: datetime | None = None
    is_nhs: bool = False


@dataclass(frozen=True, kw_only=True)
class CriticalClock:
    """One clock as it stands. `grade` is running, warn, late or met; `words` say it in a phrase."""

    name: str
    start_at: datetime
    due_at: datetime
    grade: str
    words: str

    @property
    def is_running(self) -> bool:
        return self.grade != "met"


def critical_clocks(fact: CriticalFact, now: datetime) -> list[CriticalClock]:
    """Tell, plan, status, in this order. A closed finding owes no plan and no report, but is still told of."""
    terms = fact.terms
    clocks = [
        _clock(TELL, fact.found_at, hours_after(fact.found_at, terms.tell_hours), fact.told_state_at, now),
        _clock(PLAN, fact.found_at, fact.found_at + timedelta(days=terms.plan_days), fact.planned_at, now),
    ]
    if fact.closed_at is not None:
        return clocks[:1] + [clock for clock in clocks[1:] if not clock.is_running]
    start = max(fact.found_at, fact.status_at or fact.found_at)
    return [*clocks, _clock(STATUS, start, start + timedelta(days=terms.status_days), None, now)]


def _clock(name: str, start: datetime, due: datetime, met: datetime | None, now: datetime) -> CriticalClock:
    if met is not None:
        late = between(due, met) > timedelta(0)
        words = f"{DOING[name]}: done {day(met.date())}" + (f", late {span_words(between(due, met))}" if late else "")
        return CriticalClock(name=name, start_at=start, due_at=due, grade="met", words=words)
    left = between(now, due)
    if left < timedelta(0):
        words = f"LATE {span_words(-left)}: {DOING[name]} now"
        return CriticalClock(name=name, start_at=start, due_at=due, grade="late", words=words)
    grade = "warn" if between(start, now) >= WARN_AT * between(start, due) else "running"
    return CriticalClock(
        name=name, start_at=start, due_at=due, grade=grade, words=f"{span_words(left)} left to {DOING[name]}"
    )


def hours_after(start: datetime, hours: int) -> datetime:
    """So many hours later in the same time zone; the night the clocks change has its real length."""
    return (start.astimezone(UTC) + timedelta(hours=hours)).astimezone(start.tzinfo)


def between(start: datetime, end: datetime) -> timedelta:
    """The time that really passes between two moments; negative where `end` comes first.

    Two moments of one time zone would otherwise be subtracted as the hands of the clock stand.
    """
    return end.astimezone(UTC) - start.astimezone(UTC)


def span_words(time: timedelta) -> str:
    """A stretch of time in the unit a person acts by: minutes under an hour, hours under two days, then days.

    Rounded down, so that what is left is never promised longer than it is.
    """
    minutes = int(time.total_seconds() // 60)
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 48 * 60:
        return f"{minutes // 60} h"
    return count(minutes // (24 * 60), "day")


def most_pressing(clocks: Iterable[CriticalClock]) -> CriticalClock | None:
    """The running clock that ends first; None where all are met."""
    return min((clock for clock in clocks if clock.is_running), key=lambda clock: clock.due_at, default=None)


def whom_to_tell(*, is_nhs: bool) -> str:
    """To whom a critical finding is reported."""
    return REPORTS_ON if is_nhs else REPORTS_TO


def critical_dues(facts: Iterable[CriticalFact]) -> list[Due]:
    """What the due list shows: each running clock on the day it ends."""
    dues = []
    for fact in facts:
        for clock in critical_clocks(fact, fact.found_at):
            if clock.is_running:
                dues.append(_due(fact, clock))
    return dues


def _due(fact: CriticalFact, clock: CriticalClock) -> Due:
    limits = {
        TELL: f"within {count(fact.terms.tell_hours, 'hour')}, by {clock.due_at:%H:%M}",
        PLAN: f"within {count(fact.terms.plan_days, 'day')}",
        STATUS: f"every {count(fact.terms.status_days, 'day')} until it is closed",
    }
    sentence = (
        f"Critical finding of {day(fact.found_at.date())} ({CriticalKind.label_of(fact.kind)}): {DOING[clock.name]} "
        f"{limits[clock.name]} (23 CFR 650.313(q); the State's procedure governs)."
    )
    on = clock.due_at.date()
    return Due(
        kind=ReminderKind.CRITICAL,
        due_on=on,
        late_after=on,
        counted_from=clock.start_at.date(),
        reason=clip(sentence),
    )


def critical_settled_on(facts: Iterable[CriticalFact]) -> date | None:
    """The last day on which anything was done about a critical finding; None where nothing was."""
    return max((fact.done_at.date() for fact in facts if fact.done_at is not None), default=None)
