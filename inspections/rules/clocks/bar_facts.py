"""What the clocks of a span's bars are told: the bars, their readings, the days they were pulled.

A reading taken on the day of a stressing, or before it, says nothing of the force standing after it, unless a finished
stressing day read it once its last pull was done. (A rating is more careful: there an old low reading counts until a
new one is made.)
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from inventory.mechanics.bars import BarReading, least_local_pressure, pressure_psi
from inventory.mechanics.errors import OutsideValidity

from .months import add_years


@dataclass(frozen=True, kw_only=True)
class BarFact:
    """One bar and every reading of its standing force: (day, lb), by lift-off or load cell, 0 where loose to the hand.

    Of two readings on one day the lower counts. `after_pull` are days on which the reading was made after that day's
    last pull.
    """

    number: int
    station_ft: float
    level: str = "mid"
    readings: tuple[tuple[date, float], ...] = ()
    after_pull: tuple[date, ...] = ()

    @property
    def name(self) -> str:
        return str(self.number) if self.level == "mid" else f"{self.number} {self.level}"

    def standing(self, since: date | None, until: date | None) -> tuple[date, float] | None:
        """The last reading after `since` and not after `until`; None where there is none."""
        counted = [
            reading
            for reading in self.readings
            if (since is None or reading[0] > since or (reading[0] == since and since in self.after_pull))
            and (until is None or reading[0] <= until)
        ]
        if not counted:
            return None
        last = max(on for on, _ in counted)
        return last, min(force_lb for on, force_lb in counted if on == last)


@dataclass(frozen=True, kw_only=True)
class ForecastFact:
    """What the forecast of a span's bars asks for: the date it recommends to pull them again and why, and the day its
    lower edge reaches the re-tension limit. None where it does not, in the years it looks ahead."""

    retension_on: date | None = None
    why: str = ""
    reaches_limit_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class BarsFacts:
    """The bars of one span at one level (a pull of the top bars does nothing for the bottom ones). Sizes in ft and in;
    `stressed_on` every day the bars were pulled, `erected_on` the first stressing of the present erection where it is
    known."""

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
    forecast: ForecastFact | None = None
    level: str = "mid"

    @property
    def place(self) -> str:
        span = f"span {self.span_index}" if self.span_count > 1 else ""
        row = "" if self.level == "mid" else f"{self.level} bars"
        words = ", ".join(part for part in (span, row) if part)
        return f"{words}: " if words else ""

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


def in_erection(facts: BarsFacts) -> bool:
    """Whether the last stressing was one of the first year's."""
    last = facts.last_stressed_on
    return bool(facts.erected_on and last and last <= add_years(facts.erected_on, 1))


def erection_started(stressed_on: Iterable[date]) -> date | None:
    """First day of the last run of erection stressing: a deck taken down and set again starts a new schedule."""
    start = None
    for on in sorted(stressed_on):
        if start is None or (on - start).days > 366:
            start = on
    return start


def bar_psi(facts: BarsFacts, force_lb: float) -> float:
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
