"""Soundings of a section across the channel: whether they can be, and what changed between two of them.

Depths are feet down from a datum that does not move, stations feet from the left end. The area between two beds is
taken by the trapezoidal rule on the union of their stations, which is exact for beds that are straight between
soundings. What surveyors do (common practice, no source); limits against slips of the keyboard [model].
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

Points = Sequence[tuple[float, float]]

FEWEST, MOST = 3, 200
LEAST_DEPTH_FT, MOST_DEPTH_FT = -30.0, 150.0
MOST_STATION_FT = 2000.0
STEEPEST = 40.0
"""Feet down for each foot along that is asked about, not refused: a sheet-pile wall may stand there."""


@dataclass(frozen=True, kw_only=True)
class Survey:
    """One section as sounded once: points as ((station_ft, depth_ft), ...) by rising station."""

    points: tuple[tuple[float, float], ...]
    water_ft: float | None = None


@dataclass(frozen=True, kw_only=True)
class BedChange:
    """Change of the bed from an earlier to a later survey over the stations both have. Plus is lower: scour.

    `lost_ft2` is the area scoured, `gained_ft2` the area filled, `net_ft2` their difference; `lowered_ft` the deepest
    lowering and `lowered_at_ft` its station, `raised_ft` the highest filling. `by_station` holds (station, earlier
    depth, later depth, change).
    """

    from_ft: float
    to_ft: float
    lost_ft2: float
    gained_ft2: float
    lowered_ft: float
    lowered_at_ft: float
    raised_ft: float
    by_station: tuple[tuple[float, float, float, float], ...]

    @property
    def net_ft2(self) -> float:
        return self.lost_ft2 - self.gained_ft2


def survey_faults(points: Sequence, *, water_ft: float | None = None, where: str = "Soundings") -> list[str]:
    """Sentences for what cannot be: too few points, stations that do not rise, numbers that are none."""
    if not isinstance(points, Sequence) or isinstance(points, str | bytes):
        return [f"{where}: give station and depth as rows of two numbers."]
    faults, last = [], None
    for place, point in enumerate(points, start=1):
        if not _is_pair(point):
            faults.append(f"{where}, row {place}: give two numbers, station and depth in feet.")
            continue
        station, depth = point
        if not 0.0 <= station <= MOST_STATION_FT:
            faults.append(f"{where}, row {place}: station {station:g} ft is outside 0 to {MOST_STATION_FT:g} ft.")
        if not LEAST_DEPTH_FT <= depth <= MOST_DEPTH_FT:
            faults.append(
                f"{where}, row {place}: depth {depth:g} ft is outside {LEAST_DEPTH_FT:g} to {MOST_DEPTH_FT:g} ft below "
                "the datum."
            )
        if last is not None and station <= last:
            faults.append(
                f"{where}, row {place}: station {station:g} ft does not lie beyond {last:g} ft, the one before; "
                "write the rows from the left end."
            )
        last = station if last is None else max(last, station)
    if len(points) < FEWEST:
        faults.append(f"{where}: {len(points)} soundings; a section needs at least {FEWEST}.")
    if len(points) > MOST:
        faults.append(f"{where}: {len(points)} soundings; a section holds at most {MOST}.")
    if water_ft is not None and not LEAST_DEPTH_FT <= water_ft <= MOST_DEPTH_FT:
        faults.append(f"{where}: a water surface {water_ft:g} ft below the datum cannot be; correct it.")
    return faults


def survey_questions(points: Points, *, water_ft: float | None = None, before: Survey | None = None) -> list[str]:
    """What is asked about and not refused: very steep steps, water under the bed, a bed far from last time's."""
    asked = []
    for (left, high), (right, low) in pairwise(points):
        if abs(low - high) > STEEPEST * (right - left):
            asked.append(f"From {left:g} to {right:g} ft the bed goes from {high:g} to {low:g} ft: is that a wall?")
    if water_ft is not None and points and water_ft > max(depth for _, depth in points):
        asked.append(f"The water surface ({water_ft:g} ft) is below the whole bed: was the section dry?")
    if before is not None:
        change = bed_change(before, Survey(points=tuple(points)))
        if change is not None and max(change.lowered_ft, change.raised_ft) > 10.0:
            asked.append(
                f"The bed differs by {max(change.lowered_ft, change.raised_ft):.1f} ft from last time: same datum?"
            )
    return asked


def _is_pair(point) -> bool:
    if not isinstance(point, Sequence) or isinstance(point, str | bytes) or len(point) != 2:
        return False
    return all(isinstance(n, int | float) and not isinstance(n, bool) and n == n and abs(n) < 1e9 for n in point)


def depth_at(points: Points, station_ft: float) -> float | None:
    """Depth of the bed at a station, straight between soundings; None outside the survey."""
    if not points or not points[0][0] <= station_ft <= points[-1][0]:
        return None
    for (left, high), (right, low) in pairwise(points):
        if left <= station_ft <= right:
            return high + (low - high) * (station_ft - left) / (right - left)
    return points[0][1]


def bed_change(earlier: Survey, later: Survey) -> BedChange | None:
    """What changed where both were sounded; None where the two have no stretch in common."""
    start = max(earlier.points[0][0], later.points[0][0])
    end = min(earlier.points[-1][0], later.points[-1][0])
    if end <= start:
        return None
    stations = sorted({s for survey in (earlier, later) for s, _ in survey.points if start <= s <= end} | {start, end})
    rows = []
    for station in stations:
        was, now = depth_at(earlier.points, station), depth_at(later.points, station)
        rows.append((station, was, now, now - was))
    lost, gained = _areas(rows)
    at, _, _, lowered = max(rows, key=lambda row: row[3])
    return BedChange(
        from_ft=start,
        to_ft=end,
        lost_ft2=lost,
        gained_ft2=gained,
        lowered_ft=max(0.0, lowered),
        lowered_at_ft=at,
        raised_ft=max(0.0, -min(row[3] for row in rows)),
        by_station=tuple(rows),
    )


def _areas(rows: list[tuple[float, float, float, float]]) -> tuple[float, float]:
    """Areas scoured and filled: a stretch in which the beds cross is cut where they do."""
    lost = gained = 0.0
    for (left, _, _, one), (right, _, _, other) in pairwise(rows):
        width = right - left
        if one * other < 0:
            first = width * one / (one - other)
            for part, height in ((first, one), (width - first, other)):
                lost += max(0.0, part * height / 2.0)
                gained += max(0.0, -part * height / 2.0)
            continue
        area = width * (one + other) / 2.0
        lost, gained = lost + max(0.0, area), gained + max(0.0, -area)
    return lost, gained


def area_below(points: Points, level_ft: float, *, from_ft: float, to_ft: float) -> float:
    """Area between a level line `level_ft` below the datum and the bed under it, over a stretch within the survey."""
    line = Survey(points=((from_ft, level_ft), (to_ft, level_ft)))
    change = bed_change(line, Survey(points=tuple(points)))
    return 0.0 if change is None else change.lost_ft2


def deepest(points: Points) -> tuple[float, float]:
    """(station_ft, depth_ft) of the lowest sounding; of two alike the one further left."""
    return max(points, key=lambda point: (point[1], -point[0]))


def grown_ratio(first: Survey, later: Survey) -> float | None:
    """Growth of the area of the channel under the first survey's highest bank that both have (0.1 is a tenth)."""
    change = bed_change(first, later)
    if change is None:
        return None
    bank = min(was for _, was, _, _ in change.by_station)
    area = area_below(first.points, bank, from_ft=change.from_ft, to_ft=change.to_ft)
    return None if area <= 0 else change.net_ft2 / area


def over_foundation_ft(points: Points, foundation_ft: float | None) -> float | None:
    """Least height of the bed over the underside of footings or pile tips, feet; minus where the bed is below."""
    return None if foundation_ft is None else foundation_ft - deepest(points)[1]


def foundation_words(height_ft: float | None) -> str:
    """What the height over the foundation says; a bed below it is for the engineer at once."""
    if height_ft is None:
        return "How deep the footings or piles go is not on record for this section."
    if height_ft < 0:
        return (
            f"The bed is {-height_ft:.1f} ft below the underside of the footing or the tips of the piles: call the "
            "engineer now, keep traffic off, and record it after."
        )
    return f"The bed is {height_ft:.1f} ft above the underside of the footing or the tips of the piles."
