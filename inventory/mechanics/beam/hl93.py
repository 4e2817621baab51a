"""HL-93 on one simple span: the vehicle and the lane at the same section, then the largest."""

from __future__ import annotations

from functools import lru_cache

from inventory.mechanics.vehicle import find_vehicle

from .combinations import HL93_LANE_PLF
from .moving import Effect, Train, _check, _moment_with_axle_at, moment_at, shear_at, trains

_VEHICLES = (("HL93-TRUCK", "truck and lane"), ("HL93-TANDEM", "tandem and lane"))


def hl93_moment_at(*, span_ft: float, station_ft: float) -> Effect:
    """M(x) = larger of truck and tandem at x, + 0.64 x (L - x)/2; lb-ft per lane, no dynamic allowance on wood.

    Range: spans above 0 to 200 ft. Source: AASHTO LRFD 3.6.1.2 and 3.6.1.3 (memory).
    """
    lane = HL93_LANE_PLF * station_ft * (span_ft - station_ft) / 2.0
    found = [
        Effect(
            value=moment_at(vehicle=find_vehicle(key), span_ft=span_ft, station_ft=station_ft).value + lane,
            station_ft=station_ft,
            load=name,
        )
        for key, name in _VEHICLES
    ]
    return max(found, key=lambda effect: effect.value)


def hl93_shear_at(*, span_ft: float, station_ft: float) -> Effect:
    """V(x) = larger of truck and tandem at x, + 0.64 (L - x)2/(2 L), the lane beyond the section only; lb per lane."""
    _check(span_ft, station_ft)
    lane = HL93_LANE_PLF * (span_ft - station_ft) ** 2 / (2.0 * span_ft)
    found = [
        Effect(
            value=shear_at(vehicle=find_vehicle(key), span_ft=span_ft, station_ft=station_ft).value + lane,
            station_ft=station_ft,
            load=name,
        )
        for key, name in _VEHICLES
    ]
    return max(found, key=lambda effect: effect.value)


def _stations(train: Train, index: int, span: float) -> list[float]:
    """Stations of axle ``index`` to try: the top for every group of axles on the span, and where axles come and go.

    A group of weight W with its resultant d beyond the axle: M + lane = quadratic in x with its top at
    x = (W (L - d) + w L2/2) / (2 W + w L).
    """
    here, found = train[index][0], []
    for first in range(index + 1):
        for last in range(index, len(train)):
            group = train[first : last + 1]
            weight = sum(w for _offset, w in group)
            beyond = sum(w * offset for offset, w in group) / weight - here
            found.append(
                (weight * (span - beyond) + HL93_LANE_PLF * span**2 / 2.0) / (2.0 * weight + HL93_LANE_PLF * span)
            )
    for offset, _weight in train:
        found += [here - offset, span + here - offset]
    return [x for x in found if 0.0 < x < span]


@lru_cache(maxsize=4096)
def hl93_absolute_moment(*, span_ft: float) -> Effect:
    """The largest moment of HL-93 anywhere on a simple span, lb-ft per lane, with its section.

    The moment of the vehicle at a section peaks with an axle there, so the sum of vehicle and lane is tried under every
    axle, at the top of its quadratic. It need not be where the vehicle alone is worst. Range: spans above 0 to 200 ft.
    Source: mechanics; AASHTO LRFD 3.6.1.2 (memory).
    """
    _check(span_ft)
    best = Effect(value=0.0, station_ft=span_ft / 2.0, load="none")
    for key, name in _VEHICLES:
        for train in trains(find_vehicle(key)):
            for index in range(len(train)):
                for x in _stations(train, index, span_ft):
                    value = _moment_with_axle_at(train, index, span_ft, x) + HL93_LANE_PLF * x * (span_ft - x) / 2.0
                    if value > best.value * (1.0 + 1e-12):
                        best = Effect(value=value, station_ft=x, load=name)
    return best
