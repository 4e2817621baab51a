"""Trials: a change tried on the standing rating, nothing saved. Held against the rating of the changed record itself.

A trial must say what the record would say once the change were real; loads and statics by hand where they are simple.
"""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from inspections.assembly.snapshot import assemble_snapshot
from inspections.models import Inspection, OwedRating, Rating, Recommendation
from inspections.reckoning.rating import rate_snapshot
from inspections.reckoning.trials import try_changes
from inspections.rules.trials import Changes, TrialRefused
from inventory.mechanics.rating.cases import SectionLoss
from inventory.models import Event, SurfacingLayer
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import bar_readings, decay, make_stressed_deck, rated

TODAY = date(2026, 6, 15)
LATE_DECAY = SectionLoss(kind="surface", face="top", depth_in=1.0, from_ft=9.0, to_ft=30.0)


@pytest.fixture
def bridge(county, now):
    structure = make_stringer_bridge(county.agency)
    rated(structure, county.people["inspector"], now, findings=[decay(structure)])
    return structure


@pytest.fixture
def deck(county, now):
    structure = make_stressed_deck(county.agency)
    rated(structure, county.people["inspector"], now, findings=bar_readings(structure, 34560.0))
    return structure


def trial(structure, **changes):
    return try_changes(rating=Rating.objects.get(structure=structure), changes=Changes(**changes), as_of=TODAY)


def factor(outcome, vehicle="TYPE3"):
    return next(row["posting_factor"] for row in outcome.results["governing"] if row["vehicle"] == vehicle)


def test_an_overlay_rates_as_the_record_would_once_it_is_laid(bridge):
    """Second way: the layer put on the record, and the record assembled and rated."""
    tried = trial(bridge, overlay_in=3.0, overlay_pcf=140.0)
    SurfacingLayer.objects.create(
        structure=bridge, material="asphalt", thickness_in=3.0, unit_weight_pcf=140.0, laid_on=TODAY
    )
    laid = rate_snapshot(assemble_snapshot(structure=bridge, as_of=TODAY))
    assert factor(tried.after) == pytest.approx(factor(laid), rel=1e-12)
    assert factor(tried.after) < factor(tried.before)
    assert tried.told == ("Span 1: 3 in at 140 lb/ft3 laid, 35 lb/ft2.",)  # 3/12 x 140


def test_milling_takes_the_top_layer_first(bridge):
    case = replace_surfacing(bridge)
    tried = try_changes(rating=case, changes=Changes(mill_in=2.5), as_of=TODAY)
    assert tried.told == ("Span 1: 2.5 in milled off 5 in of surfacing.",)
    with pytest.raises(TrialRefused) as refusal:
        try_changes(rating=case, changes=Changes(mill_in=6.0), as_of=TODAY)
    assert refusal.value.problems == (("mill_in", "Span 1: 6 in cannot be milled off 5 in on record."),)


def replace_surfacing(structure) -> Rating:
    """The standing rating with two layers in its snapshot: 3 in gravel under 2 in asphalt."""
    rating = Rating.objects.get(structure=structure)
    layers = [("gravel", 3.0, 130.0), ("asphalt", 2.0, 140.0)]
    rating.snapshot["cases"][0]["surfacing"] = [
        {"name": n, "thickness_in": t, "unit_weight_pcf": w, "measured": True} for n, t, w in layers
    ]
    return rating


def test_milled_and_laid_again_with_the_same_changes_nothing(bridge):
    """A law: 2 in of 140 lb/ft3 off and on again. By load factors what nobody measured weighs more (LRFD 3.4.1)."""
    tried = try_changes(rating=replace_surfacing(bridge), changes=Changes(mill_in=2.0, overlay_in=2.0), as_of=TODAY)
    for line in tried.lines:
        if line.series in ("posting", "inventory", "operating"):
            assert line.after == pytest.approx(line.before, rel=1e-12)
        else:
            assert line.after <= line.before


def test_a_sound_stringer_again_rates_as_if_never_damaged(bridge, county, now):
    twin = make_stringer_bridge(county.agency, number="Q-5")
    rated(twin, county.people["inspector"], now)
    tried = trial(bridge, member="*", sound_again=True)
    assert {row["posting_factor"] for row in tried.after.results["governing"]} == {
        row["posting_factor"] for row in Rating.objects.get(structure=twin).results["governing"]
    }
    assert tried.after.least_factor >= tried.before.least_factor


def test_damage_added_rates_as_the_same_damage_found(bridge, county, now):
    """Second way: the same decay found on a twin (bottom face, 1 in, 7 to 9 ft), added here by trial."""
    twin = make_stringer_bridge(county.agency, number="Q-6")
    rated(twin, county.people["inspector"], now)
    (damaged,) = [
        member for member in assemble_snapshot(structure=bridge, as_of=TODAY).cases[0].members if member.losses
    ]
    tried = trial(twin, member="inner stringers", damage=damaged.losses[0])
    found = factor(rate_snapshot(assemble_snapshot(structure=bridge, as_of=TODAY)))
    assert factor(tried.after) == pytest.approx(found, rel=1e-9)


def test_another_size_is_told_and_carries_more(bridge):
    """b d2/6 of 8 x 16 in is 8/6 of 6 x 16 in; every damaged member is changed, so the least factor cannot fall."""
    tried = trial(bridge, member="*", sound_again=True, member_width_in=8.0)
    assert any("8 x 16 in instead of 6 x 16 in" in sentence for sentence in tried.told)
    assert tried.after.least_factor > tried.before.least_factor
    with pytest.raises(TrialRefused) as refusal:
        trial(bridge, member="nobody", sound_again=True)
    assert refusal.value.problems[0][0] == "member"


def test_bars_tried_at_a_force_by_hand(deck):
    """20,000 lb/(48 x 12) = 34.7 psi, below the 40 psi needed: a loose deck."""
    tried = trial(deck, bar_force_lb=20000.0)
    assert tried.told[0].startswith("Span 1: least local bar pressure 34.7 psi, before 60.0 psi.")
    assert tried.after.least_factor < tried.before.least_factor
    assert trial(deck, pressure_psi=34.722).after.least_factor == pytest.approx(tried.after.least_factor)


def test_a_bar_lost_by_hand(deck):
    """One of three bars gone: 2/3 of 60 psi = 40 psi over that stretch of 12 ft; two beside each other leave 20."""
    one, two = trial(deck, bars_lost=(3,)), trial(deck, bars_lost=(3, 4))
    assert "pressure 40.0 psi" in one.told[0] and "Lost: bar 3." in one.told[0]
    assert "pressure 20.0 psi" in two.told[0]
    assert two.after.least_factor <= one.after.least_factor <= one.before.least_factor


def test_a_trial_at_todays_pressure_changes_nothing(deck):
    tried = trial(deck, pressure_psi=60.0)
    assert all(line.after == pytest.approx(line.before, rel=1e-12) for line in tried.lines)


def test_a_typed_vehicle_stands_beside_the_others_and_posts_nothing(bridge):
    """One axle of 50 kip: no legal vehicle; the posting stays what it was unless it is counted in."""
    tried = trial(bridge, axles_kip=(50.0,), spacings_ft=())
    assert {line.vehicle for line in tried.lines} - {line.vehicle for line in trial(bridge, lanes_loaded=1).lines}
    assert tried.after.results["posting"] == tried.before.results["posting"]
    counted = trial(bridge, axles_kip=(80.0,), spacings_ft=(), vehicle_posts=True)
    assert counted.after.results["posting"] != counted.before.results["posting"]
    with pytest.raises(TrialRefused) as refusal:
        trial(bridge, axles_kip=(20.0, 20.0), spacings_ft=())
    assert refusal.value.problems[0][0] == "spacings_ft"


def test_other_settings_are_tried(deck):
    tried = trial(deck, distribution="refined", posting_method="LRFR", lanes_loaded=1)
    assert any("distribution refined instead of rules" in sentence for sentence in tried.told)
    assert any("Posting by LRFR instead of ASR" in sentence for sentence in tried.told)


def test_nothing_is_saved(deck):
    def counted():
        return [table.objects.count() for table in (Rating, OwedRating, Recommendation, Inspection, Event)]

    before = counted()
    trial(deck, bars_lost=(3,), overlay_in=2.0)
    assert counted() == before


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({}, ""),
        ({"overlay_in": -1.0}, "overlay_in"),
        ({"overlay_in": float("nan")}, "overlay_in"),
        ({"span": "7", "overlay_in": 1.0}, "span"),
        ({"pressure_psi": 60.0}, "pressure_psi"),
        ({"vehicle": "BIG-9"}, "vehicle"),
        ({"lanes_loaded": 0}, "lanes_loaded"),
        ({"distribution": "guess"}, "distribution"),
        ({"sound_again": True}, "member"),
        ({"member": "inner stringers", "species": "Teak"}, "species"),
        (
            {"member": "inner stringers", "damage": SectionLoss(kind="surface", from_ft=9.0, to_ft=30.0)},
            "damage_from_ft",
        ),
    ],
)
def test_what_cannot_be_tried_is_refused_at_its_field(bridge, changes, field):
    with pytest.raises(TrialRefused) as refusal:
        trial(bridge, **changes)
    assert refusal.value.problems[0][0] == field
    assert refusal.value.problems[0][1].endswith(".")


def test_damage_larger_than_the_member_leaves_an_answer(bridge):
    """The kernel's own range says why; the trial is not rated, and says so."""
    loss = SectionLoss(kind="surface", face="bottom", depth_in=40.0, from_ft=7.0, to_ft=9.0)
    tried = trial(bridge, member="inner stringers", damage=loss)
    assert not tried.after.is_rated or tried.after.least_factor == 0
    assert tried.before.is_rated


def test_a_trial_is_plain_json(deck):
    import json

    plain = json.loads(json.dumps(trial(deck, bars_lost=(3,)).as_dict(), allow_nan=False))
    assert plain["changed"] and plain["factors"] and plain["cautions"]
    assert Changes.from_dict({"bars_lost": [3]}) == Changes(bars_lost=(3,))
    with pytest.raises(ValueError, match="no field"):
        Changes.from_dict({"bars_gone": [3]})


def test_readings_out_of_date_count_for_nothing_in_a_trial(deck):
    """A year and more after the reading nothing is known: with one bar lost no pressure stands."""
    rating = Rating.objects.get(structure=deck)
    late = try_changes(rating=rating, changes=Changes(bars_lost=(3,)), as_of=TODAY + timedelta(days=4000))
    assert "pressure 0.0 psi" in late.told[0]
    assert replace(late, told=()).told == ()
