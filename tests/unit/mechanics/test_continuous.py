"""Continuous stringers against laws of statics, limits and arithmetic."""

from __future__ import annotations

from itertools import pairwise
from time import process_time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.mechanics.beam import (
    ContinuousBeam,
    continuous_dead_moment_lbft,
    continuous_dead_reactions_lb,
    continuous_dead_shear_lb,
    end_reaction_parts,
    live_at,
    live_envelope,
    live_reaction,
    moment_at,
    moment_line,
    reaction_line,
    shear_at,
    shear_line,
    vehicle_live,
)
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.vehicle import STANDARD_VEHICLES, Vehicle, find_vehicle

from .test_continuous_lines import (
    KINDS,
    LIVES,
    beams,
    few,
    gauss_area,
    section,
    sought,
    trucks,
)

PAIR = ContinuousBeam(spans_ft=(20.0, 20.0))


@few
@given(beams(), st.lists(st.floats(min_value=0, max_value=900), min_size=5, max_size=5), st.floats(0, 1))
def test_uniform_dead_load_is_in_equilibrium_and_is_the_area_of_the_line(beam, loads, place):
    """Laws: reactions sum to the load, moments about the left end balance; M, V, R = load times area of the line."""
    loads = tuple(loads[: len(beam.spans_ft)])
    lifts = continuous_dead_reactions_lb(beam=beam, loads_plf=loads)
    weights = [w * s for w, s in zip(loads, beam.spans_ft, strict=True)]
    middles = [(a + b) / 2 for a, b in pairwise(beam.supports_ft)]
    assert sum(lifts) == pytest.approx(sum(weights), rel=1e-10, abs=1e-6)
    about = sum(w * m for w, m in zip(weights, middles, strict=True))
    assert sum(r * s for r, s in zip(lifts, beam.supports_ft, strict=True)) == pytest.approx(about, rel=1e-9, abs=1e-4)
    number, station = section(beam, place)
    where = (number - 1, station)
    ends = list(pairwise(beam.supports_ft))

    def by_area(kind, at):
        return sum(w * gauss_area(beam, kind, at, a, b) for w, (a, b) in zip(loads, ends, strict=True))

    at = {"beam": beam, "loads_plf": loads, "span_no": number, "station_ft": station}
    assert continuous_dead_moment_lbft(**at) == pytest.approx(by_area("moment", where), rel=1e-9, abs=1e-3)
    assert continuous_dead_shear_lb(**at) == pytest.approx(by_area("shear", where), rel=1e-9, abs=1e-4)
    assert lifts[number] == pytest.approx(by_area("reaction", number), rel=1e-9, abs=1e-4)


@few
@given(beams(least=2), trucks(lane=True), st.floats(min_value=0, max_value=1))
def test_mirrored_beam(beam, vehicle, place):
    """Symmetry: turn the beam round; moments and reactions stay, shears change places and sign."""
    number, station = section(beam, place)
    back = ContinuousBeam(spans_ft=beam.spans_ft[::-1], stiffnesses=beam.stiffnesses[::-1])
    count, live = len(beam.spans_ft), vehicle_live(vehicle=vehicle)
    here = live_at(beam=beam, live=live, span_no=number, station_ft=station)
    there = live_at(
        beam=back,
        live=live,
        span_no=count + 1 - number,
        station_ft=max(0.0, min(beam.spans_ft[number - 1] - station, beam.spans_ft[number - 1])),
    )
    near = {"rel": 1e-7, "abs": 1.0}
    assert there.sagging.value == pytest.approx(here.sagging.value, **near)
    assert there.hogging.value == pytest.approx(here.hogging.value, **near)
    assert there.shear_least.value == pytest.approx(-here.shear_most.value, **near)
    lifts = live_reaction(beam=beam, live=live, support_no=number)
    again = live_reaction(beam=back, live=live, support_no=count + 2 - number)
    assert [e.value for e in again] == pytest.approx([e.value for e in lifts], **near)


@few
@given(beams(), trucks(), st.floats(min_value=0, max_value=1), st.sampled_from(KINDS), st.floats(1.05, 3.0))
def test_more_load_never_does_less(beam, vehicle, place, kind, more):
    """Monotony: one axle heavier, relieving axles left out; scaling all of them; leaving axles out against not."""
    heavier = Vehicle(
        id="h",
        name="h",
        axles_kip=(vehicle.axles_kip[0] * more, *vehicle.axles_kip[1:]),
        spacings_ft=vehicle.spacings_ft,
    )
    scaled = Vehicle(
        id="s", name="s", axles_kip=tuple(more * a for a in vehicle.axles_kip), spacings_ft=vehicle.spacings_ft
    )
    value = {}
    for name, one in (("plain", vehicle), ("heavier", heavier), ("scaled", scaled)):
        value[name] = abs(sought(beam, *kind, place, vehicle_live(vehicle=one), True)[0].value)
    kept = abs(sought(beam, *kind, place, vehicle_live(vehicle=vehicle), False)[0].value)
    assert value["heavier"] >= value["plain"] * (1 - 1e-9) - 1e-6
    assert value["scaled"] == pytest.approx(more * value["plain"], rel=1e-9, abs=1e-6)
    assert kept <= value["plain"] * (1 + 1e-9) + 1e-6


def test_short_second_span_clamps_the_first():
    """Convergence: with L2 near 0 the pier is a fixed end, uniform load on the first span gives -wL2/8 (handbook)."""
    beam = ContinuousBeam(spans_ft=(20.0, 1e-6))
    at = {"beam": beam, "loads_plf": (100.0, 0.0), "span_no": 1, "station_ft": 20.0}
    assert continuous_dead_moment_lbft(**at) == pytest.approx(-100 * 400 / 8, rel=1e-6)


def test_stiffness_of_the_unloaded_span_by_hand():
    """Arithmetic: 2 M (L + L/k) = -w L3/4, so M = -(w L2/8) k/(1 + k); k = 3 gives -3/32 wL2."""
    beam = ContinuousBeam(spans_ft=(20.0, 20.0), stiffnesses=(1.0, 3.0))
    at = {"beam": beam, "loads_plf": (100.0, 0.0), "span_no": 1, "station_ft": 20.0}
    assert continuous_dead_moment_lbft(**at) == pytest.approx(-100 * 400 * 3 / 32, rel=1e-12)


@pytest.mark.parametrize("key", sorted(STANDARD_VEHICLES))
def test_one_span_is_the_simple_span(key):
    """Limit: one span gives the simple-span functions of this kernel, a different search, to 1e-9."""
    vehicle = find_vehicle(key)
    live = vehicle_live(vehicle=vehicle)
    for span in (9.0, 24.0, 47.0, 88.0):
        beam = ContinuousBeam(spans_ft=(span,))
        for part in (0.0, 0.1, 0.37, 0.5, 0.81, 1.0):
            found = live_at(beam=beam, live=live, span_no=1, station_ft=part * span)
            moment = moment_at(vehicle=vehicle, span_ft=span, station_ft=part * span).value
            assert found.sagging.value == pytest.approx(moment, rel=1e-9, abs=1e-6)
            assert found.hogging.value == pytest.approx(0.0, abs=1e-6)
            shear = shear_at(vehicle=vehicle, span_ft=span, station_ft=part * span).value
            assert found.shear_most.value == pytest.approx(shear, rel=1e-9, abs=1e-6)
        most, least = live_reaction(beam=beam, live=live, support_no=1)
        expected = max(sum(parts) for parts in end_reaction_parts(vehicle=vehicle, span_ft=span))
        assert most.value == pytest.approx(expected, rel=1e-9)
        assert least.value == 0.0


def test_axles_that_relieve_stay_on_a_legal_truck_and_go_from_a_design_truck():
    """Law: with every axle counted a long vehicle over two spans does less than with some left out.

    A legal truck is one body; a design truck's relieving axles are neglected (LRFD 3.6.1.3.1, memory).
    """
    beam, live = ContinuousBeam(spans_ft=(30.0, 30.0)), vehicle_live(vehicle=find_vehicle("TYPE3-3"))
    at = {"beam": beam, "live": live, "span_no": 1, "station_ft": 12.0}
    out, kept = live_at(**at, relieving_dropped=True), live_at(**at, relieving_dropped=False)
    assert abs(kept.hogging.value) <= abs(out.hogging.value)
    assert kept.sagging.value < out.sagging.value
    assert live_at(**at).sagging.value == kept.sagging.value
    at["live"] = vehicle_live(vehicle=find_vehicle("HL93-TRUCK"))
    assert live_at(**at).hogging.value == live_at(**at, relieving_dropped=True).hogging.value
    assert live_at(**at).hogging.value < live_at(**at, relieving_dropped=False).hogging.value


@pytest.mark.parametrize("live", LIVES)
def test_the_envelope_is_its_sections(live):
    """The whole at once and section by section are the same; both ends of every span are among the sections."""
    beam = ContinuousBeam(spans_ft=(18.0, 31.0, 22.0), stiffnesses=(1.0, 1.6, 1.0))
    whole = live_envelope(beam=beam, live=live, sections_per_span=5)
    assert [(s.span_no, s.station_ft) for s in whole.sections[:6]] == [
        (1, 0.0), (1, 4.5), (1, 9.0), (1, 13.5), (1, 18.0), (2, 0.0),
    ]  # fmt: skip
    for one in whole.sections:
        alone = live_at(beam=beam, live=live, span_no=one.span_no, station_ft=one.station_ft)
        for name in ("sagging", "hogging", "shear_most", "shear_least"):
            assert getattr(one, name).value == pytest.approx(getattr(alone, name).value, rel=1e-9, abs=1e-6)
    for number, pair in enumerate(whole.reactions, 1):
        alone = live_reaction(beam=beam, live=live, support_no=number)
        assert [e.value for e in pair] == pytest.approx([e.value for e in alone], rel=1e-9)
    left, right = whole.sections[4], whole.sections[5]  # one pier, both sides: the same moment
    assert left.hogging.value == pytest.approx(right.hogging.value, rel=1e-9)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: ContinuousBeam(spans_ft=()), "number of spans"),
        (lambda: ContinuousBeam(spans_ft=(9.0,) * 6), "number of spans"),
        (lambda: ContinuousBeam(spans_ft=(20.0, 0.0)), "span is 0 ft"),
        (lambda: ContinuousBeam(spans_ft=(20.0, float("nan"))), "span is nan ft"),
        (lambda: ContinuousBeam(spans_ft=(20.0, 201.0)), "span is 201 ft"),
        (lambda: ContinuousBeam(spans_ft=(20.0, 20.0), stiffnesses=(1.0,)), "number of span stiffnesses"),
        (lambda: ContinuousBeam(spans_ft=(20.0, 20.0), stiffnesses=(1.0, -1.0)), "span stiffness is -1"),
        (lambda: ContinuousBeam(spans_ft=(20.0, 20.0), stiffnesses=(1.0, 101.0)), "stiffest span"),
        (lambda: moment_line(beam=PAIR, span_no=3, station_ft=1.0), "span number is 3"),
        (lambda: moment_line(beam=PAIR, span_no=True, station_ft=1.0), "span number is True"),
        (lambda: shear_line(beam=PAIR, span_no=2, station_ft=20.5), "station is 20.5 ft"),
        (lambda: reaction_line(beam=PAIR, support_no=0), "support number is 0"),
        (lambda: continuous_dead_reactions_lb(beam=PAIR, loads_plf=(1.0,)), "number of uniform loads"),
        (lambda: continuous_dead_reactions_lb(beam=PAIR, loads_plf=(1.0, -1.0)), "uniform load is -1 lb/ft"),
        (lambda: live_envelope(beam=PAIR, live=LIVES[0], sections_per_span=1), "sections in a span is 1"),
    ],
)
def test_refusals_say_what_and_where(make, words):
    with pytest.raises(OutsideValidity, match=words.replace("(", r"\(")):
        make()


@pytest.mark.parametrize("key", ["HS20", "SU7", "NRL"])
def test_an_envelope_is_quick(key):
    """Three spans, 21 sections in each: under 0.3 s of processor time, best of three (a limit we set ourselves)."""
    beam, live, taken = ContinuousBeam(spans_ft=(20.0, 27.0, 18.0)), vehicle_live(vehicle=find_vehicle(key)), []
    for _try in range(3):
        start = process_time()
        live_envelope(beam=beam, live=live)
        taken.append(process_time() - start)
    assert min(taken) < 0.3
