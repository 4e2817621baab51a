"""Live moments and shears at many sections of one span of a continuous stringer at once, kept for the next asker.

A rating asks for the same vehicle on the same stringer again and again: for other members, levels and methods. Values
are per lane, lb-ft and lb, as sizes of each direction; the loads that give them come from ``live_at``. Source: as in
``envelope``.
"""

from __future__ import annotations

from functools import lru_cache

from .bearing import ReactionPart, reaction_parts
from .combinations import LaneLive
from .continuous import ContinuousBeam
from .envelope import _extremes, _sought, hogs_under_uniform_load, live_reaction
from .influence import moment_line, shear_line

Pair = tuple[float, float]


@lru_cache(maxsize=4096)
def live_moments_along(
    *, beam: ContinuousBeam, live: LaneLive, span_no: int, stations_ft: tuple[float, ...]
) -> tuple[Pair, ...]:
    """(sagging, hogging) at each station, both at least 0; raises ``OutsideValidity`` off the span."""
    sought = [one for x in stations_ft for one in _both_ways(beam, span_no, x)]
    return _pairs(_extremes(beam, live, sought, None))


@lru_cache(maxsize=2048)
def _both_ways(beam: ContinuousBeam, span_no: int, x: float) -> tuple:
    """The line of a section turned both ways: every vehicle asks for the same sections."""
    line = moment_line(beam=beam, span_no=span_no, station_ft=x)
    hogs = hogs_under_uniform_load(beam=beam, span_no=span_no, station_ft=x)
    return tuple(_sought(beam, line, sign, hogs=hogs) for sign in (1, -1))


@lru_cache(maxsize=4096)
def live_shears_along(
    *, beam: ContinuousBeam, live: LaneLive, span_no: int, stations_ft: tuple[float, ...]
) -> tuple[Pair, ...]:
    """(shear lifting the left part, the other way) at each station, both at least 0."""
    sought = []
    for x in stations_ft:
        line = shear_line(beam=beam, span_no=span_no, station_ft=x)
        sought += [_sought(beam, line, sign) for sign in (1, -1)]
    return _pairs(_extremes(beam, live, sought, None))


def _pairs(found) -> tuple[Pair, ...]:
    return tuple((abs(most.value), abs(least.value)) for most, least in zip(found[::2], found[1::2], strict=True))


@lru_cache(maxsize=4096)
def kept_reaction_parts(*, beam: ContinuousBeam, live: LaneLive, support_no: int) -> tuple[ReactionPart, ...]:
    """``reaction_parts``, kept."""
    return reaction_parts(beam=beam, live=live, support_no=support_no)


@lru_cache(maxsize=4096)
def live_uplift_lb(*, beam: ContinuousBeam, live: LaneLive, support_no: int) -> float:
    """Largest downward pull at a support, lb per lane, at least 0."""
    return abs(live_reaction(beam=beam, live=live, support_no=support_no)[1].value)
