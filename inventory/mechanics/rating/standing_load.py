"""Where the live load stands for one effect on one section, and what each part of it adds: the check by hand.

Positions come from the same exact search as the rating (``beam.envelope``, ``beam.moving``); the sum of the parts is
held against the lane effect of the result, and nothing is given where they differ. Source: influence lines, statics.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.beam import (
    ContinuousBeam,
    InfluenceLine,
    live_at,
    live_reaction,
    moment_line,
    reaction_line,
    shear_line,
    vehicle_live,
)
from inventory.mechanics.beam.moving import trains
from inventory.mechanics.plain import Plain
from inventory.mechanics.vehicle import Vehicle

AGREES_RATIO = 1e-6


@dataclass(frozen=True, kw_only=True)
class LoadLine(Plain):
    """One axle or concentrated load: place along the beam ft, weight lb, ordinate y of the influence line, effect."""

    place_ft: float
    load_lb: float
    y: float
    value: float


@dataclass(frozen=True, kw_only=True)
class LanePart(Plain):
    """A uniform load from one place to another, ft; area under the influence line there, and its effect."""

    from_ft: float
    to_ft: float
    load_plf: float
    area: float
    value: float


@dataclass(frozen=True, kw_only=True)
class StandingLoad(Plain):
    """One lane of live load at its worst: supports and section ft along the beam, its parts and their sum.

    ``effect`` is moment (ordinates in ft), shear or reaction (plain ordinates).
    """

    effect: str
    load: str
    supports_ft: tuple[float, ...]
    section_ft: float
    axles: tuple[LoadLine, ...]
    points: tuple[LoadLine, ...]
    lane: tuple[LanePart, ...]
    value: float


def standing_load(
    *,
    beam: ContinuousBeam,
    span_no: int,
    station_ft: float,
    vehicle: Vehicle,
    limit_state: str,
    value: float,
) -> StandingLoad | None:
    """The load whose sum is ``value`` (lb-ft or lb); None where no position found here gives it."""
    found = _candidates(beam, span_no, station_ft, vehicle, limit_state)
    return next((one for one in found if abs(abs(one.value) - abs(value)) <= AGREES_RATIO * max(1.0, abs(value))), None)


def _candidates(beam: ContinuousBeam, span_no: int, station_ft: float, vehicle: Vehicle, limit_state: str):
    """Positions in the order of likelihood; with relieving axles left out and with all that stand on the beam."""
    live = vehicle_live(vehicle=vehicle)
    start = beam.supports_ft[span_no - 1]
    if limit_state in ("bearing", "interface"):
        for support in (span_no, span_no + 1):
            line = reaction_line(beam=beam, support_no=support)
            place = beam.supports_ft[support - 1]
            for extreme in live_reaction(beam=beam, live=live, support_no=support):
                yield _standing(beam, "reaction", line, place, extreme)
            if len(beam.spans_ft) == 1:
                yield from _over_the_bearing(beam, line, vehicle)
    for dropped in (None, False):
        at = live_at(beam=beam, live=live, span_no=span_no, station_ft=station_ft, relieving_dropped=dropped)
        if limit_state in ("bending", "hogging"):
            line = moment_line(beam=beam, span_no=span_no, station_ft=station_ft)
            chosen, effect = (at.sagging, at.hogging), "moment"
        else:
            line = shear_line(beam=beam, span_no=span_no, station_ft=station_ft)
            chosen, effect = (at.shear_most, at.shear_least), "shear"
        for extreme in chosen:
            yield _standing(beam, effect, line, start + station_ft, extreme)


def _standing(beam: ContinuousBeam, effect: str, line: InfluenceLine, section_ft: float, extreme) -> StandingLoad:
    axles = tuple(_load_line(line, place, load, extreme.value) for place, load in extreme.axles)
    points = tuple(_load_line(line, place, load, extreme.value) for place, load in extreme.points)
    lane = tuple(_lane_part(line, low, high, extreme.lane_plf) for low, high in extreme.lane_parts)
    return StandingLoad(
        effect=effect,
        load=extreme.load,
        supports_ft=beam.supports_ft,
        section_ft=section_ft,
        axles=axles,
        points=points,
        lane=lane,
        value=sum(part.value for part in (*axles, *points, *lane)),
    )


def _load_line(line: InfluenceLine, place_ft: float, load_lb: float, sought: float) -> LoadLine:
    """At a jump of the line the side that adds to what is sought counts: an axle stands just on that side."""
    ordinate = line.ordinate(place_ft=place_ft)
    for piece in line.pieces:
        for edge, t in ((piece.start_ft, 0.0), (piece.end_ft, piece.end_ft - piece.start_ft)):
            if abs(edge - place_ft) < 1e-9 and (piece.at(t) - ordinate) * sought > 0:
                ordinate = piece.at(t)
    return LoadLine(place_ft=place_ft, load_lb=load_lb, y=ordinate, value=load_lb * ordinate)


def _lane_part(line: InfluenceLine, low: float, high: float, load_plf: float) -> LanePart:
    area = 0.0
    for piece in line.pieces:
        start, end = max(low, piece.start_ft), min(high, piece.end_ft)
        if end > start:
            kept = piece.from_here(start - piece.start_ft, end - piece.start_ft)
            length = end - start
            area += sum(c * length ** (power + 1) / (power + 1) for power, c in enumerate(kept.cubic))
    return LanePart(from_ft=low, to_ft=high, load_plf=load_plf, area=area, value=load_plf * area)


def _over_the_bearing(beam: ContinuousBeam, line: InfluenceLine, vehicle: Vehicle):
    """One axle after another over the near bearing, the others behind it on the span; then the lane load alone."""
    length = beam.length_ft
    together = (_lane_part(line, 0.0, length, vehicle.together_plf),) if vehicle.together_plf else ()
    for train in trains(vehicle):
        for offset, _weight in train:
            axles = tuple(
                _load_line(line, max(0.0, place - offset), weight, 1.0)
                for place, weight in train
                if -1e-9 <= place - offset <= length
            )
            yield _over(beam, "truck and lane" if together else "truck", axles, (), together)
    if vehicle.lane is not None:
        point = _load_line(line, 0.0, vehicle.lane.shear_kip * 1000.0, 1.0)
        uniform = _lane_part(line, 0.0, length, vehicle.lane.uniform_klf * 1000.0)
        yield _over(beam, "lane", (), (point,), (uniform,))


def _over(beam: ContinuousBeam, load: str, axles, points, lane) -> StandingLoad:
    return StandingLoad(
        effect="reaction",
        load=load,
        supports_ft=beam.supports_ft,
        section_ft=0.0,
        axles=axles,
        points=points,
        lane=lane,
        value=sum(part.value for part in (*axles, *points, *lane)),
    )
