"""Shares from the plate: what one foot of deck or one web carries with the vehicle moved across the roadway.

Every place between the curbs (12 in apart, both ends taken), one lane loaded and more, times the presence factor of
the count; along the span every standing of the vehicle that comes near its largest moment at the station. The share
is the largest moment of the member over the largest moment of ONE wheel line of the same patches, so share times
lane effect is never less than what the plate gives the member there. Wheels stand as bare tire prints, which spreads
less than at mid-depth. Mark ``model``. Source: plate theory; placing of vehicles AASHTO Standard Specifications 3.7
(memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from inventory.mechanics.plate import Roadway, WheelLines, standings
from inventory.mechanics.vehicle import Vehicle

from .lever import reduction

FOOT_IN = 12.0
NEAR_THE_LARGEST = 0.7
"""Standings whose lane moment is less than this part of the largest are not tried: their share would have to be half
as large again."""


@dataclass(frozen=True, kw_only=True)
class PlateShare:
    """Wheel lines on the member, with the lanes, presence factor, place (in from the near curb) and station of it."""

    wheel_lines: float
    lanes: int
    presence_factor: float
    from_curb_in: float
    station_in: float


@lru_cache(maxsize=6)
def wheel_lines_on(roadway: Roadway) -> WheelLines:
    """The solved wheel lines of a roadway, kept for the next vehicle, method or trial on the same deck."""
    return WheelLines(roadway)


@lru_cache(maxsize=2048)
def _placed(roadway: Roadway, vehicle: Vehicle, lanes: int, station_in: float, edges_in: tuple[float, ...]):
    """Member moments over the largest line moment: (members, places), for one count of lanes, before presence."""
    lines = wheel_lines_on(roadway)
    ordered = standings(vehicle=vehicle, span_in=roadway.deck.span_in, station_in=station_in)
    near = [axles for moment, axles in ordered if moment >= NEAR_THE_LARGEST * ordered[0][0]]
    largest = max(lines.line_moment_lbin(axles=axles, x_in=station_in) for axles in near)
    found = None
    for axles in near:
        if edges_in:
            single = lines.strip_moments_lbin(axles=axles, x_in=station_in, edges_in=edges_in)
        else:
            single = lines.moments_along_lbin_per_in(axles=axles, x_in=station_in) * FOOT_IN
        whole = lines.whole_vehicles(single, lanes) / largest
        if not edges_in:
            whole = whole.max(axis=0, keepdims=True)
        found = whole if found is None else np.maximum(found, whole)
    if edges_in and roadway.is_alike_from_both_sides:
        found = np.concatenate([found, found[::-1]], axis=1)  # the places seen from the other curb
    return found


@lru_cache(maxsize=2048)
def _largest(
    roadway: Roadway,
    vehicle: Vehicle,
    lanes: int,
    presence: tuple[tuple[int, float], ...] | None,
    stations_in: tuple[float, ...],
    edges_in: tuple[float, ...],
    members: tuple[int, ...],
) -> PlateShare:
    best = None
    for station in stations_in:
        for count in range(1, min(lanes, roadway.most_lanes) + 1):
            shares = _placed(roadway, vehicle, count, station, edges_in)[list(members)]
            factor = reduction(count, None if presence is None else dict(presence))
            value = float(shares.max()) * factor
            if best is None or value > best.wheel_lines * (1.0 + 1e-9):
                places = wheel_lines_on(roadway).places(count)
                # The first of equal places, so that mirror places do not take turns by rounding.
                first = np.argmax(shares.max(axis=0) >= shares.max() * (1.0 - 1e-9))
                place = places[int(first) % len(places)]
                from_curb = place.first_wheel_in - roadway.near_curb_in
                best = PlateShare(
                    wheel_lines=value, lanes=count, presence_factor=factor, from_curb_in=from_curb, station_in=station
                )
    return best


def foot_share(
    *,
    roadway: Roadway,
    vehicle: Vehicle,
    lanes: int,
    presence: Mapping[int, float] | None = None,
    stations_in: tuple[float, ...] = (),
) -> PlateShare:
    """Largest M_x of the deck, over one foot, in wheel lines; at midspan unless other stations are named.

    ``lanes`` loaded at most, as many of them as the curbs leave room for; ``presence`` by loaded lanes, None for the
    reduction of the Standard Specifications 3.12.
    """
    stations = stations_in or (roadway.deck.span_in / 2.0,)
    return _largest(roadway, vehicle, lanes, _hashable(presence), stations, (), (0,))


def member_share(
    *,
    roadway: Roadway,
    vehicle: Vehicle,
    lanes: int,
    edges_in: tuple[float, ...],
    members: tuple[int, ...],
    presence: Mapping[int, float] | None = None,
    stations_in: tuple[float, ...] = (),
) -> PlateShare:
    """Largest moment of any of the ``members`` (places among the strips between ``edges_in``), in wheel lines."""
    stations = stations_in or (roadway.deck.span_in / 2.0,)
    return _largest(roadway, vehicle, lanes, _hashable(presence), stations, edges_in, members)


def _hashable(presence: Mapping[int, float] | None) -> tuple[tuple[int, float], ...] | None:
    return None if presence is None else tuple(sorted(presence.items()))
