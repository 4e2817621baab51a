"""Largest live load effects on a continuous stringer, at any section and over every support, per lane, lb and ft.

Signs as in ``continuous``: sagging, upward reactions and shear lifting the left part are positive. Uniform loads stand
on the parts of the influence line that add, concentrated loads at its peak, axles at their exact worst positions.
Axles off the ends of the beam carry nothing. Source: mechanics; the loads as in ``combinations``.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.errors import require_range

from .combinations import Combination, LaneLive
from .continuous import ContinuousBeam, continuous_dead_moment_lbft
from .critical import Found, largest
from .influence import InfluenceLine, moment_line, reaction_line, shear_line

SOURCE = "envelope of a continuous beam"
Spot = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Extreme:
    """A largest effect with its sign, and the loads that give it, so that it can be checked by hand.

    ``axles`` and ``points``: (place along the beam ft, lb); ``lane_parts``: (from, to) ft under ``lane_plf``.
    """

    value: float
    load: str
    axles: tuple[Spot, ...] = ()
    points: tuple[Spot, ...] = ()
    lane_parts: tuple[Spot, ...] = ()
    lane_plf: float = 0.0


@dataclass(frozen=True, kw_only=True)
class SectionExtremes:
    """A section: moments lb-ft and shears lb; sagging and ``shear_most`` are at least 0, the other two at most 0."""

    span_no: int
    station_ft: float
    sagging: Extreme
    hogging: Extreme
    shear_most: Extreme
    shear_least: Extreme


@dataclass(frozen=True, kw_only=True)
class Envelope:
    """Sections from left to right, and for each support its reaction (most, least), lb; least below 0 is uplift."""

    beam: ContinuousBeam
    live: LaneLive
    sections: tuple[SectionExtremes, ...]
    reactions: tuple[tuple[Extreme, Extreme], ...]


@dataclass(frozen=True, kw_only=True)
class _Sought:
    """One effect sought: a line turned so that more is worse; ``interior`` where the interior-only loads are asked,
    ``within`` where those that keep between the points of contraflexure are too."""

    line: InfluenceLine
    adding: InfluenceLine
    sign: int
    interior: bool
    within: bool
    hogging: bool


def _sought(beam: ContinuousBeam, line: InfluenceLine, sign: int, *, inner: bool = False, hogs: bool = False):
    """``inner``: reaction of an inner support; ``hogs``: the section hogs under a uniform load on all spans."""
    hogging = line.effect == "moment" and sign < 0
    interior = len(beam.spans_ft) > 1 and (hogging or inner)
    return _Sought(
        line=line.turned(sign=sign),
        adding=line.adding(sign=sign),
        sign=sign,
        interior=interior,
        within=interior and (inner or hogs),
        hogging=hogging,
    )


def hogs_under_uniform_load(*, beam: ContinuousBeam, span_no: int, station_ft: float) -> bool:
    """Whether a uniform load on all spans bends the section upwards (or not at all): the part over the piers."""
    ones = (1.0,) * len(beam.spans_ft)
    moment = continuous_dead_moment_lbft(beam=beam, loads_plf=ones, span_no=span_no, station_ft=station_ft)
    return moment <= 1e-9 * beam.spans_ft[span_no - 1] ** 2


def _points(beam: ContinuousBeam, combination: Combination, one: _Sought) -> tuple[tuple[Spot, ...], float]:
    """Concentrated loads at the peak, and for hogging a second at the highest peak of another span; their effect."""
    load = combination.moment_point_lb if one.line.effect == "moment" else combination.shear_point_lb
    if not load:
        return (), 0.0
    ends = beam.supports_ft
    peaks = [one.adding.peak(from_ft=low, to_ft=high) for low, high in zip(ends, ends[1:], strict=False)]
    count = 2 if combination.second_point and one.hogging else 1
    highest = sorted((peak for peak in peaks if peak[0] > 0.0), reverse=True)[:count]
    return tuple((place, load) for _height, place in highest), sum(load * height for height, _place in highest)


def _together(beam: ContinuousBeam, combination: Combination, one: _Sought, train: Found) -> Extreme:
    points, value = _points(beam, combination, one)
    value += train.value
    parts: tuple[Spot, ...] = ()
    if combination.uniform_plf:
        value += combination.uniform_plf * one.adding.area()
        parts = _parts(one.adding)
    return Extreme(
        value=one.sign * value,
        load=combination.name,
        axles=train.axles,
        points=points,
        lane_parts=parts,
        lane_plf=combination.uniform_plf,
    )


def _parts(line: InfluenceLine) -> tuple[Spot, ...]:
    """Loaded lengths, neighbours drawn together."""
    parts: list[Spot] = []
    for piece in line.pieces:
        if parts and abs(parts[-1][1] - piece.start_ft) < 1e-9:
            parts[-1] = (parts[-1][0], piece.end_ft)
        else:
            parts.append((piece.start_ft, piece.end_ft))
    return tuple(parts)


def _is_asked(combination: Combination, one: _Sought) -> bool:
    return one.within if combination.within_contraflexure else one.interior or not combination.interior_only


def _extremes(
    beam: ContinuousBeam, live: LaneLive, sought: list[_Sought], relieving_dropped: bool | None
) -> list[Extreme]:
    best = [Extreme(value=0.0, load="none") for _one in sought]
    for combination in live.combinations:
        drop = combination.relieving_dropped if relieving_dropped is None else relieving_dropped
        rows = [row for row, one in enumerate(sought) if _is_asked(combination, one)]
        lines = [sought[row].adding if drop else sought[row].line for row in rows]
        none = [Found(value=0.0)] * len(rows)
        trains = largest(lines=lines, loads=combination.trains) if combination.trains and rows else none
        for row, train in zip(rows, trains, strict=True):
            extreme = _together(beam, combination, sought[row], train)
            if abs(extreme.value) > abs(best[row].value) * (1.0 + 1e-12):
                best[row] = extreme
    return best


def _section_sought(beam: ContinuousBeam, span_no: int, station_ft: float) -> list[_Sought]:
    moment = moment_line(beam=beam, span_no=span_no, station_ft=station_ft)
    shear = shear_line(beam=beam, span_no=span_no, station_ft=station_ft)
    hogs = hogs_under_uniform_load(beam=beam, span_no=span_no, station_ft=station_ft)
    return [_sought(beam, line, sign, hogs=hogs) for line in (moment, shear) for sign in (1, -1)]


def live_at(
    *,
    beam: ContinuousBeam,
    live: LaneLive,
    span_no: int,
    station_ft: float,
    relieving_dropped: bool | None = None,
) -> SectionExtremes:
    """Largest sagging and hogging moment and shears at one section, with the loads that give them.

    ``relieving_dropped``: None leaves out axles that reduce the effect where the load says so (design trucks and
    the notional load, see ``vehicle_live``), True always (harsher), False never. Raises ``OutsideValidity`` for a
    section that does not exist. Source: AASHTO, as in ``combinations`` (memory).
    """
    sought = _section_sought(beam, span_no, station_ft)
    return SectionExtremes(
        **dict(zip(_NAMES, _extremes(beam, live, sought, relieving_dropped), strict=True)),
        span_no=span_no,
        station_ft=station_ft,
    )


_NAMES = ("sagging", "hogging", "shear_most", "shear_least")


def live_reaction(
    *, beam: ContinuousBeam, live: LaneLive, support_no: int, relieving_dropped: bool | None = None
) -> tuple[Extreme, Extreme]:
    """(largest upward, largest downward) reaction of a support, lb; as ``live_at``."""
    most, least = _extremes(beam, live, _support_sought(beam, support_no), relieving_dropped)
    return most, least


def _support_sought(beam: ContinuousBeam, support_no: int) -> list[_Sought]:
    line = reaction_line(beam=beam, support_no=support_no)
    inner = 1 < support_no <= len(beam.spans_ft)
    return [_sought(beam, line, 1, inner=inner), _sought(beam, line, -1)]  # two vehicles press, one lifts


def live_envelope(
    *,
    beam: ContinuousBeam,
    live: LaneLive,
    sections_per_span: int = 21,
    relieving_dropped: bool | None = None,
) -> Envelope:
    """All sections (evenly spaced, both ends of every span among them) and supports at once; as ``live_at``.

    Range: 2 to 201 sections in a span.
    """
    require_range(name="sections in a span", value=sections_per_span, least=2, most=201, source=SOURCE)
    last = int(sections_per_span) - 1
    places = [(index + 1, span * (step / last)) for index, span in enumerate(beam.spans_ft) for step in range(last + 1)]
    sought = [one for span_no, station in places for one in _section_sought(beam, span_no, station)]
    count = len(sought)
    for support in range(1, len(beam.spans_ft) + 2):
        sought += _support_sought(beam, support)
    found = _extremes(beam, live, sought, relieving_dropped)
    sections = tuple(
        SectionExtremes(
            **dict(zip(_NAMES, found[4 * row : 4 * row + 4], strict=True)), span_no=span_no, station_ft=station
        )
        for row, (span_no, station) in enumerate(places)
    )
    reactions = tuple((found[row], found[row + 1]) for row in range(count, len(found), 2))
    return Envelope(beam=beam, live=live, sections=sections, reactions=reactions)
