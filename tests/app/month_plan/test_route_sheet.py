"""The route sheet: in order, with why, what was found last, posting, bars, whom to call first."""

import pytest

from inspections.actions.field_days import DayWanted
from inspections.actions.field_stops import plan_new_day
from inventory.models import EmergencyContact, Jack, Posting
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import decay, make_stressed_deck, rated
from tests.makers.plan import in_days, owed, qualified

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def sheet(county, now):
    inspector = county.people["inspector"]
    qualified(county.agency, inspector)
    bridge, deck = make_stringer_bridge(county.agency), make_stressed_deck(county.agency)
    deck.lon_deg, deck.lat_deg = -97.4, 46.4
    deck.save()
    rated(bridge, inspector, now, [decay(bridge)])
    Posting.objects.create(
        structure=bridge, restriction="posted", single_ton=12, source="adopted", decided_on=now.date()
    )
    EmergencyContact.objects.create(agency=county.agency, role="sheriff", name="Duty desk", phone="701 555 0142")
    rows = [owed(bridge, kind="special", reason="Special: decay in stringer 4"), owed(deck, kind="bar_check")]
    rows.append(owed(deck, kind="in_depth"))
    day = plan_new_day(
        agency=county.agency, wanted=DayWanted(on=in_days(2), leader=inspector), reminders=rows,
        by=county.people["supervisor"], at=now,
    )  # fmt: skip
    county.day = day
    return county


def page(county, role="crew"):
    answer = county.client(role).get(f"/plan/days/{county.day.pk}/sheet/")
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def test_everything_a_team_needs_in_order(sheet):
    said = page(sheet)
    # Heron Road at -97.5 and Curlew Lane at -97.4, latitude 46.4: 0.1 x 69.17 x cos 46.4 = 4.77 mi.
    assert "4.8 mi straight from the stop before" in said and "Straight lines, not roads" in said
    assert "Heron Road" in said and "Sedge Creek" in said and "Special: decay in stringer 4" in said
    assert "Decay on a face" in said and "12 tons" in said
    assert said.index("701 555 0142") < said.index("visit-1"), "whom to call stands before the stops"
    assert 'href="tel:' in said and "stay, block the road, call first, and only then record" in said


def test_two_things_at_one_structure_are_one_visit_and_name_the_bars(sheet):
    said = page(sheet)
    assert said.count('class="visit"') == 2
    # Six bars at 2, 6, ... 22 ft of a 24 ft span: all of them lie within the policy's 10 ft of midspan or a bearing.
    assert "Bars to read" in said and "Span 1, mid-depth bars: 1, 2, 3, 4, 5, 6. All 6 bars are to be read." in said
    assert "NONE on record is in calibration" in said


def test_a_jack_in_calibration_is_named(sheet):
    Jack.objects.create(
        agency=sheet.agency, name="Jack 9", serial="J9", ram_area_in2=12.25, efficiency=0.97,
        gauge_division_psi=100, calibrated_on=in_days(-10), calibration_months=12,
    )  # fmt: skip
    assert "Jack 9" in page(sheet) and "NONE on record" not in page(sheet)
    Jack.objects.update(calibrated_on=in_days(-400))
    assert "NONE on record" in page(sheet)


def test_without_contacts_it_asks_to_write_them_down(sheet):
    EmergencyContact.objects.all().delete()
    assert "Write down the sheriff" in page(sheet)


def test_no_inline_script_or_style(sheet):
    said = page(sheet)
    assert " style=" not in said and "onclick" not in said
