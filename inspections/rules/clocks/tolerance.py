"""How long after its month an inspection still counts as made in time (23 CFR 650.311(e), memory)."""

from datetime import date

from .months import add_months, month_end
from .terms import STANDARD, Policy


def tolerance_end(due_on: date, interval_months: int, policy: Policy = STANDARD) -> date:
    """Last day on which the inspection may still be done: the end of the second month after the month it was due, the
    third for intervals of 24 months or more; the county's policy may say less. The due date itself where it says 0."""
    months = policy.tolerance_short_months if interval_months < 24 else policy.tolerance_long_months
    return _end_of(due_on, months)


def special_tolerance_end(due_on: date, interval_months: int, policy: Policy = STANDARD) -> date:
    """The same for a special inspection, but always shorter than its interval: with two months of tolerance a visit
    every month could fall out twice and still be in time (ours, on the careful side)."""
    months = policy.tolerance_short_months if interval_months < 24 else policy.tolerance_long_months
    return _end_of(due_on, min(months, interval_months - 1))


def _end_of(due_on: date, months: int) -> date:
    return month_end(add_months(due_on.replace(day=1), months)) if months else due_on
