"""HL-93 on one simple span: truck or tandem and the lane at the same section, then the largest.

The sum need not peak where the vehicle alone is worst. No dynamic allowance on wood. Range: spans above 0 to 200 ft.
Source: AASHTO LRFD 3.6.1.2 and 3.6.1.3 (memory).
"""

from __future__ import annotations

from inventory.mechanics.vehicle import find_vehicle

from .moving import Effect, absolute_moment, moment_at, shear_at


def hl93_moment_at(*, span_ft: float, station_ft: float) -> Effect:
    """M(x) = larger of truck and tandem at x, + 0.64 x (L - x)/2; lb-ft per lane."""
    return moment_at(vehicle=find_vehicle("HL93"), span_ft=span_ft, station_ft=station_ft)


def hl93_shear_at(*, span_ft: float, station_ft: float) -> Effect:
    """V(x) = larger of truck and tandem at x, + 0.64 (L - x)2/(2 L), the lane beyond the section only; lb per lane."""
    return shear_at(vehicle=find_vehicle("HL93"), span_ft=span_ft, station_ft=station_ft)


def hl93_absolute_moment(*, span_ft: float) -> Effect:
    """The largest moment anywhere on a simple span, lb-ft per lane, with its section."""
    return absolute_moment(vehicle=find_vehicle("HL93"), span_ft=span_ft)
