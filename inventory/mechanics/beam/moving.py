"""Largest moment, shear and reaction of a vehicle on a simple span, per lane (both wheel lines), lb and ft.

Moment at a section: the influence line is a triangle with its peak at the section, so the moment as a function of the
vehicle's position is linear between axle crossings and can only peak with an axle at the section. Shear at a section:
it only drops when an axle passes the section, so it peaks with an axle just on the span side of it. Absolute moment:
for the axles then on the span the moment under one of them is largest where that axle and their resultant stand
equally far from midspan. A variable spacing acts on a straight piece of the influence line on either side of the
section, so its least or greatest value governs. A uniform load standing with the axles adds w x (L-x)/2. Both
directions of travel are taken. Source: mechanics; AASHTO Standard Specifications 3.7 and 3.11 for trucks and lane
loads (memory). Range: spans above 0 to 200 ft.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from inventory.mechanics.errors import require_range
from inventory.mechanics.vehicle import Vehicle

SOURCE = "simple-span statics"
MOST_SPAN_FT = 200.0

Train = tuple[tuple[float, float], ...]
"""Axles in order along the span: (offset ft from the first, weight lb)."""


@dataclass(frozen=True, kw_only=True)
class Effect:
    """A largest effect: its value (lb-ft or lb), the section, and the load that gives it (truck or lane)."""

    value: float
    station_ft: float
    load: str


@lru_cache(maxsize=512)
def trains(vehicle: Vehicle) -> tuple[Train, ...]:
    """Every arrangement to be tried: both directions, least and greatest value of a variable spacing."""
    found: list[Train] = []
    own, instead = (vehicle.axles_kip, vehicle.spacings_ft), (vehicle.instead_kip, vehicle.instead_spacings_ft)
    for (axles, spacings), pick in product((own, instead) if vehicle.instead_kip else (own,), (0, 1)):
        gaps = [gap[pick] for gap in spacings]
        weights = [axle * 1000.0 for axle in axles]
        for order_gaps, order_weights in ((gaps, weights), (gaps[::-1], weights[::-1])):
            offset, train = 0.0, [(0.0, order_weights[0])]
            for gap, weight in zip(order_gaps, order_weights[1:], strict=True):
                offset += gap
                train.append((offset, weight))
            if tuple(train) not in found:
                found.append(tuple(train))
    return tuple(found)


def _check(span_ft: float, station_ft: float = 0.0) -> None:
    require_range(name="span", value=span_ft, above=0, most=MOST_SPAN_FT, unit="ft", source=SOURCE)
    require_range(name="station", value=station_ft, least=0, most=span_ft, unit="ft", source=SOURCE)


def _moment_with_axle_at(train: Train, index: int, span: float, x: float) -> float:
    total, at = 0.0, train[index][0]
    for offset, weight in train:
        place = x + (offset - at)  # the axle itself stands at x exactly, rounding or not
        if 0.0 < place < span:
            total += weight * (place * (span - x) if place <= x else x * (span - place)) / span
    return total


def _shear_with_axle_at(train: Train, index: int, span: float, x: float, drop: bool) -> float:
    total, at = 0.0, train[index][0]
    for offset, weight in train:
        place = x + (offset - at)  # the axle itself stands at x exactly, rounding or not
        if x <= place <= span:
            total += weight * (span - place) / span
        elif 0.0 < place < x and not drop:
            total -= weight * place / span
    return total


@lru_cache(maxsize=65536)
def moment_at(*, vehicle: Vehicle, span_ft: float, station_ft: float) -> Effect:
    """Largest moment at a section, lb-ft per lane: truck, or lane load w x (L-x)/2 + P x (L-x)/L if larger."""
    _check(span_ft, station_ft)
    truck = max(
        _moment_with_axle_at(train, index, span_ft, station_ft)
        for train in trains(vehicle)
        for index in range(len(train))
    )
    truck += vehicle.together_plf * station_ft * (span_ft - station_ft) / 2.0
    best = Effect(value=truck, station_ft=station_ft, load="truck")
    if vehicle.lane is not None:
        area = station_ft * (span_ft - station_ft)
        uniform, point = vehicle.lane.uniform_klf * 1000.0, vehicle.lane.moment_kip * 1000.0
        lane = uniform * area / 2.0 + point * area / span_ft
        if lane > truck:
            best = Effect(value=lane, station_ft=station_ft, load="lane")
    return best


@lru_cache(maxsize=65536)
def shear_at(*, vehicle: Vehicle, span_ft: float, station_ft: float, part: str = "larger") -> Effect:
    """Largest shear at a section, lb per lane; ``part`` is "truck", "lane" or "larger".

    The lane load stands only between the section and the far support: w (L-x)2/(2L) + P (L-x)/L.
    """
    _check(span_ft, station_ft)
    truck = max(
        _shear_with_axle_at(train, index, span_ft, station_ft, vehicle.relieving_axles_dropped)
        for train in trains(vehicle)
        for index in range(len(train))
    )
    truck += vehicle.together_plf * (span_ft - station_ft) ** 2 / (2.0 * span_ft)
    best = Effect(value=truck, station_ft=station_ft, load="truck")
    if vehicle.lane is not None and part != "truck":
        rest = span_ft - station_ft
        lane = vehicle.lane.uniform_klf * 1000.0 * rest**2 / (2.0 * span_ft)
        lane += vehicle.lane.shear_kip * 1000.0 * rest / span_ft
        if lane > truck or part == "lane":
            best = Effect(value=lane, station_ft=station_ft, load="lane")
    return best


def _group_stations(train: Train, index: int, span: float, plf: float) -> list[float]:
    """Stations of axle ``index`` to try: the top for every group of axles on the span, and where axles come and go.

    A group of weight W whose resultant stands d beyond the axle, with a uniform load w: the moment is quadratic in x
    with its top at x = (W (L - d) + w L2/2) / (2 W + w L).
    """
    here, found = train[index][0], []
    for first in range(index + 1):
        for last in range(index, len(train)):
            group = train[first : last + 1]
            weight = sum(w for _offset, w in group)
            resultant = sum(w * offset for offset, w in group) / weight - here
            found.append((weight * (span - resultant) + plf * span**2 / 2.0) / (2.0 * weight + plf * span))
    for offset, _weight in train:
        found += [here - offset, span + here - offset]
    return [x for x in found if 0.0 < x < span]


@lru_cache(maxsize=8192)
def absolute_moment(*, vehicle: Vehicle, span_ft: float) -> Effect:
    """The largest moment anywhere on the span, lb-ft per lane, with the section where it occurs."""
    _check(span_ft)
    best = Effect(value=0.0, station_ft=span_ft / 2.0, load="truck")
    for train in trains(vehicle):
        for index in range(len(train)):
            for x in _group_stations(train, index, span_ft, vehicle.together_plf):
                value = _moment_with_axle_at(train, index, span_ft, x)
                value += vehicle.together_plf * x * (span_ft - x) / 2.0
                if value > best.value * (1.0 + 1e-12):
                    best = Effect(value=value, station_ft=x, load="truck")
    middle = moment_at(vehicle=vehicle, span_ft=span_ft, station_ft=span_ft / 2.0)
    return middle if middle.value > best.value else best


def reactions_lb(*, vehicle: Vehicle, span_ft: float, first_axle_ft: float, reverse: bool = False) -> tuple:
    """(near, far) reactions of the axles standing on the span, lb per lane; the first axle at ``first_axle_ft``.

    Variable spacing at its least value; axles off the span carry nothing here.
    """
    _check(span_ft)
    train = trains(vehicle)[0]
    if reverse:
        length = train[-1][0]
        train = tuple((length - offset, weight) for offset, weight in reversed(train))
    near = far = 0.0
    for offset, weight in train:
        place = first_axle_ft + offset
        if 0.0 <= place <= span_ft:
            near += weight * (span_ft - place) / span_ft
            far += weight * place / span_ft
    return near, far


@lru_cache(maxsize=8192)
def end_reaction_parts(*, vehicle: Vehicle, span_ft: float) -> tuple[tuple[float, float], ...]:
    """Candidates for the largest end reaction, lb per lane: (load standing over the bearing, reaction of the rest).

    The two are kept apart because a load over the bearing spreads sideways by the deck alone. With one axle after
    another over the support, both directions; for a lane load its shear load stands over the bearing.
    """
    _check(span_ft)
    parts = []
    for train in trains(vehicle):
        for index, (_offset, weight) in enumerate(train):
            whole = _shear_with_axle_at(train, index, span_ft, 0.0, True)
            parts.append((weight, whole - weight + vehicle.together_plf * span_ft / 2.0))
    if vehicle.lane is not None:
        uniform = vehicle.lane.uniform_klf * 1000.0 * span_ft / 2.0
        parts.append((vehicle.lane.shear_kip * 1000.0, uniform))
    return tuple(sorted(set(parts), reverse=True))
