"""A row of bars as the record has it: which force stands, from where, and the numbers of the span with sources."""

from datetime import date, timedelta

import pytest

from inspections.assembly.stressing import plan_input
from inspections.assembly.stressing_row import row_on_record
from inspections.models import BarForecast
from inventory.models import Bar, BarPolicy, MemberGroup, Work
from tests.makers.inspected import DONE_ON, bar_readings, make_stressed_deck, submitted
from tests.makers.stressing import asked, make_deck_to_stress, make_jack, system_of

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def row(structure, as_of=date(2026, 6, 15)):
    return row_on_record(system=system_of(structure), level="mid", as_of=as_of)


def forecast(structure, made_on, middle_lb):
    bars = [{"bar_index": at, "middle_lb": middle_lb, "sd_lb": 900.0, "is_read": at == 0} for at in range(6)]
    return BarForecast.objects.create(
        structure=structure, system=system_of(structure), level="mid", made_on=made_on,
        made_at=f"{made_on}T03:00:00Z", kernel_version="x", digest="x", results={"forecast": {"bars": bars}},
        inputs={"bar_ids": [bar.pk for bar in Bar.objects.order_by("station_ft")]},
    )  # fmt: skip


def test_the_last_reading_stands_and_says_so(county, now):
    bars = row(make_deck_to_stress(county, now)).bars
    assert [(bar.standing_lb, bar.standing_words) for bar in bars] == [(30_000.0, "lift-off, 14 Jun 2026")] * 6


def test_a_forecast_that_knows_the_reading_stands_before_it(county, now):
    structure = make_deck_to_stress(county, now)
    forecast(structure, DONE_ON, 28_000.0)
    bars = row(structure).bars
    assert {bar.standing_lb for bar in bars} == {28_000.0}
    assert bars[0].standing_words == "forecast of 14 Jun 2026, own reading"
    assert bars[1].standing_words == "forecast of 14 Jun 2026, not read: its neighbours"


def test_a_forecast_far_above_a_bars_own_reading_is_not_believed(county, now):
    structure = make_deck_to_stress(county, now)
    forecast(structure, DONE_ON, 36_100.0)
    bars = row(structure).bars
    assert {bar.standing_lb for bar in bars} == {30_000.0} and "the forecast says more" in bars[0].standing_words


def test_a_forecast_older_than_a_reading_does_not(county, now):
    structure = make_deck_to_stress(county, now)
    forecast(structure, DONE_ON - timedelta(days=1), 28_000.0)
    assert {bar.standing_lb for bar in row(structure).bars} == {30_000.0}


def test_nothing_is_known_since_the_bars_were_pulled(county, now):
    structure = make_deck_to_stress(county, now)
    forecast(structure, DONE_ON, 28_000.0)
    Work.objects.create(structure=structure, kind="retension", done_on=date(2026, 6, 15), summary="pulled")
    bars = row(structure).bars
    assert {bar.standing_lb for bar in bars} == {None}
    assert bars[0].standing_words == "nothing known since it was last pulled"


def test_a_gauge_at_lock_off_is_no_standing_force(county, now):
    structure = make_stressed_deck(county.agency)
    found = [reading | {"force_method": "lock_off"} for reading in bar_readings(structure, 60_000.0)]
    submitted(structure, county.people["inspector"], now, found, kind="bar_check")
    assert {bar.standing_lb for bar in row(structure).bars} == {None}


def test_loose_to_the_hand_holds_nothing_whatever_a_forecast_says(county, now):
    structure = make_stressed_deck(county.agency)
    found = bar_readings(structure, 30_000.0)
    found[2] |= {"force_method": "hand_loose", "force_lb": None}
    submitted(structure, county.people["inspector"], now, found, kind="bar_check")
    forecast(structure, DONE_ON, 28_000.0)
    bars = row(structure).bars
    assert [bar.standing_lb for bar in bars] == [28e3, 28e3, 0.0, 28e3, 28e3, 28e3]
    assert bars[2].standing_words == "loose or broken, 14 Jun 2026"


def test_a_pitted_bar_is_left_out_with_its_reason_until_released(county, now):
    structure = make_deck_to_stress(county, now)
    Bar.objects.filter(number=4).update(is_usable=False, set_aside_reason="pitted at the left plate")
    held = row(structure)
    assert held.left_out == {4: "pitted at the left plate"}
    given = plan_input(row=held, asked=asked([make_jack(county.agency)]), today=now.date()).given
    assert [bar.is_planned for bar in given.bars] == [True, True, True, False, True, True]
    Bar.objects.filter(number=4).update(is_usable=True)
    assert row(structure).left_out == {}


def test_every_number_of_the_span_with_its_source(county, now):
    """E of Douglas fir-larch No.1 1,700,000 psi, wet 0.9; red oak F_cp 820 psi, wet 0.67 (NDS Supplement, 4A, and
    its C_M; checked-2nd as in the kernel's tables): 820 x 0.67 x 12 x 12 = 79,114 lb under a 12 in plate.
    """
    values = row(make_deck_to_stress(county, now)).values
    assert values["e_transverse_psi"].value == pytest.approx(0.013 * 1_700_000 * 0.9)
    assert values["shear_modulus_psi"].value == pytest.approx(0.03 * 1_700_000 * 0.9)
    assert values["plate_limit_lb"].value == pytest.approx(820 * 0.67 * 144)
    assert values["flange_limit_psi"].value == pytest.approx(625 * 0.67)
    assert (values["deck_width_in"].value, values["bar_length_in"].value) == (192.0, 216.0)
    assert values["bearing_length_in"].value == 12.0
    assert all(held.source for held in values.values())
    assert "Red oak" in values["plate_limit_lb"].source and "model" in values["e_transverse_psi"].source


def test_a_thin_plate_governs_by_its_bending(county, now):
    """t_p = sqrt(3 f_bp k2/F_s) (EM 7700-8 chapter 9, memory): t 1 in, k (12 - 6)/2 = 3 in, F_s 0.55 x 50,000:
    F = t2 F_s A/(3 k2) = 27,500 x 144/27 = 146,667 lb; with 0.6 in 0.36 of it, 52,800 lb, below the edge's 79,114.
    """
    thick = row(make_deck_to_stress(county, now, plate_thickness_in=0.6)).values["plate_limit_lb"]
    assert thick.value == pytest.approx(52_800.0) and "bends" in thick.source


def test_the_countys_policy_is_used(county, now):
    structure = make_deck_to_stress(county, now)
    BarPolicy.objects.create(agency=county.agency, e_transverse_ratio=0.02, seating_in=0.05)
    values = row(structure).values
    assert values["e_transverse_psi"].value == pytest.approx(0.02 * 1_700_000 * 0.9)
    assert values["seating_in"].value == 0.05


def test_what_is_not_on_record_is_said_and_asked_for(county, now):
    structure = make_deck_to_stress(county, now, plate_width_in=None)
    MemberGroup.objects.filter(span__structure=structure).delete()
    held = row(structure)
    assert held.values["e_transverse_psi"].value is None and held.values["plate_limit_lb"].value is None
    found = dict(plan_input(row=held, asked=asked([make_jack(county.agency)]), today=now.date()).faults)
    assert {"value-e_transverse_psi", "value-shear_modulus_psi", "value-bearing_length_in"} <= set(found)
    assert "value-plate_limit_lb" not in found  # told as not checked, not guessed


def test_a_number_changed_by_hand_stands_and_is_marked(county, now):
    held = row(make_deck_to_stress(county, now))
    jack = make_jack(county.agency)
    made = plan_input(row=held, asked=asked([jack], values={"bar_length_in": 210.0}), today=now.date())
    assert made.given.deck.bar_length_in == 210.0
    (source,) = [each for each in made.sources if each.name == "bar_length_in"]
    assert source.is_own and "on record: 216" in source.source
    wrong = plan_input(row=held, asked=asked([jack], values={"bar_length_in": 9e9}), today=now.date())
    assert dict(wrong.faults)["value-bar_length_in"].endswith("enter it again.")


def test_all_bars_unread_are_each_asked_for_and_at_erection_stand_at_nothing(county, now):
    structure = make_deck_to_stress(county, now, force_lb=None)
    jack, held = make_jack(county.agency), row(structure)
    found = plan_input(row=held, asked=asked([jack]), today=now.date()).faults
    assert [field for field, _sentence in found] == [f"standing-{number}" for number in range(1, 7)]
    erected = plan_input(row=held, asked=asked([jack], purpose="stressing"), today=now.date())
    assert [bar.standing_lb for bar in erected.given.bars] == [0.0] * 6
    assert "taken as not engaged" in erected.notes[0]


def test_two_jacks_of_one_name_are_told_apart(county, now):
    held = row(make_deck_to_stress(county, now))
    jacks = [make_jack(county.agency, "Jack", serial="A"), make_jack(county.agency, "Jack", serial="B")]
    kits = plan_input(row=held, asked=asked(jacks), today=now.date()).given.jacks
    assert [kit.name for kit in kits] == ["Jack (A)", "Jack (B)"]


def test_a_record_with_two_bars_at_one_station_is_refused_in_words(county, now):
    structure = make_deck_to_stress(county, now)
    Bar.objects.filter(number=2).update(station_ft=2.0)
    found = plan_input(row=row(structure), asked=asked([make_jack(county.agency)]), today=now.date()).faults
    assert any("stand at one place" in sentence for _field, sentence in found)
