"""The list of due re-tensioning and the page of one structure: scope, filter, files, and nothing hidden."""

import csv
import io
import re
from datetime import date

import pytest

from inspections.actions.forecast import forecast_bars
from inspections.models import BarForecast
from tests.makers.bar_history import days_after, make_decks, read_all
from tests.makers.county import make_county

pytestmark = pytest.mark.database
ERECTED = date(2023, 5, 1)


@pytest.fixture
def decks(county, now):
    """Three decks: one read slack, one plain, one without any stressing on record."""
    found = make_decks(county.agency, 3, stressed_on=ERECTED, read_on=days_after(ERECTED, 60, 400), bars=5)
    read_all(found[0], date(2026, 6, 10), 20_000.0)
    found[2].works.all().delete()
    forecast_bars(structure_ids=[one.pk for one in found], at=now)
    return found


def get(county, address, role="supervisor"):
    response = county.client(role).get(address)
    assert response.status_code == 200, address
    return response.content.decode()


def numbers(page):
    return re.findall(r'href="/structures/\d+/bars/">(SL-\d+)', page)


def test_before_the_first_night_pages_say_so(county):
    deck = make_decks(county.agency, 1, stressed_on=ERECTED, bars=4)[0]
    assert "No row of bars is listed here" in get(county, "/bars/")
    assert "No forecast is kept for this row yet" in get(county, f"/structures/{deck.pk}/bars/")
    assert "No forecast of bar force yet" in get(county, f"/structures/{deck.pk}/")


def test_the_earliest_date_leads_and_every_row_is_there(county, decks):
    page = get(county, "/bars/")
    assert numbers(page)[0] == decks[0].number and sorted(numbers(page)) == [one.number for one in decks]
    assert "nobody in line with a bar under load" in page and "No forecast" in page
    assert "stressings on record" in page and "psi, below 50 psi" in page


def test_filters_narrow_and_an_unreadable_one_shows_nothing(county, decks):
    assert numbers(get(county, "/bars/?stands=refused")) == [decks[2].number]
    assert decks[0].number in numbers(get(county, "/bars/?stands=overdue"))
    assert numbers(get(county, "/bars/?q=SL-00001")) == ["SL-00001"]
    page = get(county, "/bars/?chance=high")
    assert numbers(page) == [] and "Nothing is listed until it is corrected" in page
    assert numbers(get(county, "/bars/?sort=-structure"))[0] == "SL-00002"


def test_other_agencies_see_nothing_of_it(county, decks):
    other = make_county("Fern County", "002")
    assert numbers(other.client("supervisor").get("/bars/").content.decode()) == []
    assert other.client("engineer").get(f"/structures/{decks[0].pk}/bars/").status_code == 404
    assert decks[0].number not in other.client("supervisor").get("/bars/csv/").content.decode()


def test_the_file_says_what_the_list_says(county, decks):
    response = county.client("supervisor").get("/bars/csv/")
    rows = list(csv.DictReader(io.StringIO(response.content.decode())))
    assert len(rows) == 3 and "attachment" in response["Content-Disposition"]
    for row in rows:
        kept = BarForecast.objects.get(structure__number=row["structure"])
        assert row["re-tension by"] == (kept.recommended_on.isoformat() if kept.recommended_on else "")
    assert county.client("supervisor").get("/bars/csv/?chance=x").status_code == 400
    assert decks[0].number in get(county, "/bars/print/")


def test_no_cell_is_taken_for_a_formula(county, decks):
    decks[0].road_name = "=1+1"
    decks[0].save()
    body = county.client("supervisor").get("/bars/csv/").content.decode()
    assert "'=1+1" in body


def test_page_of_a_structure_shows_drawings_tables_and_what_was_assumed(county, decks):
    page = get(county, f"/structures/{decks[1].pk}/bars/?bar=2&bar=x%3Cscript%3E")
    assert page.count("<svg") >= 2 and "<script>alert" not in page and "x<script>" not in page
    for words in (
        "Every reading of span 1", "Forecast of span 1 as a table", "Logarithmic", "Exponential", "What it rests on",
        "the target is taken", "readings used in the fit", "calibrated jack and gauge", "Days read",
    ):  # fmt: skip
        assert words in page, words


def test_readings_below_the_band_are_said_before_the_band(county, decks):
    page = get(county, f"/structures/{decks[0].pk}/bars/")
    kept = BarForecast.objects.get(structure=decks[0])
    if kept.lower_psi_today > 20_000 / 576 + 1:
        assert "The pressure counted by readings, 35 psi, lies below the band" in page
    assert "Re-tension now" in page


def test_a_forecast_older_than_the_record_says_so(county, decks):
    address, words = f"/structures/{decks[1].pk}/bars/", "changed after this forecast was made"
    page = get(county, address)
    assert words not in page and "Plan a stressing day" in page
    assert "Plan a stressing day" not in get(county, address, "inspector")
    read_all(decks[1], date(2026, 6, 14), 40_000.0)
    assert words in get(county, address)


def test_a_low_reading_in_frost_is_called_so_and_moves_no_date(county, decks, now):
    """Read 20 psi in frost with wet wood: it counts, is named, and the dates start from the band."""
    before = BarForecast.objects.get(structure=decks[1]).need_reached_early_on
    read_all(decks[1], date(2026, 1, 10), 11_520.0, wood_temp_f=10.0, moisture_pct=30.0)
    forecast_bars(structure_ids=[decks[1].pk], at=now)
    after = BarForecast.objects.get(structure=decks[1])
    assert after.results["read_ratio"] == 1.0 and after.need_reached_early_on == before
    assert after.results["forecast"]["readings_left_out"] == 5
    page = get(county, f"/structures/{decks[1].pk}/bars/")
    assert "taken in frost with wet wood: read again when thawed" in page


def test_a_refusal_is_a_sentence_and_readings_stay_visible(county, decks):
    page = get(county, f"/structures/{decks[2].pk}/bars/")
    assert "No forecast can be made." in page and "Every reading of span 1" in page


def test_the_section_of_the_structure_has_the_short_form(county, decks):
    page = get(county, f"/structures/{decks[1].pk}/")
    assert "Forecast of bar force" in page and f"/structures/{decks[1].pk}/bars/" in page
