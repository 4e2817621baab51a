"""Structures, refusals, records of a rating, and the plain systems by hand."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from inventory.mechanics.rating import (
    DeadLayer,
    NotRated,
    RatingPolicy,
    SectionLoss,
    SpanCase,
    SpanRating,
    StructureRating,
    find_design_value,
    rate_span,
    rate_structure,
)
from tests.unit.mechanics.spans import (
    DF_DIMENSION,
    panel_span,
    stressed_span,
    stringer_span,
    surface,
    void,
)

SET = ("HS20", "TYPE3", "TYPE3-3")


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


def nail_span(**changes):
    """The 12 in deck of the stressed span, nailed instead of stressed."""
    return replace(stressed_span(), system="nail_laminated_deck", bars=None, **changes)


def test_nail_laminated_deck_by_hand():
    """Std Spec 3.25.2 (checked-2nd and memory): H15 b_t 17.32 in; D_w 41.32 together, 29.32 loose; C_r 1.15."""
    for together, width in ((True, 41.32), (None, 29.32)):
        rating = rate_span(nail_span(deck_interconnected=together), vehicles=("H15",))
        bending = next(r for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
        assert 12 / bending.distribution_factor == pytest.approx(width, abs=0.005)
        assert bending.capacity == pytest.approx(1000 * 1.15 * 1.15 * 288 / 12)


def test_round_stringers_rate_with_their_sound_shell():
    """Handbook: S = pi D^3/32 sound; with a 3 in shell pi (14^4 - 8^4)/(32 x 14)."""
    posts = find_design_value(species="Douglas fir-larch", grade="No.1", size_class="posts and timbers")
    changes = {"shape": "round", "width_in": 14.0, "depth_in": 14.0, "material": posts, "spacing_ft": 3.0}
    shell = SectionLoss(kind="shell", depth_in=3.0, from_ft=7, to_ft=11)
    sound, hollow = (rate_span(stringer_span(losses=loss, **changes), vehicles=("H15",)) for loss in ((), (shell,)))
    capacity = [
        next(r.capacity for r in x.results if r.limit_state == "bending" and r.level == "inventory")
        for x in (sound, hollow)
    ]
    assert capacity[1] / capacity[0] == pytest.approx((14**4 - 8**4) / 14**4)
    # a void 2 in wide and 6 in high is an ellipse: I falls by pi 2 x 6^3/64
    holed = rate_span(stringer_span(losses=(void(),), **changes), vehicles=("H15",))
    bending = next(r.capacity for r in holed.results if r.limit_state == "bending" and r.level == "inventory")
    assert bending / capacity[0] == pytest.approx(1 - 2 * 6**3 / 14**4)


def test_what_cannot_be_rated_still_calls_the_engineer():
    loss = SectionLoss(kind="crushing", depth_in=0.5, from_ft=0, to_ft=1)
    case = stringer_span(losses=(loss,), spacing_ft=None, critical_findings=("The east abutment has settled 3 in.",))
    result = rate_span(case, vehicles=("H15",))
    assert isinstance(result, NotRated)
    assert any("crushed" in flag for flag in result.flags)
    assert any("settled" in flag for flag in result.flags)


@pytest.mark.parametrize("policy", [RatingPolicy(posting_level=1.2), RatingPolicy(rounding="up")])
def test_settings_outside_their_range_are_refused(policy):
    result = rate_span(stringer_span(), vehicles=("H15",), policy=policy)
    assert isinstance(result, NotRated)
    assert result.reasons[0].endswith(".")


def test_dead_load_alone_too_heavy_recommends_closing():
    """C_D 0.90 (memory): 1350 x 0.9685 x 0.90 x 256/12 = 25.1 kip-ft is passed by 658 plf x 18^2/8 = 26.7."""
    earth = DeadLayer(name="earth", thickness_in=30.0, unit_weight_pcf=120.0, measured=True)
    rating = rate_span(stringer_span(surfacing=(earth,)), vehicles=("H15",))
    assert (58.333 + 30 / 12 * 120 * 2) * 18**2 / 8 > 1350 * (12 / 16) ** (1 / 9) * 0.90 * 256 / 12
    assert any("dead load alone" in flag for flag in rating.flags)
    assert rating.posting.action == "close"


def test_a_mapping_that_is_not_a_case_is_refused_by_name():
    plain = stringer_span().as_dict()
    with pytest.raises(ValueError, match="colour"):
        SpanCase.from_dict({**plain, "colour": "green"})
    with pytest.raises(ValueError, match="span_ft"):
        SpanCase.from_dict({k: v for k, v in plain.items() if k != "span_ft"})
    with pytest.raises(ValueError, match="span_ft"):
        SpanCase.from_dict({**plain, "span_ft": "long"})
