"""Continuous stringers rated: hand arithmetic, laws, limits."""

from __future__ import annotations

from dataclasses import replace
from math import prod, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.rating import DESIGN_VALUES, DeadLayer, Vehicle, find_vehicle, rate_span, rate_structure
from inventory.mechanics.rating.build import Build, build_stringer
from inventory.mechanics.rating.continuous import E_MIN_OVER_E, E_MIN_OVER_E_SAWN, build_unit_stringer
from inventory.mechanics.rating.limit_states import limit_state_results
from inventory.mechanics.rating.policy import RatingPolicy
from inventory.mechanics.rating.unit_lines import UnitSpan
from inventory.mechanics.trace import Trace
from tests.unit.mechanics.spans import ASPHALT_3_IN, DF_GLULAM, stringer_span, surface, void
from tests.unit.mechanics.units import factors, found, unit, with_member

SET = ("HS20", "TYPE3", "TYPE3-3")
STATES = ("bending", "hogging", "shear", "bearing")
AXLE = Vehicle(id="axle", name="one axle", axles_kip=(30.0,), spacings_ft=())
GLULAM = {"material": DF_GLULAM, "width_in": 8.75, "depth_in": 27.0, "deck_kind": "glulam_panel"}


# hand arithmetic


def stability(fb_star, e, width, depth, free_ft):
    """C_L of NDS 3.3.3 (checked-2nd); ``e`` is 1.20 E_min or K_bE E."""
    free = free_ft * 12
    assert 7 <= free / depth <= 14.3
    slender = (1.63 * free + 3 * depth) * depth / width**2
    a = e / slender / fb_star
    return (1 + a) / 1.9 - sqrt(((1 + a) / 1.9) ** 2 - a / 0.95)


def test_hogging_over_the_pier_by_hand():
    """Two spans of 18 ft of 6 x 16 in stringers, one 30 kip axle: dead wL2/8, live 0.0962 PL at 0.577 L (handbook).

    S = 256 in3; F_b 1350, C_D 1.15, C_F (12/16)^(1/9), C_L with the lower edge free over 18 ft; S/3.75 wheel lines.
    """
    rating = rate_structure(unit(), vehicles=(AXLE,))
    result = found(rating, "axle", "hogging")
    size = (12 / 16) ** (1 / 9)
    star = 1350 * 1.15 * size
    capacity = star * stability(star, 1.20 * 580_000, 6, 16, 18) * 256 / 12
    weight = 6 * 16 / 144 * 50 + 3 / 12 * 50 * 2  # itself and 3 in of plank on 2 ft
    dead, lane = weight * 18**2 / 8, 30_000 * 18 / (6 * sqrt(3))
    live = lane * (2 / 3.75) / 2
    assert result.station_ft == pytest.approx(18.0)
    assert result.dead_effect == pytest.approx(dead, rel=1e-9)
    assert result.lane_effect == pytest.approx(lane, rel=1e-9)
    assert result.capacity == pytest.approx(capacity, rel=1e-6)
    assert result.rating_factor == pytest.approx((capacity - dead) / live, rel=1e-6)
    operating = found(rating, "axle", "hogging", "operating")
    assert operating.rating_factor == pytest.approx((1.33 * capacity - dead) / live, rel=1e-6)


def test_hogging_over_the_pier_by_load_factors_by_hand():
    """The same: phi F_b = 2.5 x 0.8 x 1350 C_F C_L, K_bE E = 0.76 x 1.6e6 (LRFD 8.4.4, 8.6.2, memory).

    Condition not on record counts as poor, 0.85; traffic not on record takes the greatest factor. The share is the
    result's own.
    """
    rating = rate_structure(unit(), vehicles=(AXLE,))
    result = found(rating, "axle", "hogging", "legal", "LRFR")
    size = (12 / 16) ** (1 / 9)
    star = 2.5 / 0.85 * 0.8 * 1350 * size
    capacity = 0.85 * 0.85 * star * stability(star, 0.76 * 1_600_000, 6, 16, 18) * 256 / 12
    dead = (6 * 16 / 144 * 50 + 25) * 18**2 / 8
    live = 30_000 * 18 / (6 * sqrt(3)) * result.distribution_factor / 2
    assert result.capacity == pytest.approx(capacity, rel=1e-6)
    assert result.rating_factor == pytest.approx((capacity - 1.25 * dead) / (1.45 * live), rel=1e-6)


def test_dead_shear_and_reaction_at_the_pier_by_hand():
    """Two equal spans (handbook): shear beside the pier 5/8 wL less w d, reaction of the pier 10/8 wL."""
    rating = rate_structure(unit(), vehicles=(AXLE,))
    weight = 6 * 16 / 144 * 50 + 25
    shear, bearing = found(rating, "axle", "shear"), found(rating, "axle", "bearing")
    assert shear.station_ft == pytest.approx(18 - 4) and bearing.station_ft == pytest.approx(18)
    assert shear.dead_effect == pytest.approx(5 / 8 * weight * 18 - weight * 16 / 12, rel=1e-9)
    assert bearing.dead_effect == pytest.approx(10 / 8 * weight * 18, rel=1e-9)
    # The axle over the pier: all of it comes by the deck, 2 ft of spacing under two lanes 4 ft apart give one wheel.
    assert bearing.live_effect == pytest.approx(15_000, rel=1e-9)


@pytest.mark.parametrize(
    ("given", "counted"),
    [(1850.0, 1850.0), (2400.0, 2400.0), (None, 1200.0)],
    ids=["unbalanced", "balanced", "not on record"],
)
def test_the_other_face_of_a_glulam_layup(given, counted):
    """24F-V4 hogs with 1850 psi (NDS Supplement 5A expanded, checked-2nd), balanced layups with all, unknown with half.

    C_V = (21/L 12/d 5.125/b)^(1/10) with L = 30 + 24 ft, the two spans together; 0.80 wet, 1.15 vehicle load.
    """
    cases = unit(30.0, 24.0, **GLULAM | {"material": replace(DF_GLULAM, fb_neg_psi=given)})
    result = found(rate_structure(cases, vehicles=(AXLE,)), "axle", "hogging")
    volume = (21 / 54 * 12 / 27 * 5.125 / 8.75) ** 0.1
    assert result.capacity == pytest.approx(counted * 0.8 * 1.15 * volume * 8.75 * 27**2 / 6 / 12, rel=1e-9)


@pytest.mark.parametrize("row", [row for row in DESIGN_VALUES if row.e_min_psi], ids=lambda row: row.title)
def test_e_min_where_the_table_has_none(row):
    """NDS appendix D (memory) gives the Supplement's rows (checked-2nd) to their rounding; composites stand above."""
    ratio = E_MIN_OVER_E.get(row.kind, E_MIN_OVER_E_SAWN)
    if row.kind in ("psl", "lvl"):
        assert ratio * row.e_psi <= row.e_min_psi
    else:
        assert ratio * row.e_psi == pytest.approx(row.e_min_psi, rel=0.02)


# laws


@pytest.mark.parametrize("changes", [{}, {"exterior": True, "count": 8}, {"losses": (void(2, 8, 12, 18),)}])
@pytest.mark.parametrize("strength", ["", "strength I"])
def test_one_span_of_a_unit_is_the_simple_span(changes, strength):
    """Limit: a line of one span, through the continuous search, gives the factors of the simple one."""
    case = stringer_span(span_ft=21.0, bearing_length_in=9.0, surfacing=(ASPHALT_3_IN,), **changes)
    build = Build(case=case, policy=RatingPolicy(), worth=None, strength=strength)
    plain = build_stringer(build, case.members[0], Trace())
    along = build_unit_stringer(replace(build, unit=UnitSpan(cases=(case,), span_no=1)), case.members[0], Trace())
    for key in ("HL93", "HS20", "TYPE3", "TYPE3-3", "SU7", "NRL", "EV3"):
        one = {(r.limit_state, r.level): r for r in limit_state_results(element=plain, vehicle=find_vehicle(key))}
        two = {(r.limit_state, r.level): r for r in along.results(find_vehicle(key))}
        assert set(one) == set(two)
        for name, result in one.items():
            assert two[name].rating_factor == pytest.approx(result.rating_factor, rel=2e-5)


@settings(max_examples=12, deadline=None, derandomize=True)
@given(
    st.floats(min_value=0, max_value=3),
    st.floats(min_value=0.1, max_value=2),
    st.floats(min_value=0, max_value=16),
    st.sampled_from(["top", "bottom"]),
)
def test_more_decay_never_rates_higher(depth, more, start, face):
    """Monotony, every limit state, span and level: decay in one of the spans, wherever it lies."""
    ratings = []
    for d in (depth, depth + more):
        one, two = unit(18.0, 14.0)
        ratings.append(rate_structure((with_member(one, losses=(surface(d, face, start, start + 2),)), two), SET))
    less, worse = map(factors, ratings)
    assert set(less) == set(worse)
    assert all(worse[key] <= less[key] + 1e-9 for key in less)


@settings(max_examples=8, deadline=None, derandomize=True)
@given(st.floats(min_value=0, max_value=6), st.floats(min_value=0.1, max_value=3), st.floats(12, 24))
def test_more_surfacing_never_rates_higher(thickness, more, second):
    """Monotony, every limit state and level of the unit."""
    sets = []
    for t in (thickness, thickness + more):
        layer = DeadLayer(name="asphalt", thickness_in=t, unit_weight_pcf=140, measured=True)
        sets.append(factors(rate_structure(unit(18.0, second, surfacing=(layer,)), SET)))
    assert all(sets[1][key] <= sets[0][key] + 1e-6 for key in sets[0])


@settings(max_examples=8, deadline=None, derandomize=True)
@given(st.floats(min_value=13, max_value=22), st.floats(min_value=0.25, max_value=4), st.floats(12, 24))
def test_less_depth_never_rates_higher(depth, less, second):
    """Monotony of bending and shear: all spans alike shallower; the weight saved is far less than the strength lost."""
    deep, shallow = (factors(rate_structure(unit(18.0, second, depth_in=d), SET)) for d in (depth, depth - less))
    for key, value in deep.items():
        if key[3] in ("bending", "hogging", "shear"):
            assert shallow[key] <= value * (1 + 1e-6) + 1e-9, key


@settings(max_examples=6, deadline=None, derandomize=True)
@given(st.lists(st.integers(48, 120), min_size=2, max_size=4), st.integers(0, 36))
def test_a_unit_turned_round_rates_the_same(quarters, place):
    """Symmetry: spans in the other order, the decay mirrored, all in quarter feet; vehicles run both ways already."""
    cases = unit(*(quarter / 4 for quarter in quarters), surfacing=(ASPHALT_3_IN,))
    first, start = quarters[0] / 4, place / 4
    there = (with_member(cases[0], losses=(void(3, 8, start, start + 2),)), *cases[1:])
    turned = (*cases[:0:-1], with_member(cases[0], losses=(void(3, 8, first - start - 2, first - start),)))
    a, b = (by_label(rate_structure(cases, SET)) for cases in (there, turned))
    assert set(a) == set(b)
    assert all(b[key] == pytest.approx(a[key], rel=1e-5) for key in a)


def by_label(rating):
    return {
        (one.label, r.vehicle, r.limit_state, r.level, r.method): r.rating_factor
        for one in rating.spans
        for r in one.results
    }


def test_decay_over_the_pier_governs_there():
    """Law: a hole over the pier lowers hogging and leaves the sagging of the sound part as it was."""
    one, two = unit()
    sound = rate_structure((one, two), SET)
    holed = rate_structure((with_member(one, losses=(void(4, 12, 16, 18),)), two), SET)
    ratio = 1 - 4 / 6 * (12 / 16) ** 3  # S of the section with its hole over the sound one
    before, after = found(sound, "TYPE3", "hogging"), found(holed, "TYPE3", "hogging")
    assert after.capacity == pytest.approx(before.capacity * ratio, rel=1e-9) and after.station_ft == 18.0
    assert found(holed, "TYPE3", "hogging", span="2").rating_factor == pytest.approx(before.rating_factor, rel=1e-9)
    sagging = [found(rating, "TYPE3", "bending", span="2").rating_factor for rating in (sound, holed)]
    assert sagging[0] == pytest.approx(sagging[1], rel=1e-9)


def test_what_would_lift_is_rated_as_simple_too():
    """Law: a light stringer that nothing holds down rates no higher in sagging than the simple span it becomes."""
    cases = unit()
    rating = rate_structure(cases, SET)
    alone = rate_span(replace(cases[0], continuous_unit=""), SET)
    simple = {(r.vehicle, r.limit_state, r.level, r.method): r.rating_factor for r in alone.results}
    told = [note for note in rating.spans[0].notes if "would lift" in note]
    assert "HS20" in told[0] and "hold-downs" in told[0]
    for result in rating.spans[0].results:
        key = (result.vehicle, result.limit_state, result.level, result.method)
        if result.vehicle == "HS20" and result.limit_state != "hogging":
            assert result.rating_factor <= simple[key] * (1 + 1e-9)
    heavy = rate_structure(tuple(replace(case, other_dead_psf=150.0) for case in cases), SET)
    assert not [note for note in heavy.spans[0].notes if "would lift" in note]
    held = rate_structure(tuple(replace(case, held_down=True) for case in cases), SET)
    assert not [result for result in held.spans[0].results if result.as_simple]
    assert all(factors(held)[key] >= value - 1e-9 for key, value in factors(rating).items())
    continuous = found(heavy, "HS20", "bending")
    alone = rate_span(replace(cases[0], continuous_unit="", other_dead_psf=150.0), SET)
    plain = min(r.lane_effect for r in alone.results if (r.vehicle, r.limit_state) == ("HS20", "bending"))
    assert continuous.lane_effect < plain


def test_dead_load_alone_over_the_pier_closes():
    """A pier bent upwards by dead load beyond F_b' of permanent load: closed whatever the vehicles (Table 13.5.5A)."""
    rating = rate_structure(unit(28.0, 28.0, other_dead_psf=450.0), SET)
    assert rating.posting.action == "close"
    assert any("dead load alone exceeds" in flag for flag in rating.flags)


def test_a_factor_of_the_record_is_its_numbers():
    """RF = (C - dc DC - dw DW)/(gamma L) of every result, from its own fields, to the last digit."""
    rating = rate_structure(unit(20.0, 16.0, 22.0, surfacing=(ASPHALT_3_IN,)), SET)
    for one in rating.spans:
        for r in one.results:
            dead = r.dc_factor * (r.dead_effect - r.wearing_effect) + r.dw_factor * r.wearing_effect
            assert r.rating_factor == pytest.approx(max(0.0, (r.capacity - dead) / (r.live_factor * r.live_effect)))
    steps = {h.title: {s.symbol: s.value for s in h.steps} for h in rating.spans[1].trace}
    hogging = steps["Hogging stress: stringer"]
    names = [name for name in hogging if name not in ("F_b", "F_b'")]
    assert hogging["F_b'"] == pytest.approx(hogging["F_b"] * prod(hogging[name] for name in names))
    assert steps["Continuous line: stringer"]["L3"] == 22.0
