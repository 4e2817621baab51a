"""Bending, shear and bearing of one member for one vehicle, at every level of its method.

RF = (ratio x C - dc DC - dw DW) / (live L), the numbers as ``levels`` gives them. Dead and live moment are taken at the
same section, which is searched along the member; shear by AASHTO Standard Specifications 13.6.5 (LRFD 8.7 and
4.6.2.2.2a place it alike). Sources: Manual for Bridge Evaluation 6A.4.2.1, 6B.4.1 (memory; the form of the equations
checked).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from scipy.optimize import minimize_scalar

from inventory.mechanics.beam import (
    absolute_moment,
    dead_moment_lbft,
    dead_reaction_lb,
    dead_shear_lb,
    end_reaction_parts,
    moment_at,
    shear_at,
)
from inventory.mechanics.distribution import Share, wood_shear_lb
from inventory.mechanics.vehicle import Vehicle

from .elements import Element, Shares
from .levels import Level
from .results import LimitStateResult
from .sections import Piece, shear_station_ft

SEARCH_STEPS = 48
NEAR_LEAST = 0.001
"""Axles make a dip each: the stretches between stations that come this near the least one are searched as well."""
CLOSE_ENOUGH = {"maxiter": 25, "xatol": 1e-3}
"""A least place is flat: a thousandth of a foot beside it the factor differs in the ninth figure."""


@dataclass(frozen=True, kw_only=True)
class _Demand:
    """One candidate: station ft, strength, DC and DW effects, effect of one lane, live effect on the member."""

    station_ft: float
    capacity: float
    dc: float
    dw: float
    lane: float
    live: float

    def factor(self, level: Level) -> float:
        return level.factor(capacity=self.capacity, dc_effect=self.dc, dw_effect=self.dw, live_effect=self.live)


def limit_state_results(*, element: Element, vehicle: Vehicle) -> tuple[LimitStateResult, ...]:
    """Every limit state of the member at every level of its method; bearing only where its length is known."""
    levels = element.levels(vehicle)
    if not levels:
        return ()
    shares = element.shares(vehicle)
    found = [*_bending(element, vehicle, shares, levels), *_shear(element, vehicle, shares, levels)]
    if element.bearing is not None:
        found += _bearing(element, vehicle, shares, levels)
    return tuple(found)


def level_result(
    *,
    element,
    vehicle: Vehicle,
    state: str,
    level: Level,
    capacity: float,
    dead: tuple[float, float],
    lane: float,
    live: float,
    station_ft: float,
    unit: str,
    share: Share,
) -> LimitStateResult:
    """A result from its parts: ``capacity`` before the level's ratio, ``dead`` DC and DW, effects unfactored.

    ``element`` gives its ``label``. A factor below zero is given as zero.
    """
    raw = level.factor(capacity=capacity, dc_effect=dead[0], dw_effect=dead[1], live_effect=live)
    factor = max(0.0, raw)
    return LimitStateResult(
        vehicle=vehicle.id,
        gross_tons=vehicle.gross_tons,
        member=element.label,
        limit_state=state,
        level=level.name,
        station_ft=station_ft,
        unit=unit,
        capacity=capacity * level.ratio,
        dead_effect=dead[0] + dead[1],
        lane_effect=lane,
        live_effect=live,
        distribution_factor=share.wheel_lines,
        distribution_rule=share.rule,
        distribution_source=f"{share.source} ({share.mark})",
        rating_factor=factor,
        tons=factor * vehicle.gross_tons,
        method=level.method,
        wearing_effect=dead[1],
        dc_factor=level.dc,
        dw_factor=level.dw,
        live_factor=level.live,
        resistance_factor=level.ratio,
    )


def _result(element, vehicle, state, level: Level, demand: _Demand, unit: str, share: Share) -> LimitStateResult:
    return level_result(
        element=element,
        vehicle=vehicle,
        state=state,
        level=level,
        capacity=demand.capacity,
        dead=(demand.dc, demand.dw),
        lane=demand.lane,
        live=demand.live,
        station_ft=demand.station_ft,
        unit=unit,
        share=share,
    )


@dataclass(frozen=True, kw_only=True)
class _Stretch:
    """Everything the least bending factor of a piece hangs on, so that like pieces are searched once."""

    span_ft: float
    stress_psi: float
    scale: float
    dc_plf: float
    dw_plf: float
    wheel_lines: float
    piece: Piece
    vehicle: Vehicle

    def demand_at(self, x: float) -> _Demand:
        lane = moment_at(vehicle=self.vehicle, span_ft=self.span_ft, station_ft=x).value
        return _Demand(
            station_ft=x,
            capacity=self.stress_psi * self.piece.section.modulus_in3 * self.scale / 12.0,
            dc=dead_moment_lbft(load_plf=self.dc_plf, span_ft=self.span_ft, station_ft=x),
            dw=dead_moment_lbft(load_plf=self.dw_plf, span_ft=self.span_ft, station_ft=x),
            lane=lane,
            live=lane * self.wheel_lines / 2.0,
        )


def _bending(element: Element, vehicle: Vehicle, shares: Shares, levels) -> list[LimitStateResult]:
    found, strength = [], element.bending.stress_psi
    for level in levels:
        best = None
        for piece in element.pieces:
            stretch = _Stretch(
                span_ft=element.span_ft,
                stress_psi=strength,
                scale=element.scale * shares.capacity_ratio,
                dc_plf=element.dc_plf,
                dw_plf=element.dw_plf,
                wheel_lines=shares.bending.wheel_lines,
                piece=piece,
                vehicle=vehicle,
            )
            demand = _least_in_piece(stretch, level)
            if demand is not None and (best is None or demand.factor(level) < best.factor(level)):
                best = demand
        found.append(_result(element, vehicle, "bending", level, best, "lb-ft", shares.bending))
    return found


@lru_cache(maxsize=8192)
def _least_in_piece(stretch: _Stretch, level: Level) -> _Demand | None:
    """Least factor on a stretch of one section: even stations, the critical sections, then bounded searches.

    A stretch as long as the span is searched to its middle: trains run both ways and the dead load is even.
    """
    span, low, high, demand_at = stretch.span_ft, stretch.piece.from_ft, stretch.piece.to_ft, stretch.demand_at
    if low <= 0.0 and high >= span:
        high = span / 2.0
    peak = absolute_moment(vehicle=stretch.vehicle, span_ft=span).station_ft
    steps = max(2, round(SEARCH_STEPS * (high - low) / span))
    tried = {low, high} | {low + (high - low) * index / steps for index in range(steps + 1)}
    tried |= {x for x in (peak, span - peak, span / 2.0) if low <= x <= high}
    stations = sorted(x for x in tried if 1e-6 < x < span - 1e-6)
    if not stations:
        return None

    demands = [demand_at(x) for x in stations]
    factors = [demand.factor(level) for demand in demands]
    least = min(factors)
    best, near = demands[factors.index(least)], least + NEAR_LEAST * abs(least)
    for at in range(len(stations) - 1):
        left, right = stations[at], stations[at + 1]
        if right - left > 1e-6 and min(factors[at], factors[at + 1]) <= near:
            found = minimize_scalar(
                lambda x: demand_at(float(x)).factor(level),
                bounds=(left, right),
                method="bounded",
                options=CLOSE_ENOUGH,
            )
            finer = demand_at(float(found.x))
            if finer.factor(level) < best.factor(level) - 1e-9:
                best = finer
    return best


def _shear_demand(element: Element, vehicle: Vehicle, shares: Shares, capacity: float, x: float) -> _Demand:
    """Live shear of 13.6.5 at x, dead shear not nearer than the depth of the member."""
    depth_ft = element.depth_in / 12.0
    lane = shear_at(vehicle=vehicle, span_ft=element.span_ft, station_ft=x).value
    wheel = lane / 2.0
    if shares.wood_shear:
        live = wood_shear_lb(wheel_line_shear_lb=wheel, bending_wheel_lines=shares.shear.wheel_lines)
    else:
        live = wheel * shares.shear.wheel_lines
    critical = shear_station_ft(depth_in=element.depth_in, span_ft=element.span_ft)
    at = min(depth_ft if x <= critical else max(x, depth_ft), element.span_ft / 2.0)
    dc, dw = (
        dead_shear_lb(load_plf=load, span_ft=element.span_ft, station_ft=at)
        for load in (element.dc_plf, element.dw_plf)
    )
    return _Demand(station_ft=x, capacity=capacity * shares.capacity_ratio, dc=dc, dw=dw, lane=lane, live=live)


def _shear(element: Element, vehicle: Vehicle, shares: Shares, levels) -> list[LimitStateResult]:
    """Least capacity up to x_v from either support with the demand at x_v; beyond it each loss at its near edge."""
    span = element.span_ft
    critical = shear_station_ft(depth_in=element.depth_in, span_ft=span)
    near, demands = [], []
    for piece in element.pieces:
        capacity = element.shear.stress_psi * piece.section.shear_in2 * element.scale * piece.shear_ratio
        for edge in (piece.from_ft, span - piece.to_ft):
            if edge <= critical:
                near.append(capacity)
            elif piece.lost:
                demands.append(_shear_demand(element, vehicle, shares, capacity, min(edge, span * (1 - 1e-9))))
    demands.append(_shear_demand(element, vehicle, shares, min(near), critical))
    found = []
    for level in levels:
        worst = min((d for d in demands if d.live > 0), key=lambda demand: demand.factor(level))
        found.append(_result(element, vehicle, "shear", level, worst, "lb", shares.shear))
    return found


def _bearing(element: Element, vehicle: Vehicle, shares: Shares, levels) -> list[LimitStateResult]:
    """End reaction: a load over the bearing by the deck as a simple beam, the rest by the bending share."""
    parts = [
        (over * shares.over_bearing.wheel_lines / 2.0 + rest * shares.rest.wheel_lines / 2.0, over + rest)
        for over, rest in end_reaction_parts(vehicle=vehicle, span_ft=element.span_ft)
    ]
    live, lane = max(parts)
    demand = _Demand(
        station_ft=0.0,
        capacity=element.bearing.stress_psi * element.bearing_area_in2 * shares.capacity_ratio,
        dc=dead_reaction_lb(load_plf=element.dc_plf, span_ft=element.span_ft),
        dw=dead_reaction_lb(load_plf=element.dw_plf, span_ft=element.span_ft),
        lane=lane,
        live=live,
    )
    return [_result(element, vehicle, "bearing", level, demand, "lb", shares.over_bearing) for level in levels]


def dead_load_alone(element: Element) -> tuple[float, float, float] | None:
    """Dead load alone, C_D = 0.90: (allowable, dead) moment lb-ft where their ratio is least, and the station."""
    best = None
    for piece in element.pieces:
        for x in {piece.from_ft, piece.to_ft, min(max(element.span_ft / 2.0, piece.from_ft), piece.to_ft)}:
            dead = dead_moment_lbft(load_plf=element.dead_plf, span_ft=element.span_ft, station_ft=x)
            if dead <= 0:
                continue
            allowed = element.bending_dead.stress_psi * piece.section.modulus_in3 * element.scale / 12.0
            if best is None or allowed / dead < best[0] / best[1]:
                best = (allowed, dead, x)
    return best
