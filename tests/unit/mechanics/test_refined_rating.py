"""Ratings with the refined distribution: where it is used, where it is refused, and the laws it keeps."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.plate import joint_demand, stand_vehicle
from inventory.mechanics.rating import BarState, DeckCase, MemberCase, RatingPolicy, SpanCase, rate_span
from inventory.mechanics.rating.build import span_pressure_worth
from inventory.mechanics.rating.needed import needed_pressure
from inventory.mechanics.rating.plates import pressure_ratios, slab_deck
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import find_vehicle
from tests.unit.mechanics.spans import (
    ASPHALT_3_IN,
    DF_DIMENSION,
    DF_GLULAM,
    PANEL_GLULAM,
    factor,
    panel_span,
    stressed_span,
    stringer_span,
    surface,
)
from tests.unit.mechanics.test_stressed_beams import beam_span

FEW = ("HS20", "TYPE3", "SU7", "EV3")


def refined(case: SpanCase, **changes) -> SpanCase:
    return replace(case, distribution="refined", **changes)


def webs(pressure_psi: float = 100.0, **changes) -> SpanCase:
    """D4's T span with its eight webs, inner and outer."""
    case = beam_span(pressure_psi)
    inner = replace(case.members[0], label="webs", count=8)
    return refined(case, members=(inner, replace(inner, label="outer webs", exterior=True)), **changes)


def glulam_stringers(**changes) -> SpanCase:
    """8-3/4 x 36 in glulam at 5 ft, five of them, a continuous glulam panel deck, 40 ft, two lanes (after D2)."""
    inner = MemberCase(
        label="inner", role="stringer", material=DF_GLULAM, width_in=8.75, depth_in=36.0, spacing_ft=5.0, count=5
    )
    deck = DeckCase(
        kind="glulam_panel",
        material=PANEL_GLULAM,
        thickness_in=5.125,
        width_in=48.0,
        support_spacing_ft=5.0,
        support_width_in=8.75,
        continuous=changes.pop("continuous", True),
    )
    case = SpanCase(
        label="1",
        span_ft=40.0,
        system="stringer",
        lanes_loaded=2,
        roadway_width_ft=24.0,
        deck_width_ft=25.0,
        deck_kind="glulam_panel",
        deck_thickness_in=5.125,
        members=(inner, replace(inner, label="outer", exterior=True)),
        deck=deck,
    )
    return refined(replace(case, **changes))


def wide_stringers() -> SpanCase:
    case = glulam_stringers()
    return replace(case, members=tuple(replace(member, spacing_ft=5.5) for member in case.members))


def nailed(**changes) -> SpanCase:
    """12 in nail-laminated deck of 24 ft, two lanes."""
    member = MemberCase(label="deck", role="lamination_deck", material=DF_DIMENSION, width_in=1.5, depth_in=12.0)
    case = SpanCase(
        label="1",
        span_ft=24.0,
        system="nail_laminated_deck",
        lanes_loaded=2,
        roadway_width_ft=24.0,
        deck_width_ft=26.0,
        members=(member,),
        deck_interconnected=changes.pop("deck_interconnected", True),
    )
    return refined(case, **changes)


def rules_of(rating, state: str, case: SpanCase) -> set[str]:
    """The rules by which members share; a transverse deck on stringers carries its own wheel and shares nothing."""
    own = {member.label for member in case.members}
    found = {r.distribution_rule for r in rating.results if r.limit_state == state and r.member in own}
    assert found
    return found


@pytest.mark.parametrize("case", [refined(stressed_span()), nailed(), webs(), glulam_stringers()])
def test_every_bending_result_names_the_plate(case):
    rating = rate_span(case, vehicles=FEW)
    assert rating.is_rated, rating.reasons
    told = rules_of(rating, "bending", case)
    assert all(rule.startswith("plate, ") and "from the curb" in rule and "loaded x" in rule for rule in told)
    plates = [r for r in rating.results if r.distribution_rule.startswith("plate, ")]
    assert all(r.distribution_source.endswith("(model)") for r in plates)
    assert any("orthotropic plate" in note for note in rating.notes)
    assert any(heading.title.startswith("Refined distribution") for heading in rating.trace)
    assert {r.method for r in plates} == {"ASR", "LRFR"}


def test_ratios_stand_in_the_rule():
    """Linear between 0.013, 0.03 at 40 psi and 0.020, 0.05 at 100 psi (model): 0.0165 and 0.0400 at 70 psi."""
    case = refined(stressed_span(pressure_psi=70.0))
    told = rules_of(rate_span(case, vehicles=("TYPE3",)), "bending", case)
    assert all("E_T/E_L 0.0165, G/E_L 0.0400 at 70 psi" in rule for rule in told)


@pytest.mark.parametrize(
    ("case", "words"),
    [
        (refined(stressed_span(pressure_psi=35.0)), "below its need"),
        (refined(stressed_span(pressure_psi=None)), "below its need"),
        (refined(stressed_span(pressure_psi=35.0, needed_pressure_psi=30.0)), "below 40 psi"),
        (nailed(deck_interconnected=None), "not on record as acting together"),
        (refined(panel_span()), "stiffeners alone"),
        (refined(stringer_span()), "planks may be jointed"),
        (glulam_stringers(continuous=None), "as continuous"),
        (glulam_stringers(deck=None), "as continuous"),
        (refined(stressed_span(), skew_deg=35.0), "skew of 35 degrees"),
        (refined(beam_span()), "fewer than 4"),
        (wide_stringers(), "more than 5 ft apart"),
        (refined(stressed_span(), roadway_width_ft=9.0), "roadway between curbs"),
    ],
)
def test_what_is_no_plate_keeps_its_rule_and_says_why(case, words):
    """The factors are those of the rules; the reason stands among the notes."""
    rating, ruled = rate_span(case, vehicles=FEW), rate_span(replace(case, distribution="rules"), vehicles=FEW)
    assert any(words in note and "the rule is kept" in note for note in rating.notes), rating.notes
    assert [r.rating_factor for r in rating.results] == [r.rating_factor for r in ruled.results]
    assert not any(rule.startswith("plate") for rule in rules_of(rating, "bending", case))


def test_a_word_that_names_no_method_is_refused():
    rating = rate_span(replace(stressed_span(), distribution="finer"), vehicles=("TYPE3",))
    assert not rating.is_rated and "share of wheel loads" in " ".join(rating.reasons)


def test_a_missing_stringer_ends_the_plate():
    """Members are smeared only where all are whole and evenly spaced: a neighbour of a gap has no count on record."""
    case = glulam_stringers()
    gap = replace(case.members[0], label="beside the gap", spacing_ft=7.5, count=None)
    rating = rate_span(replace(case, members=(*case.members, gap)), vehicles=("TYPE3",))
    assert any("the rule is kept" in note for note in rating.notes)
    assert not any(rule.startswith("plate") for rule in rules_of(rating, "bending", case))


def test_shear_of_a_web_follows_the_wood_rule_with_the_share_of_the_plate():
    """13.6.5 (memory): V = 0.5 (0.6 V wheel line + share x V wheel line), checked here on each result."""
    for result in rate_span(webs(), vehicles=("TYPE3",)).results:
        if result.limit_state == "shear" and result.method == "ASR":
            line = result.lane_effect / 2.0
            assert result.live_effect == pytest.approx(0.5 * (0.6 * line + result.distribution_factor * line))
            assert result.distribution_rule.startswith("plate, ")


def test_shear_of_a_deck_keeps_the_rule():
    case = refined(stressed_span())
    rating = rate_span(case, vehicles=("TYPE3",))
    assert not any(rule.startswith("plate") for rule in rules_of(rating, "shear", case))
    assert any("shear and bearing by the rule" in note for note in rating.notes)


def test_presence_factors():
    """One lane alone: LRFR takes 1.20 x the share of ASR for the same vehicle (LRFD Table 3.6.1.1.2-1, memory)."""
    rating = rate_span(refined(stressed_span()), vehicles=("TYPE3",))
    share = {r.method: r.distribution_factor for r in rating.results if r.limit_state == "bending"}
    for method in ("ASR", "LRFR"):
        share[method] = next(
            r.distribution_factor
            for r in rating.results
            if (r.method, r.limit_state, r.vehicle) == (method, "bending", "TYPE3")
        )
    assert share["LRFR"] == pytest.approx(1.2 * share["ASR"])


@settings(max_examples=15, deadline=None)
@given(low=st.floats(40.0, 140.0), more=st.floats(0.0, 60.0))
def test_more_pressure_never_rates_lower(low, more):
    """Law: a deck stiffer across and in torsion shares more (bending of deck and webs, all vehicles)."""
    for make in (lambda psi: refined(stressed_span(pressure_psi=psi)), lambda psi: webs(psi)):
        slack, tight = (rate_span(make(psi), vehicles=("HS20", "TYPE3")) for psi in (low, low + more))
        for vehicle in ("HS20", "TYPE3"):
            for level in ("inventory", "operating"):
                worst = [
                    min(r.rating_factor for r in rating.results if (r.vehicle, r.level) == (vehicle, level))
                    for rating in (slack, tight)
                ]
                assert worst[1] >= worst[0] * (1.0 - 1e-3)


@settings(max_examples=10, deadline=None)
@given(depth=st.floats(0.1, 3.0))
def test_more_decay_or_surfacing_never_rates_higher(depth):
    """Law."""
    sound = rate_span(refined(stressed_span(pressure_psi=60.0)), vehicles=("HS20",))
    worn = rate_span(refined(stressed_span(losses=(surface(depth, to_ft=24.0),))), vehicles=("HS20",))
    overlay = replace(ASPHALT_3_IN, thickness_in=3.0 + depth)
    paved = rate_span(refined(stressed_span(surfacing=(overlay,))), vehicles=("HS20",))
    for other in (worn, paved):
        assert factor(other, "HS20", "bending") < factor(sound, "HS20", "bending")


def test_a_loss_near_the_bearing_takes_the_share_there():
    """Law: nearer to a bearing a wheel spreads less, so the share with a loss at the quarter point is not smaller."""
    at_quarter = surface(1.0, from_ft=5.0, to_ft=6.0)
    shares = [
        next(r for r in rate_span(refined(case), vehicles=("HS20",)).results if r.limit_state == "bending")
        for case in (stressed_span(), stressed_span(losses=(at_quarter,)))
    ]
    assert shares[1].distribution_factor > shares[0].distribution_factor
    assert shares[1].distribution_rule.endswith("at 6 ft")


def test_stiffer_outer_webs_draw_more_and_carry_it_as_edge_beams():
    """Mechanics: outer webs a half deeper take a larger share than their even neighbours did."""
    even = webs()
    deep = replace(even.members[1], depth_in=30.0)
    stiff = replace(even, members=(even.members[0], deep))

    def outer(case):
        found = [r for r in rate_span(case, vehicles=("HS20",)).results if r.member == "outer webs"]
        return next(r.distribution_factor for r in found if r.limit_state == "bending")

    assert outer(stiff) > 1.15 * outer(even)


def test_needed_pressure_of_a_slab_is_the_sweeps():
    """Second way through: ``joint_demand`` place by place; 6 M_T/t2 and 1.5 V_T/(mu t), mu 0.35, by hand."""
    case = stressed_span(pressure_psi=60.0)
    found = needed_pressure(case=case, policy=RatingPolicy(), vehicles=("HS20",))
    deck = slab_deck(case=case, member=case.members[0], ratios=pressure_ratios(_worth(case)))
    by_sweep = joint_demand(
        deck=deck,
        axles=stand_vehicle(vehicle=find_vehicle("HS20"), span_in=288.0),
        near_curb_in=12.0,
        far_curb_in=180.0,
        thickness_in=12.0,
        surfacing_in=0.0,  # the 3 in of asphalt on it are not counted
    )
    assert found.worst.gap_psi == pytest.approx(6 * by_sweep.moment_lbin_per_in / 144.0, rel=0.01)
    assert found.worst.slip_psi == pytest.approx(1.5 * by_sweep.shear_lb_per_in / (0.35 * 12.0), rel=0.01)
    assert found.bare.gap_psi == pytest.approx(6 * by_sweep.print_moment_lbin_per_in / 144.0, rel=0.01)
    assert found.bare.slip_psi == pytest.approx(1.5 * by_sweep.print_shear_lb_per_in / (0.35 * 12.0), rel=0.01)
    assert found.psi == max(40.0, found.worst.psi)


def _worth(case):
    return span_pressure_worth(case, RatingPolicy(), Trace(), ("HS20",))


def test_needed_pressure_is_the_worst_of_the_vehicles_and_never_under_the_floor():
    """Law: another vehicle never lowers it; a rough surface needs no more than a planed one (mu 0.45 against 0.35)."""
    case = webs(60.0, lanes_loaded=1)
    light = needed_pressure(case=case, policy=RatingPolicy(), vehicles=("TYPE3",))
    both = needed_pressure(case=case, policy=RatingPolicy(), vehicles=("TYPE3", "EV3"))
    assert both.psi >= light.psi >= 40.0
    rough = replace(case, bars=replace(case.bars, surface="rough"))
    assert needed_pressure(case=rough, policy=RatingPolicy(), vehicles=("EV3",)).worst.slip_psi == pytest.approx(
        both.worst.slip_psi * 0.35 / 0.45
    )


def test_the_engineers_own_need_goes_first():
    """Entered values are used as they are; without one the need is traced with spread and bare prints."""
    own = rate_span(stressed_span(pressure_psi=60.0, needed_pressure_psi=75.0), vehicles=("TYPE3",))
    assert any("75 psi needed" in note for note in own.notes)
    found = rate_span(stressed_span(pressure_psi=60.0), vehicles=("TYPE3",))
    (heading,) = [h for h in found.trace if h.title.startswith("Needed pressure")]
    assert {"M_T", "V_T", "M_T print", "V_T print", "N gap", "N slip"} <= {step.symbol for step in heading.steps}
    assert any("The needed pressure was not entered; 40 psi is taken" in note for note in found.notes)


def test_bars_whose_need_is_not_met_lose_the_plate():
    """The T span of D4 asks more than 40 psi of its 9 in flange; just below that need there is no plate action."""
    need = needed_pressure(case=webs(60.0), policy=RatingPolicy(), vehicles=FEW).psi
    assert need > 40.0
    below = rate_span(webs(need - 1.0), vehicles=FEW)
    assert any("below its need" in note for note in below.notes)
    assert BarState(least_local_pressure_psi=need).needed_pressure_psi is None
