"""Wheel patches on a deck: where they stand, how they spread, lanes side by side, a vehicle along the span.

A patch is a rectangle of even pressure. Spreading at 45 degrees through the surfacing and to mid-depth adds
2 x surfacing + t to each side (common practice; EM 7700-8, memory). Tire 20 in across, 10 in along (LRFD 3.6.1.2.5,
memory). Wheel lines 6 ft apart; wheels of neighbouring lanes 4 ft apart at least; first wheel 2 ft from the curb
(AASHTO Standard Specifications 3.7, memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from inventory.mechanics.beam.moving import trains
from inventory.mechanics.errors import OutsideValidity, require_range
from inventory.mechanics.vehicle import Vehicle
from inventory.mechanics.vehicle.trains import GAUGE_FT

SOURCE = "wheel patch on a deck"
TIRE_LENGTH_IN = 10.0
TIRE_WIDTH_IN = 20.0
GAUGE_IN = 12.0 * GAUGE_FT
LANE_GAP_IN = 48.0
CURB_IN = 24.0


@dataclass(frozen=True, kw_only=True)
class Patch:
    """Load (lb) spread evenly over ``length_in`` along and ``width_in`` across the span, centre at x, y (in)."""

    x_in: float
    y_in: float
    load_lb: float
    length_in: float = TIRE_LENGTH_IN
    width_in: float = TIRE_WIDTH_IN

    def __post_init__(self) -> None:
        require_range(name="patch x", value=self.x_in, least=-2400, most=4800, unit="in", source=SOURCE)
        require_range(name="patch y", value=self.y_in, least=0, most=2400, unit="in", source=SOURCE)
        require_range(name="patch load", value=self.load_lb, above=0, most=1e6, unit="lb", source=SOURCE)
        require_range(name="patch length", value=self.length_in, least=1, most=2400, unit="in", source=SOURCE)
        require_range(name="patch width", value=self.width_in, least=1, most=2400, unit="in", source=SOURCE)


@dataclass(frozen=True, kw_only=True)
class Axle:
    """One axle of a vehicle standing on the span: station from the first bearing (in), load of one wheel (lb)."""

    x_in: float
    wheel_lb: float


def spread_patch(*, patch: Patch, surfacing_in: float, thickness_in: float) -> Patch:
    """The patch at mid-depth: each side grows by 2 x surfacing + t (45 degrees); surfacing 0 to 24, t 0 to 60 in."""
    require_range(name="surfacing", value=surfacing_in, least=0, most=24, unit="in", source=SOURCE)
    require_range(name="deck thickness", value=thickness_in, least=0, most=60, unit="in", source=SOURCE)
    grown = 2.0 * surfacing_in + thickness_in
    return replace(patch, length_in=patch.length_in + grown, width_in=patch.width_in + grown)


def standings(*, vehicle: Vehicle, span_in: float, station_in: float | None = None) -> list[tuple[float, tuple]]:
    """Every place of the vehicle with an axle over the station (midspan), either way round: (moment, axles).

    The moment of one wheel line at the station, lb-in, largest first. The largest moment of a train at a section of
    a simple span always has an axle there (influence line, mechanics). Axles off the span are left out. Span above 0
    to 2400 in, station inside it.
    """
    require_range(name="span", value=span_in, above=0, most=2400, unit="in", source=SOURCE)
    at = span_in / 2.0 if station_in is None else station_in
    require_range(name="station", value=at, above=0, most=span_in, unit="in", source=SOURCE)
    found: dict[tuple, float] = {}
    for train in trains(vehicle):
        for offset, _weight in train:
            axles = tuple(
                Axle(x_in=at + 12.0 * (place - offset), wheel_lb=weight / 2.0)
                for place, weight in train
                if 0.0 < at + 12.0 * (place - offset) < span_in
            )
            found[axles] = sum(
                a.wheel_lb * min(a.x_in * (span_in - at), at * (span_in - a.x_in)) / span_in for a in axles
            )
    return sorted(((moment, axles) for axles, moment in found.items()), key=lambda pair: -pair[0])


def stand_vehicle(*, vehicle: Vehicle, span_in: float) -> tuple[Axle, ...]:
    """Axles on the span with the vehicle where it bends midspan most; see ``standings``."""
    ordered = standings(vehicle=vehicle, span_in=span_in)
    return next(axles for moment, axles in ordered if moment * (1.0 + 1e-12) >= ordered[0][0])


def lane_patches(
    *,
    axles: tuple[Axle, ...],
    first_wheel_in: float,
    lanes: int = 1,
    tire: tuple[float, float] = (TIRE_LENGTH_IN, TIRE_WIDTH_IN),
    surfacing_in: float = 0.0,
    thickness_in: float = 0.0,
) -> tuple[Patch, ...]:
    """Patches of the same axles in 1 to 6 lanes side by side, first wheel line at ``first_wheel_in`` from y = 0.

    ``tire``: length along and width across the span, in. Spread through ``surfacing_in`` and to mid-depth of
    ``thickness_in``; both nought for the tire print itself. No multiple presence factor is applied.
    """
    require_range(name="loaded lanes", value=lanes, least=1, most=6, source=SOURCE)
    pitch = GAUGE_IN + LANE_GAP_IN
    lines = [first_wheel_in + lane * pitch + side for lane in range(lanes) for side in (0.0, GAUGE_IN)]
    return tuple(
        spread_patch(
            patch=Patch(x_in=a.x_in, y_in=y, load_lb=a.wheel_lb, length_in=tire[0], width_in=tire[1]),
            surfacing_in=surfacing_in,
            thickness_in=thickness_in,
        )
        for y in lines
        for a in axles
    )


def first_wheel_range_in(*, near_curb_in: float, far_curb_in: float, lanes: int) -> tuple[float, float]:
    """Least and greatest place of the first wheel line with every wheel 24 in or more from the curbs, in.

    Raises ``OutsideValidity`` where the roadway is too narrow for so many lanes.
    """
    require_range(name="near curb", value=near_curb_in, least=0, unit="in", source=SOURCE)
    require_range(name="loaded lanes", value=lanes, least=1, most=6, source=SOURCE)
    require_range(name="far curb", value=far_curb_in, most=2400, unit="in", source=SOURCE)
    needed = lanes * GAUGE_IN + (lanes - 1) * LANE_GAP_IN + 2.0 * CURB_IN
    if not far_curb_in - near_curb_in >= needed - 1e-9:
        raise OutsideValidity(
            name="roadway between curbs",
            value=far_curb_in - near_curb_in,
            valid=f"at least {needed:g} in for {lanes} loaded lanes",
            unit="in",
            source=SOURCE,
        )
    return near_curb_in + CURB_IN, far_curb_in - needed + CURB_IN
