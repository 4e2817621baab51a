"""Bar force along a span as the rating counts it, bar by bar, and the worst stretch with where it lies.

Floor: 40 psi least pressure between laminations in service (AASHTO Guide Specification for stress-laminated decks 1991
[memory]); force per bar F = N s t, statics. The least mean over three bars or 10 ft counts, not the mean of the deck:
every wheel path crosses every stretch, so one slack stretch under a wheel matters more than a good mean [model].
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from inventory.mechanics.bars import BarReading, bar_force_lb, least_local_pressure, pressure_psi
from inventory.mechanics.errors import OutsideValidity

from .clocks import intervals
from .clocks.terms import day
from .pressure import SpanPressure

READ, BEFORE_PULL, FILLED, ABSENT = "read", "before_pull", "filled", "absent"
WHISKER_SDS = 1.28
"""Half of an 80 percent band in standard deviations of a normal distribution (mathematics)."""


@dataclass(frozen=True, kw_only=True)
class Known:
    """A force of one bar with its day, lb."""

    force_lb: float
    on: date


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """What the forecast says of one bar, lb: the middle and its standard deviation; `is_read` from its own readings."""

    middle_lb: float
    sd_lb: float
    is_read: bool = False

    @property
    def low_lb(self) -> float:
        return max(0.0, self.middle_lb - WHISKER_SDS * self.sd_lb)

    @property
    def high_lb(self) -> float:
        return self.middle_lb + WHISKER_SDS * self.sd_lb


@dataclass(frozen=True, kw_only=True)
class BarPlace:
    """One bar: the force the rating counts (lb; None where it counts as absent), its pressure, and how it is known.

    ``lock_off`` a gauge pressure at lock-off since, as force: drawn apart, counted nowhere. ``estimate`` of the
    forecast, for a bar without a reading of its own.
    """

    bar: int
    number: int
    level: str
    station_ft: float
    state: str
    force_lb: float | None
    pressure_psi: float | None
    read_on: date | None
    is_low: bool
    lock_off: Known | None = None
    estimate: Estimate | None = None

    @property
    def words(self) -> str:
        """How the force is known."""
        if self.state == READ:
            return f"read {day(self.read_on)}"
        if self.state == BEFORE_PULL:
            return f"read {day(self.read_on)}, before the bars were last pulled; counts until read again"
        if self.state == FILLED:
            return "not read; taken at the lower of the bars read beside it"
        return "no reading in date; counts as absent"


@dataclass(frozen=True, kw_only=True)
class WorstStretch:
    """The stretch of three bars or 10 ft with the least mean pressure (psi), the mean of the row, and where it lies."""

    level: str
    from_ft: float
    to_ft: float
    least_psi: float
    mean_psi: float
    where: str


def bar_places(
    pressure: SpanPressure,
    *,
    spacing_in: float,
    thickness_in: float,
    lock_offs: Mapping[int, Known] | None = None,
    estimates: Mapping[int, Estimate] | None = None,
    needed_psi: float | None = None,
) -> list[BarPlace]:
    """Every bar of a span in the order of level and station; the maps are by bar id. Low is below the least pressure,
    or below the need where that is more."""
    low_below = max(intervals.BAR_FLOOR_PSI, needed_psi or 0.0)
    lock_offs, estimates = lock_offs or {}, estimates or {}
    if pressure.bars is None:
        return []
    counted = dict(zip((p.bar for p in pressure.bars.places), pressure.counted, strict=True))
    places = []
    rows = sorted(pressure.bars.places, key=lambda item: (item.level, item.station_ft, item.number))
    for index, place in enumerate(rows):
        own = counted[place.bar]
        state = ABSENT if own is None else BEFORE_PULL if own.before_pull else READ
        force = None if own is None else own.force_lb
        name = f"bar {place.number}" if place.level == "mid" else f"bar {place.number} ({place.level})"
        if own is None and name in pressure.filled:
            state, force = FILLED, _beside(rows, counted, index)
        psi = None
        if force is not None:
            psi = pressure_psi(force_lb=force, spacing_in=spacing_in, thickness_in=thickness_in)
        lock_off = lock_offs.get(place.bar)
        places.append(
            BarPlace(
                bar=place.bar,
                number=place.number,
                level=place.level,
                station_ft=place.station_ft,
                state=state,
                force_lb=force,
                pressure_psi=psi,
                read_on=None if own is None else own.on,
                is_low=psi is None or psi < low_below,
                lock_off=lock_off if lock_off and (own is None or lock_off.on >= own.on) else None,
                estimate=estimates.get(place.bar) if state in (FILLED, ABSENT, BEFORE_PULL) else None,
            )
        )
    return places


def _beside(rows: Sequence, counted: Mapping, index: int) -> float | None:
    """The lower of the nearest bars with a reading on either side, of the same level."""
    level = rows[index].level
    found = []
    for step in (-1, 1):
        at = index + step
        while 0 <= at < len(rows) and rows[at].level == level and counted[rows[at].bar] is None:
            at += step
        if 0 <= at < len(rows) and rows[at].level == level:
            found.append(counted[rows[at].bar].force_lb)
    return min(found) if len(found) == 2 else None


def worst_stretch(
    places: Sequence[BarPlace], *, length_ft: float, thickness_in: float, span_ft: float
) -> WorstStretch | None:
    """The worst stretch of one level's bars, absent ones holding nothing; None where no bar has a force.

    ``length_ft`` is that of the deck squeezed, ``span_ft`` between the bearings.
    """
    if not places or all(place.force_lb is None for place in places):
        return None
    bars = tuple(BarReading(station_ft=place.station_ft, force_lb=place.force_lb or 0.0) for place in places)
    try:
        local = least_local_pressure(bars=bars, length_ft=length_ft, thickness_in=thickness_in)
    except OutsideValidity:
        return None
    return WorstStretch(
        level=places[0].level,
        from_ft=local.from_ft,
        to_ft=local.to_ft,
        least_psi=local.least_psi,
        mean_psi=local.mean_psi,
        where=where_words(local.from_ft, local.to_ft, span_ft),
    )


def where_words(from_ft: float, to_ft: float, span_ft: float) -> str:
    """Where a stretch lies against midspan and the bearings, and what wheels do to the deck there (statics)."""
    middle = span_ft / 2.0
    if from_ft <= 0.0 and to_ft >= span_ft:
        return "over the whole span"
    if from_ft <= middle <= to_ft:
        return "across midspan, where wheels bend the deck most"
    if from_ft <= 0.1 * span_ft:
        return "by the first bearing, where wheels shear the deck most"
    if to_ft >= 0.9 * span_ft:
        return "by the far bearing, where wheels shear the deck most"
    side, gap = ("first", middle - to_ft) if to_ft < middle else ("far", from_ft - middle)
    return f"between midspan and the {side} bearing, {gap:.1f} ft from midspan"


def force_at_lb(pressure: float, *, spacing_in: float, thickness_in: float) -> float:
    """Force in one bar at a pressure (psi), lb."""
    return bar_force_lb(pressure_psi=pressure, spacing_in=spacing_in, thickness_in=thickness_in)
