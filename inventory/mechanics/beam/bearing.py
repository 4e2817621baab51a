"""Largest reactions of a continuous stringer with the load over the bearing kept apart from the rest.

A wheel over the bearing reaches the stringer by the deck alone, all other load by the share for bending, so the two are
wanted apart. Either an axle stands over the support (each is tried; a free distance to the axles behind or ahead is
searched exactly, as in ``critical``) or none does, and then the largest reaction of all counts. Source: mechanics.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from .combinations import Combination, LaneLive
from .continuous import ContinuousBeam
from .critical import Arrangement, _scan, _table
from .envelope import _is_asked, _support_sought, live_reaction
from .influence import InfluenceLine
from .moving import Train

_AT_SUPPORT_FT = 1e-6


@dataclass(frozen=True, kw_only=True)
class ReactionPart:
    """One loading of a support: pounds standing over the bearing, reaction of the rest, and the load's name."""

    over_lb: float
    rest_lb: float
    load: str


def reaction_parts(*, beam: ContinuousBeam, live: LaneLive, support_no: int) -> tuple[ReactionPart, ...]:
    """Loadings of a support of which one gives the largest bearing force, whatever the two shares; lb per lane.

    Raises ``OutsideValidity`` for a support that does not exist. Loads as ``live_reaction``.
    """
    upward = _support_sought(beam, support_no)[0]
    place = beam.supports_ft[support_no - 1]
    found = []
    for combination in live.combinations:
        if _is_asked(combination, upward):
            line = upward.adding if combination.relieving_dropped else upward.line
            found += _parts(combination, upward.adding, line, place)
    most, _least = live_reaction(beam=beam, live=live, support_no=support_no)
    if all(abs(spot - place) > _AT_SUPPORT_FT for spot, _load in most.axles + most.points):
        found.append(ReactionPart(over_lb=0.0, rest_lb=most.value, load=most.load))
    return tuple(found)


def _parts(combination: Combination, adding: InfluenceLine, line: InfluenceLine, place: float) -> list[ReactionPart]:
    lane = combination.uniform_plf * adding.area()
    found = []
    for load in combination.trains:
        for over, rest in _over_support(load, line, place):
            found.append(ReactionPart(over_lb=over, rest_lb=rest + lane, load=combination.name))
    if combination.shear_point_lb:
        found.append(ReactionPart(over_lb=combination.shear_point_lb, rest_lb=lane, load=combination.name))
    return found


def _over_support(load: Arrangement, line: InfluenceLine, place: float) -> list[tuple[float, float]]:
    """(axle over the support, largest reaction of the others) for every axle of one vehicle or of two."""
    found = []
    front, rear = load.front, load.rear
    for offset, weight in front:
        first = place - offset
        rest = _effect(front, first, line, place)
        if rear:
            last = first + front[-1][0]
            rest += _best_between(rear, last + load.least_gap_ft, last + load.most_gap_ft, line, place)
        found.append((weight, rest))
    for offset, weight in rear:
        first = place - offset
        start = first - front[-1][0]
        rest = _effect(rear, first, line, place)
        rest += _best_between(front, start - load.most_gap_ft, start - load.least_gap_ft, line, place)
        found.append((weight, rest))
    return found


def _effect(train: Train, first_ft: float, line: InfluenceLine, skip_ft: float) -> float:
    """Effect of a train with its first axle at a place, any axle over the support left out."""
    spots = [(first_ft + offset, weight) for offset, weight in train]
    return sum(w * line.ordinate(place_ft=spot) for spot, w in spots if abs(spot - skip_ft) > _AT_SUPPORT_FT)


def _best_between(train: Train, low_ft: float, high_ft: float, line: InfluenceLine, support_ft: float) -> float:
    """Largest effect of a train whose first axle stands between two places; 0 where it may stand off the beam."""
    ends = [end for end in (low_ft, high_ft) if abs(end) < inf]
    tried = [_effect(train, end, line, support_ft) for end in ends]
    if not line.pieces or len(ends) < 2:
        tried.append(0.0)
    if line.pieces:
        scan = _scan(_table([line]), train)
        inside = scan.values[(scan.firsts > low_ft) & (scan.firsts < high_ft)]
        tried.append(float(np.max(inside, initial=-inf)))
    return max(tried)
