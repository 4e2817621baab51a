"""Vehicles on continuous stringers against a second method: slope-deflection lines and small steps."""

from __future__ import annotations

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
    vehicle_live,
)
from inventory.mechanics.vehicle import LaneLoad, Vehicle, find_vehicle

from .test_continuous_lines import (
    KINDS,
    LIVES,
    beams,
    few,
    gauss_area,
    ordinates,
    section,
    slid,
    sought,
    steepest,
    trucks,
)


def both_ways(vehicle: Vehicle, gap_index=None, gap=0.0):
    """Trains of the second method, written out anew: ((offset, lb), ...) there and back."""
    gaps = [g[0] for g in vehicle.spacings_ft]
    if gap_index is not None:
        gaps[gap_index] = gap
    places = np.concatenate([[0.0], np.cumsum(gaps)])
    weights = 1000.0 * np.array(vehicle.axles_kip)
    return [tuple(zip(places, weights, strict=True)), tuple(zip(places[-1] - places, weights, strict=True))]


@few
@given(beams(), trucks(), st.floats(min_value=0, max_value=1), st.sampled_from(KINDS), st.booleans())
def test_largest_effect_against_sliding(beam, vehicle, place, kind, drop):
    """Sliding in small steps can only fall short, by a step times the steepest slope of the line times the weight."""
    extreme, where = sought(beam, *kind, place, vehicle_live(vehicle=vehicle), drop)
    trains = both_ways(vehicle)
    found, step = slid(beam.spans_ft, beam.stiffnesses, kind[0], where, kind[1], trains, drop)
    exact = kind[1] * extreme.value
    slope = steepest(beam.spans_ft, beam.stiffnesses, kind[0], where)
    assert found <= exact + 1e-9 * 1000 * vehicle.gross_kip * (1 + beam.length_ft)
    assert found >= exact - 1000 * vehicle.gross_kip * step * slope - 1e-6


@settings(max_examples=20, deadline=None, derandomize=True)
@given(beams(), st.floats(min_value=0, max_value=1), st.sampled_from(KINDS), st.booleans())
def test_variable_spacing_against_trying_every_half_foot(beam, place, kind, drop):
    """HS20 rear spacing 14 to 30 ft: the free spacing gives no less than 33 spacings slid, and not much more."""
    truck = find_vehicle("HL93-TRUCK")
    extreme, where = sought(beam, *kind, place, vehicle_live(vehicle=truck), drop)
    trains = [train for gap in np.linspace(14, 30, 33) for train in both_ways(truck, 1, gap)]
    found, step = slid(beam.spans_ft, beam.stiffnesses, kind[0], where, kind[1], trains, drop, steps=600)
    exact = kind[1] * extreme.value
    slope = steepest(beam.spans_ft, beam.stiffnesses, kind[0], where)
    assert found <= exact + 1e-4
    assert found >= exact - 72000 * (step + 0.25) * slope - 1e-6


def test_variable_spacing_between_its_ends_can_be_worst():
    """Two loads about a pier are worst at L/sqrt 3 out on either side: arithmetic, inside 10 to 40 ft."""
    beam = ContinuousBeam(spans_ft=(21.0, 21.0))
    free = Vehicle(id="v", name="v", axles_kip=(30.0, 30.0), spacings_ft=((10.0, 40.0),))
    apart = 2 * (21 - 21 / 3**0.5)
    found = live_at(beam=beam, live=vehicle_live(vehicle=free), span_no=1, station_ft=21.0).hogging
    assert found.value == pytest.approx(-60000 * 21 / (6 * 3**0.5), rel=1e-12)
    assert found.axles[1][0] - found.axles[0][0] == pytest.approx(apart, abs=1e-6)
    for gap in (10.0, 40.0):
        fixed = Vehicle(id="f", name="f", axles_kip=(30.0, 30.0), spacings_ft=((gap, gap),))
        ends = live_at(beam=beam, live=vehicle_live(vehicle=fixed), span_no=1, station_ft=21.0).hogging
        assert ends.value > found.value * 0.999


def test_variable_spacing_stops_at_its_greatest_value():
    """In 60 ft spans the two would stand 120 (1 - 1/sqrt 3) = 50.7 ft apart; held to 40 ft they are one rigid pair."""
    beam = ContinuousBeam(spans_ft=(60.0, 60.0))
    free = Vehicle(id="v", name="v", axles_kip=(30.0, 30.0), spacings_ft=((35.0, 40.0),))
    found = live_at(beam=beam, live=vehicle_live(vehicle=free), span_no=1, station_ft=60.0).hogging
    assert found.axles[1][0] - found.axles[0][0] == pytest.approx(40.0, abs=1e-9)
    near = 40.0  # by symmetry 20 ft either side of the pier: each a (L2 - a2) / (4 L2) with a = 40
    assert found.value == pytest.approx(-60000 * near * (3600 - near**2) / (4 * 3600), rel=1e-12)


@few
@given(beams(), st.floats(min_value=0, max_value=1), st.sampled_from(KINDS), st.sampled_from(LIVES))
def test_the_loads_told_give_the_value_told(beam, place, kind, live):
    """Law: put the axles, points and lane lengths of the record on the second method's lines; the effect comes back."""
    extreme, where = sought(beam, *kind, place, live)
    again = 0.0
    for spot, load in extreme.axles + extreme.points:
        near = ordinates(beam.spans_ft, beam.stiffnesses, kind[0], where, [spot - 1e-9, spot, spot + 1e-9])
        again += load * kind[1] * float(np.max(kind[1] * near))  # at a jump the worse side
    for low, high in extreme.lane_parts:
        again += extreme.lane_plf * gauss_area(beam, kind[0], where, low, high)
    assert again == pytest.approx(extreme.value, rel=1e-6, abs=0.01)


@settings(max_examples=12, deadline=None, derandomize=True)
@given(beams(), st.floats(min_value=0, max_value=1), st.booleans())
def test_two_trucks_of_hl93_against_sliding_both(beam, place, reaction):
    """Second method: tables of each truck's own effect in steps of length/1200, every pair at least 50 ft apart."""
    kind = ("reaction", 1) if reaction else ("moment", -1)
    if reaction:
        place = beam.supports_ft[1] / beam.length_ft + 1e-9  # an inner support: (span 2) is its number
    extreme, where = sought(beam, *kind, place, hl93_live())
    best, gap = 0.0, 50.0
    step = beam.length_ft / 1200
    for offsets, weights in (((0, 14, 28), (8e3, 32e3, 32e3)), ((0, 14, 28), (32e3, 32e3, 8e3))):
        firsts = np.arange(-28.0, beam.length_ft + step, step)
        spots = (firsts[:, None] + np.array(offsets)).ravel()
        line = np.maximum(kind[1] * ordinates(beam.spans_ft, beam.stiffnesses, kind[0], where, spots), 0.0)
        alone = (line.reshape(len(firsts), -1) * weights).sum(axis=1)
        upto = np.maximum.accumulate(alone[::-1])[::-1]  # best place of the second from here on
        apart = int(np.ceil((28.0 + gap) / step))
        best = max(best, float((alone[:-apart] + upto[apart:]).max()) if apart < len(alone) else 0.0, alone.max())
    feather = vehicle_live(
        vehicle=Vehicle(
            id="f",
            name="f",
            axles_kip=(1e-6,),
            spacings_ft=(),
            lane=LaneLoad(uniform_klf=0.64, moment_kip=0, shear_kip=0),
        )
    )
    lane = abs(sought(beam, *kind, place, feather)[0].value)
    single = max(
        abs(sought(beam, *kind, place, vehicle_live(vehicle=find_vehicle(key)))[0].value)
        for key in ("HL93-TRUCK", "HL93-TANDEM")
    )
    expected = single + lane
    uniform = gauss_area(beam, kind[0], where, 0.0, beam.length_ft)  # one uniform load on all spans
    if reaction or uniform <= 1e-9:
        expected = max(expected, 0.9 * (best + lane))
    slope = steepest(beam.spans_ft, beam.stiffnesses, kind[0], where)
    value = abs(extreme.value)
    assert expected <= value * (1 + 1e-7) + 1.0
    assert expected >= value - 0.9 * 144000 * 2 * step * slope - 1.0


@few
@given(beams(), st.floats(min_value=0, max_value=1))
def test_legal_pair_is_one_long_vehicle_with_a_lane(beam, place):
    """Second way: twelve axles of three quarters weight, 30 ft between the sixth and seventh, and 0.2 kip/ft."""
    number, station = section(beam, place)
    one = (12.0, 12.0, 12.0, 16.0, 14.0, 14.0)
    gaps = (15.0, 4.0, 15.0, 16.0, 4.0)
    axles, spacings = tuple(0.75 * a for a in one + one), tuple((g, g) for g in (*gaps, 30.0, *gaps))
    train = vehicle_live(vehicle=Vehicle(id="t", name="t", axles_kip=axles, spacings_ft=spacings))
    whole = live_at(beam=beam, live=legal_lane_live(), span_no=number, station_ft=station)
    alone = live_at(beam=beam, live=train, span_no=number, station_ft=station)
    line = moment_line(beam=beam, span_no=number, station_ft=station)
    lane = 200 * line.adding(sign=-1).area()
    single = live_at(beam=beam, live=vehicle_live(vehicle=find_vehicle("TYPE3-3")), span_no=number, station_ft=station)
    worse = min(alone.hogging.value, 0.75 * single.hogging.value)  # one alone, where the second would only relieve
    assert whole.hogging.value == pytest.approx(worse - lane, rel=1e-9, abs=1e-3)
    lane = 200 * line.adding(sign=1).area()
    assert whole.sagging.value == pytest.approx(0.75 * single.sagging.value + lane, rel=1e-9, abs=1e-3)


def test_two_trucks_keep_fifty_feet():
    """LRFD 3.6.1.3.1 (memory). In 60 ft spans each would stand nearer the pier, so the gap is the least one, 50 ft."""
    pier = live_at(beam=ContinuousBeam(spans_ft=(60.0, 60.0)), live=hl93_live(), span_no=1, station_ft=60.0).hogging
    assert pier.load == "two trucks and lane"
    places = [place for place, _load in pier.axles]
    assert places[3] - places[2] == pytest.approx(50.0, abs=1e-9)
    assert [places[1] - places[0], places[2] - places[1]] == pytest.approx([14.0, 14.0])
    assert sorted(load for _place, load in pier.axles) == pytest.approx([7200, 7200] + [28800] * 4)


def test_two_trucks_for_inner_supports_only():
    """LRFD 3.6.1.3.1 (memory): in 150 ft spans two trucks would do more at an end too, but are not asked for there."""
    beam = ContinuousBeam(spans_ft=(150.0, 150.0))
    lifts = [live_reaction(beam=beam, live=hl93_live(), support_no=n)[0].load for n in (1, 2, 3)]
    assert lifts == ["truck and lane", "two trucks and lane", "truck and lane"]
    at = {"beam": beam, "live": hl93_live(), "span_no": 1}
    assert live_at(**at, station_ft=60.0).sagging.load == "truck and lane"
    # Contraflexure of two equal spans under a uniform load: 3 w L x/8 = w x2/2 at 3/4 L = 112.5 ft.
    hogging = [live_at(**at, station_ft=x).hogging.load for x in (60.0, 112.0, 113.0, 150.0)]
    assert hogging == ["truck and lane"] * 2 + ["two trucks and lane"] * 2


def test_one_concentrated_load_for_sagging_in_three_spans():
    """Standard Specifications 3.11.3 (memory): the third span would add to the first, but takes no second load."""
    lane = LaneLoad(uniform_klf=0.001, moment_kip=18, shear_kip=26)
    feather = Vehicle(id="f", name="f", axles_kip=(1e-6,), spacings_ft=(), lane=lane)
    beam = ContinuousBeam(spans_ft=(30.0, 30.0, 30.0))
    found = live_at(beam=beam, live=vehicle_live(vehicle=feather), span_no=1, station_ft=12.0)
    assert len(found.sagging.lane_parts) == 2
    assert len(found.sagging.points) == len(found.shear_most.points) == 1
    assert len(live_at(beam=beam, live=vehicle_live(vehicle=feather), span_no=2, station_ft=0.0).hogging.points) == 2
