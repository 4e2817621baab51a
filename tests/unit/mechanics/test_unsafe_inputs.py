"""Nothing impossible in a case may lift a rating: weights below nothing, holes outside the wood, joints forgotten."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.rating import BarState, MemberCase, RatingPolicy, SectionLoss, SpanCase, Vehicle, rate_span
from tests.unit.mechanics.spans import (
    DF_DIMENSION,
    DF_GLULAM,
    factor,
    least,
    stressed_span,
    stringer_span,
    surface,
    void,
)

NAN = float("nan")


@pytest.mark.parametrize("name", ["railing_plf", "other_dead_psf", "deck_unit_weight_pcf"])
@pytest.mark.parametrize("weight", [-50.0, NAN])
def test_a_weight_below_nothing_is_refused(name, weight):
    rating = rate_span(stringer_span(**{name: weight}), vehicles=("TYPE3",))
    assert not rating.is_rated and "less than zero" in rating.reasons[0]


@pytest.mark.parametrize(
    "loss",
    [
        void(2.0, 6.0, offset_in=20.0),
        void(2.0, 6.0, offset_in=NAN),
        SectionLoss(kind="low_resistance", from_ft=7, to_ft=9, width_in=2, height_in=6, resistance_ratio=NAN),
        SectionLoss(kind="lamination_lost", from_ft=0, to_ft=18, count=-10),
    ],
)
def test_a_loss_that_would_count_as_none_is_refused(loss):
    assert not rate_span(stringer_span(losses=(loss,)), vehicles=("TYPE3",)).is_rated


@settings(max_examples=40, deadline=None)
@given(st.floats(1.0, 6.0), st.floats(-4.0, 2.0), st.sampled_from([1, 2]))
def test_an_outside_stringer_no_wheel_reaches_has_a_rating(spacing, curb, lanes):
    """The lever gives 0 there (wheel at or beyond the next stringer); the inner share stands in, never a division."""
    for offset in (curb, 2.0 - spacing):
        case = stringer_span(exterior=True, spacing_ft=spacing, curb_offset_ft=offset, lanes_loaded=lanes)
        inner = stringer_span(spacing_ft=spacing, lanes_loaded=lanes)
        assert 0 <= least(rate_span(case, vehicles=("HS20",))) <= least(rate_span(inner, vehicles=("HS20",))) + 1e-9


def check(depth_in, face):
    return SectionLoss(kind="split", from_ft=0, to_ft=4, depth_in=depth_in, face=face)


def test_checks_from_both_sides_count_together():
    """2.5 in from the left and 2.5 in from the right of 6 in leave 1 in: shear is halved as for one 5 in deep."""
    sound = rate_span(stringer_span(), vehicles=("TYPE3",))
    both = rate_span(stringer_span(losses=(check(2.5, "left"), check(2.5, "right"))), vehicles=("TYPE3",))
    one_side = rate_span(stringer_span(losses=(check(2.5, "left"), check(1.0, "left"))), vehicles=("TYPE3",))
    capacity = [
        next(r.capacity for r in rating.results if r.limit_state == "shear" and r.level == "inventory")
        for rating in (sound, both, one_side)
    ]
    assert capacity[1] == pytest.approx(capacity[0] / 2) and capacity[2] == pytest.approx(capacity[0])
    assert any("half the width" in flag for flag in both.flags)


def test_checks_that_meet_make_two_beams():
    """Two beams of half depth: S = 2 b (d/2)2/6 = half of b d2/6."""
    sound = rate_span(stringer_span(), vehicles=("TYPE3",))
    met = tuple(replace(check(3.0, face), to_ft=18.0) for face in ("left", "right"))
    split = rate_span(stringer_span(losses=met), vehicles=("TYPE3",))
    capacity = [
        next(r.capacity for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
        for rating in (sound, split)
    ]
    assert capacity[1] == pytest.approx(capacity[0] / 2)


def test_rounding_to_the_nearest_ton_does_not_save_a_span_from_closing():
    """Closed below 3 tons (23 CFR 650.313, MBE 6A.8.1, memory): 2.5 to 2.99 tons would round to 3."""
    policy = RatingPolicy(rounding="nearest", posting_level=0.0)
    light = Vehicle(id="grader", name="grader", axles_kip=(4.0, 10.0), spacings_ft=((8.0, 8.0),))  # 7 tons
    seen = False
    for step in range(100):
        case = stringer_span(losses=(surface(8.0 + step / 25, "bottom"),))
        rating = rate_span(case, vehicles=(light,), policy=policy)
        tons = rating.governing[0].posting_tons
        if tons >= 0.3 * 7:
            seen = seen or 2.5 <= tons < 3.0
            assert (rating.posting.action == "close") == (tons < 3.0)
    assert seen


def tee(**bars):
    member = MemberCase(
        label="w",
        role="web",
        material=DF_GLULAM,
        width_in=5.125,
        depth_in=24.0,
        spacing_ft=2.0,
        flange_depth_in=9.25,
        flange_material=DF_DIMENSION,
    )
    return SpanCase(
        label="1",
        span_ft=30.0,
        system="stress_laminated_t",
        lanes_loaded=1,
        roadway_width_ft=14.0,
        deck_width_ft=16.0,
        deck_kind="stress_laminated",
        members=(member,),
        bars=BarState(least_local_pressure_psi=200.0, **bars),
        wet_service=False,
    )


def test_butt_joints_in_the_flange_of_a_tee_count():
    """A jointed lamination carries nothing past its joint: fewer run whole, the weaker the web with its flange."""
    whole, eight, four, unknown = (
        factor(rate_span(tee(**bars), vehicles=("TYPE3",)), "TYPE3", "bending")
        for bars in (
            {"butt_jointed": False},
            {"butt_jointed": True, "joint_every": 8},
            {"butt_jointed": True, "joint_every": 4},
            {"butt_jointed": None},
        )
    )
    assert whole > eight > four == unknown


def test_butt_joints_of_a_nailed_deck_count_where_they_are_on_record():
    """(4 - 1)/4 of the strip's capacity (model)."""
    case = stressed_span(system="nail_laminated_deck", bars=None)
    plain, jointed = (
        next(r.capacity for r in rate_span(replace(case, deck_butt_jointed=j)).results) for j in (False, True)
    )
    assert jointed == pytest.approx(plain * 0.75)
    assert any("not on record" in note for note in rate_span(case).notes)
