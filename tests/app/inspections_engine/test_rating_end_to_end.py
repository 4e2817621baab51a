"""From the inspector's form to the rating, the recommendation and the standing row.

Numbers: worked example D1 (all of its arithmetic on the page: 6 x 16 in Douglas fir stringers, 18 ft, 2 ft apart, plank
deck): HS20 lane moment 144.0 kip-ft; share S/3.75 of a wheel line; inventory 0.774, operating 1.050 (computed).
"""

import pytest
from django.db import IntegrityError, transaction

from inspections.actions import rate
from inspections.models import OwedRating, Rating, Recommendation
from inventory.models import Event, MemberGroup, Railing, Standing, Structure, SurfacingLayer
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import DONE_ON, bar_readings, decay, make_stressed_deck, rated, settle_all

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


def only_rating(structure):
    return OwedRating.objects.filter(structure=structure).latest("id").rating


def factor(rating, vehicle, state, level):
    rows = rating.results["spans"][0]["results"]
    return min(
        row["rating_factor"]
        for row in rows
        if (row["vehicle"], row["limit_state"], row["level"]) == (vehicle, state, level)
    )


# Worked example D1, computed: M inventory 32.078, dead 2.3625, stringer 38.400 kip-ft -> 0.774; operating 42.664 ->
# 1.050; shear 12.512 and 16.641 kip, dead 0.4472, live 7.052 -> 1.711 and 2.296. Others from the same table. For Type 3
# the page sets the greatest dead against the greatest live moment; taken at the same station, 1 ft off midspan, dead is
# 2.3625 x (1 - 1/81) = 2.333 and the factor (42.664 - 2.333) / 32.237 = 1.2511: hence the tolerance.
@pytest.mark.parametrize(
    ("vehicle", "state", "level", "expected"),
    [
        ("HS20", "bending", "inventory", 0.774),
        ("HS20", "bending", "operating", 1.050),
        ("HS20", "shear", "inventory", 1.711),
        ("HS20", "shear", "operating", 2.296),
        ("TYPE3", "bending", "operating", 1.250),
        ("SU7", "bending", "operating", 1.026),
        ("EV3", "bending", "operating", 0.686),
    ],
)
def test_worked_example_through_the_database(bridge, county, now, vehicle, state, level, expected):
    rated(bridge, county.people["inspector"], now)
    assert factor(only_rating(bridge), vehicle, state, level) == pytest.approx(expected, abs=0.0012)


def test_a_sound_bridge_is_posted_for_emergency_vehicles_only_and_the_standing_row_tells_it(bridge, county, now):
    """Every legal truck of D1 has an operating factor of 1.026 and more, and the county posts at operating.

    EV3 of D1 has 0.686: its tandem of 31 tons may weigh 21.3, the whole of 43 tons 29.5; the sign shows whole tons.
    """
    inspection = rated(bridge, county.people["inspector"], now)
    proposal = Recommendation.objects.get(structure=bridge)
    standing = Standing.objects.get(structure=bridge)
    assert inspection.state == "rated"
    assert (proposal.restriction, proposal.state, proposal.changes_sign) == ("posted", "proposed", True)
    assert proposal.single_ton is None and proposal.single_unit_ton is None
    assert proposal.emergency_tandem_ton == 21.0 and proposal.emergency_gross_ton <= 29.0
    assert any("Emergency vehicles" in reason for reason in proposal.reasons)
    assert standing.least_factor == pytest.approx(1.026, abs=0.001)
    assert (standing.condition_class, standing.lowest_rating, standing.decision_awaited) == ("fair", 6, True)
    assert (standing.last_inspected_on, standing.rated_on) == (DONE_ON, now.date())


def test_values_left_empty_are_looked_up_in_the_published_table(bridge, county, now):
    """NDS Supplement 2018 Table 4D gives No.1 beams and stringers 1350 and 170 psi (checked-2nd), as the row held."""
    given = rated(bridge, county.people["inspector"], now)
    MemberGroup.objects.filter(span__structure=bridge).update(
        fb_psi=None, fv_psi=None, fc_perp_psi=None, e_psi=None, value_source=""
    )
    rate.owe_rating(structure=bridge, cause="values removed", at=now)
    after = settle_all(bridge, now)
    assert factor(after, "HS20", "bending", "inventory") == pytest.approx(0.774, abs=0.001)
    assert given.ratings.count() == 1


def test_decay_brings_a_posting_and_names_the_stringer(bridge, county, now):
    """Decay and the layer behind it take 1.25 in off 16: S falls to (14.75/16)^2 = 0.850, SU7 from 1.026 below 1."""
    rated(bridge, county.people["inspector"], now, [decay(bridge)])
    rating, proposal = only_rating(bridge), Recommendation.objects.get(structure=bridge, state="proposed")
    assert "stringer 4" in rating.governing and rating.least_factor < 1.0
    # 42.664 x 0.8498 = 36.258; (36.258 - 2.3625) / 39.283 = 0.8629 (C_F stays on the depth as built).
    assert factor(rating, "SU7", "bending", "operating") == pytest.approx(0.863, abs=0.006)
    # SU4: (36.258 - 2.3625) / 37.181 = 0.9116 x 27 = 24.6, down to 24 tons; Type 3 passes (1.051).
    assert (proposal.restriction, proposal.single_ton) == ("posted", 24.0)
    assert proposal.changes_sign


def test_deeper_decay_never_rates_higher(bridge, county, now):
    least = []
    for depth in (0.0, 0.5, 1.0, 2.0, 4.0):
        findings = [decay(bridge, depth_in=depth)] if depth else []
        rated(bridge, county.people["inspector"], now, findings)
        least.append(only_rating(bridge).least_factor)
    assert least == sorted(least, reverse=True) and least[0] > least[-1]


def test_every_overlay_lowers_the_rating(bridge, county, now):
    rated(bridge, county.people["inspector"], now)
    least = [only_rating(bridge).least_factor]
    for _ in range(3):
        SurfacingLayer.objects.create(
            structure=bridge, material="asphalt", thickness_in=2.0, unit_weight_pcf=140, laid_on=DONE_ON
        )
        rate.owe_rating(structure=bridge, cause="overlay", at=now)
        least.append(settle_all(bridge, now).least_factor)
    assert all(after < before for before, after in zip(least, least[1:], strict=False))
    # One overlay of 2 in: 2/12 x 140 x 2 ft = 46.67 plf, M = 46.67 x 18^2 / 8 = 1.890 kip-ft:
    # 1.026 - 1.890/39.283 = 0.978.
    assert least[1] == pytest.approx(0.978, abs=0.001)


def test_a_removed_layer_and_one_not_yet_laid_do_not_weigh(bridge, county, now):
    rated(bridge, county.people["inspector"], now)
    first = only_rating(bridge)
    layer = {"structure": bridge, "material": "asphalt", "thickness_in": 3.0, "unit_weight_pcf": 140}
    SurfacingLayer.objects.create(**layer, laid_on=DONE_ON.replace(year=2010), removed_on=DONE_ON)
    SurfacingLayer.objects.create(**layer, laid_on=DONE_ON.replace(year=2030))
    rate.owe_rating(structure=bridge, cause="layers", at=now)
    assert settle_all(bridge, now).pk == first.pk


def test_surfacing_found_thicker_than_on_record_weighs(bridge, county, now):
    rated(bridge, county.people["inspector"], now)
    before = only_rating(bridge).least_factor
    thick = {"kind": "surface_thickness", "value_in": 2.0}
    rated(bridge, county.people["inspector"], now, [thick])
    assert only_rating(bridge).least_factor == pytest.approx(before - 1.890 / 39.283, abs=0.001)


def test_same_inputs_give_no_new_row_and_older_ones_come_back(bridge, county, now):
    rated(bridge, county.people["inspector"], now)
    first = only_rating(bridge)
    rated(bridge, county.people["inspector"], now.replace(year=2027), [])
    assert only_rating(bridge).pk == first.pk and Rating.objects.count() == 1
    rated(bridge, county.people["inspector"], now.replace(year=2028), [decay(bridge)], field_completed_on=DONE_ON)
    assert Rating.objects.count() == 2
    rated(bridge, county.people["inspector"], now.replace(year=2029), [], field_completed_on=DONE_ON.replace(year=2028))
    assert only_rating(bridge).pk == first.pk and Rating.objects.count() == 2
    assert Standing.objects.get(structure=bridge).least_factor == pytest.approx(first.least_factor)


def test_a_second_row_of_the_same_inputs_cannot_be_written(bridge, county, now):
    rated(bridge, county.people["inspector"], now)
    row = only_rating(bridge)
    row.pk = None
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save(force_insert=True)


def test_missing_inputs_are_named_and_nothing_crashes(county, now):
    bridge = make_stringer_bridge(county.agency, roadway_width_ft=None)
    MemberGroup.objects.update(grade="", fb_psi=None)
    inspection = rated(bridge, county.people["inspector"], now)
    rating = only_rating(bridge)
    assert not rating.is_rated and inspection.state == "rated"
    assert any("roadway width" in reason for reason in rating.reasons)
    assert any("bending" in reason for reason in rating.reasons)
    assert not Recommendation.objects.exists()
    assert Standing.objects.get(structure=bridge).least_factor is None


def test_out_of_range_is_not_rated_with_its_reason(bridge, county, now):
    bridge.spans.update(length_ft=900.0)
    rated(bridge, county.people["inspector"], now)
    rating = only_rating(bridge)
    assert not rating.is_rated and "900" in " ".join(rating.reasons)


def test_a_structure_without_spans_can_be_inspected_and_is_not_rated(county, now):
    bare = Structure.objects.create(agency=county.agency, number="Q-9", road_name="Plover Road")
    rated(bare, county.people["inspector"], now, [{"kind": "surface_decay", "station_ft": 3.0, "extent_ft": 1.0,
                                                   "face": "top", "depth_in": 0.5}])  # fmt: skip
    assert "No span is on record" in " ".join(only_rating(bare).reasons)
    assert Standing.objects.get(structure=bare).condition_class == "fair"


def test_a_broken_stringer_needs_the_engineer_at_once_and_loads_its_neighbours(bridge, county, now):
    rated(bridge, county.people["inspector"], now)
    sound = only_rating(bridge)
    broken = decay(bridge, kind="broken", depth_in=None, face="", note="fell into the stream")
    rated(bridge, county.people["inspector"], now, [broken])
    rating, proposal = only_rating(bridge), Recommendation.objects.get(state="proposed")
    assert proposal.needs_review_now and any("broken" in reason for reason in proposal.reasons)
    # Neighbours 3 and 5 carry 1.5 x 2 ft: three halves of live and dead load. Beyond S/3.75 nothing else changes:
    # (42.664 - 1.5 x 2.3625 + own weight counted once, 0.5 x 33.33 x 18^2/8 = 0.675) / (1.5 x 39.283) = 0.675.
    assert "stringer 3, 5" in rating.governing
    assert rating.least_factor == pytest.approx(0.675, abs=0.002)
    assert rating.least_factor < sound.least_factor / 1.5


def test_railing_of_unknown_weight_is_assumed_and_said(bridge, county, now):
    Railing.objects.create(structure=bridge, side="both", kind="timber rail on posts")
    rated(bridge, county.people["inspector"], now)
    assert any("100 lb/ft is taken" in note for note in only_rating(bridge).results["notes"])


def test_the_first_event_and_the_last_tell_the_story(bridge, county, now):
    rated(bridge, county.people["inspector"], now)
    verbs = list(Event.objects.filter(structure=bridge).order_by("id").values_list("verb", flat=True))
    assert verbs == ["open_inspection", "save_inspection", "submit_inspection", "rate", "recommend"]


# Stress-laminated deck, worked example D3 (computed): 57,600 lb on 48 x 12 in is 100 psi; 5,760 lb is 10 psi.
def test_tight_bars_rate_and_slack_bars_close(county, now):
    deck = make_stressed_deck(county.agency)
    rated(deck, county.people["inspector"], now, bar_readings(deck, 57600.0))
    tight = only_rating(deck)
    assert tight.is_rated and Standing.objects.get(structure=deck).bar_state == "sound"
    assert Standing.objects.get(structure=deck).least_pressure_psi == pytest.approx(100.0)
    later = now.replace(year=2027)
    rated(deck, county.people["inspector"], later, bar_readings(deck, 5760.0), kind="bar_check",
          field_completed_on=DONE_ON.replace(year=2027))  # fmt: skip
    proposal = Recommendation.objects.get(structure=deck, state="proposed")
    assert proposal.restriction == "closed" and proposal.needs_review_now
    assert Standing.objects.get(structure=deck).bar_state == "slack"


def test_bars_never_read_count_as_absent(county, now):
    deck = make_stressed_deck(county.agency)
    rated(deck, county.people["inspector"], now)
    assert Recommendation.objects.get(structure=deck).restriction == "closed"
    assert Standing.objects.get(structure=deck).bar_state == "unknown"


def test_less_bar_force_never_rates_higher(county, now):
    deck = make_stressed_deck(county.agency)
    least = []
    for force_lb in (57600.0, 23040.0, 15000.0, 5760.0):
        rated(deck, county.people["inspector"], now, bar_readings(deck, force_lb))
        least.append(only_rating(deck).least_factor)
    assert all(after <= before + 1e-9 for before, after in zip(least, least[1:], strict=False))
    assert least[-1] < least[0]
