"""A level axis of days: years, and months or weeks where the time shown is short."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from inventory.drawings.ink import SOFT, Ink

from .label_room import LabelRoom

SHORT_DAYS = 3 * 366
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_words(day: date) -> str:
    """14 May 2026."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


@dataclass(frozen=True, kw_only=True)
class TimeAxis:
    """First and last day stand at ``left`` and ``left + width``; every day between in proportion."""

    first: date
    last: date
    left: float
    width: float

    def x(self, day: date) -> float:
        return self.left + self.width * (day - self.first).days / max(1, (self.last - self.first).days)

    @property
    def days(self) -> int:
        return (self.last - self.first).days

    def year_starts(self) -> list[date]:
        """The first of January of each year shown, thinned so that at most about twelve are written."""
        years = range(self.first.year + 1, self.last.year + 1)
        step = next((step for step in (1, 2, 5, 10, 20, 50) if len(years) / step <= 12), 100)
        return [date(year, 1, 1) for year in years if year % step == 0]

    def month_starts(self) -> Iterator[date]:
        year, month = self.first.year, self.first.month
        while True:
            year, month = (year + 1, 1) if month == 12 else (year, month + 1)
            if year > 9999 or date(year, month, 1) > self.last:
                return
            yield date(year, month, 1)


def draw_time_axis(ink: Ink, axis: TimeAxis, *, base: float, top: float) -> None:
    """Ticks and words under ``base``; a thin line up to ``top`` at every year written."""
    room = LabelRoom()
    years = axis.year_starts()
    for day in years:
        x = axis.x(day)
        ink.line(x, top, x, base, stroke=SOFT, stroke_width=0.4, kind="year-line")
        ink.line(x, base, x, base + 7, stroke=SOFT, kind="year-tick")
        _word(ink, room, x, base + 20, f"{day.year}", axis)
    if axis.days > SHORT_DAYS:
        return
    for day in axis.month_starts():
        x = axis.x(day)
        ink.line(x, base, x, base + 4, stroke=SOFT, stroke_width=0.7, kind="month-tick")
        if day.month != 1:
            words = MONTHS[day.month - 1]
            _word(ink, room, x, base + 20, words if years else f"{words} {day.year}", axis, smaller=True)
    if axis.days <= 62:
        for weeks in range(axis.days // 7 + 1):
            day = axis.first + timedelta(weeks=weeks)
            ink.line(axis.x(day), base, axis.x(day), base + 3, stroke=SOFT, stroke_width=0.6, kind="week-tick")
            _word(ink, room, axis.x(day), base + 20, day_words(day), axis, smaller=True)


def _word(ink: Ink, room: LabelRoom, x: float, y: float, words: str, axis: TimeAxis, *, smaller: bool = False) -> None:
    size = 10.5 if smaller else 11.5
    if x > axis.left + axis.width - 2:
        return
    if room.take_words(x, y, words, size=size, anchor="middle"):
        ink.text(x, y, words, size=size, fill=SOFT, anchor="middle", kind="time-word")
