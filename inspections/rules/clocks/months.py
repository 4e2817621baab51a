"""Months and years on the calendar, with the end of the month kept inside the month."""

import calendar
from datetime import date


def add_months(on: date, months: int) -> date:
    """The same day of the month `months` later; the last day where that month is shorter (31 Jan + 1 = 28 Feb)."""
    index = on.year * 12 + on.month - 1 + months
    year, month = divmod(index, 12)
    return date(year, month + 1, min(on.day, calendar.monthrange(year, month + 1)[1]))


def add_years(on: date, years: int) -> date:
    """The same day `years` later; 28 February for the 29th where there is none."""
    return add_months(on, 12 * years)


def month_end(on: date) -> date:
    """The last day of that month."""
    return on.replace(day=calendar.monthrange(on.year, on.month)[1])
