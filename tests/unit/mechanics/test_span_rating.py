"""Laws and refusals of span rating: more loss never helps, less pressure never helps, unknown counts as absent."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.beam import dead_moment_lbft, moment_at
from inventory.mechanics.rating import (
    DeadLayer,
    NotRated,
    RatingPolicy,
    SectionLoss,
    SpanCase,
    SpanRating,
    StructureRating,
    Vehicle,
    find_design_value,
    find_vehicle,
    rate_span,
    rate_structure,
)
from tests.unit.mechanics.spans import DF_DIMENSION, factor, panel_span, stressed_span, stringer_span

SET = ("HS20", "TYPE3", "TYPE3-3")
STATES = ("bending", "shear")


def least(rating) -> float:
    return min(result.rating_factor for result in rating.results)


def void(width=2.0, height=6.0, from_ft=7.0, to_ft=11.0, **more) -> SectionLoss:
    return SectionLoss(kind="void", width_in=width, height_in=height, from_ft=from_ft, to_ft=to_ft, **more)


def surface(depth=0.5, face="top", from_ft=0.0, to_ft=18.0) -> SectionLoss:
    return SectionLoss(kind="surface", face=face, depth_in=depth, from_ft=from_ft, to_ft=to_ft)


# the search over sections, by a second method


@pytest.mark.parametrize("vehicle", SET)
@pytest.mark.parametrize("zone", [(0.0, 3.0), (4.0, 6.5), (10.0, 18.0)])
def test_governing_section_against_a_dense_sweep(vehicle, zone):
    """Second method: (C - D)/L at 3,601 sections, a 4 x 10 in void in the zone, S by hand; the least is the same."""
    loss = void(3.0, 10.0, *zone)
    rating = rate_span(stringer_span(losses=(loss,)), vehicles=(vehicle,))
    stress = 1350 * (12 / 16) ** (1 / 9) * 1.15
    sound, hollow = 6 * 16**2 / 6, (6 * 16**3 - 3 * 10**3) / 12 / 8
    swept = []
    for x in np.linspace(0, 18, 3601)[1:-1]:
        inside = zone[0] <= x <= zone[1]
        capacity = stress * (hollow if inside else sound) / 12
        dead = dead_moment_lbft(load_plf=58.3333333, span_ft=18, station_ft=x)
        live = moment_at(vehicle=find_vehicle(vehicle), span_ft=18, station_ft=float(x)).value * (2 / 3.75) / 2
        swept.append((capacity - dead) / live)
    assert factor(rating, vehicle, "bending") == pytest.approx(min(swept), rel=2e-4)
    assert factor(rating, vehicle, "bending") <= min(swept) * (1 + 1e-6)


def test_edge_of_a_zone_governs_when_the_zone_is_outside_midspan():
    """Law: moment grows toward midspan, so the zone's inner edge is its worst section."""
    rating = rate_span(stringer_span(losses=(void(5.0, 12.0, 1.0, 5.0),)), vehicles=("HS20",))
    bending = next(r for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
    assert bending.station_ft == pytest.approx(5.0)


# monotony


@settings(max_examples=20, deadline=None)
@given(
    st.floats(min_value=0, max_value=2.5),
    st.floats(min_value=0, max_value=1.0),
    st.floats(min_value=0, max_value=10),
    st.floats(min_value=0.1, max_value=8),
)
def test_more_surface_loss_never_raises_a_factor(depth, more, start, length):
    end = min(18.0, start + length)
    ratings = [
        rate_span(stringer_span(losses=(surface(d, "bottom", start, end),)), vehicles=("TYPE3",))
        for d in (depth, depth + more)
    ]
    for state in STATES:
        assert factor(ratings[1], "TYPE3", state) <= factor(ratings[0], "TYPE3", state) + 1e-9


@settings(max_examples=20, deadline=None)
@given(
    st.floats(min_value=0, max_value=5),
    st.floats(min_value=0, max_value=0.9),
    st.floats(min_value=0, max_value=12),
    st.floats(min_value=0, max_value=17),
)
def test_a_wider_void_never_raises_a_factor(width, more, height, start):
    ratings = [
        rate_span(stringer_span(losses=(void(w, height, start, start + 1.0),)), vehicles=("TYPE3",))
        for w in (width, width + more)
    ]
    for state in STATES:
        assert factor(ratings[1], "TYPE3", state) <= factor(ratings[0], "TYPE3", state) + 1e-9


@settings(max_examples=15, deadline=None)
@given(
    st.floats(min_value=0, max_value=150), st.floats(min_value=0, max_value=40), st.sampled_from([True, False, None])
)
def test_more_bar_pressure_never_lowers_a_factor(pressure, more, jointed):
    low, high = (
        rate_span(stressed_span(pressure_psi=p, butt_jointed=jointed), vehicles=("TYPE3",))
        for p in (pressure, pressure + more)
    )
    assert least(high) >= least(low) - 1e-9


@settings(max_examples=15, deadline=None)
@given(st.floats(min_value=0, max_value=8), st.floats(min_value=0.1, max_value=4))
def test_more_surfacing_never_raises_a_factor(thickness, more):
    def span(t):
        layer = DeadLayer(name="asphalt", thickness_in=t, unit_weight_pcf=140, measured=True)
        return stringer_span(surfacing=(layer,))

    thin, thick = (rate_span(span(t), vehicles=("TYPE3",)) for t in (thickness, thickness + more))
    for state in STATES:
        assert factor(thick, "TYPE3", state) < factor(thin, "TYPE3", state)


@settings(max_examples=15, deadline=None)
@given(st.floats(min_value=10, max_value=30), st.floats(min_value=0.5, max_value=6))
def test_longer_spans_never_rate_higher_in_bending(span, more):
    short, long = (rate_span(stringer_span(span_ft=s), vehicles=("TYPE3",)) for s in (span, span + more))
    assert factor(long, "TYPE3", "bending") <= factor(short, "TYPE3", "bending") + 1e-9


def test_reversing_a_vehicle_or_mirroring_the_loss_changes_nothing():
    """Symmetry of the simple span."""
    forward = Vehicle(id="f", name="f", axles_kip=(8, 20, 14), spacings_ft=((11, 11), (5, 5)))
    back = Vehicle(id="f", name="f", axles_kip=(14, 20, 8), spacings_ft=((5, 5), (11, 11)))
    near = rate_span(stringer_span(losses=(void(3, 8, 1, 4),)), vehicles=(forward,))
    mirrored = rate_span(stringer_span(losses=(void(3, 8, 14, 17),)), vehicles=(back,))
    for state in STATES:
        assert factor(near, "f", state) == pytest.approx(factor(mirrored, "f", state), rel=1e-6)


def test_operating_is_above_inventory_and_by_a_third_without_dead_load():
    """MBE 6B.5.2.7 (memory): 1.33 times the stress; with dead load the factor grows by more than 1.33."""
    rating = rate_span(stringer_span(), vehicles=SET)
    for vehicle in SET:
        for state in STATES:
            low, high = factor(rating, vehicle, state), factor(rating, vehicle, state, "operating")
            assert high > 1.33 * low


# deteriorated members


def test_shear_falls_before_bending_with_internal_decay():
    """Trade fact (computed in the section example): a void takes 5 % of S but 38 % of shear strength."""
    policy = RatingPolicy(least_shell_in=0.0, least_shell_ratio=0.0)
    hollow = rate_span(stringer_span(losses=(void(2.5, 8, 0, 18),)), vehicles=("HS20",), policy=policy)
    sound = rate_span(stringer_span(), vehicles=("HS20",))
    assert 242.67 / 256 == pytest.approx(0.948, abs=0.001)
    ratio = [
        (factor(hollow, "HS20", s) * live + dead) / (factor(sound, "HS20", s) * live + dead)
        for s, live, dead in (("bending", 38400, 2362.5), ("shear", 7052, 447.2))
    ]
    assert ratio == pytest.approx([0.948, 0.617], abs=0.001)


def test_thin_shell_at_a_support_disregards_shear_and_calls_the_engineer():
    """Policy (model): a 2.5 in void leaves 1.75 in each side of 6 in, under 2 in."""
    rating = rate_span(stringer_span(losses=(void(2.5, 8, 0, 2),)), vehicles=("TYPE3",))
    assert factor(rating, "TYPE3", "shear") == 0
    assert any("shell" in flag for flag in rating.flags)
    assert rating.posting.action == "close"
    away = rate_span(stringer_span(losses=(void(2.5, 8, 8, 10),)), vehicles=("TYPE3",))
    assert factor(away, "TYPE3", "shear") > 0
    assert not any("shell" in flag for flag in away.flags)


@pytest.mark.parametrize(
    ("ratio", "lost"), [(None, 1.0), (0.0, 1.0), (0.49, 1.0), (0.50, 0.5), (0.74, 0.5), (0.75, 0.0), (1.0, 0.0)]
)
def test_drilling_resistance_decides_what_counts(ratio, lost):
    """Policy (model): under half is void, to three quarters half effective in bending, unknown counts as void."""
    loss = SectionLoss(kind="low_resistance", width_in=2, height_in=8, from_ft=6, to_ft=12, resistance_ratio=ratio)
    rating = rate_span(stringer_span(losses=(loss,)), vehicles=("H15",))
    bending = next(r for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
    modulus = (6 * 16**3 - lost * 2 * 8**3) / 12 / 8
    assert bending.capacity == pytest.approx(1350 * (12 / 16) ** (1 / 9) * 1.15 * modulus / 12)


def test_half_effective_wood_carries_no_shear():
    policy = RatingPolicy(least_shell_in=0.0, least_shell_ratio=0.0)
    zone = {"width_in": 2.5, "height_in": 8.0, "from_ft": 0.0, "to_ft": 18.0}
    soft = SectionLoss(kind="low_resistance", resistance_ratio=0.6, **zone)
    hollow = SectionLoss(kind="void", **zone)
    soft, hollow = (
        rate_span(stringer_span(losses=(loss,)), vehicles=("H15",), policy=policy) for loss in (soft, hollow)
    )
    assert factor(soft, "H15", "shear") == pytest.approx(factor(hollow, "H15", "shear"))
    assert factor(soft, "H15", "bending") > factor(hollow, "H15", "bending")


def test_split_halves_shear_near_a_support_only():
    """Policy (model): past half the width near a support F_v is halved; through, two beams of half depth: S/2."""
    sound = rate_span(stringer_span(), vehicles=("H15",))

    def split(depth, a, b):
        loss = SectionLoss(kind="split", depth_in=depth, from_ft=a, to_ft=b)
        return rate_span(stringer_span(losses=(loss,)), vehicles=("H15",))

    def capacity(rating, state):
        return next(r.capacity for r in rating.results if r.limit_state == state and r.level == "inventory")

    assert capacity(split(2.9, 0, 3), "shear") == capacity(sound, "shear")
    assert capacity(split(3.1, 0, 3), "shear") == pytest.approx(capacity(sound, "shear") / 2)
    assert capacity(split(3.1, 8, 10), "shear") == capacity(sound, "shear")
    assert capacity(split(6.0, 0, 18), "bending") == pytest.approx(capacity(sound, "bending") / 2)
    assert capacity(split(6.0, 0, 18), "shear") == pytest.approx(capacity(sound, "shear") / 2)


def test_early_decay_steps_the_grade_down():
    """NDS Supplement 4D (checked-2nd): Douglas fir beams and stringers No.1 1350, No.2 875 psi."""
    loss = SectionLoss(kind="early_decay", from_ft=0, to_ft=18)
    rating = rate_span(stringer_span(losses=(loss,)), vehicles=("H15",))
    bending = next(r for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
    assert bending.capacity == pytest.approx(875 * (12 / 16) ** (1 / 9) * 1.15 * 256 / 12)
    assert any("early decay" in flag for flag in rating.flags)


def test_early_decay_without_a_lower_grade_is_not_rated():
    glulam = find_design_value(species="Glulam DF/DF", grade="24F-V4", size_class="glulam beam, bending about x-x")
    loss = SectionLoss(kind="early_decay", from_ft=0, to_ft=18)
    result = rate_span(stringer_span(losses=(loss,), material=glulam), vehicles=("H15",))
    assert isinstance(result, NotRated)
    assert any("drill the member" in reason for reason in result.reasons)


def test_more_than_a_third_of_the_section_lost_calls_the_engineer():
    rating = rate_span(stringer_span(losses=(surface(5.5, "top", 8, 10),)), vehicles=("H15",))
    assert any("more than a third" in flag for flag in rating.flags)


def test_a_void_as_wide_as_the_member_leaves_no_beam():
    rating = rate_span(stringer_span(losses=(void(6, 2, 8, 10),)), vehicles=("H15",))
    assert factor(rating, "H15", "bending") == 0
    assert rating.posting.action == "close"


def test_crushed_bearing_is_rated_wet_and_flagged():
    """NDS Supplement 4D (checked-2nd): C_M 0.67 across the grain."""
    crushing = SectionLoss(kind="crushing", depth_in=0.25, from_ft=0, to_ft=1)
    dry, crushed = (
        rate_span(stringer_span(losses=losses, bearing_length_in=10, wet_service=False), vehicles=("H15",))
        for losses in ((), (crushing,))
    )
    capacity = [
        next(r.capacity for r in x.results if r.limit_state == "bearing" and r.level == "inventory")
        for x in (dry, crushed)
    ]
    assert capacity == pytest.approx([625 * 60, 625 * 0.67 * 60])
    assert any("crushed" in flag for flag in crushed.flags)


def test_bearing_reaction_by_hand():
    """Arithmetic, H15: 24 kip over the bearing by the deck as a simple beam (S 2 ft: 1 wheel line), 6 kip at 14 ft."""
    rating = rate_span(stringer_span(bearing_length_in=10), vehicles=("H15",))
    bearing = next(r for r in rating.results if r.limit_state == "bearing" and r.level == "inventory")
    truck = 24000 * 1.0 / 2 + 6000 * (18 - 14) / 18 * (2 / 3.75) / 2
    assert bearing.live_effect == pytest.approx(truck)
    assert bearing.capacity == pytest.approx(625 * 0.67 * 6 * 10)
    assert bearing.dead_effect == pytest.approx(58.3333 * 9, rel=1e-5)


def test_lost_laminations_leave_the_rest_of_the_strip():
    """Arithmetic: 3 of 1.5 in lost in a 44 in strip leave 39.5/44."""
    loss = SectionLoss(kind="lamination_lost", count=3, from_ft=0, to_ft=24)
    rating = rate_span(stressed_span(losses=(loss,)), vehicles=("HS20",))
    bending = next(r for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
    assert bending.capacity == pytest.approx(41400 * 39.5 / 44)
    assert any("laminations" in flag for flag in rating.flags)


# bars


def test_unknown_pressure_counts_as_absent():
    unknown = rate_span(stressed_span(pressure_psi=None, butt_jointed=True), vehicles=("TYPE3",))
    zero = rate_span(stressed_span(pressure_psi=0.0, butt_jointed=True), vehicles=("TYPE3",))
    assert least(unknown) == least(zero) == 0
    assert unknown.posting.action == "close"
    assert any("counted as absent" in flag for flag in unknown.flags)


@pytest.mark.parametrize("jointed", [True, None])
def test_butt_jointed_laminations_without_pressure_carry_nothing(jointed):
    rating = rate_span(stressed_span(pressure_psi=35.0, butt_jointed=jointed), vehicles=("TYPE3",))
    assert least(rating) == 0
    assert any("butt-jointed" in flag for flag in rating.flags)
    assert rating.posting.action == "close"


def test_butt_jointed_laminations_with_proven_nails_are_rated_loose():
    rating = rate_span(
        stressed_span(pressure_psi=35.0, butt_jointed=True, interconnection_proven=True), vehicles=("TYPE3",)
    )
    assert least(rating) > 0


def test_between_need_and_floor_the_distribution_stays_and_retensioning_is_due():
    """Policy (model): 35 psi against a need of 30 rates as 60 psi does, with a flag."""
    at_35 = rate_span(stressed_span(pressure_psi=35.0, needed_pressure_psi=30.0), vehicles=("TYPE3",))
    at_60 = rate_span(stressed_span(pressure_psi=60.0), vehicles=("TYPE3",))
    assert least(at_35) == least(at_60)
    assert any("re-tension is due now" in flag for flag in at_35.flags)
    assert at_60.flags == ()


@pytest.mark.parametrize(("pressure", "closes"), [(19.9, True), (20.0, False)])
def test_closing_is_recommended_below_20_psi_whatever_the_factors(pressure, closes):
    rating = rate_span(stressed_span(pressure_psi=pressure), vehicles=("TYPE3",))
    assert (rating.posting.action == "close") is closes


# posting, structure, refusals


def test_structure_is_as_strong_as_its_weakest_span():
    good, bad = stringer_span(label="1"), stringer_span(label="2", losses=(surface(2.0, "bottom"),))
    both = rate_structure((good, bad), vehicles=SET)
    alone = rate_span(bad, vehicles=SET)
    assert isinstance(both, StructureRating)
    assert {rating.span for rating in both.governing} == {"2"}
    assert [r.inventory_factor for r in both.governing] == [r.inventory_factor for r in alone.governing]
    assert both.posting.single_tons == alone.posting.single_tons


def test_structure_with_an_unrated_span_is_not_rated_but_keeps_the_closing():
    slack = stressed_span(label="1", pressure_psi=5.0)
    unknown = stringer_span(label="2", spacing_ft=None)
    result = rate_structure((slack, unknown), vehicles=SET)
    assert isinstance(result, NotRated)
    assert result.close_recommended
    assert any(reason.startswith("Span 2:") and "spacing" in reason for reason in result.reasons)


@pytest.mark.parametrize(
    ("case", "words"),
    [
        (stringer_span(span_ft=0.0), "span length"),
        (stringer_span(span_ft=250.0), "span is 250"),
        (stringer_span(spacing_ft=None), "spacing"),
        (stringer_span(depth_in=0.0), "width and depth"),
        (stringer_span(deck_kind="none"), "deck"),
        (stringer_span(deck_kind="cloth"), "cloth"),
        (stringer_span(simply_supported=False), "continuous"),
        (stringer_span(members=()), "No load-carrying member"),
        (stringer_span(system="arch"), "arch"),
        (stringer_span(lanes_loaded=0), "loaded lanes"),
        (stringer_span(material=DF_DIMENSION), "size class"),
        (stringer_span(losses=(surface(1, "west"),)), "decayed face"),
        (stringer_span(losses=(void(2, 6, 20, 22),)), "on the span"),
        (stringer_span(losses=(void(2, 6, 5, 3),)), "end of the void"),
        (stringer_span(losses=(void(-2, 6, 3, 5),)), "width_in"),
        (stressed_span(bars=None), "bar record"),
        (stressed_span(pressure_psi=-3.0), "bar pressure"),
        (stringer_span(service_temperature_f=180.0), "service temperature"),
        (stringer_span(depth_in=float("nan")), "width and depth"),
    ],
)
def test_what_is_missing_is_said_in_a_sentence(case, words):
    result = rate_span(case, vehicles=("H15",))
    assert isinstance(result, NotRated)
    assert any(words in reason and reason.endswith(".") for reason in result.reasons), result.reasons


def test_an_unknown_vehicle_is_named_with_the_known_ones():
    with pytest.raises(KeyError, match="TYPE3S2"):
        rate_span(stringer_span(), vehicles=("T99",))


def test_composites_need_their_makers_wet_factors():
    psl = find_design_value(species="PSL", grade="2.0E", size_class="parallel strand lumber")
    wet = rate_span(stringer_span(material=psl), vehicles=("H15",))
    assert isinstance(wet, NotRated)
    assert any("maker's report" in reason for reason in wet.reasons)
    assert rate_span(stringer_span(material=psl, wet_service=False), vehicles=("H15",)).is_rated


def test_posting_stays_whole_and_under_every_limit():
    """Law: whole tons, not above the vehicle, not above operating; factor 1 and more needs no limit."""
    for depth in (0.0, 1.0, 2.0, 3.0, 4.0, 5.0):
        rating = rate_span(stringer_span(losses=(surface(depth, "bottom"),)))
        by_vehicle = {r.vehicle: r for r in rating.governing}
        for vehicle, tons in rating.posting.vehicle_tons.items():
            governing = by_vehicle[vehicle]
            assert tons == int(tons)
            assert tons <= governing.operating_tons + 1e-9
            assert tons <= governing.gross_tons
            assert governing.posting_factor < 1
        if rating.posting.vehicle_tons:
            assert rating.posting.single_tons == min(rating.posting.vehicle_tons.values())


def test_rating_survives_the_trip_through_json():
    for case in (stringer_span(losses=(void(),)), stressed_span(pressure_psi=None), panel_span()):
        assert SpanCase.from_dict(json.loads(json.dumps(case.as_dict()))) == case
        rating = rate_span(case, vehicles=SET)
        assert SpanRating.from_dict(json.loads(json.dumps(rating.as_dict()))) == rating


def test_same_case_same_rating():
    assert rate_span(stringer_span(losses=(void(),))) == rate_span(stringer_span(losses=(void(),)))


def test_every_factor_stands_in_the_trace():
    rating = rate_span(stringer_span(bearing_length_in=10), vehicles=SET)
    recorded = {s.value for heading in rating.trace for s in heading.steps if s.symbol.startswith("RF")}
    assert {result.rating_factor for result in rating.results} <= recorded
    capacities = {s.value for heading in rating.trace for s in heading.steps if s.symbol.startswith("C ")}
    assert {result.capacity for result in rating.results} <= capacities


def test_every_step_carries_a_source_and_a_known_mark():
    rating = rate_span(stressed_span(), vehicles=SET)
    for heading in rating.trace:
        for step in heading.steps:
            assert step.source and step.mark in ("checked", "checked-2nd", "memory", "computed", "model", "input")


def test_exterior_stringer_carries_railing_and_its_lever_share():
    """Arithmetic: curb 1 ft outside, S 4 ft: first wheel 1 ft inside, (4 - 1)/4 = 0.75; plank S/4 = 1.0 governs."""
    case = stringer_span(exterior=True, spacing_ft=4.0, curb_offset_ft=1.0, railing_plf=50.0, lanes_loaded=1)
    rating = rate_span(case, vehicles=("H15",))
    assert next(r.distribution_factor for r in rating.results if r.limit_state == "bending") == pytest.approx(1.0)
    wide = replace(case, members=(replace(case.members[0], curb_offset_ft=3.0),))
    # first wheel 1 ft outside the stringer: (4 + 1)/4 = 1.25, the second is beyond S
    found = rate_span(wide, vehicles=("H15",)).results
    assert next(r.distribution_factor for r in found if r.limit_state == "bending") == pytest.approx(1.25)
    bending = next(r for r in found if r.limit_state == "bending")
    dead = (6 * 16 / 144 * 50 + 3 / 12 * 50 * 4 + 50) * bending.station_ft * (18 - bending.station_ft) / 2
    assert bending.dead_effect == pytest.approx(dead)


def test_panels_without_proven_stiffeners_stand_alone():
    """3.25.3 (memory): 48 in, 24 ft, one lane 0.7832 wheel line; alone H15: 48/min(17.32 + 8.75, 48)."""
    together = rate_span(panel_span(), vehicles=("H15",))
    alone = rate_span(panel_span(deck_interconnected=None), vehicles=("H15",))
    shares = [next(r.distribution_factor for r in x.results if r.limit_state == "bending") for x in (together, alone)]
    assert shares == pytest.approx([0.7832, 48 / (17.3205 + 8.75)], abs=5e-5)
    assert any("not interconnected" in note for note in alone.notes)
