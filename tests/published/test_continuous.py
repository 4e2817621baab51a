"""Continuous beams against handbook coefficients, and HL-93 on simple spans. Per lane, no dynamic allowance.

The coefficients stand in most steel and timber handbooks (tables of equal spans and of two-span beams); they are given
here from memory, and each is worked again in exact fractions by the three-moment equation or by arithmetic.
"""

from __future__ import annotations

from math import sqrt

import pytest
import sympy

from inventory.mechanics.beam import (
    ContinuousBeam,
    continuous_dead_moment_lbft,
    continuous_dead_reactions_lb,
    continuous_dead_shear_lb,
    continuous_dead_support_moments_lbft,
    hl93_absolute_moment,
    hl93_live,
    hl93_moment_at,
    hl93_shear_at,
    live_at,
    live_reaction,
    moment_line,
    reaction_line,
    vehicle_live,
)
from inventory.mechanics.vehicle import LaneLoad, Vehicle, find_vehicle

SPAN, LOAD = 24.0, 500.0
WL, WL2 = LOAD * SPAN, LOAD * SPAN**2


def equal(count: int) -> ContinuousBeam:
    return ContinuousBeam(spans_ft=(SPAN,) * count)


def exact_uniform(spans, loads, stiffnesses=None):
    """Second method: three-moment equation solved by sympy in exact fractions; support moments."""
    spans = [sympy.Rational(s) for s in spans]
    loads = [sympy.Rational(w) for w in loads]
    eis = [sympy.Rational(e) for e in stiffnesses or [1] * len(spans)]
    unknown = [0, *sympy.symbols(f"m1:{len(spans)}"), 0]
    equations = [
        unknown[i - 1] * spans[i - 1] / eis[i - 1]
        + 2 * unknown[i] * (spans[i - 1] / eis[i - 1] + spans[i] / eis[i])
        + unknown[i + 1] * spans[i] / eis[i]
        + (loads[i - 1] * spans[i - 1] ** 3 / eis[i - 1] + loads[i] * spans[i] ** 3 / eis[i]) / 4
        for i in range(1, len(spans))
    ]
    found = sympy.solve(equations, unknown[1:-1], dict=True)[0]
    return [sympy.Integer(0), *(found[m] for m in unknown[1:-1]), sympy.Integer(0)]


# Handbook tables of equal spans, uniform load on all spans (memory): support moments / wL2, reactions / wL.
EQUAL_SPANS = [
    (2, (-0.125,), (0.375, 1.25, 0.375)),
    (3, (-0.100, -0.100), (0.400, 1.100, 1.100, 0.400)),
    (4, (-0.107, -0.071, -0.107), (0.393, 1.143, 0.929, 1.143, 0.393)),
    (5, (-0.105, -0.079, -0.079, -0.105), (0.395, 1.132, 0.974, 0.974, 1.132, 0.395)),
]


@pytest.mark.parametrize(("count", "moments", "reactions"), EQUAL_SPANS)
def test_equal_spans_uniform_load(count, moments, reactions):
    """Source: handbook coefficients (memory), three decimals; and exact fractions to the last digit."""
    beam, loads = equal(count), (LOAD,) * count
    found = continuous_dead_support_moments_lbft(beam=beam, loads_plf=loads)
    assert [m / WL2 for m in found[1:-1]] == pytest.approx(moments, abs=0.0006)
    lifts = continuous_dead_reactions_lb(beam=beam, loads_plf=loads)
    assert [r / WL for r in lifts] == pytest.approx(reactions, abs=0.0006)
    exact = [float(m) for m in exact_uniform([24] * count, [500] * count)]
    assert found == pytest.approx(exact, rel=1e-12, abs=1e-6)


@pytest.mark.parametrize(
    ("count", "span_no", "part", "coefficient"),
    [
        (2, 1, 0.375, 9 / 128),  # 0.0703 where the shear 0.375 - x/L is 0: 0.375^2 / 2
        (3, 1, 0.4, 0.080),  # 0.4^2 / 2
        (3, 2, 0.5, 0.025),  # 1/8 - 0.100
        (2, 1, 1.0, -0.125),
    ],
)
def test_span_moments_uniform_load(count, span_no, part, coefficient):
    """Source: handbook coefficients (memory), arithmetic beside them."""
    beam, loads = equal(count), (LOAD,) * count
    found = continuous_dead_moment_lbft(beam=beam, loads_plf=loads, span_no=span_no, station_ft=part * SPAN)
    assert found / WL2 == pytest.approx(coefficient, abs=1e-12)
    if 0 < part < 1:
        shear = continuous_dead_shear_lb(beam=beam, loads_plf=loads, span_no=span_no, station_ft=part * SPAN)
        assert shear == pytest.approx(0, abs=1e-9 * WL)


def test_shears_of_two_equal_spans():
    """Handbook (memory): 3/8 wL at the end, -5/8 wL left of the pier, 5/8 right of it."""
    beam, loads = equal(2), (LOAD, LOAD)
    at = [(1, 0.0), (1, SPAN), (2, 0.0), (2, SPAN)]
    found = [continuous_dead_shear_lb(beam=beam, loads_plf=loads, span_no=n, station_ft=x) / WL for n, x in at]
    assert found == pytest.approx([3 / 8, -5 / 8, 5 / 8, -3 / 8], abs=1e-12)


def test_one_of_two_spans_loaded():
    """Handbook (memory): pier -wL2/16, reactions 7/16, 5/8, -1/16 (uplift), span 49/512 wL2 at 7/16 L."""
    beam, loads = equal(2), (LOAD, 0.0)
    assert continuous_dead_support_moments_lbft(beam=beam, loads_plf=loads)[1] == pytest.approx(-WL2 / 16)
    found = continuous_dead_reactions_lb(beam=beam, loads_plf=loads)
    assert [r / WL for r in found] == pytest.approx([7 / 16, 5 / 8, -1 / 16])
    span = continuous_dead_moment_lbft(beam=beam, loads_plf=loads, span_no=1, station_ft=SPAN * 7 / 16)
    assert span / WL2 == pytest.approx(49 / 512)


@pytest.mark.parametrize(
    ("spans", "loads", "stiffnesses"),
    [
        ((20, 31), (700, 400), (1, 3)),
        ((12, 30, 17, 22), (0, 900, 300, 50), (2, 1, 5, 3)),
        ((8, 60, 9), (1, 2, 3), None),
    ],
)
def test_unequal_spans_and_stiffnesses_in_exact_fractions(spans, loads, stiffnesses):
    beam = ContinuousBeam(spans_ft=tuple(map(float, spans)), stiffnesses=tuple(map(float, stiffnesses or ())))
    found = continuous_dead_support_moments_lbft(beam=beam, loads_plf=tuple(map(float, loads)))
    exact = [float(m) for m in exact_uniform(spans, loads, stiffnesses)]
    assert found == pytest.approx(exact, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize(
    ("count", "place", "moments", "reactions"),
    [
        # load at the middle of the first of two spans: pier -3/32 PL, at the load 13/64 PL (1/4 - 3/64)
        (2, 0.5, {(1, 0.5): 13 / 64, (1, 1.0): -3 / 32}, (13 / 32, 22 / 32, -3 / 32)),
        # first of three spans: -0.100 and +0.025 PL over the piers, 1/4 - 0.050 under the load
        (3, 0.5, {(1, 0.5): 0.200, (1, 1.0): -0.100, (2, 1.0): 0.025}, (0.400, 0.725, -0.150, 0.025)),
        # middle of the second of three spans: -0.075 PL over both piers, 1/4 - 0.075 under the load
        (3, 1.5, {(2, 0.5): 0.175, (2, 0.0): -0.075, (3, 0.0): -0.075}, (-0.075, 0.575, 0.575, -0.075)),
    ],
)
def test_one_concentrated_load(count, place, moments, reactions):
    """Source: handbook coefficients for one load P at midspan (memory), arithmetic beside them."""
    beam = equal(count)
    for (span_no, part), coefficient in moments.items():
        line = moment_line(beam=beam, span_no=span_no, station_ft=part * SPAN)
        assert line.ordinate(place_ft=place * SPAN) / SPAN == pytest.approx(coefficient, abs=1e-12)
    found = [reaction_line(beam=beam, support_no=n + 1).ordinate(place_ft=place * SPAN) for n in range(count + 1)]
    assert found == pytest.approx(reactions, abs=1e-12)


@pytest.mark.parametrize("a", [1.0, 7.5, 15.0, 19.9])
def test_two_unequal_spans_one_load(a):
    """Handbook (memory): M = -P a (L1^2 - a^2) / (2 L1 (L1 + L2)) over the pier, load at a in the first span."""
    one, two = 20.0, 31.0
    beam = ContinuousBeam(spans_ft=(one, two))
    found = moment_line(beam=beam, span_no=2, station_ft=0.0).ordinate(place_ft=a)
    assert found == pytest.approx(-a * (one**2 - a**2) / (2 * one * (one + two)), rel=1e-12)


def only_lane(uniform_klf: float, point_kip: float) -> Vehicle:
    lane = LaneLoad(uniform_klf=uniform_klf, moment_kip=point_kip, shear_kip=point_kip)
    return Vehicle(id="lane", name="lane only", axles_kip=(1e-6,), spacings_ft=(), lane=lane)


def test_uniform_load_on_the_parts_that_add():
    """Handbook, pattern loads on three equal spans (memory): -0.1167 wL2 at a pier (-7/60: spans 1 and 2), 1.200 wL.

    Pier 2 of three spans, spans 1 and 2 loaded: 4 M2 + M3 = -2 wL2/4, M2 + 4 M3 = -wL2/4 gives M2 = -7/60. Its
    reaction: (1/2 + 7/60) + (1/2 + (7 - 2)/60) = 1.200 with M3 = -2/60.
    """
    live, beam = vehicle_live(vehicle=only_lane(1.0, 0.0)), equal(3)
    hogging = live_at(beam=beam, live=live, span_no=1, station_ft=SPAN).hogging
    assert hogging.value / (1000 * SPAN**2) == pytest.approx(-7 / 60, rel=1e-10)
    assert hogging.lane_parts == ((0.0, 2 * SPAN),)
    most, _least = live_reaction(beam=beam, live=live, support_no=2)
    assert most.value / (1000 * SPAN) == pytest.approx(1.2, rel=1e-10)
    middle = live_at(beam=beam, live=live, span_no=2, station_ft=SPAN / 2).sagging
    assert middle.value / (1000 * SPAN**2) == pytest.approx(0.075, rel=1e-10)  # second span only: 1/8 - 1/20


def test_second_concentrated_load_for_hogging_only():
    """AASHTO Standard Specifications 3.11.3 (memory). One load over a pier of two equal spans is worst at L / sqrt 3:

    a (L2 - a2) / (4 L2) = L / (6 sqrt 3) = 0.0962 PL; the second load stands as far out in the other span.
    """
    live, beam = vehicle_live(vehicle=only_lane(0.0, 18.0)), equal(2)
    pier = live_at(beam=beam, live=live, span_no=1, station_ft=SPAN).hogging
    assert pier.value == pytest.approx(-2 * 18000 * SPAN / (6 * sqrt(3)), rel=1e-10)
    places = sorted(place for place, _load in pier.points)
    assert places == pytest.approx([SPAN / sqrt(3), 2 * SPAN - SPAN / sqrt(3)], rel=1e-9)
    inside = live_at(beam=beam, live=live, span_no=1, station_ft=SPAN / 2)
    assert inside.sagging.value == pytest.approx(18000 * SPAN * 13 / 64, rel=1e-12)
    assert len(inside.sagging.points) == 1
    assert inside.hogging.value == pytest.approx(-18000 * SPAN / (12 * sqrt(3)), rel=1e-10)  # one other span only


def test_one_axle_moving_over_two_equal_spans():
    """Handbook (memory): one moving load does most in the span at 0.432 L, 0.2074 PL; over the pier 0.0962 PL."""
    axle = vehicle_live(vehicle=Vehicle(id="one", name="one axle", axles_kip=(10.0,), spacings_ft=()))
    beam = equal(2)
    near = [live_at(beam=beam, live=axle, span_no=1, station_ft=p * SPAN).sagging.value for p in (0.40, 0.432, 0.46)]
    assert near[1] / (10000 * SPAN) == pytest.approx(0.2074, abs=0.0001)
    assert near[1] > max(near[0], near[2])
    pier = live_at(beam=beam, live=axle, span_no=2, station_ft=0.0).hogging
    assert pier.value / (10000 * SPAN) == pytest.approx(-0.09623, abs=0.00001)


# Column of HL-93, kip-ft and kip, printed to one decimal (computed: by a separate program that slides the vehicle in
# 0.02 ft steps and adds the lane before the largest is sought).
HL93 = [
    (10, 88.0, 43.2),
    (12, 115.4, 45.5),
    (14, 144.0, 47.3),
    (16, 173.3, 48.9),
    (18, 203.4, 50.2),
    (20, 234.2, 51.4),
    (24, 297.9, 53.5),
    (28, 364.2, 57.0),
    (30, 398.4, 59.2),
    (32, 433.2, 61.2),
    (36, 504.8, 64.9),
    (40, 579.0, 68.0),
    (44, 674.3, 70.8),
    (50, 826.4, 74.6),
    (56, 984.5, 77.9),
    (60, 1093.2, 80.0),
    (70, 1376.3, 84.8),
    (80, 1675.6, 89.2),
    (90, 1991.1, 93.3),
    (100, 2322.7, 97.3),
]


@pytest.mark.parametrize(("span", "moment", "shear"), HL93)
def test_hl93_on_simple_spans(span, moment, shear):
    """Source: AASHTO LRFD 3.6.1.2 loads (memory), effects by the program named above (computed)."""
    assert hl93_absolute_moment(span_ft=float(span)).value / 1000 == pytest.approx(moment, abs=0.0501)
    assert hl93_shear_at(span_ft=float(span), station_ft=0.0).value / 1000 == pytest.approx(shear, abs=0.0501)


@pytest.mark.parametrize("span", [10.0, 23.0, 41.0, 60.0, 97.0])
def test_hl93_top_against_sweeping_the_sections(span):
    """Second method: 4,001 sections; never above the top, and as close as 1/8000 of the span allows; at its section."""
    top = hl93_absolute_moment(span_ft=span)
    swept = max(hl93_moment_at(span_ft=span, station_ft=span * k / 4000).value for k in range(1, 4000))
    assert swept <= top.value * (1 + 1e-12)
    assert swept >= top.value * (1 - 4 / 8000)
    at_top = hl93_moment_at(span_ft=span, station_ft=top.station_ft).value
    assert at_top == pytest.approx(top.value, rel=1e-9)
    general = live_at(beam=ContinuousBeam(spans_ft=(span,)), live=hl93_live(), span_no=1, station_ft=top.station_ft)
    assert general.sagging.value == pytest.approx(top.value, rel=1e-9)


def test_hl93_need_not_peak_where_the_vehicle_does():
    """Law: the lane pulls the section towards midspan, so the sum is less than the two separate largest values."""
    top = hl93_absolute_moment(span_ft=60.0)
    assert top.value < 806526.0 + 640 * 60**2 / 8  # HS20 at 60 ft, 806.5 kip-ft (AASHTO appendix A, memory)
    assert 60 / 2 - 7 / 3 < top.station_ft < 30.0  # the truck alone: 14 * (32 - 8) / (72 * 2) = 7/3 ft off midspan


def test_hl93_on_simple_span_by_hand():
    """Arithmetic, 10 ft: a 32 kip axle at midspan 80, tandem 25 (10 - 2)^2 / 20 = 80; lane 0.64 * 100 / 8 = 8."""
    assert hl93_absolute_moment(span_ft=10.0).value == pytest.approx(88000.0)
    assert hl93_shear_at(span_ft=10.0, station_ft=0.0).value == pytest.approx(1000 * (25 + 25 * 0.6 + 3.2))


def test_hl93_pair_for_hogging_by_hand():
    """Two spans of 200 ft: 90 % of two trucks (rear axles 14 ft) and 90 % of the lane over the pier, LRFD 3.6.1.3.1.

    The lane: 0.9 * 640 * 200^2 / 8. Each truck alone near its worst place, found here by the derivative of the sum of
    a (L2 - a2) / (4 L2) over its axles; the two are then further apart than 50 ft and do not touch one another.
    """
    span = 200.0
    a = sympy.symbols("a", positive=True)

    def worst(axles):
        total = sum(p * (a + d) * (span**2 - (a + d) ** 2) / (4 * span**2) for d, p in axles)
        place = next(r for r in sympy.solve(sympy.diff(total, a), a) if r > 0)
        return float(total.subs(a, place)), float(place)

    axles = ((0.0, 8000.0), (14.0, 32000.0), (28.0, 32000.0))
    mirrored = tuple((28.0 - d, p) for d, p in axles)
    # light axle outwards in one span is light axle inwards in the other when both trucks face the same way
    expected = -(0.9 * (worst(axles)[0] + worst(mirrored)[0]) + 0.9 * 640 * span**2 / 8)
    beam = ContinuousBeam(spans_ft=(span, span))
    pier = live_at(beam=beam, live=hl93_live(), span_no=1, station_ft=span).hogging
    assert pier.load == "two trucks and lane"
    assert pier.value == pytest.approx(expected, rel=1e-9)
    alone = vehicle_live(vehicle=find_vehicle("HL93-TRUCK"))
    one = live_at(beam=beam, live=alone, span_no=1, station_ft=span).hogging.value
    assert pier.value < one - 640 * span**2 / 8
