"""Influence lines of continuous stringers against a second, independent method: slope-deflection."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.beam import (
    ContinuousBeam,
    hl93_live,
    legal_lane_live,
    live_at,
    live_reaction,
    moment_line,
    reaction_line,
    shear_line,
    vehicle_live,
)
from inventory.mechanics.vehicle import LaneLoad, Vehicle, find_vehicle

KINDS = (("moment", 1), ("moment", -1), ("shear", 1), ("shear", -1), ("reaction", 1), ("reaction", -1))
few = settings(max_examples=40, deadline=None, derandomize=True)


def support_moments(spans, stiffnesses, places):
    """Sagging moments over all supports for a unit load at each place, by slope-deflection (fixed-end moments).

    M_ab = 2 EI/L (2 th_a + th_b) + a b2 / L2, M_ba = 2 EI/L (th_a + 2 th_b) - a2 b / L2; the end moments at every
    support sum to 0. Source: handbook of structural analysis (memory).
    """
    spans, places = np.asarray(spans, float), np.atleast_1d(np.asarray(places, float))
    ei = np.asarray(stiffnesses if len(stiffnesses) else np.ones(len(spans)), float)
    starts = np.concatenate([[0.0], np.cumsum(spans)])
    count = len(spans)
    matrix = np.zeros((count + 1, count + 1))
    for k in range(count):
        s = 2.0 * ei[k] / spans[k]
        matrix[k : k + 2, k : k + 2] += s * np.array([[2.0, 1.0], [1.0, 2.0]])
    near, far = np.zeros((count, len(places))), np.zeros((count, len(places)))
    for k in range(count):
        a = places - starts[k]
        on = (a > 0) & (a < spans[k])
        b = spans[k] - a
        near[k] = np.where(on, a * b**2 / spans[k] ** 2, 0.0)
        far[k] = np.where(on, -(a**2) * b / spans[k] ** 2, 0.0)
    right = np.zeros((count + 1, len(places)))
    right[:-1] -= near
    right[1:] -= far
    turns = np.linalg.solve(matrix, right)
    moments = np.zeros((count + 1, len(places)))
    for k in range(1, count + 1):
        s = 2.0 * ei[k - 1] / spans[k - 1]
        moments[k] = s * (turns[k - 1] + 2.0 * turns[k]) + far[k - 1]
    moments[count] = 0.0
    return moments


def ordinates(spans, stiffnesses, kind, where, places):
    """Influence ordinates by statics from the support moments; ``where`` is (span from 0, station) or a support from 0.

    A load exactly at a section counts on its right side, outside the beam nothing counts.
    """
    places = np.atleast_1d(np.asarray(places, float))
    starts = np.concatenate([[0.0], np.cumsum(spans)])
    moments = support_moments(spans, stiffnesses, places)
    on = (places >= 0) & (places <= starts[-1])

    def shear(k, x):
        a = places - starts[k]
        inside = (a >= 0) & (a <= spans[k])
        plain = np.where(inside, np.where(a >= x, 1.0 - a / spans[k], -a / spans[k]), 0.0)
        return plain + (moments[k + 1] - moments[k]) / spans[k]

    if kind == "reaction":
        found = np.zeros(len(places))
        if where < len(spans):
            found += shear(where, 0.0)
        if where > 0:
            a = places - starts[where - 1]
            left = (a > 0) & (a < spans[where - 1])
            plain = np.where(left, a / spans[where - 1], 0.0)
            if where == len(spans):
                plain = np.where(a == spans[where - 1], 1.0, plain)
            found += plain - (moments[where] - moments[where - 1]) / spans[where - 1]
    elif kind == "shear":
        found = shear(*where)
    else:
        k, x = where
        a = places - starts[k]
        inside = (a >= 0) & (a <= spans[k])
        simple = np.where(a <= x, a * (spans[k] - x), x * (spans[k] - a)) / spans[k]
        found = np.where(inside, simple, 0.0) + moments[k] * (1 - x / spans[k]) + moments[k + 1] * x / spans[k]
    return np.where(on, found, 0.0)


def slid(spans, stiffnesses, kind, where, sign, trains, drop, steps=1500):
    """(largest effect of any train in small steps, largest step ft): trains are ((offset, lb), ...)."""
    length, best, step = float(np.sum(spans)), 0.0, 0.0
    for train in trains:
        offsets, weights = np.array(train).T
        firsts = np.linspace(-offsets.max(), length, steps)
        step = max(step, firsts[1] - firsts[0])
        line = sign * ordinates(spans, stiffnesses, kind, where, (firsts[:, None] + offsets).ravel())
        line = line.reshape(steps, -1)
        best = max(best, float(((np.maximum(line, 0.0) if drop else line) * weights).sum(axis=1).max()))
    return best, step


def steepest(spans, stiffnesses, kind, where):
    """Steepest slope of the line per ft, jumps left out, with a little to spare."""
    length = float(np.sum(spans))
    places = np.linspace(1e-6, length - 1e-6, 4001)
    slopes = np.abs(np.diff(ordinates(spans, stiffnesses, kind, where, places))) / (places[1] - places[0])
    return 1.1 * float(np.sort(slopes)[-2])


@st.composite
def beams(draw, least=2, ei=True) -> ContinuousBeam:
    spans = draw(st.lists(st.floats(min_value=8, max_value=70), min_size=least, max_size=5))
    values = st.floats(min_value=0.3, max_value=3)
    stiffnesses = draw(st.lists(values, min_size=len(spans), max_size=len(spans))) if ei and draw(st.booleans()) else ()
    return ContinuousBeam(spans_ft=tuple(spans), stiffnesses=tuple(stiffnesses))


@st.composite
def trucks(draw, lane=False) -> Vehicle:
    axles = draw(st.lists(st.floats(min_value=1, max_value=40), min_size=1, max_size=6))
    gaps = draw(st.lists(st.floats(min_value=3, max_value=25), min_size=len(axles) - 1, max_size=len(axles) - 1))
    load = LaneLoad(uniform_klf=0.64, moment_kip=18, shear_kip=26) if lane else None
    return Vehicle(id="own", name="own", axles_kip=tuple(axles), spacings_ft=tuple((g, g) for g in gaps), lane=load)


def section(beam: ContinuousBeam, place: float) -> tuple[int, float]:
    """(span from 1, station) at a share of the whole length."""
    at = place * beam.length_ft
    number = next(n for n, end in enumerate(beam.supports_ft[1:], 1) if at <= end)
    return number, min(at - beam.supports_ft[number - 1], beam.spans_ft[number - 1])


def sought(beam, kind, sign, place, live, drop=None):
    """(the kernel's extreme, section or support of the second method)."""
    number, station = section(beam, place)
    if kind == "reaction":
        pair = live_reaction(beam=beam, live=live, support_no=number, relieving_dropped=drop)
        return pair[0 if sign > 0 else 1], number - 1
    found = live_at(beam=beam, live=live, span_no=number, station_ft=station, relieving_dropped=drop)
    names = {"moment": ("sagging", "hogging"), "shear": ("shear_most", "shear_least")}[kind]
    return getattr(found, names[0 if sign > 0 else 1]), (number - 1, station)


def gauss_area(beam, kind, where, low, high):
    """Area under the ordinates of the second method, by four Gauss points between marks (exact for cubics)."""
    marks = {low, high, *(s for s in beam.supports_ft if low < s < high)}
    if kind != "reaction":
        at = beam.supports_ft[where[0]] + where[1]
        marks |= {at} if low < at < high else set()
    nodes, weights = np.polynomial.legendre.leggauss(4)
    total = 0.0
    for a, b in pairwise(sorted(marks)):
        places = (a + b) / 2 + (b - a) / 2 * nodes
        total += (b - a) / 2 * float(weights @ ordinates(beam.spans_ft, beam.stiffnesses, kind, where, places))
    return total


LIVES = (
    hl93_live(),
    legal_lane_live(),
    vehicle_live(vehicle=find_vehicle("HS20")),
    vehicle_live(vehicle=find_vehicle("SU7")),
)


@few
@given(beams(), st.floats(min_value=0.001, max_value=0.999), st.integers(min_value=0, max_value=2))
def test_influence_lines_against_slope_deflection(beam, place, which):
    """Second method: fixed-end moments and rotations instead of the three-moment equation, 203 places."""
    number, station = section(beam, place)
    kind = ("moment", "shear", "reaction")[which]
    lines = {
        "moment": moment_line(beam=beam, span_no=number, station_ft=station),
        "shear": shear_line(beam=beam, span_no=number, station_ft=station),
        "reaction": reaction_line(beam=beam, support_no=number),
    }
    where = number - 1 if kind == "reaction" else (number - 1, station)
    jump = beam.supports_ft[number - 1] + station
    places = np.linspace(1e-3, beam.length_ft - 1e-3, 203)
    places = places[np.abs(places - jump) > 1e-6]
    expected = ordinates(beam.spans_ft, beam.stiffnesses, kind, where, places)
    found = [lines[kind].ordinate(place_ft=float(p)) for p in places]
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-9)


@few
@given(beams(), st.floats(min_value=0, max_value=1), st.sampled_from(KINDS))
def test_the_lane_stands_where_it_adds_and_only_there(beam, place, kind):
    """Second method: the sign of the ordinates at 500 places says whether the place is loaded."""
    lane = LaneLoad(uniform_klf=1.0, moment_kip=0.001, shear_kip=0.001)
    feather = Vehicle(id="f", name="f", axles_kip=(1e-6,), spacings_ft=(), lane=lane)
    extreme, where = sought(beam, *kind, place, vehicle_live(vehicle=feather))
    places = np.linspace(0, beam.length_ft, 500)
    line = kind[1] * ordinates(beam.spans_ft, beam.stiffnesses, kind[0], where, places)
    loaded = np.zeros(len(places), bool)
    for low, high in extreme.lane_parts:
        loaded |= (places >= low - 1e-6) & (places <= high + 1e-6)
    assert np.all(loaded[line > 1e-6])
    edges = [p for part in extreme.lane_parts for p in part]
    inside = loaded & np.array([all(abs(p - e) > 1e-5 for e in edges) for p in places])
    assert np.all(line[inside] > -1e-9)


@few
@given(st.floats(min_value=8, max_value=70), st.floats(min_value=8, max_value=70), st.floats(min_value=0, max_value=1))
def test_reaction_line_is_the_deflected_shape(one, two, place):
    """Mueller-Breslau with Maxwell: the pier's line is the deflection of the beam without the pier, loaded there.

    d(x) = b x (L2 - b2 - x2) / (6 EI L) for x up to the load, handbook (memory); scaled to 1 at the pier.
    """
    whole, x = one + two, place * (one + two)

    def bent(load_at, at):
        if at > load_at:
            load_at, at = whole - load_at, whole - at
        b = whole - load_at
        return b * at * (whole**2 - b**2 - at**2)

    line = reaction_line(beam=ContinuousBeam(spans_ft=(one, two)), support_no=2)
    assert line.ordinate(place_ft=x) == pytest.approx(bent(one, x) / bent(one, one), abs=1e-9)


@few
@given(beams(), st.floats(min_value=0.001, max_value=0.999))
def test_reactions_to_one_axle_are_in_equilibrium(beam, place):
    """Law: the reaction lines sum to 1 at every place, and their moments about the left end to the place."""
    at = place * beam.length_ft
    lifts = [reaction_line(beam=beam, support_no=n).ordinate(place_ft=at) for n in range(1, len(beam.spans_ft) + 2)]
    assert sum(lifts) == pytest.approx(1.0, abs=1e-11)
    assert sum(r * s for r, s in zip(lifts, beam.supports_ft, strict=True)) == pytest.approx(at, rel=1e-10)
