"""The invented county's ground: a two-mile road grid, its streams, and where they cross."""

import math
from dataclasses import dataclass

from shapely.geometry import LineString, Point

SIZE_MI = 24
WEST_LON, SOUTH_LAT = -99.42, 44.18
MI_PER_DEG_LAT = 69.05
MI_PER_DEG_LON = MI_PER_DEG_LAT * math.cos(math.radians(SOUTH_LAT + 0.17))

NORTH_SOUTH = (
    "Anvil Road",
    "Bittern Road",
    "Cooper Road",
    "Dunlin Road",
    "State Highway 41",
    "Fescue Road",
    "Gable Road",
    "Harrow Road",
    "Iron Spring Road",
    "Juniper Road",
    "Kiln Road",
    "Lapwing Road",
    "Mattock Road",
)
EAST_WEST = (
    "South Line Road",
    "Tallow Road",
    "Sickle Road",
    "Thistle Road",
    "Union Hall Road",
    "Vetch Road",
    "County Highway W",
    "Yarrow Road",
    "Adze Road",
    "Brome Road",
    "Cistern Road",
    "Drover Road",
    "North Line Road",
)
# Control points in miles from the south-west corner; a wobble is added between them.
STREAMS = {
    "Ottersedge River": ((0, 15.3), (5, 13.1), (9, 14.6), (13, 11.2), (17, 11.9), (21, 8.4), (24, 7.6)),
    "Little Ottersedge": ((8.3, 24), (9.1, 20), (7.2, 17.5), (9, 14.6)),
    "Cinder Creek": ((0, 4.9), (4, 6.3), (8, 5.1), (12, 5.8), (15, 3.1), (17.6, 0)),
    "Pannier Creek": ((24, 19.2), (20.3, 17.6), (18.8, 14.9), (17, 11.9)),
    "Sallow Creek": ((24, 2.1), (20.9, 3.3), (19.2, 5.7), (17.3, 8.9), (17, 11.9)),
    "Tern Branch": ((12.7, 24), (13.4, 21), (11.6, 18.4), (12.9, 15.2), (13, 11.2)),
    "Mosslit Run": ((1.3, 24), (3.1, 21), (2.4, 18.2), (5.2, 15.7), (5, 13.1)),
}


@dataclass(frozen=True)
class Crossing:
    """A road over a stream, in miles from the south-west corner."""

    road: str
    stream: str
    x_mi: float
    y_mi: float
    bearing_deg: float


def lon_lat(x_mi: float, y_mi: float) -> tuple[float, float]:
    """Miles from the corner to longitude and latitude, good to a few feet over so small a county."""
    return round(WEST_LON + x_mi / MI_PER_DEG_LON, 6), round(SOUTH_LAT + y_mi / MI_PER_DEG_LAT, 6)


def stream_line(points: tuple[tuple[float, float], ...]) -> LineString:
    """The control points joined by a gentle meander."""
    line = LineString(points)
    bends = []
    steps = int(line.length * 8)
    for step in range(steps + 1):
        along = line.length * step / steps
        at, ahead = line.interpolate(along), line.interpolate(min(along + 0.05, line.length))
        behind = line.interpolate(max(along - 0.05, 0))
        heading = math.atan2(ahead.y - behind.y, ahead.x - behind.x)
        # The wobble dies out at both ends, so that streams still meet.
        fade = min(1.0, along, line.length - along)
        swing = 0.22 * fade * math.sin(along * 2.4) + 0.07 * fade * math.sin(along * 6.1)
        bends.append((at.x - swing * math.sin(heading), at.y + swing * math.cos(heading)))
    return LineString(bends)


def roads() -> list[tuple[str, str, LineString]]:
    """Name, class and line of every road."""
    found = []
    for index, name in enumerate(NORTH_SOUTH):
        found.append((name, index * 2.0, True))
    for index, name in enumerate(EAST_WEST):
        found.append((name, index * 2.0, False))
    lines = []
    for name, offset, upright in found:
        ends = [(offset, 0), (offset, SIZE_MI)] if upright else [(0, offset), (SIZE_MI, offset)]
        road_class = "state" if "State" in name else "county" if "County" in name or "Line" in name else "local"
        lines.append((name, road_class, LineString(ends)))
    return lines


def crossings() -> list[Crossing]:
    """Every place where a road inside the county crosses a stream, from west to east and south to north."""
    found = []
    for road, _, line in roads():
        upright = line.coords[0][0] == line.coords[1][0]
        for stream, points in STREAMS.items():
            meeting = line.intersection(stream_line(points))
            for point in getattr(meeting, "geoms", [meeting]):
                inside = isinstance(point, Point) and 0.2 < point.x < SIZE_MI - 0.2 and 0.2 < point.y < SIZE_MI - 0.2
                if inside:
                    found.append(Crossing(road, stream, point.x, point.y, 0.0 if upright else 90.0))
    kept: list[Crossing] = []
    for crossing in sorted(found, key=lambda c: (round(c.x_mi, 3), round(c.y_mi, 3))):
        # A road would follow the bank rather than be bridged twice within half a mile.
        if all(math.hypot(crossing.x_mi - other.x_mi, crossing.y_mi - other.y_mi) > 0.45 for other in kept):
            kept.append(crossing)
    return kept
