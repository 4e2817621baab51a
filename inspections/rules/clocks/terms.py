"""What a clock is told and what it answers: facts in, a due date with its reason out."""

from dataclasses import dataclass
from datetime import date

from inspections.vocabulary.states import ReminderKind

REASON_LIMIT = 400


@dataclass(frozen=True, kw_only=True)
class Due:
    """One thing owed to a structure.

    `due_on` is the date of the rule, `late_after` the last day of its tolerance (the due date where there is none),
    `counted_from` the fact the clock was started by, `reason` one or two sentences a person can check.
    """

    kind: ReminderKind
    due_on: date
    late_after: date
    counted_from: date
    reason: str


@dataclass(frozen=True, kw_only=True)
class Policy:
    """The owner's own intervals (the agency's fields); months and years of at least 1."""

    routine_months: int = 24
    bar_check_months: int = 24
    resurfacing_years: int = 12
    treatment_years: int = 5


def day(on: date) -> str:
    """A date the way the sheets print it: 3 May 2026."""
    return f"{on.day} {on:%b %Y}"


def count(number: int, noun: str) -> str:
    """`1 day`, `12 days`."""
    return f"{number} {noun}" + ("" if number == 1 else "s")


def clip(sentence: str, limit: int = REASON_LIMIT) -> str:
    """A reason that fits its column; cut at a word, and the cut is shown."""
    if len(sentence) <= limit:
        return sentence
    return sentence[: limit - 4].rsplit(" ", 1)[0] + " ..."
