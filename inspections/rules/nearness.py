"""What lies near what: distances on the ellipsoid, groups of a day's size, an order of stops with little driving.

Distances are straight lines on the WGS 84 ellipsoid (pyproj's Geod), not road miles: a road is never shorter. The order
is nearest neighbour, then 2-opt (two stretches between stops are exchanged while that shortens the whole); both are
textbook methods of the travelling salesman problem, good but not proven shortest [common practice, no source].
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from pyproj import Geod

ELLIPSOID = Geod(ellps="WGS84")
METRES_PER_MILE = 1609.344  # international mile, exact [memory]
GAIN_MI = 1e-9  # less than the width of a hair: no gain, so that the exchange always ends
GROUP_RULE = (
    "The structure farthest from the middle of all that are left begins a group; the nearest to any of the group joins "
    "it, until the group holds a day's number or the next is too far from all of it. Then the next group begins."
)


@dataclass(frozen=True, kw_only=True)
class Place:
    """A point on the ground in degrees, WGS 84, with whatever names it."""

    key: Hashable
    lon_deg: float
    lat_deg: float


def distance_mi(one: Place, other: Place) -> float:
    """Straight line between two places, miles."""
    _az, _back, metres = ELLIPSOID.inv(one.lon_deg, one.lat_deg, other.lon_deg, other.lat_deg)
    return metres / METRES_PER_MILE


DIRECTIONS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def away_from(one: Place, other: Place) -> tuple[float, str]:
    """How far `other` lies from `one`, miles, and in which of eight directions."""
    azimuth_deg, _back, metres = ELLIPSOID.inv(one.lon_deg, one.lat_deg, other.lon_deg, other.lat_deg)
    return metres / METRES_PER_MILE, DIRECTIONS[round(azimuth_deg / 45) % 8]


def distances_mi(places: Sequence[Place]) -> list[list[float]]:
    """Every distance between the places, miles; a row at a time, which the library does many times faster."""
    count = len(places)
    lons, lats = [place.lon_deg for place in places], [place.lat_deg for place in places]
    table = [[0.0] * count for _ in range(count)]
    for i in range(count - 1):
        rest = count - i - 1
        _az, _back, metres = ELLIPSOID.inv([lons[i]] * rest, [lats[i]] * rest, lons[i + 1 :], lats[i + 1 :])
        for j, each in enumerate(metres, start=i + 1):
            table[i][j] = table[j][i] = each / METRES_PER_MILE
    return table


def visiting_order(places: Sequence[Place], *, start: Place | None = None) -> list[Hashable]:
    """Keys in an order with little driving, from `start` (a yard, not itself in the answer) or from the first place.

    The way is open: it does not come back. Equal distances are settled by the order given.
    """
    if len(places) < 2:
        return [place.key for place in places]
    stops = [start, *places] if start is not None else list(places)
    table = distances_mi(stops)
    order = _without_detours(_nearest_first(table), table)
    return [stops[index].key for index in order[1 if start is not None else 0 :]]


def length_mi(places: Sequence[Place]) -> float:
    """The straight lines from each place to the next, added, miles."""
    return sum(distance_mi(one, other) for one, other in zip(places, places[1:], strict=False))


def day_groups(places: Sequence[Place], *, size: int, most_mi: float) -> list[list[Hashable]]:
    """Groups of at most `size` near places, by GROUP_RULE; `most_mi` is the farthest the next may lie from its group.

    The same places give the same groups in whatever order they come: equal distances are settled by the key as text.
    """
    left = sorted(places, key=lambda place: str(place.key))
    rows = distances_mi(left)
    table = {(one.key, other.key): rows[i][j] for i, one in enumerate(left) for j, other in enumerate(left) if i != j}
    groups = []
    while left:
        middle = _middle(left)
        first = max(left, key=lambda place: distance_mi(place, middle))
        left.remove(first)
        group = [first]
        while left and len(group) < max(1, size):
            gaps = {place.key: min(table[place.key, each.key] for each in group) for place in left}
            nearest = min(left, key=lambda place: gaps[place.key])
            if gaps[nearest.key] > most_mi:
                break
            left.remove(nearest)
            group.append(nearest)
        groups.append([place.key for place in group])
    return groups


def offsets_mi(places: Sequence[Place]) -> dict[Hashable, tuple[float, float]]:
    """Key to miles east and north of the middle: distance and bearing from the middle are true (azimuthal equidistant),
    so a county drawn by it is to scale within a few parts in a million."""
    if not places:
        return {}
    middle, found = _middle(places), {}
    for place in places:
        bearing, _back, metres = ELLIPSOID.inv(middle.lon_deg, middle.lat_deg, place.lon_deg, place.lat_deg)
        miles = metres / METRES_PER_MILE
        found[place.key] = (miles * sin(radians(bearing)), miles * cos(radians(bearing)))
    return found


def _middle(places: Sequence[Place]) -> Place:
    """The mean of the points, longitudes counted from the first so that the 180th meridian is no wall."""
    first = places[0].lon_deg
    east = sum((place.lon_deg - first + 540.0) % 360.0 - 180.0 for place in places) / len(places)
    return Place(
        key="middle",
        lon_deg=(first + east + 540.0) % 360.0 - 180.0,
        lat_deg=sum(place.lat_deg for place in places) / len(places),
    )


def _nearest_first(table: list[list[float]]) -> list[int]:
    order, left = [0], list(range(1, len(table)))
    while left:
        nearest = min(left, key=lambda index: table[order[-1]][index])
        left.remove(nearest)
        order.append(nearest)
    return order


def _without_detours(order: list[int], table: list[list[float]]) -> list[int]:
    """2-opt on an open way whose first stop stays: turn a stretch round wherever that shortens the whole."""
    count, is_shorter = len(order), True
    while is_shorter:
        is_shorter = False
        for i in range(1, count - 1):
            for j in range(i + 1, count):
                before = table[order[i - 1]][order[i]]
                after = table[order[i - 1]][order[j]]
                if j + 1 < count:
                    before += table[order[j]][order[j + 1]]
                    after += table[order[i]][order[j + 1]]
                if after < before - GAIN_MI:
                    order[i : j + 1] = reversed(order[i : j + 1])
                    is_shorter = True
    return order
