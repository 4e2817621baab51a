"""What a clock is told and what it answers: facts in, a due date with its reason out."""

from dataclasses import dataclass, fields
from datetime import date

from inspections.vocabulary.states import ReminderKind
from inventory.rules.inspection_policy import DEFAULTS

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
    """The owner's own intervals; what each means, its source and mark: `inventory.rules.inspection_policy`.

    The last two are the agency's own columns, years of at least 1.
    """

    routine_months: int = DEFAULTS["routine_months"]
    routine_most_months: int = DEFAULTS["routine_most_months"]
    routine_reduced_months: int = DEFAULTS["routine_reduced_months"]
    serious_rating: int = DEFAULTS["serious_rating"]
    short_months: int = DEFAULTS["short_months"]
    underwater_months: int = DEFAULTS["underwater_months"]
    underwater_reduced_months: int = DEFAULTS["underwater_reduced_months"]
    in_depth_months: int = DEFAULTS["in_depth_months"]
    in_depth_from_years: int = DEFAULTS["in_depth_from_years"]
    special_months: int = DEFAULTS["special_months"]
    bar_check_months: int = DEFAULTS["bar_check_months"]
    initial_months: int = DEFAULTS["initial_months"]
    tolerance_short_months: int = DEFAULTS["tolerance_short_months"]
    tolerance_long_months: int = DEFAULTS["tolerance_long_months"]
    scour_visit_days: int = DEFAULTS["scour_visit_days"]
    damage_visit_days: int = DEFAULTS["damage_visit_days"]
    sign_up_days: int = DEFAULTS["sign_up_days"]
    sign_missing_days: int = DEFAULTS["sign_missing_days"]
    posting_days: int = DEFAULTS["posting_days"]
    rating_months: int = DEFAULTS["rating_months"]
    record_months: int = DEFAULTS["record_months"]
    resurfacing_years: int = 12
    treatment_years: int = 5


STANDARD = Policy()
"""The defaults of the table, for whoever has no agency at hand."""
AGENCY_FIELDS = ("resurfacing_years", "treatment_years")
POLICY_FIELDS = tuple(field.name for field in fields(Policy) if field.name not in AGENCY_FIELDS)


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
