"""Where lanes do most to a pile cap: sections and piles, and the effect there of a lane whose reaction is 1 lb.

Each lane puts two wheel lines of half its reaction on the cap, 6 ft apart, 2 ft or more inside the curbs; vehicles side
by side stand 4 ft or more apart and are moved freely (exact, no stepping); what relieves is left out. Two models are
rated and the worse counts (model; common practice takes either): the cap as simple beams between its piles, and as one
beam continuous over them. More than six piles are taken as six; overhangs beyond the outer piles carry wheels too.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from math import inf

from inventory.mechanics.beam import ContinuousBeam, InfluenceLine, moment_line, reaction_line, shear_line
from inventory.mechanics.beam.critical import Arrangement, largest
from inventory.mechanics.beam.influence import Piece
from inventory.mechanics.errors import OutsideValidity, require_range
from inventory.mechanics.tables.wheel_lines import NEXT_LANE_WHEEL_FT, WHEEL_TO_CURB_FT
from inventory.mechanics.vehicle.trains import GAUGE_FT

from .cases import CapCase, SpanCase

SOURCE = "pile cap"
MOST_BAYS = 5
STATIONS_IN_A_BAY = 16
MOST_LANES = 2
SIMPLE, THROUGH, OVERHANG = "simple beam between piles", "continuous over the piles", "overhang beyond the outer pile"

_WHEELS = ((0.0, 0.5), (GAUGE_FT, 0.5))
_LANES = {
    1: (Arrangement(front=_WHEELS),),
    2: (Arrangement(front=_WHEELS, rear=_WHEELS, least_gap_ft=NEXT_LANE_WHEEL_FT, most_gap_ft=inf),),
}


@dataclass(frozen=True, kw_only=True)
class CapFrame:
    """Lengths along the cap from its left end, ft: the cap, its piles, and the zone in which wheels may stand.

    The pile row and the roadway are centred on the deck (model); ``shear_ft`` from a pile's centre to the section of
    shear; ``lanes`` one or two.
    """

    length_ft: float
    piles_ft: tuple[float, ...]
    spacing_ft: float
    zone_ft: tuple[float, float]
    shear_ft: float
    lanes: int

    @property
    def bays(self) -> int:
        return len(self.piles_ft) - 1


@dataclass(frozen=True, kw_only=True)
class Spot:
    """A section or pile: effect per lb of lane reaction by number of lanes, and per lb/ft of dead load (not below 0).

    ``stations_ft`` are all the places along the cap that work alike.
    """

    state: str
    stations_ft: tuple[float, ...]
    live: dict[int, float]
    dead_per_plf: float
    model: str


def cap_frame(*, cap: CapCase, spans: tuple[SpanCase, ...]) -> CapFrame:
    """Lay the cap out. ``OutsideValidity`` for fewer than two piles, or where their number is not known."""
    count = cap.pile_count
    if count is None:
        raise OutsideValidity(
            name=f"number of piles under {cap.label}",
            value="not on record",
            valid="2 to 100; count them",
            source=SOURCE,
        )
    require_range(name=f"number of piles under {cap.label}", value=count, least=2, most=100, source=SOURCE)
    spacing = require_range(
        name=f"pile spacing of {cap.label}", value=cap.pile_spacing_ft, above=0, most=40, unit="ft", source=SOURCE
    )
    seat = require_range(
        name=f"bearing of {cap.label} on a pile", value=cap.pile_bearing_in, above=0, most=120, unit="in", source=SOURCE
    )
    if seat >= spacing * 12.0:
        raise OutsideValidity(
            name=f"bearing of {cap.label} on a pile",
            value=seat,
            valid=f"below the pile spacing of {spacing * 12.0:g} in",
            unit="in",
            source=SOURCE,
        )
    roadway, deck = max(span.roadway_width_ft for span in spans), max(span.deck_width_ft for span in spans)
    row = (count - 1) * spacing
    length = max(deck, row, roadway)
    first, curb = (length - row) / 2.0, (length - roadway) / 2.0
    low = curb + WHEEL_TO_CURB_FT
    high = max(length - low, low + GAUGE_FT)  # a roadway too narrow for a truck still carries one
    return CapFrame(
        length_ft=length,
        piles_ft=tuple(first + index * spacing for index in range(count)),
        spacing_ft=spacing,
        zone_ft=(low, high),
        shear_ft=min(seat / 24.0 + cap.depth_in / 12.0, spacing / 4.0),
        lanes=min(MOST_LANES, max(span.lanes_loaded for span in spans)),
    )


@lru_cache(maxsize=256)
def cap_spots(*, frame: CapFrame, edges_ft: tuple[float, ...]) -> tuple[Spot, ...]:
    """Every section and pile worth rating; ``edges_ft`` are places where the section of the cap changes."""
    lines: list[tuple[str, str, tuple[float, ...], InfluenceLine]] = []
    for (bay, part), stations in _sections(frame, edges_ft).items():
        station = part * frame.spacing_ft
        if 0.0 < part < 1.0:
            lines.append(("bending", SIMPLE, stations, _simple(frame, moment_line, bay, station)))
        through = _through(frame, moment_line, bay, station)
        lines += [("bending", THROUGH, stations, through), ("bending", THROUGH, stations, through.turned(sign=-1))]
    for (bay, part), stations in _grouped(frame, (frame.shear_ft / frame.spacing_ft,), mirrored=True).items():
        for model, make in ((SIMPLE, _simple), (THROUGH, _through)):
            line = make(frame, shear_line, bay, part * frame.spacing_ft)
            lines += [("shear", model, stations, line), ("shear", model, stations, line.turned(sign=-1))]
    lines += _pile_lines(frame) + _overhang_lines(frame)
    return _spots(frame, lines)


def _spots(frame: CapFrame, lines) -> tuple[Spot, ...]:
    adding = [_clipped(line.adding(sign=1), *frame.zone_ft) for _state, _model, _stations, line in lines]
    effects = {lanes: largest(lines=adding, loads=_LANES[lanes]) for lanes in range(1, frame.lanes + 1)}
    return tuple(
        Spot(
            state=state,
            stations_ft=stations,
            live={lanes: found[row].value for lanes, found in effects.items()},
            dead_per_plf=max(0.0, line.area()),
            model=model,
        )
        for row, (state, model, stations, line) in enumerate(lines)
    )


def _sections(frame: CapFrame, edges_ft: Iterable[float]) -> dict[tuple[int, float], tuple[float, ...]]:
    even = tuple(index / STATIONS_IN_A_BAY for index in range(STATIONS_IN_A_BAY + 1))
    return _grouped(frame, even, places_ft=edges_ft)


def _grouped(
    frame: CapFrame, parts: Iterable[float], places_ft: Iterable[float] = (), mirrored: bool = False
) -> dict[tuple[int, float], tuple[float, ...]]:
    """Sections that work alike by symmetry: (bay from the nearer end, part of the bay) to their stations."""
    wanted = [(bay, part) for bay in range(frame.bays) for part in parts]
    if mirrored:
        wanted += [(bay, 1.0 - part) for bay, part in wanted]
    for place in places_ft:
        along = (place - frame.piles_ft[0]) / frame.spacing_ft
        if 0.0 < along < frame.bays:
            wanted.append((int(along), along - int(along)))
    found: dict[tuple[int, float], list[float]] = {}
    for bay, part in wanted:
        station = frame.piles_ft[bay] + part * frame.spacing_ft
        other = frame.bays - 1 - bay
        key = (bay, part) if bay <= other else (other, 1.0 - part)
        key = (min(key[0], _middle(frame)), round(key[1], 9))
        found.setdefault(key, []).append(station)
    return {key: tuple(sorted(set(stations))) for key, stations in found.items()}


def _middle(frame: CapFrame) -> int:
    """The innermost bay that is worked out: those farther in are like it."""
    return (min(frame.bays, MOST_BAYS) - 1) // 2


def _simple(frame: CapFrame, make, bay: int, station: float) -> InfluenceLine:
    line = make(beam=ContinuousBeam(spans_ft=(frame.spacing_ft,)), span_no=1, station_ft=station)
    return _moved(line, frame.piles_ft[bay])


def _through(frame: CapFrame, make, bay: int, station: float) -> InfluenceLine:
    beam = ContinuousBeam(spans_ft=(frame.spacing_ft,) * min(frame.bays, MOST_BAYS))
    return _with_overhangs(frame, make(beam=beam, span_no=bay + 1, station_ft=station))


def _pile_lines(frame: CapFrame) -> list:
    """Reaction of each kind of pile: simple beams on both sides of it, and the continuous beam."""
    lines = []
    last = len(frame.piles_ft) - 1
    beam = ContinuousBeam(spans_ft=(frame.spacing_ft,) * min(frame.bays, MOST_BAYS))
    for pile in range((min(frame.bays, MOST_BAYS) + 2) // 2):
        alike = {pile, last - pile}
        if pile == (min(frame.bays, MOST_BAYS) + 2) // 2 - 1:
            alike |= set(range(pile, last - pile + 1))
        stations = tuple(sorted(frame.piles_ft[index] for index in alike))
        line = _with_overhangs(frame, reaction_line(beam=beam, support_no=pile + 1))
        lines.append(("bearing", THROUGH, stations, line))
        lines.append(("bearing", SIMPLE, stations, _both_sides(frame, pile)))
    return lines


def _both_sides(frame: CapFrame, pile: int) -> InfluenceLine:
    """1 over the pile, falling to 0 at its neighbours; over an overhang beyond it the lever."""
    at, slope = frame.piles_ft[pile], 1.0 / frame.spacing_ft
    left = frame.piles_ft[pile - 1] if pile else 0.0
    pieces = [Piece(left, at, (0.0, slope, 0.0, 0.0) if pile else (1.0 + at * slope, -slope, 0.0, 0.0))]
    pieces.append(Piece(at, at + frame.spacing_ft, (1.0, -slope, 0.0, 0.0)))
    return InfluenceLine(effect="reaction", pieces=tuple(piece for piece in pieces if piece.end_ft > piece.start_ft))


def _overhang_lines(frame: CapFrame) -> list:
    """Hogging at the outer pile and shear at its section, for loads beyond it."""
    over, away = frame.piles_ft[0], frame.shear_ft
    if over <= 0.0:
        return []
    ends = (frame.piles_ft[0], frame.piles_ft[-1])
    bend = InfluenceLine(effect="moment", pieces=(Piece(0.0, over, (over, -1.0, 0.0, 0.0)),))
    lines = [("bending", OVERHANG, ends, bend)]
    if over > away:
        cut = InfluenceLine(effect="shear", pieces=(Piece(0.0, over - away, (1.0, 0.0, 0.0, 0.0)),))
        lines.append(("shear", OVERHANG, (ends[0] - away, ends[1] + away), cut))
    return lines


def _moved(line: InfluenceLine, by_ft: float) -> InfluenceLine:
    pieces = tuple(Piece(p.start_ft + by_ft, p.end_ft + by_ft, p.cubic) for p in line.pieces)
    return InfluenceLine(effect=line.effect, pieces=pieces)


def _with_overhangs(frame: CapFrame, line: InfluenceLine) -> InfluenceLine:
    """Put the line on the cap; beyond its end supports it runs on straight, as an unloaded end does."""
    start, over = frame.piles_ft[0], frame.piles_ft[0]
    if over <= 0.0:
        return _moved(line, start)
    first, last = line.pieces[0], line.pieces[-1]
    length = last.end_ft - last.start_ft
    _c0, c1, c2, c3 = last.cubic
    value, slope = last.at(length), c1 + length * (2.0 * c2 + 3.0 * c3 * length)
    pieces = [
        Piece(first.start_ft - over, first.start_ft, (first.cubic[0] - over * first.cubic[1], first.cubic[1], 0, 0))
    ]
    pieces += line.pieces
    if frame.bays <= MOST_BAYS:
        pieces.append(Piece(last.end_ft, last.end_ft + over, (value, slope, 0.0, 0.0)))
    return _moved(InfluenceLine(effect=line.effect, pieces=tuple(pieces)), start)


def _clipped(line: InfluenceLine, low: float, high: float) -> InfluenceLine:
    """The part of the line within the zone of wheels."""
    kept = []
    for piece in line.pieces:
        start, end = max(piece.start_ft, low), min(piece.end_ft, high)
        if end > start:
            kept.append(piece.from_here(start - piece.start_ft, end - piece.start_ft))
    return InfluenceLine(effect=line.effect, pieces=tuple(kept))
