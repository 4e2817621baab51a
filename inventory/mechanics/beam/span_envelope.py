"""Envelope of many vehicles on one simple span at once: the exact positions of ``moving``, all in a few array sums.

With an axle at the section x and another r ft ahead of it (behind: r below 0), the axles from x on give right = sum P
max(0, L - x - r), those before it left = sum P max(0, x + r), and of every vehicle, direction, spacing and axle at the
section the largest counts:

    M(x) = (x right + (L - x) left) / L        V(x) = (right - left) / L, left dropped where a vehicle's relief is.

The largest moment anywhere is tried under every axle at the place where it and the resultant of each group of
neighbours stand equally far from midspan; an axle that enters or leaves only bends the curve upwards there, so no other
place can be the top. Uniform loads and lane loads as in ``moving``. Source: mechanics; range: spans above 0 to 200 ft.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from typing import NamedTuple

import numpy as np

from inventory.mechanics.errors import OutsideValidity, require_range
from inventory.mechanics.vehicle import Vehicle

from .moving import MOST_SPAN_FT, SOURCE, trains


@dataclass(frozen=True, kw_only=True)
class SpanEnvelope:
    """Rows are vehicles in the order asked for, columns stations; lb-ft and lb per lane, no dynamic allowance.

    ``shears_lb`` lift the part left of the section; the other sign stands at the mirrored station. ``largest_lbft`` and
    ``largest_at_ft``: the largest moment anywhere on the span, and where.
    """

    span_ft: float
    stations_ft: np.ndarray
    moments_lbft: np.ndarray
    shears_lb: np.ndarray
    largest_lbft: np.ndarray
    largest_at_ft: np.ndarray


class _Stands(NamedTuple):
    """Every vehicle, arrangement and axle that may stand at a section; padded with axles of no weight."""

    ahead_ft: np.ndarray  # stand, axle: distance ahead of the axle at the section
    weights_lb: np.ndarray
    resultants_ft: np.ndarray  # stand, group: resultant of a group of neighbours ahead of that axle; nan where none
    groups_lb: np.ndarray
    vehicle: np.ndarray  # stand: row of the vehicle
    first: np.ndarray  # vehicle: its first stand


def span_envelope(
    *, vehicles: tuple[Vehicle, ...], span_ft: float, stations_ft: tuple[float, ...] | np.ndarray
) -> SpanEnvelope:
    """Largest moment and shear of each vehicle at each station, and its largest moment; see the module.

    Range: at least one vehicle and one station, stations from 0 to the span. Raises ``OutsideValidity``.
    """
    require_range(name="span", value=span_ft, above=0, most=MOST_SPAN_FT, unit="ft", source=SOURCE)
    x = np.asarray(stations_ft, dtype=float)
    if not vehicles or not x.size or not bool(((x >= 0.0) & (x <= span_ft)).all()):
        valid = f"one vehicle and more; stations 0 to {span_ft:g} ft"
        raise OutsideValidity(name="envelope", value=f"{len(vehicles)} vehicles", valid=valid, source=SOURCE)
    stands = _stands(vehicles)
    right, left = _sides(stands, span_ft, np.broadcast_to(x, (len(stands.vehicle), x.size)))
    keep = np.array([0.0 if vehicle.relieving_axles_dropped else 1.0 for vehicle in vehicles])[stands.vehicle]
    moments = np.maximum.reduceat(x * right + (span_ft - x) * left, stands.first) / span_ft
    shears = np.maximum.reduceat(right - keep[:, None] * left, stands.first) / span_ft
    largest, at = _largest(stands, vehicles, span_ft)
    lanes = _Lanes.of(vehicles)
    return SpanEnvelope(
        span_ft=span_ft,
        stations_ft=x,
        moments_lbft=np.maximum(moments + lanes.together * x * (span_ft - x) / 2.0, lanes.moment(x, span_ft)),
        shears_lb=np.maximum(shears + lanes.together * (span_ft - x) ** 2 / (2.0 * span_ft), lanes.shear(x, span_ft)),
        **_or_lane(largest, at, lanes, span_ft),
    )


def _or_lane(largest: np.ndarray, at: np.ndarray, lanes: _Lanes, span: float) -> dict[str, np.ndarray]:
    lane = lanes.moment(np.array([span / 2.0]), span)[:, 0]
    return {"largest_lbft": np.maximum(largest, lane), "largest_at_ft": np.where(lane > largest, span / 2.0, at)}


class _Lanes(NamedTuple):
    """Of each vehicle, one column: lb/ft with the axles; lb/ft, lb with moment and lb with shear instead of them."""

    together: np.ndarray
    uniform: np.ndarray
    for_moment: np.ndarray
    for_shear: np.ndarray

    @classmethod
    def of(cls, vehicles: tuple[Vehicle, ...]) -> _Lanes:
        rows = []
        for vehicle in vehicles:
            lane = vehicle.lane
            loads = (0.0, 0.0, 0.0) if lane is None else (lane.uniform_klf, lane.moment_kip, lane.shear_kip)
            rows.append((vehicle.together_plf, *(1000.0 * load for load in loads)))
        return cls(*np.array(rows).T[:, :, None])

    def moment(self, x: np.ndarray, span: float) -> np.ndarray:
        area = x * (span - x)
        return self.uniform * area / 2.0 + self.for_moment * area / span

    def shear(self, x: np.ndarray, span: float) -> np.ndarray:
        rest = span - x
        return self.uniform * rest**2 / (2.0 * span) + self.for_shear * rest / span


def _stands(vehicles: tuple[Vehicle, ...]) -> _Stands:
    sets = [trains(vehicle) for vehicle in vehicles]
    axles = max(len(train) for found in sets for train in found)
    count = sum(len(train) for found in sets for train in found)
    ahead, weights = np.zeros((count, axles)), np.zeros((count, axles))
    owner, groups, row = np.zeros(count, dtype=int), [], 0
    for number, found in enumerate(sets):
        for train in found:
            size, (offsets, loads) = len(train), zip(*train, strict=True)
            for pivot in range(size):
                ahead[row, :size] = offsets
                ahead[row, :size] -= offsets[pivot]
                weights[row, :size] = loads
                owner[row] = number
                groups.append(_groups(offsets, loads, pivot))
                row += 1
    most = max(len(found) for found in groups)
    padded = np.full((count, most, 2), np.nan)
    for number, found in enumerate(groups):
        padded[number, : len(found)] = found
    first = np.searchsorted(owner, np.arange(len(vehicles)))
    return _Stands(ahead, weights, padded[..., 0], padded[..., 1], owner, first)


def _groups(offsets, loads, pivot: int) -> list[tuple[float, float]]:
    """(resultant ahead of the axle ``pivot``, weight) of every group of neighbours that holds it."""
    sums = list(accumulate(loads, initial=0.0))
    firsts = list(accumulate((load * place for load, place in zip(loads, offsets, strict=True)), initial=0.0))
    found = []
    for start in range(pivot + 1):
        for stop in range(pivot + 1, len(loads) + 1):
            weight = sums[stop] - sums[start]
            found.append(((firsts[stop] - firsts[start]) / weight - offsets[pivot], weight))
    return found


def _sides(stands: _Stands, span: float, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(right, left) of the module's formula for every stand (rows) at its own stations x (columns)."""
    on = stands.ahead_ft >= 0.0
    start = np.where(on, span - stands.ahead_ft, stands.ahead_ft)
    reach = start[:, :, None] + np.where(on, -1.0, 1.0)[:, :, None] * x[:, None, :]
    np.maximum(reach, 0.0, out=reach)
    right, left = (np.where(side, stands.weights_lb, 0.0)[:, None, :] @ reach for side in (on, ~on))
    return right[:, 0], left[:, 0]


def _largest(stands: _Stands, vehicles: tuple[Vehicle, ...], span: float) -> tuple[np.ndarray, np.ndarray]:
    """The largest moment of each vehicle's axles (and the uniform load with them), and its station."""
    plf = np.array([vehicle.together_plf for vehicle in vehicles])[stands.vehicle][:, None]
    weight = stands.groups_lb
    x = (weight * (span - stands.resultants_ft) + plf * span**2 / 2.0) / (2.0 * weight + plf * span)
    x = np.where((x > 0.0) & (x < span), x, span / 2.0)
    right, left = _sides(stands, span, x)
    moments = (x * right + (span - x) * left) / span + plf * x * (span - x) / 2.0
    best = moments.argmax(axis=1)
    rows = np.arange(len(best))
    tops, places = moments[rows, best], x[rows, best]
    largest = np.maximum.reduceat(tops, stands.first)
    ends = np.append(stands.first[1:], len(tops))
    at = [places[low + tops[low:high].argmax()] for low, high in zip(stands.first, ends, strict=True)]
    return largest, np.array(at)
