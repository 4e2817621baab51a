"""What a day in the field may be, and how its stops change places."""

from collections.abc import Hashable, Sequence
from datetime import date

from inspections.vocabulary.findings import InspectionKind

from .clocks.terms import day as day_words

MOST_STOPS = 30
FARTHEST_DAYS = 550  # a year and a half: the farthest a month plan reasonably looks [model]
PER_DAY, PER_DAY_MOST = 4, 12
NEAR_MI, NEAR_MI_MOST = 8.0, 60.0


def work_words(kind: str) -> str:
    """What is to be done, as a noun: "Routine inspection", "Bar-force check", "Scour monitoring"."""
    label = InspectionKind.label_of(kind)
    return label if kind in (InspectionKind.BAR_CHECK, InspectionKind.SCOUR) else f"{label} inspection"


def day_fault(on: date, *, today: date) -> str:
    """Why no field day can be on that date; "" where one can."""
    if on < today:
        return f"{day_words(on)} is past: choose today or a later day. What was done is entered as an inspection."
    if (on - today).days > FARTHEST_DAYS:
        return f"{day_words(on)} is more than a year and a half away: correct the date."
    return ""


def past_fault(on: date, *, today: date) -> str:
    """A day that is past stays as it was planned."""
    return f"The field day of {day_words(on)} is past and stays as it was." if on < today else ""


def stops_fault(count: int) -> str:
    """A day holds a limited number of stops."""
    return f"A field day holds at most {MOST_STOPS} stops: make a second day." if count > MOST_STOPS else ""


def moved(order: Sequence[Hashable], key: Hashable, step: int) -> list[Hashable]:
    """The order with one key moved a place up (-1) or down (1); at either end it stays where it is."""
    found = list(order)
    at = found.index(key)
    to = min(max(at + step, 0), len(found) - 1)
    found.insert(to, found.pop(at))
    return found


def month_of(year: int, month: int) -> tuple[date, date] | None:
    """First and last day of a month, None where there is none (years 2000 to 2100)."""
    if not (2000 <= year <= 2100 and 1 <= month <= 12):
        return None
    first = date(year, month, 1)
    following = date(year + month // 12, month % 12 + 1, 1)
    return first, date.fromordinal(following.toordinal() - 1)


def neighbours(year: int, month: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """(year, month) of the month before and of the one after."""
    before = (year - 1, 12) if month == 1 else (year, month - 1)
    after = (year + 1, 1) if month == 12 else (year, month + 1)
    return before, after
