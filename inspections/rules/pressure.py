"""From bar readings to the pressure a rating may count on: least local mean, lower of the last two, unknown is absent.

Pressure N = F / (s t), floor 40 psi in service (EM 7700-8 chapter 9; LRFD 9.9.5.6 [memory]); the least mean over three
bars or 10 ft, readings out of date not known [model, owner policy]. A gauge at lock-off shows no standing force. One or
two bars without a reading between read ones take the lower of these, so that a sample of every third bar is worth
something; more in a row, or at an end, are absent [model]. A bar found loose, broken or missing holds nothing until it
is read again, however long ago that was [model]. Between readings the lower edge of the forecast counts where
it is lower, rounded down to whole psi [model, owner policy].
"""

from calendar import monthrange
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from math import floor

from inspections.vocabulary.findings import ForceMethod
from inventory.mechanics.bars import BarReading, LocalPressure, least_local_pressure
from inventory.mechanics.errors import OutsideValidity
from inventory.vocabulary.structures import BarStanding

FLOOR_PSI = 40.0
STANDING_METHODS = (ForceMethod.LIFT_OFF, ForceMethod.LOAD_CELL, ForceMethod.HAND_LOOSE)


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One reading of one bar; `is_sent_back` while its inspection is put right: it lowers and replaces nothing."""

    bar: int
    on: date
    force_lb: float | None
    method: str
    is_sent_back: bool = False


@dataclass(frozen=True, kw_only=True)
class BarPlace:
    """Where a bar sits: an id, its number for people, its level, and feet from the first bearing."""

    bar: int
    number: int
    level: str
    station_ft: float


@dataclass(frozen=True, kw_only=True)
class Counted:
    """The force one bar is credited with, lb, the day it was read, and whether the bars were pulled after that day."""

    force_lb: float
    on: date
    before_pull: bool = False


@dataclass(frozen=True, kw_only=True)
class SpanPressure:
    """Least local pressure of a span's bars by readings, psi; None where no bar has a current reading.

    `oldest` is the oldest reading relied on; `unknown` the bars that count as absent for want of one, `filled` those
    taken at the lower of their read neighbours; `counted` goes with `bars.places`. `edge_psi` is the lower edge of
    today's forecast, rounded down, where it is below the readings: then it is what counts.
    """

    least_psi: float | None
    oldest: date | None
    unknown: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    bars: "SpanBars | None" = None
    counted: tuple[Counted | None, ...] = ()
    filled: tuple[str, ...] = ()
    edge_psi: int | None = None

    @property
    def counted_psi(self) -> float | None:
        """What a rating counts on, psi: the lower of the readings and the forecast's lower edge."""
        return self.least_psi if self.edge_psi is None or self.least_psi is None else float(self.edge_psi)


def with_lower_edge(pressure: SpanPressure, lower_psi: float | None) -> SpanPressure:
    """The pressure of a span held against the lower edge of today's forecast, psi (None: there is no forecast).

    Readings out of date stay unknown whatever a forecast says. The sentence names whole psi and no date, so that the
    same pressure gives the same rating.
    """
    if lower_psi is None or pressure.least_psi is None:
        return pressure
    edge = max(0, floor(lower_psi + 1e-9))
    if edge >= pressure.least_psi:
        return pressure
    told = (
        f"The forecast of bar force counts: its lower edge is {edge} psi, below the {pressure.least_psi:.0f} psi of "
        "the readings (model)."
    )
    return replace(pressure, edge_psi=edge, reasons=(*pressure.reasons, told))


@dataclass(frozen=True, kw_only=True)
class SpanBars:
    """Bars of a span with the force each is credited with, lb, in the same order; None is a bar without a reading."""

    places: tuple[BarPlace, ...]
    forces_lb: tuple[float | None, ...]
    span_ft: float
    stressed_depth_in: float

    def least_psi(self) -> float:
        """Least mean pressure over three bars or 10 ft, psi, of the weaker level; ``OutsideValidity`` off the deck."""
        levels = {place.level for place in self.places}
        return min(self._of_level(level)[0].least_psi for level in levels)

    def without_reading(self) -> tuple[tuple[BarPlace, ...], tuple[BarPlace, ...]]:
        """Bars without a reading: those that count as absent, and those taken at the lower of their neighbours."""
        absent, filled = [], []
        for level in sorted({place.level for place in self.places}):
            local, row = self._of_level(level)
            absent += [row[index] for index in local.bars_absent]
            filled += [row[index] for index in local.bars_filled]
        order = self.places.index
        return tuple(sorted(absent, key=order)), tuple(sorted(filled, key=order))

    def _of_level(self, level: str) -> tuple[LocalPressure, list[BarPlace]]:
        pairs = [pair for pair in zip(self.places, self.forces_lb, strict=True) if pair[0].level == level]
        pairs.sort(key=lambda pair: pair[0].station_ft)
        rows = tuple(BarReading(station_ft=place.station_ft, force_lb=force) for place, force in pairs)
        local = least_local_pressure(bars=rows, length_ft=self.span_ft, thickness_in=self.stressed_depth_in)
        return local, [place for place, _force in pairs]

    def with_forces(self, force_lb: float | None, lost: Iterable[int] = ()) -> "SpanBars":
        """The same bars all at one force (None: as they are), those numbered in `lost` holding nothing."""
        gone = set(lost)
        forces = tuple(
            0.0 if place.number in gone else own if force_lb is None else force_lb
            for place, own in zip(self.places, self.forces_lb, strict=True)
        )
        return replace(self, forces_lb=forces)


def last_current_day(reading_on: date, interval_months: int) -> date:
    """The last day on which a reading still counts: the same day of the month, the interval later."""
    month = reading_on.month - 1 + interval_months
    year, month = reading_on.year + month // 12, month % 12 + 1
    return date(year, month, min(reading_on.day, monthrange(year, month)[1]))


def force_to_count(
    readings: Iterable[Reading], *, as_of: date, interval_months: int, pulled_on: date | None
) -> tuple[float, date] | None:
    """The force one bar may be credited with, lb, and the day of the reading; None where it is not known.

    Readings up to `as_of`, within the interval, of the standing force. Those made before the bars were last pulled are
    left out once one was made after it. The lower of the readings of the last two days counts, and that of one sent
    back where it is lower still; alone, it counts as it was seen.
    """
    usable = [
        r for r in readings if r.method in STANDING_METHODS and r.on <= as_of <= last_current_day(r.on, interval_months)
    ]
    usable = [r for r in usable if r.method == ForceMethod.HAND_LOOSE or r.force_lb is not None]
    firm = [r for r in usable if not r.is_sent_back]
    firm = [r for r in firm if pulled_on is not None and r.on >= pulled_on] or firm
    usable = (
        [r for r in usable if r in firm or (r.is_sent_back and r.on >= min(f.on for f in firm))] if firm else usable
    )
    if not usable:
        return None
    days = sorted({r.on for r in firm or usable}, reverse=True)[:2]
    return min((_force(r), r.on) for r in usable if r.on in days or r.is_sent_back)


def _lost_on(readings: Iterable[Reading], as_of: date) -> date | None:
    """The day a bar was last looked at, where it was found loose, broken or missing then; else None.

    An old force says nothing, but no bar mends itself: it may not take its neighbours' force once the day is past.
    """
    seen = [r for r in readings if r.method in STANDING_METHODS and r.on <= as_of]
    seen = [r for r in seen if r.method == ForceMethod.HAND_LOOSE or not r.is_sent_back]
    last = max((r.on for r in seen), default=None)
    return last if any(r.method == ForceMethod.HAND_LOOSE for r in seen if r.on == last) else None


def _force(reading: Reading) -> float:
    return 0.0 if reading.method == ForceMethod.HAND_LOOSE else float(reading.force_lb)


def span_pressure(
    *,
    bars: Iterable[BarPlace],
    readings: Iterable[Reading],
    span_ft: float,
    stressed_depth_in: float,
    as_of: date,
    interval_months: int,
    pulled_on: date | Mapping[str, date] | None = None,
) -> SpanPressure:
    """Least local pressure over the levels of a span's bars, from readings alone; `with_lower_edge` goes on.

    `pulled_on`: the last day the bars were pulled, or that of each level where a day's work pulled one of them only.
    """
    bars, by_bar = list(bars), {}
    pulled = {
        place.level: pulled_on.get(place.level) if isinstance(pulled_on, Mapping) else pulled_on for place in bars
    }
    for reading in readings:
        by_bar.setdefault(reading.bar, []).append(reading)
    forces = {
        place.bar: force_to_count(
            by_bar.get(place.bar, ()), as_of=as_of, interval_months=interval_months, pulled_on=pulled[place.level]
        )
        for place in bars
    }
    known = [force for force in forces.values() if force is not None]
    lost = {bar: day for bar in by_bar if forces.get(bar) is None and (day := _lost_on(by_bar[bar], as_of))}
    if known:
        forces |= {place.bar: (0.0, lost[place.bar]) for place in bars if place.bar in lost}
    counted = SpanBars(
        places=tuple(bars),
        forces_lb=tuple(forces[place.bar] and forces[place.bar][0] for place in bars),
        span_ft=span_ft,
        stressed_depth_in=stressed_depth_in,
    )
    if not known:
        return SpanPressure(
            least_psi=None,
            oldest=None,
            reasons=("No bar has a current reading.",),
            bars=counted,
            counted=tuple(None for _ in bars),
        )
    credited = tuple(forces[place.bar] and _counted(forces[place.bar], pulled[place.level]) for place in bars)
    try:
        least, oldest = counted.least_psi(), min(day for _f, day in known)
        absent, filled = (tuple(_name(place) for place in part) for part in counted.without_reading())
    except OutsideValidity as refusal:
        unread = tuple(_name(place) for place in bars if forces[place.bar] is None)
        told = (*_unread_words(unread, ()), str(refusal))
        return SpanPressure(least_psi=None, oldest=None, unknown=unread, reasons=told, bars=counted, counted=credited)
    return SpanPressure(
        least_psi=least,
        oldest=oldest,
        unknown=absent,
        filled=filled,
        reasons=_unread_words(absent, filled) + _lost_words([_name(place) for place in bars if place.bar in lost]),
        bars=counted,
        counted=credited,
    )


def _counted(force: tuple[float, date], pulled_on: date | None) -> Counted:
    return Counted(force_lb=force[0], on=force[1], before_pull=pulled_on is not None and force[1] < pulled_on)


def _unread_words(absent: tuple[str, ...], filled: tuple[str, ...]) -> tuple[str, ...]:
    told = (f"Without a current reading, and counted as absent: {', '.join(absent)}.",) if absent else ()
    if filled:
        told += (f"Without a current reading, taken at the lower of the bars read beside: {', '.join(filled)}.",)
    return told


def _lost_words(lost: list[str]) -> tuple[str, ...]:
    told = f"Found loose, broken or missing and not read since, so counted as nothing: {', '.join(lost)}."
    return (told,) if lost else ()


def _name(place: BarPlace) -> str:
    return f"bar {place.number}" if place.level == "mid" else f"bar {place.number} ({place.level})"


def bar_standing(pressures: Iterable[float | None], needed_psi: float | None = None) -> str:
    """One word for all spans of a structure: the worst. The floor is the need where the engineer gave none."""
    return worst_bar_standing((pressure, needed_psi) for pressure in pressures)


def worst_bar_standing(spans: Iterable[tuple[float | None, float | None]]) -> str:
    """One word for a structure, that of its worst span, from (least pressure, needed pressure) of each with bars."""
    given = [(pressure, FLOOR_PSI if need is None else need) for pressure, need in spans]
    if not given:
        return BarStanding.NONE.value
    if any(pressure is None for pressure, _need in given):
        return BarStanding.UNKNOWN.value
    if any(pressure < need for pressure, need in given):
        return BarStanding.SLACK.value
    return BarStanding.LOW.value if any(pressure < FLOOR_PSI for pressure, _ in given) else BarStanding.SOUND.value
