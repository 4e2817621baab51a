"""Files that leave the register hold the list's rows, open in other programs, and run nothing."""

import csv
import io
import json
import sqlite3
from datetime import date

import openpyxl
import pandas
import pyogrio
import pytest
import shapely

from inventory.filters import StructureFilter
from inventory.models import Standing, Structure
from inventory.queries.structures import structures_for
from maps.exports.columns import COLUMNS

FORMS = ("csv", "xlsx", "geojson", "gpkg")
QUERIES = (
    "",
    "condition=poor",
    "restriction=posted",
    "system=stress_laminated_t",
    "road=heron",
    "q=caf%C3%A9",
    "due=overdue",
    "due=none",
    "built_from=1970&built_to=1990",
    "condition=good&restriction=open",
    "q=nothing-like-this",
    "missing=no&status=in_service",
)


def download(client, form, query="", tmp_path=None):
    response = client.get(f"/structures/export.{form}?{query}")
    assert response.status_code == 200
    assert f'.{form}"' in response["Content-Disposition"]
    return response


def frame_of(form, content, tmp_path):
    """Read back by third-party readers: pandas and GDAL (pyogrio)."""
    if form == "csv":
        return pandas.read_csv(io.BytesIO(content), dtype={"number": str})
    if form == "xlsx":
        return pandas.read_excel(io.BytesIO(content), dtype={"number": str})
    path = tmp_path / f"list.{form}"
    path.write_bytes(content)
    return pyogrio.read_dataframe(path)


@pytest.mark.parametrize("query", QUERIES)
@pytest.mark.parametrize("form", FORMS)
def test_a_file_holds_the_rows_of_the_list_in_its_order(drawn, neighbour, form, query, tmp_path, rf):
    request = rf.get(f"/?{query}")
    listed = StructureFilter(request.GET, queryset=structures_for(drawn.people["office"])).qs
    expected = [s.number for s in listed.order_by("number")]
    response = download(drawn.client("office"), form, query)
    frame = frame_of(form, response.content, tmp_path)
    # A GeoJSON without features has no columns to read either.
    assert (list(frame["number"]) if len(frame) else []) == expected
    assert response["X-Structures"] == str(len(expected))


def test_the_list_page_and_the_file_agree(drawn):
    """The list page itself shows the same numbers as its file, for the same address."""
    client = drawn.client("office")
    page = client.get("/structures/?condition=poor").content.decode()
    rows = list(csv.DictReader(io.StringIO(download(client, "csv", "condition=poor").content.decode("utf-8-sig"))))
    assert rows
    for structure in Structure.objects.all():
        assert (f">{structure.number}<" in page) == (structure.number in {row["number"] for row in rows})


@pytest.mark.parametrize("form", FORMS)
def test_values_are_the_registers_and_empty_stays_empty(drawn, form, tmp_path):
    Standing.objects.filter(structure__number="Q-00").update(last_inspected_on=date(2025, 4, 30), least_factor=0.25)
    frame = frame_of(form, download(drawn.client("office"), form).content, tmp_path).set_index("number")
    row, bare = frame.loc["Q-00"], frame.loc["Q-bare"]
    assert row["least_legal_factor"] == 0.25 and row["year_built"] == 1960
    assert pandas.Timestamp(row["last_inspected_on"]).date() == date(2025, 4, 30)
    assert row["road"] == "Café Road" and row["condition"] == "Good"
    for name in ("least_legal_factor", "lowest_rating", "next_due_on", "condition"):
        assert pandas.isna(bare[name]), name
    assert pandas.isna(frame.loc["Q-unplaced"]["lat_deg"])


@pytest.mark.parametrize("form", ("geojson", "gpkg"))
def test_positions_are_longitude_first_and_none_is_made_up(drawn, form, tmp_path):
    response = download(drawn.client("office"), form)
    frame = frame_of(form, response.content, tmp_path).set_index("number")
    assert frame.crs.to_epsg() == 4326
    assert frame.loc["Q-unplaced"].geometry is None
    assert response["X-Structures-Without-Position"] == "1"
    for number, row in frame.drop("Q-unplaced").iterrows():
        structure = Structure.objects.get(number=number)
        assert row.geometry.equals(shapely.Point(structure.lon_deg, structure.lat_deg))


def test_geopackage_has_the_marks_of_its_standard_and_real_types(drawn, tmp_path):
    """Application id "GPKG" at byte 68 and a row in gpkg_contents: OGC 12-128, requirements 1 and 2, 13 [memory]."""
    content = download(drawn.client("office"), "gpkg").content
    assert content[:16] == b"SQLite format 3\x00" and content[68:72] == b"GPKG"
    path = tmp_path / "list.gpkg"
    path.write_bytes(content)
    with sqlite3.connect(path) as book:
        assert book.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert book.execute("PRAGMA foreign_key_check").fetchall() == []
        assert book.execute("SELECT table_name, data_type, srs_id FROM gpkg_contents").fetchall() == [
            ("structures", "features", 4326)
        ]
        types = {name: kind for _, name, kind, *_ in book.execute("PRAGMA table_info(structures)")}
    for column in COLUMNS:
        starts = {"text": "TEXT", "whole": "MEDIUMINT", "figure": "REAL", "yesno": "BOOLEAN", "date": "DATE"}
        assert types[column.name].startswith(starts[column.kind]), column.name


def test_geojson_features_have_ids_and_no_crs_member(drawn):
    """RFC 7946 [memory]: section 3.2 (id, null geometry of an unlocated feature), section 4 (no crs member)."""
    collection = json.loads(download(drawn.client("office"), "geojson").content)
    assert collection["type"] == "FeatureCollection" and "crs" not in collection
    assert len({feature["id"] for feature in collection["features"]}) == len(collection["features"])
    assert all(set(feature) == {"type", "id", "geometry", "properties"} for feature in collection["features"])


# Formula injection: signs that begin a formula, also after a tab or line end [memory: OWASP, "CSV injection"].
PAYLOADS = (
    '=HYPERLINK("http://x.invalid","a")',
    "=1+1",
    "+1+cmd|' /C calc'!A0",
    "-1+1",
    "@SUM(1,1)",
    "\t=1+1",
    "\r=1+1",
    "\n=1+1",
    " =1+1",
    "＝1+1",
    "|calc",
    "%0A=1",
)


@pytest.mark.parametrize("payload", PAYLOADS)
def test_no_cell_begins_a_formula(county, payload):
    from tests.makers.county import make_stringer_bridge

    make_stringer_bridge(county.agency, "Q-evil", road_name=payload, location="=2+2")
    client = county.client("office")
    text = download(client, "csv").content.decode("utf-8-sig")
    (row,) = csv.DictReader(io.StringIO(text))
    for value in row.values():
        assert not value.startswith(("=", "+", "@", "\t", "\r", "\n", "＝", "|", "%")), value
        if value.startswith("-"):
            float(value)  # a negative number, nothing else
    book = openpyxl.load_workbook(io.BytesIO(download(client, "xlsx").content))
    kinds = {cell.data_type for cells in book.active.iter_rows() for cell in cells}
    assert "f" not in kinds


def test_xlsx_keeps_numbers_numbers_and_dates_dates(drawn):
    Standing.objects.filter(structure__number="Q-00").update(last_inspected_on=date(2025, 4, 30))
    book = openpyxl.load_workbook(io.BytesIO(download(drawn.client("office"), "xlsx").content))
    heading, first, *_ = book.active.iter_rows()
    by_name = {h.value: cell for h, cell in zip(heading, first, strict=True)}
    assert by_name["number"].data_type == "s" and by_name["year_built"].data_type == "n"
    assert by_name["last_inspected_on"].is_date


@pytest.mark.parametrize("form", FORMS)
def test_unwritable_characters_and_infinity_do_not_break_a_file(county, form, tmp_path):
    from tests.makers.county import make_stringer_bridge

    structure = make_stringer_bridge(
        county.agency, "Q-odd", road_name="Bell\x07 \x0b\uffff Road", location="ключ 橋 🌉"
    )
    Standing.objects.filter(structure=structure).update(least_factor=float("inf"))
    frame = frame_of(form, download(county.client("office"), form).content, tmp_path)
    assert frame["location"][0] == "ключ 橋 🌉"
    assert frame["road"][0].split() == ["Bell", "Road"]
    assert pandas.isna(frame["least_legal_factor"][0])


def test_a_filter_that_is_not_understood_makes_no_file(drawn):
    response = drawn.client("office").get("/structures/export.csv?restriction=maybe")
    assert response.status_code == 400 and "Restriction" in response.content.decode()


def test_an_unknown_kind_of_file_does_not_exist(drawn):
    assert drawn.client("office").get("/structures/export.exe").status_code == 404


@pytest.mark.parametrize("form", FORMS)
def test_no_file_is_left_behind(drawn, form, tmp_path, monkeypatch):
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    import tempfile

    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    download(drawn.client("office"), form)
    assert list(tmp_path.iterdir()) == []
