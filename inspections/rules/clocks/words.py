"""How a date stands today, in words, and how far it may be put off."""

from dataclasses import dataclass
from datetime import date, timedelta

from inspections.vocabulary.states import ReminderKind

from .terms import count, day

SOON_DAYS = 14

# Inspections of the calendar: due in the calendar month of their date, then in tolerance, then out of compliance.
INSPECTION_KINDS = frozenset(
    {ReminderKind.INSPECTION, ReminderKind.UNDERWATER, ReminderKind.IN_DEPTH, ReminderKind.SPECIAL}
)
# Kinds whose date is set by law; the longest a person may put off the others, in days from today (policy).
LAW_KINDS = frozenset(
    {
        ReminderKind.INSPECTION, ReminderKind.UNDERWATER, ReminderKind.SPECIAL, ReminderKind.CRITICAL,
        ReminderKind.SIGN, ReminderKind.POSTING,
    }
)  # fmt: skip
DEFER_MOST_DAYS = {
    ReminderKind.IN_DEPTH: 180,
    ReminderKind.DAMAGE: 7,
    ReminderKind.SCOUR: 7,
    ReminderKind.BAR_CHECK: 90,
    ReminderKind.RETENSION: 30,
    ReminderKind.RESURFACING: 730,
    ReminderKind.TREATMENT: 365,
}
# Kinds that only their own record can close, and where that is done.
CLOSED_BY_RECORD = {
    ReminderKind.INSPECTION: "No inspection is marked done by hand: submit the inspection, and this closes itself.",
    ReminderKind.UNDERWATER: "An underwater inspection is done when it is submitted; then this closes itself.",
    ReminderKind.IN_DEPTH: "An in-depth inspection is done when it is submitted; then this closes itself.",
    ReminderKind.SPECIAL: "A special inspection is done when it is submitted; then this closes itself.",
    ReminderKind.DAMAGE: "A damage inspection is done when it is submitted; to set the visit aside, open the schedule.",
    ReminderKind.SCOUR: "Scour monitoring is done when it is submitted; to set the visit aside, open the schedule.",
    ReminderKind.CRITICAL: "A critical finding is answered on its own page: tell, plan, report or close there.",
    ReminderKind.BAR_CHECK: "A bar check is done by its readings: submit them, and this closes itself.",
    ReminderKind.SIGN: "A sign is done when it is confirmed standing: confirm it on the structure's page.",
    ReminderKind.POSTING: "A posting is decided by the engineer on the structure's page, not from this list.",
}


@dataclass(frozen=True, kw_only=True)
class Lateness:
    """`grade` is ahead, soon, due, tolerated, late or out; `days_late` is 0 until the due date has passed."""

    grade: str
    days_late: int
    words: str

    @property
    def is_late(self) -> bool:
        return self.grade in ("tolerated", "late", "out")


def lateness(*, kind: str, due_on: date, late_after: date, as_of: date) -> Lateness:
    """Where a date stands on a day.

    An inspection with a tolerance is `due` in the calendar month of its date, then late within tolerance until
    `late_after`, then out of compliance (23 CFR 650.311(e), derived). Everything else is late from the day after.
    """
    days = (due_on - as_of).days
    if days > 0:
        grade = "soon" if days <= SOON_DAYS else "ahead"
        return Lateness(grade=grade, days_late=0, words=f"due in {count(days, 'day')}")
    if days == 0:
        return Lateness(grade="due", days_late=0, words="due today")
    late = f"late {count(-days, 'day')}"
    has_tolerance = late_after > due_on
    if kind in INSPECTION_KINDS and has_tolerance:
        if (as_of.year, as_of.month) == (due_on.year, due_on.month):
            return Lateness(grade="due", days_late=-days, words="due this month")
        if as_of > late_after:
            return Lateness(grade="out", days_late=-days, words=f"out of compliance, {late}")
    if has_tolerance and as_of <= late_after:
        return Lateness(grade="tolerated", days_late=-days, words=f"{late}, within tolerance")
    return Lateness(grade="late", days_late=-days, words=late)


def first_late_day(kind: str, due_on: date, late_after: date) -> date:
    """The first day on which `lateness` calls it late: the next month for an inspection with a tolerance."""
    if kind in INSPECTION_KINDS and late_after > due_on:
        return (due_on.replace(day=1) + timedelta(days=32)).replace(day=1)
    return due_on + timedelta(days=1)


def latest_deferral(*, kind: str, late_after: date, as_of: date) -> date:
    """The last day a reminder may be put off to: the end of the tolerance for the law's clocks, policy for others."""
    if kind in LAW_KINDS:
        return late_after
    return as_of + timedelta(days=DEFER_MOST_DAYS[ReminderKind(kind)])


def deferral_refusal(*, kind: str, due_on: date, late_after: date, to: date, reason: str, as_of: date) -> str | None:
    """Why a reminder may not be put off to that day; None where it may. Deferring never moves the due date."""
    if not reason.strip():
        return "Give the reason for putting this off; it is kept with the reminder."
    if to <= as_of:
        return f"Put it off to a day after today: {day(to)} is not."
    if to <= due_on:
        return f"It falls due on {day(due_on)} anyway: put it off to a later day, or leave it."
    latest = latest_deferral(kind=kind, late_after=late_after, as_of=as_of)
    if to <= latest:
        return None
    if kind not in LAW_KINDS:
        return f"This may be put off to {day(latest)} at the latest (county policy); choose an earlier day."
    if latest <= as_of:
        return (
            f"The law's date passed on {day(latest)}: it cannot be put off from here. Do it now, and tell the State's "
            "program manager."
        )
    return f"The law allows until {day(latest)} and no later: choose an earlier day."


def deferral_note(kind: str, due_on: date) -> str:
    """What a deferral does not do."""
    if kind in LAW_KINDS:
        return f"Deferring does not move the legal due date: it stays {day(due_on)}."
    return f"Deferring does not move the due date of the rule: it stays {day(due_on)}."
