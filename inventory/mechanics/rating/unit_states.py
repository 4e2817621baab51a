"""Limit states of a stringer that runs through over piers, in one of its spans, for one vehicle.

Bending both ways is searched along the span: sagging with the strength of a simple span of that length, hogging with
its own. Dead load counts where it adds to what is sought; what it relieves is not counted (safe side: LRFD would leave
0.90 of DC and 0.65 of DW, memory). Shear at both ends by 13.6.5: live at min(3 d, L/4), dead at d from the support.
Bearing at both supports. RF as ``limit_states``. Sources: mechanics; Manual for Bridge Evaluation 6A.4.2.1, 6B.4.1
(memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from inventory.mechanics.beam import (
    ContinuousBeam,
    LaneLive,
    continuous_dead_reactions_lb,
    continuous_dead_support_moments_lbft,
    kept_reaction_parts,
    live_moments_along,
    live_shears_along,
)
from inventory.mechanics.distribution import wood_shear_lb
from inventory.mechanics.vehicle import Vehicle

from .elements import Element, Shares
from .levels import Level
from .limit_states import level_result
from .results import LimitStateResult
from .sections import Piece, shear_station_ft
from .unit_lines import UnitLine

STEPS = 24
"""Even stations along a span before the search closes in."""
CLOSING_STEPS = 6
CLOSING_ROUNDS = 3
WORTH_CLOSING = 1.005
"""Every low place between two stations within this of the least is searched further."""
_NOTHING = 1e-6


@dataclass(frozen=True, kw_only=True)
class SpanPart:
    """A member in one span of its line: strengths both ways (psi), section, shares and loads of one vehicle."""

    element: Element
    hogging_psi: float
    line: UnitLine
    span_no: int
    live: LaneLive
    shares: Shares

    @property
    def beam(self) -> ContinuousBeam:
        return self.line.beam

    @cached_property
    def dead_ends(self) -> tuple[tuple[float, float, float], ...]:
        """For DC and DW: uniform load of this span lb/ft, moments over its left and right support lb-ft."""
        found = []
        for loads in (self.line.dc_plf, self.line.dw_plf):
            moments = continuous_dead_support_moments_lbft(beam=self.beam, loads_plf=loads)
            found.append((loads[self.span_no - 1], moments[self.span_no - 1], moments[self.span_no]))
        return tuple(found)

    def dead_moments(self, x: float, sign: int) -> tuple[float, float]:
        """(DC, DW) moments at a station, lb-ft, as far as they add to sagging (+1) or hogging (-1).

        w x (L - x)/2 + M_left (1 - x/L) + M_right x/L.
        """
        span = self.element.span_ft
        moments = (w * x * (span - x) / 2.0 + m + (n - m) * x / span for w, m, n in self.dead_ends)
        return tuple(max(0.0, sign * moment) for moment in moments)

    def dead_shears(self, x: float, sign: int) -> tuple[float, float]:
        """(DC, DW) shears at a station, lb, as far as they add to lifting the left part (+1) or the other way (-1).

        w (L/2 - x) + (M_right - M_left)/L.
        """
        span = self.element.span_ft
        shears = (w * (span / 2.0 - x) + (n - m) / span for w, m, n in self.dead_ends)
        return tuple(max(0.0, sign * shear) for shear in shears)


@dataclass(frozen=True, kw_only=True)
class _Demand:
    """One candidate, as in ``limit_states``."""

    station_ft: float
    capacity: float
    dead: tuple[float, float]
    lane: float
    live: float

    def factor(self, level: Level) -> float:
        return level.factor(
            capacity=self.capacity, dc_effect=self.dead[0], dw_effect=self.dead[1], live_effect=self.live
        )


def span_part_results(*, part: SpanPart, vehicle: Vehicle, levels: tuple[Level, ...]) -> tuple[LimitStateResult, ...]:
    """Sagging (``bending``), ``hogging``, shear and bearing of the member in this span at every level."""
    found = []
    shears, bearings = _shears(part), _bearings(part) if part.element.bearing is not None else []
    for level in levels:
        for state, sign in (("bending", 1), ("hogging", -1)):
            worst = _least_moment(part, sign, level)
            if worst is not None:
                found.append(_result(part, vehicle, state, level, worst, "lb-ft", part.shares.bending))
        for state, demands, share in (
            ("shear", shears, part.shares.shear),
            ("bearing", bearings, part.shares.over_bearing),
        ):
            if demands:
                worst = min(demands, key=lambda demand: demand.factor(level))
                found.append(_result(part, vehicle, state, level, worst, "lb", share))
    return tuple(found)


def _result(part, vehicle, state, level, demand: _Demand, unit: str, share) -> LimitStateResult:
    return level_result(
        element=part.element,
        vehicle=vehicle,
        state=state,
        level=level,
        capacity=demand.capacity,
        dead=demand.dead,
        lane=demand.lane,
        live=demand.live,
        station_ft=demand.station_ft,
        unit=unit,
        share=share,
    )


def _moments(part: SpanPart, piece: Piece, sign: int, stations: tuple[float, ...]) -> list[_Demand]:
    """Candidates at stations of a stretch of one section; those without live load are left out."""
    element = part.element
    stress = element.bending.stress_psi if sign > 0 else part.hogging_psi
    capacity = stress * piece.section.modulus_in3 * element.scale * part.shares.capacity_ratio / 12.0
    lanes = live_moments_along(beam=part.beam, live=part.live, span_no=part.span_no, stations_ft=stations)
    found = []
    for x, both in zip(stations, lanes, strict=True):
        lane = both[0] if sign > 0 else both[1]
        live = lane * part.shares.bending.wheel_lines / 2.0
        if live > _NOTHING:
            dead = part.dead_moments(x, sign)
            found.append(_Demand(station_ft=x, capacity=capacity, dead=dead, lane=lane, live=live))
    return found


def _least_moment(part: SpanPart, sign: int, level: Level) -> _Demand | None:
    found = [demand for piece in part.element.pieces for demand in _searched(part, piece, sign, level)]
    return min(found, key=lambda demand: demand.factor(level), default=None)


def _searched(part: SpanPart, piece: Piece, sign: int, level: Level) -> list[_Demand]:
    """Even stations of a stretch, then closing in on every low place between them.

    Hogging falls off from a pier on both sides, so a least place over the pier itself is final.
    """
    stations = _even(piece.from_ft, piece.to_ft, part.element.span_ft)
    demands = _moments(part, piece, sign, stations)
    if not demands:
        return []
    least = min(demand.factor(level) for demand in demands)
    found = list(demands)
    for at, demand in enumerate(demands):
        beside = demands[max(0, at - 1) : at + 2]
        low = demand.factor(level) <= min(other.factor(level) for other in beside)
        over_pier = sign < 0 and demand.station_ft in (0.0, part.element.span_ft)
        if low and not over_pier and demand.factor(level) <= max(least * WORTH_CLOSING, least + _NOTHING):
            found += _closed_in(part, piece, sign, level, beside[0].station_ft, beside[-1].station_ft)
    return found


def _even(low: float, high: float, span: float) -> tuple[float, ...]:
    if high <= low:
        return (low,)
    steps = max(2, round(STEPS * (high - low) / span))
    inside = [low + (high - low) * step / steps for step in range(1, steps)]
    return (low, *inside, high)


def _closed_in(part, piece: Piece, sign: int, level: Level, left: float, right: float) -> list[_Demand]:
    """Rounds of even stations about the least one; none where the stretch has no length."""
    best: list[_Demand] = []
    for _round in range(CLOSING_ROUNDS):
        if right - left <= _NOTHING:
            break
        stations = tuple(left + (right - left) * step / CLOSING_STEPS for step in range(CLOSING_STEPS)) + (right,)
        demands = _moments(part, piece, sign, stations)
        if not demands:
            break
        best = [min(demands, key=lambda demand: demand.factor(level))]
        at = stations.index(best[0].station_ft)
        left, right = stations[max(0, at - 1)], stations[min(len(stations) - 1, at + 1)]
    return best


def _shears(part: SpanPart) -> list[_Demand]:
    """At both ends and both ways: least strength up to x_v with the demand there; beyond it each loss at its edge."""
    element, span = part.element, part.element.span_ft
    critical = shear_station_ft(depth_in=element.depth_in, span_ft=span)
    found = []
    for is_left in (True, False):
        near = []
        for piece in element.pieces:
            capacity = element.shear.stress_psi * piece.section.shear_in2 * element.scale * piece.shear_ratio
            edge = piece.from_ft if is_left else span - piece.to_ft
            if edge <= critical:
                near.append(capacity)
            elif piece.lost:
                found += _shear_at(part, capacity, edge, is_left, critical)
        found += _shear_at(part, min(near), critical, is_left, critical)
    return found


def _shear_at(part: SpanPart, capacity: float, edge: float, is_left: bool, critical: float) -> list[_Demand]:
    """Demands ``edge`` ft from one end; dead shear not nearer than the depth, nor beyond midspan for the end itself."""
    span, depth_ft = part.element.span_ft, part.element.depth_in / 12.0
    edge = min(edge, span * (1.0 - 1e-9))
    dead_edge = min(depth_ft, span / 2.0) if edge <= critical else max(edge, min(depth_ft, span / 2.0))
    at, dead_at = (edge, dead_edge) if is_left else (span - edge, span - dead_edge)
    (lanes,) = live_shears_along(beam=part.beam, live=part.live, span_no=part.span_no, stations_ft=(at,))
    found = []
    for lane, sign in zip(lanes, (1, -1), strict=True):
        wheel = lane / 2.0
        live = wheel * part.shares.shear.wheel_lines
        if part.shares.wood_shear:
            live = wood_shear_lb(wheel_line_shear_lb=wheel, bending_wheel_lines=part.shares.shear.wheel_lines)
        if live > _NOTHING:
            found.append(
                _Demand(
                    station_ft=at,
                    capacity=capacity * part.shares.capacity_ratio,
                    dead=part.dead_shears(dead_at, sign),
                    lane=lane,
                    live=live,
                )
            )
    return found


def _bearings(part: SpanPart) -> list[_Demand]:
    """Both supports: a load over the bearing by the deck as a simple beam, the rest by the bending share."""
    element, shares = part.element, part.shares
    found = []
    for support, station in ((part.span_no, 0.0), (part.span_no + 1, element.span_ft)):
        loads = [
            (
                one.over_lb * shares.over_bearing.wheel_lines / 2.0 + one.rest_lb * shares.rest.wheel_lines / 2.0,
                one.over_lb + one.rest_lb,
            )
            for one in kept_reaction_parts(beam=part.beam, live=part.live, support_no=support)
        ]
        live, lane = max(loads)
        dead = tuple(
            max(0.0, continuous_dead_reactions_lb(beam=part.beam, loads_plf=loads)[support - 1])
            for loads in (part.line.dc_plf, part.line.dw_plf)
        )
        capacity = element.bearing.stress_psi * element.bearing_area_in2 * shares.capacity_ratio
        found.append(_Demand(station_ft=station, capacity=capacity, dead=dead, lane=lane, live=live))
    return found
