"""Where the load stands for every result, and lines that only stand where they are true.

Laws: the parts of a standing load sum to the lane effect the rating found; a worked line is never printed beside a
value it does not give; a governing case is safe as JSON and comes back the same.
"""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.beam import ContinuousBeam
from inventory.mechanics.rating import RatingPolicy, find_design_value, rate_span, rate_structure
from inventory.mechanics.rating.governing_case import GoverningCase, governing_cases
from inventory.mechanics.rating.hand_arithmetic import printed, value_of, worked_line
from inventory.mechanics.rating.standing_load import standing_load
from inventory.mechanics.vehicle import find_vehicle
from tests.unit.mechanics.spans import ASPHALT_3_IN, panel_span, stressed_span, stringer_span, surface, void

VEHICLES = ("H15", "HS20", "TYPE3", "TYPE3-3", "SU7", "EV3", "HL93")
POSTS = find_design_value(species="Douglas fir-larch", grade="No.1", size_class="posts and timbers")
SYSTEMS = [
    stringer_span(bearing_length_in=6.0),
    stringer_span(span_ft=61.0, depth_in=24.0, width_in=12.0, bearing_length_in=9.0),
    stressed_span(),
    panel_span(),
]


@pytest.mark.parametrize("case", SYSTEMS, ids=lambda case: f"{case.system} {case.span_ft:g} ft")
def test_every_result_of_a_simple_span_has_its_load(case):
    """Law (statics): weight times ordinate over all axles, points and lane gives the lane effect of every result."""
    rating = rate_span(case, vehicles=tuple(v for v in VEHICLES if v != "HL93"))
    assert len(rating.results) > 30
    for result in rating.results:
        load = standing_load(
            beam=ContinuousBeam(spans_ft=(case.span_ft,)),
            span_no=1,
            station_ft=result.station_ft,
            vehicle=find_vehicle(result.vehicle),
            limit_state=result.limit_state,
            value=result.lane_effect,
        )
        assert load is not None, (result.vehicle, result.limit_state, result.level)
        parts = [*load.axles, *load.points, *load.lane]
        assert sum(part.value for part in parts) == pytest.approx(result.lane_effect, rel=1e-6)


@given(span=st.floats(8.0, 80.0), part=st.floats(0.05, 0.95), vehicle=st.sampled_from(VEHICLES))
@settings(max_examples=60, deadline=None)
def test_ordinates_are_those_of_a_simple_span(span, part, vehicle):
    """Second method: y = a (L - z)/L before the section and z (L - a)/L beyond it (statics of a simple span)."""
    from inventory.mechanics.beam import moment_at

    z = span * part
    value = moment_at(vehicle=find_vehicle(vehicle), span_ft=span, station_ft=z).value
    load = standing_load(
        beam=ContinuousBeam(spans_ft=(span,)),
        span_no=1,
        station_ft=z,
        vehicle=find_vehicle(vehicle),
        limit_state="bending",
        value=value,
    )
    assert load is not None
    for one in (*load.axles, *load.points):
        a = one.place_ft
        by_hand = a * (span - z) / span if a <= z else z * (span - a) / span
        assert one.y == pytest.approx(by_hand, abs=1e-6)


def test_a_load_that_does_not_give_the_effect_is_not_shown():
    wrong = standing_load(
        beam=ContinuousBeam(spans_ft=(18.0,)),
        span_no=1,
        station_ft=9.0,
        vehicle=find_vehicle("HS20"),
        limit_state="bending",
        value=144000.0 * 1.001,
    )
    assert wrong is None


def test_a_line_stands_only_where_it_gives_its_value():
    assert worked_line(256.0, "in3", "6 x 16^2 / 6") == "6 x 16^2 / 6"
    assert worked_line(256.0, "in3", "6 x 15^2 / 6", "6 x 16^2 / 6") == "6 x 16^2 / 6"
    assert worked_line(256.0, "in3", "6 x 15^2 / 6") == ""
    assert worked_line("sound", "", "6 x 16^2 / 6") == ""


@pytest.mark.parametrize("line", ["__import__('os')", "1 if 2 else 3", "f(2)", "2 x", "x", "1 / 0", "'a' x 2", ""])
def test_only_arithmetic_is_read(line):
    with pytest.raises(ValueError):
        value_of(line)


def test_arithmetic_is_that_of_a_calculator():
    """Arithmetic: (32,078 - 2,363)/38,400 = 0.7738; 2 x 3^2 = 18; 1.33 x 1,503.7 x 256/12 = 42,665."""
    assert value_of("(32,078 - 2,363) / 38,400") == pytest.approx(0.77383, abs=1e-5)
    assert value_of("2 x 3^2") == 18
    assert value_of("1.33 x 1,503.7 x 256 / 12") == pytest.approx(42665, abs=1)
    assert value_of("(12/16)^(1/9)") == pytest.approx(0.96854, abs=1e-5)


def test_digits_follow_the_unit():
    assert printed(32078.07, "lb-ft") == "32,078"
    assert printed(1503.66, "psi") == "1,503.7"
    assert printed(58.3333, "lb/ft") == "58.33"
    assert printed(1.15) == "1.15" and printed(0.96854) == "0.9685"
    assert printed(0.7738, is_factor=True) == "0.774"
    assert printed(-0.0001, "lb") == "0"


STRINGER = stringer_span().members[0]
FOLLOWED = {
    "short bearings": (stringer_span(bearing_length_in=2.0, surfacing=(ASPHALT_3_IN,), railing_plf=80.0),),
    "a label with a colon": (replace(stringer_span(), members=(STRINGER, replace(STRINGER, label="a: stringer"))),),
    "far apart": (stringer_span(spacing_ft=9.0, depth_in=22.0, width_in=12.0),),
    "outside by the lever": (
        stringer_span(spacing_ft=7.0, exterior=True, curb_offset_ft=3.5, depth_in=22.0, width_in=12.0),
    ),
    "stringers": (stringer_span(bearing_length_in=6.0, condition_rating=6, adtt=100),),
    "hollow": (stringer_span(losses=(void(), surface(0.75, "left"))),),
    "split": (stringer_span(losses=(replace(void(), kind="split", depth_in=4.0, width_in=0.0, height_in=0.0),)),),
    "round": (stringer_span(shape="round", width_in=16.0, material=POSTS),),
    "unbraced": (stringer_span(braced=False, unbraced_ft=6.0),),
    "stressed": (stressed_span(),),
    "jointed": (stressed_span(butt_jointed=True),),
    "slack": (stressed_span(pressure_psi=30.0),),
    "panels": (panel_span(),),
    "two spans, by themselves": (stringer_span(label="1"), stringer_span(label="2", span_ft=24.0)),
    "two spans that run through": (
        stringer_span(label="1", continuous_unit="A", bearing_length_in=8.0),
        stringer_span(label="2", span_ft=24.0, continuous_unit="A", bearing_length_in=8.0),
    ),
}


@pytest.mark.parametrize("name", FOLLOWED)
def test_each_method_has_its_governing_case_to_the_end(name):
    """Law: one case for each method, its factor the least of the legal vehicles at its level, all lines true."""
    cases, policy = FOLLOWED[name], RatingPolicy()
    rating = rate_structure(cases, policy=policy)
    followed = governing_cases(cases=cases, rating=rating, policy=policy)
    assert [case.method for case in followed] == ["ASR", "LRFR"]
    classes = {row.vehicle: row.vehicle_class for row in rating.governing}
    for case in followed:
        least = min(
            result.rating_factor
            for span in rating.spans
            for result in span.results
            if (result.method, result.level) == (case.method, case.level) and classes.get(result.vehicle) in GENERAL
        )
        assert case.rating_factor == least
        assert case.load is not None
        for step in case.steps:
            if step.worked:
                assert value_of(step.worked) == pytest.approx(step.value, rel=2e-3, abs=2e-3)
        share = next(step for step in case.steps if step.symbol == "L")
        assert share.worked, share.formula
        factors = [step for step in case.steps if step.symbol == f"RF {case.level}"]
        assert len(factors) == 1 and factors[0].worked and factors[0].value == case.rating_factor


GENERAL = ("legal", "shv", "county")


@pytest.mark.parametrize("name", ["stringers", "two spans that run through"])
def test_a_governing_case_comes_back_from_json(name):
    cases, policy = FOLLOWED[name], RatingPolicy()
    for case in governing_cases(cases=cases, rating=rate_structure(cases, policy=policy), policy=policy):
        assert GoverningCase.from_dict(json.loads(json.dumps(case.as_dict(), allow_nan=False))) == case


def test_a_county_vehicle_is_found_among_those_given():
    """A vehicle of the county's own governs where it is the heaviest; its axles stand in the table."""
    from inventory.mechanics.vehicle import Vehicle

    loader = Vehicle(id="LOADER", name="Loader", axles_kip=(20.0, 44.0), spacings_ft=((10.0, 10.0),))
    cases, policy = (stringer_span(),), RatingPolicy()
    rating = rate_structure(cases, ("TYPE3", loader), policy)
    for case in governing_cases(cases=cases, rating=rating, policy=policy, vehicles=("TYPE3", loader)):
        assert case.vehicle == "LOADER" and case.name == "Loader"
        assert {one.load_lb for one in case.load.axles} <= {20000.0, 44000.0}


@given(
    span=st.floats(8.0, 60.0),
    width=st.floats(5.0, 14.0),
    deeper=st.floats(2.5, 20.0),
    spacing=st.floats(1.0, 6.0),
    bearing=st.none() | st.floats(1.0, 12.0),
    decay=st.floats(0.0, 1.5),
    hole=st.floats(0.0, 2.0),
    asphalt=st.booleans(),
)
@settings(max_examples=25, deadline=None)
def test_any_span_is_followed_with_true_lines(span, width, deeper, spacing, bearing, decay, hole, asphalt):
    """Law: whatever the sizes, the case is followed to its factor and no line says what it does not give."""
    sizes = {"width_in": width, "depth_in": width + deeper, "spacing_ft": spacing, "bearing_length_in": bearing}
    losses = (
        surface(decay, "bottom", 0.0, span),
        void(hole, hole, span / 3, span / 2),
    )
    case = stringer_span(span_ft=span, losses=losses, surfacing=(ASPHALT_3_IN,) if asphalt else (), **sizes)
    policy = RatingPolicy()
    rating = rate_structure((case,), policy=policy)
    if not rating.is_rated:
        return
    for followed in governing_cases(cases=(case,), rating=rating, policy=policy):
        assert followed.load is not None
        for step in followed.steps:
            assert step.source and step.mark
            if step.worked:
                assert value_of(step.worked) == pytest.approx(step.value, rel=2e-3, abs=0.06)
        (factor,) = [step for step in followed.steps if step.symbol == f"RF {followed.level}"]
        assert factor.worked and factor.value == followed.rating_factor


def test_lever_of_an_outside_stringer_by_hand():
    """Arithmetic: S = 7 ft, wheels 2 - 3.5 = -1.5 and 4.5 ft inside: (7 + 1.5)/7 + (7 - 4.5)/7 = 11/7 wheel lines; one
    lane in LRFR times 1.2 (LRFD 3.6.1.1.2, memory)."""
    cases, policy = FOLLOWED["outside by the lever"], RatingPolicy()
    rating = rate_structure(cases, policy=policy)
    case = governing_cases(cases=cases, rating=rating, policy=policy)[1]
    share = next(step for step in case.steps if step.symbol == "g")
    assert share.value == pytest.approx(11 / 7 * 1.2)
    assert share.worked == "((7 + 1.5) / 7 + (7 - 4.5) / 7) x 1.2"
