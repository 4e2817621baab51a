"""The least mean pressure over any stretch of three bars or 10 ft: what a rating may count on (``model``).

One slack stretch under a wheel matters more than a good mean over the deck. A bar not read between two read ones
takes the lower of them; more than two unread in a row, or one known to be broken, count as carrying nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.errors import OutsideValidity, require_range

SOURCE = "stress-laminated deck, least local pressure"
STRETCH_FT = 10.0
STRETCH_BARS = 3
UNREAD_IN_A_ROW = 2


@dataclass(frozen=True, kw_only=True)
class BarReading:
    """One bar: station ft along the span, last force lb (None not read), broken or missing."""

    station_ft: float
    force_lb: float | None
    broken: bool = False


@dataclass(frozen=True, kw_only=True)
class LocalPressure:
    """Least local pressure psi, the stretch (ft) it was found on, the mean of the deck, and how bars were filled in."""

    least_psi: float
    from_ft: float
    to_ft: float
    mean_psi: float
    bars_filled: tuple[int, ...]
    bars_absent: tuple[int, ...]


def least_local_pressure(*, bars: tuple[BarReading, ...], length_ft: float, thickness_in: float) -> LocalPressure:
    """Sum of forces over sum of s t for every stretch of three neighbouring bars and every 10 ft; the least counts.

    Each bar serves from halfway to its neighbours (to the deck ends for the outer two). ``OutsideValidity`` for no
    bars, bars off the deck or two at one station.
    """
    require_range(name="number of bars", value=len(bars), least=1, source=SOURCE)
    require_range(name="deck length", value=length_ft, above=0, unit="ft", source=SOURCE)
    require_range(name="deck thickness", value=thickness_in, above=0, most=60, unit="in", source=SOURCE)
    bars = tuple(sorted(bars, key=lambda bar: bar.station_ft))
    for bar in bars:
        require_range(name="bar station", value=bar.station_ft, least=0, most=length_ft, unit="ft", source=SOURCE)
    stations = [bar.station_ft for bar in bars]
    if len(set(stations)) != len(stations):
        raise OutsideValidity(name="bar stations", value="two at one place", valid="all different", source=SOURCE)
    forces, filled, absent = _filled_forces(bars)
    edges = served_edges(stations, length_ft)
    best = None
    for first, last in stretches(edges):
        area = (edges[last + 1] - edges[first]) * 12.0 * thickness_in
        pressure = sum(forces[first : last + 1]) / area
        if best is None or pressure < best[0]:
            best = (pressure, edges[first], edges[last + 1])
    return LocalPressure(
        least_psi=best[0],
        from_ft=best[1],
        to_ft=best[2],
        mean_psi=sum(forces) / (length_ft * 12.0 * thickness_in),
        bars_filled=tuple(filled),
        bars_absent=tuple(absent),
    )


def served_edges(stations: list[float], length_ft: float) -> list[float]:
    """Where the part of the span that each bar serves begins, ft, and where the last one ends."""
    return [0.0] + [(a + b) / 2.0 for a, b in zip(stations, stations[1:], strict=False)] + [length_ft]


def stretches(edges: list[float]):
    """Index pairs of neighbouring bars: every three, and every run that just reaches 10 ft (or all of a short deck)."""
    count = len(edges) - 1
    for first in range(count):
        if first + STRETCH_BARS <= count:
            yield first, first + STRETCH_BARS - 1
        for last in range(first, count):
            if edges[last + 1] - edges[first] >= STRETCH_FT:
                yield first, last
                break
    yield 0, count - 1


def _filled_forces(bars) -> tuple[list[float], list[int], list[int]]:
    forces, filled, absent = [], [], []
    for index, bar in enumerate(bars):
        if bar.broken:
            forces.append(0.0)
            absent.append(index)
        elif bar.force_lb is not None:
            forces.append(require_range(name="bar force", value=bar.force_lb, least=0, unit="lb", source=SOURCE))
        else:
            force = _between(bars, index)
            (absent if force is None else filled).append(index)
            forces.append(force or 0.0)
    return forces, filled, absent


def _between(bars, index: int) -> float | None:
    """The lower of the nearest read bars left and right if the unread run is short and has both; else None."""
    left, right = index, index
    while left >= 0 and bars[left].force_lb is None and not bars[left].broken:
        left -= 1
    while right < len(bars) and bars[right].force_lb is None and not bars[right].broken:
        right += 1
    if left < 0 or right >= len(bars) or right - left - 1 > UNREAD_IN_A_ROW:
        return None
    ends = (bars[left], bars[right])
    return min(0.0 if bar.broken else bar.force_lb for bar in ends)
