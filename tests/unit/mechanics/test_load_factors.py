"""Load and resistance factor rating: levels, factors, safe posting loads, strengths; by arithmetic and by law."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.rating import MemberCase, RatingPolicy, SectionLoss, SpanCase, find_vehicle, rate_span
from inventory.mechanics.rating.governing import safe_tons
from inventory.mechanics.rating.levels import condition_factor, legal_factor, levels_of, resistance_ratio
from inventory.mechanics.tables.design_values import find_design_value
from inventory.mechanics.vehicle import Vehicle

FIR = find_design_value(species="Douglas fir-larch", grade="No.1", size_class="beams and stringers")


def stringers(**changes) -> SpanCase:
    member = MemberCase(
        label="stringer", role="stringer", material=FIR, width_in=6, depth_in=16, spacing_ft=2, count=12
    )
    given = {
        "label": "1",
        "span_ft": 18.0,
        "system": "stringer",
        "lanes_loaded": 2,
        "roadway_width_ft": 22.0,
        "deck_width_ft": 24.0,
        "deck_kind": "plank",
        "deck_thickness_in": 3.0,
        "members": (member,),
        "condition_rating": 6,
        "adtt": 500,
    }
    return SpanCase(**given | changes)


def lrfr(rating, vehicle: str, level: str) -> float:
    (found,) = [r.rating_factor for r in rating.load_factor if (r.vehicle, r.level) == (vehicle, level)]
    return found


@pytest.mark.parametrize(
    ("adtt", "edition", "hauling", "factor"),
    [
        # Manual for Bridge Evaluation Table 6A.4.4.2.3a-1 (memory); between rows by hand: 1.30 + 0.15 x 2000/4000.
        (None, "2013", False, 1.45),
        (0, "2013", False, 1.30),
        (1000, "2013", False, 1.30),
        (3000, "2013", False, 1.375),
        (5000, "2013", False, 1.45),
        (20000, "2013", True, 1.45),
        (100, "2008", False, 1.40),
        (1000, "2008", False, 1.65),
        (None, "2008", False, 1.80),
        (550, "2008", True, 1.275),  # 1.15 + 0.25 x 450/900
        (None, "2008", True, 1.60),
    ],
)
def test_live_load_factor_of_legal_loads(adtt, edition, hauling, factor):
    assert legal_factor(adtt=adtt, edition=edition, hauling=hauling) == pytest.approx(factor)


@pytest.mark.parametrize(("rating", "factor"), [(9, 1.0), (6, 1.0), (5, 0.95), (4, 0.85), (0, 0.85), (None, 0.85)])
def test_condition_factor(rating, factor):
    """Manual for Bridge Evaluation 6A.4.2.3 (memory); a condition not on record counts as poor."""
    assert condition_factor(case=stringers(condition_rating=rating), policy=RatingPolicy()) == factor


def test_condition_may_rise_where_loss_is_measured_and_never_above_one():
    """Commentary to 6A.4.2.3 (memory): 0.95 + 0.05 = 1.00; 1.00 stays."""
    loss = SectionLoss(kind="surface", face="top", depth_in=0.5, from_ft=7, to_ft=11, measured_by="probing")
    case = stringers(condition_rating=5)
    lossy = replace(case, members=(replace(case.members[0], losses=(loss,)),))
    allowed = RatingPolicy(raise_condition_where_measured=True)
    assert condition_factor(case=lossy, policy=allowed) == pytest.approx(1.0)
    assert condition_factor(case=replace(lossy, condition_rating=8), policy=allowed) == 1.0
    assert condition_factor(case=lossy, policy=RatingPolicy()) == 0.95


@pytest.mark.parametrize(("girders", "spacing", "ratio"), [(12, 2.0, 0.95), (3, 2.0, 0.85), (4, 4.0, 0.9025)])
def test_product_of_condition_and_system(girders, spacing, ratio):
    """phi_c 0.95 x phi_s 1.00, 0.85 (three girders: 0.8075, not below 0.85), 0.95 (four at 4 ft): 6A.4.2.4 (memory)."""
    case = stringers(condition_rating=5)
    case = replace(case, members=(replace(case.members[0], spacing_ft=spacing),))
    assert resistance_ratio(case=case, policy=RatingPolicy(), girders=girders) == pytest.approx(ratio)


def test_safe_posting_load_at_its_boundaries():
    """(W/0.7)(RF - 0.3), 6A.8.3 (memory): RF 1 gives W, RF 0.3 nothing; five values by arithmetic."""
    assert safe_tons(factor=1.0, gross_tons=25) == pytest.approx(25)
    assert safe_tons(factor=0.3, gross_tons=25) == 0
    assert safe_tons(factor=0.1, gross_tons=25) == 0
    assert safe_tons(factor=1.7, gross_tons=25) == 25
    for gross, factor, tons in (
        (25, 0.85, 19.64),
        (36, 0.85, 28.29),
        (40, 0.62, 18.29),
        (27, 0.45, 5.79),
        (25, 0.35, 1.79),
    ):
        assert safe_tons(factor=factor, gross_tons=gross) == pytest.approx(tons, abs=0.005)


def test_posting_by_load_factors_takes_the_safe_load_and_stays_under_the_factor():
    poor = stringers(condition_rating=4, adtt=None)
    rating = rate_span(poor, policy=RatingPolicy(posting_method="LRFR"))
    assert rating.posting.action == "post"
    for row in rating.governing:
        if row.posting_method == "LRFR" and row.posting_factor < 1.0:
            assert row.posting_tons == pytest.approx(row.gross_tons / 0.7 * (row.posting_factor - 0.3))
            assert rating.posting.vehicle_tons.get(row.vehicle, 0) <= row.posting_factor * row.gross_tons
    allowable = rate_span(poor)
    assert {r.vehicle: r.operating_factor for r in allowable.governing} == {
        r.vehicle: r.operating_factor for r in rating.governing
    }


def test_surfacing_weighs_more_until_it_is_measured():
    """gamma_DW 1.50, 1.25 where measured (Table 6A.4.2.2-1, memory)."""
    from inventory.mechanics.rating import DeadLayer

    layer = DeadLayer(name="asphalt", thickness_in=4, unit_weight_pcf=140, measured=False)
    guessed = rate_span(stringers(surfacing=(layer,)))
    measured = rate_span(stringers(surfacing=(replace(layer, measured=True),)))
    assert lrfr(guessed, "HL93", "design inventory") < lrfr(measured, "HL93", "design inventory")
    (row,) = [r for r in measured.results if (r.vehicle, r.level, r.limit_state) == ("EV3", "legal", "bending")]
    dc, dw = row.dead_effect - row.wearing_effect, row.wearing_effect
    assert row.rating_factor == pytest.approx((row.capacity - 1.25 * dc - 1.25 * dw) / (1.30 * row.live_effect))


def test_a_permit_vehicle_is_rated_at_its_own_level_with_full_time_effect():
    """C_lambda 1.0 of strength II against 0.8: the same axles at 1.40 and dead load alike, by arithmetic."""
    axles, gaps = (12.0, 18.0, 18.0, 24.0), ((12.0, 12.0), (4.5, 4.5), (30.0, 30.0))
    crane = Vehicle(id="CRANE", name="Crane", vehicle_class="permit", axles_kip=axles, spacings_ft=gaps)
    same = replace(crane, id="SAME", vehicle_class="county")
    rating = rate_span(stringers(), vehicles=(crane, same, "TYPE3"))
    permit, legal = (
        next(r for r in rating.results if r.method == "LRFR" and r.vehicle == key and r.limit_state == "bending")
        for key in ("CRANE", "SAME")
    )
    assert permit.level == "permit"
    assert permit.live_factor == pytest.approx(1.40)
    assert permit.capacity == pytest.approx(legal.capacity / 0.8)
    escorted = rate_span(stringers(), vehicles=(crane,), policy=RatingPolicy(permit_live_factor=1.10))
    assert lrfr(escorted, "CRANE", "permit") / lrfr(rating, "CRANE", "permit") == pytest.approx(1.40 / 1.10)
    assert "CRANE" not in rating.posting.vehicle_tons
    refused = rate_span(stringers(), vehicles=(crane,), policy=RatingPolicy(permit_live_factor=1.0))
    assert any("1.1" in reason for reason in refused.reasons)


def test_one_lane_governs_a_plank_floor_unless_the_setting_says_otherwise():
    """S/6.7 asks more than S/7.5 (LRFD Table 4.6.2.2.2a-1, memory): factors in the inverse ratio."""
    both, several = (rate_span(stringers(), policy=RatingPolicy(one_lane_case_too=too)) for too in (True, False))
    bending = [
        next(r.rating_factor for r in x.results if (r.vehicle, r.level, r.limit_state) == ("SU4", "legal", "bending"))
        for x in (both, several)
    ]
    assert bending[0] / bending[1] == pytest.approx(6.7 / 7.5, rel=1e-6)


def test_design_trucks_of_the_older_method_have_no_load_factor_level():
    policy, case = RatingPolicy(), stringers()
    for key in ("H15", "HS20"):
        assert levels_of(vehicle=find_vehicle(key), case=case, policy=policy, method="LRFR") == ()
    assert [x.name for x in levels_of(vehicle=find_vehicle("HL93"), case=case, policy=policy, method="LRFR")] == [
        "design inventory",
        "design operating",
    ]


@settings(max_examples=40, deadline=None)
@given(
    condition=st.integers(0, 9),
    adtt=st.integers(0, 9000),
    depth=st.floats(10.0, 20.0),
    decay=st.floats(0.0, 3.0),
    asphalt=st.floats(0.0, 6.0),
)
def test_worse_never_rates_higher(condition, adtt, depth, decay, asphalt):
    """Law: poorer condition, more trucks, more decay, more surfacing, a shallower member never raise an LRFR factor."""
    from inventory.mechanics.rating import DeadLayer

    layer = DeadLayer(name="asphalt", thickness_in=asphalt, unit_weight_pcf=140, measured=False)
    loss = SectionLoss(kind="surface", face="bottom", depth_in=decay, from_ft=4, to_ft=12)
    case = stringers(condition_rating=condition, adtt=adtt, surfacing=(layer,))
    member = replace(case.members[0], depth_in=depth, losses=(loss,) if decay else ())
    base = replace(case, members=(member,))
    worse = (
        replace(base, condition_rating=max(0, condition - 1)),
        replace(base, adtt=adtt + 1000),
        replace(base, surfacing=(replace(layer, thickness_in=asphalt + 1),)),
        replace(base, members=(replace(member, depth_in=depth - 1),)),
        replace(base, members=(replace(member, losses=(replace(loss, depth_in=decay + 0.5),)),)),
    )
    before = {(r.vehicle, r.level): r.rating_factor for r in rate_span(base).load_factor}
    for case in worse:
        for row in rate_span(case).load_factor:
            assert row.rating_factor <= before[row.vehicle, row.level] + 1e-9


def test_the_design_load_alone_is_refused_in_words():
    refused = rate_span(stringers(), vehicles=("HL93",))
    assert not refused.is_rated
    assert any("HL-93" in reason for reason in refused.reasons)
    assert rate_span(stringers(), vehicles=("HL93", "HS20")).is_rated
