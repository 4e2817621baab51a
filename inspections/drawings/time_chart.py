"""What a chart of force in time shows, and its two scales."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from .time_axis import TimeAxis

LEFT, WIDTH, RIGHT = 56.0, 500.0, 192.0
HEIGHT, HEAD, STRIP = 240.0, 74.0, 30.0
AXIS_ROOM, LEGEND_ROW, LEGEND_COLUMNS = 40.0, 20.0, 3


@dataclass(frozen=True, kw_only=True)
class BandDay:
    """A day of the forecast, in the unit of the chart."""

    on_day: date
    lower: float
    middle: float
    upper: float


@dataclass(frozen=True, kw_only=True)
class BarLine:
    """One bar in time; a value None breaks its line (at a stressing, say)."""

    name: str
    points: tuple[tuple[date, float | None], ...]


@dataclass(frozen=True, kw_only=True)
class ReadMark:
    """A reading of standing force; ``left_out``: why it does not enter the fit, such as "frost"."""

    on_day: date
    value: float
    bar: str = ""
    left_out: str = ""


@dataclass(frozen=True, kw_only=True)
class LockOff:
    """What the gauge showed when the nut was locked: never a standing force."""

    on_day: date
    value: float
    bar: str = ""


@dataclass(frozen=True, kw_only=True)
class TimeLevel:
    """A line across the chart: need, floor, posting."""

    value: float
    words: str
    is_need: bool = False


@dataclass(frozen=True, kw_only=True)
class TimeChart:
    """What is drawn. ``unit`` psi or lb; ``chosen`` names of bars picked out (at most six count)."""

    title: str
    quantity: str
    unit: str
    today: date
    band: tuple[BandDay, ...] = ()
    bars: tuple[BarLine, ...] = ()
    readings: tuple[ReadMark, ...] = ()
    lock_offs: tuple[LockOff, ...] = ()
    stressed_on: tuple[date, ...] = ()
    levels: tuple[TimeLevel, ...] = ()
    chosen: tuple[str, ...] = ()
    band_words: str = "80 %"

    def values(self) -> Iterator[float]:
        for point in self.band:
            yield from (point.lower, point.middle, point.upper)
        for bar in self.bars:
            yield from (value for _day, value in bar.points if value is not None)
        yield from (each.value for each in (*self.readings, *self.levels))

    def days(self) -> Iterator[date]:
        yield self.today
        yield from (point.on_day for point in self.band)
        yield from (day for bar in self.bars for day, _value in bar.points)
        yield from (each.on_day for each in (*self.readings, *self.lock_offs))
        yield from self.stressed_on


@dataclass(frozen=True, kw_only=True)
class Frame:
    """The scales: days across, values upwards from zero to ``top_value`` at ``top``."""

    axis: TimeAxis
    top: float
    top_value: float

    @property
    def base(self) -> float:
        return self.top + HEIGHT

    def y(self, value: float) -> float:
        return self.base - HEIGHT * min(max(value, 0.0), self.top_value) / self.top_value


def frame_of(chart: TimeChart) -> Frame:
    """The scales of a chart: all its days across, from zero to above its highest value."""
    days = list(chart.days())
    first, last = min(days), max(days)
    axis = TimeAxis(first=first, last=last, left=LEFT, width=WIDTH)
    highest = max([*chart.values(), 10.0 if chart.unit == "psi" else 1000.0])
    return Frame(axis=axis, top=HEAD + (STRIP if chart.lock_offs else 0.0), top_value=highest * 1.08)
