"""The sheet's layers: valid GeoJSON, the right window, the right agency, few queries."""

import json

import pyogrio
import pytest
import shapely
from django.test import Client
from django.urls import reverse

from inventory.models import Person, Standing, Structure
from maps.models import Line
from maps.queries import marks

STRUCTURES, LINES = "/map/structures.geojson", "/map/lines.geojson"


def read(client, address, **query):
    response = client.get(address, query)
    assert response.status_code == 200, response.content
    assert response["Content-Type"] == "application/geo+json"  # RFC 7946, section 12 [memory]
    return json.loads(response.content)


def numbers(collection):
    return {feature["properties"]["number"] for feature in collection["features"]}


def test_addresses_have_the_names_other_rooms_use():
    assert reverse("maps:structures.geojson") == STRUCTURES
    assert reverse("maps:lines.geojson") == LINES
    assert reverse("maps:export", kwargs={"form": "csv"}) == "/structures/export.csv"


def test_structures_are_read_by_a_third_party_reader_where_they_stand(drawn):
    """GDAL (through pyogrio) reads the layer; positions are those of the register, longitude first."""
    text = drawn.client("reviewer").get(STRUCTURES).content.decode()
    frame = pyogrio.read_dataframe(text)
    assert len(frame) == Structure.objects.filter(agency=drawn.agency).count()
    for row in frame.itertuples():
        structure = Structure.objects.get(number=row.number)
        if structure.lon_deg is None:
            assert row.geometry is None
        else:
            assert (row.geometry.x, row.geometry.y) == pytest.approx((structure.lon_deg, structure.lat_deg))


def test_titles_and_plates_say_what_the_register_says(drawn):
    by_number = {f["properties"]["number"]: f for f in read(drawn.client("office"), STRUCTURES)["features"]}
    for structure in Structure.objects.filter(agency=drawn.agency):
        assert by_number[structure.number]["properties"]["title"] == structure.title
    assert by_number["Q-01"]["properties"]["plate"] == "14 T"
    assert by_number["Q-02"]["properties"]["plate"] == "closed"
    # Unknown counts as absent: neither an unknown restriction nor a missing standing may look unrestricted.
    assert by_number["Q-03"]["properties"]["plate"] == by_number["Q-bare"]["properties"]["plate"] == "?"
    assert by_number["Q-00"]["properties"]["plate"] == ""


def test_a_posting_without_figures_is_one_short_word_on_the_plate(drawn):
    """A plate as long as a sentence hides its neighbours; tons are what a plate is for. Practice, no source."""
    Standing.objects.filter(structure__number="Q-01").update(sign_words="Posted, limit not on record")
    by_number = {f["properties"]["number"]: f for f in read(drawn.client("office"), STRUCTURES)["features"]}
    assert by_number["Q-01"]["properties"]["plate"] == "posted"


def test_late_is_said_from_the_day_after_the_date(drawn):
    by_number = {
        f["properties"]["number"]: f["properties"] for f in read(drawn.client("office"), STRUCTURES)["features"]
    }
    # Due dates are today + 20 n - 60 days: -60, -40, -20, 0, 20 ... (arithmetic).
    assert by_number["Q-00"]["due_in"] == "late 60 d" and by_number["Q-00"]["late"]
    assert by_number["Q-03"]["due_in"] == "today" and not by_number["Q-03"]["late"]
    assert by_number["Q-04"]["due_in"] == "in 20 d" and not by_number["Q-04"]["late"]
    assert by_number["Q-09"]["due_in"] == ""


def test_the_window_takes_what_lies_in_it_and_nothing_else(drawn):
    window = (-97.475, 46.0, -97.435, 47.0)
    seen = numbers(read(drawn.client("office"), STRUCTURES, bbox=",".join(map(str, window))))
    box = shapely.box(*window)
    expected = {
        s.number
        for s in Structure.objects.filter(agency=drawn.agency, lon_deg__isnull=False)
        if box.covers(shapely.Point(s.lon_deg, s.lat_deg))
    }
    assert seen == expected and len(expected) == 4


def test_a_window_over_the_180th_meridian(drawn):
    Structure.objects.filter(number="Q-00").update(lon_deg=179.5, lat_deg=52.0)
    Structure.objects.filter(number="Q-01").update(lon_deg=-179.5, lat_deg=52.0)
    seen = numbers(read(drawn.client("office"), STRUCTURES, bbox="179,51,-179,53"))
    assert seen == {"Q-00", "Q-01"}


@pytest.mark.parametrize("address", [STRUCTURES, LINES])
@pytest.mark.parametrize("bbox", ["1,2", "x,y,z,w", "-98,47,-97,46", "0,0,0,nan"])
def test_a_bad_window_gets_a_sentence(drawn, address, bbox):
    response = drawn.client("office").get(address, {"bbox": bbox})
    assert response.status_code == 400
    assert "bbox=west,south,east,north" in response.content.decode()


def test_a_filter_that_is_not_understood_sends_nothing(drawn):
    response = drawn.client("office").get(STRUCTURES, {"condition": "splendid"})
    assert response.status_code == 400 and "Condition" in response.content.decode()


def test_lines_are_valid_and_lie_where_they_were_drawn(drawn):
    collection = read(drawn.client("crew"), LINES, bbox="-98,46,-97,47")
    for feature in collection["features"]:
        shape = shapely.from_geojson(json.dumps(feature["geometry"]))
        stored = shapely.from_wkb(bytes(Line.objects.get(pk=feature["id"]).wkb))
        assert shape.is_valid and shape.hausdorff_distance(stored) < 1e-3
    assert {f["properties"]["name"] for f in collection["features"]} == {"Heron Road", "Sedge Creek"}
    assert read(drawn.client("crew"), LINES, bbox="10,10,11,11")["features"] == []


def test_a_neighbours_rows_are_never_sent(neighbour, drawn):
    office = drawn.client("office")
    assert "M-secret" not in office.get(STRUCTURES).content.decode()
    assert "Other Road" not in office.get(LINES).content.decode()
    assert numbers(read(neighbour.client("office"), STRUCTURES)) == {"M-secret"}
    # Asking for the neighbour by its number does not help.
    assert numbers(read(office, STRUCTURES, agency=neighbour.agency.pk)) == set()


@pytest.mark.parametrize("address", ["/", STRUCTURES, LINES, "/structures/export.csv"])
def test_strangers_and_those_without_a_role_are_kept_out(drawn, address):
    assert Client().get(address).status_code == 302
    unemployed = Client()
    unemployed.force_login(Person.objects.create_user("nobody", password="a long pass phrase"))
    response = unemployed.get(address)
    assert response.status_code == 403


def many(agency, count):
    rows = [
        Structure(agency=agency, number=f"N{i:05d}", lon_deg=-100 + i % 100 / 50, lat_deg=45 + i // 100 / 50)
        for i in range(count)
    ]
    made = Structure.objects.bulk_create(rows)
    Standing.objects.bulk_create(
        [Standing(structure=s, restriction="closed" if i % 10 == 0 else "open") for i, s in enumerate(made)]
    )


def test_too_many_to_draw_are_grouped_and_none_is_lost(drawn, monkeypatch):
    monkeypatch.setattr("maps.views.MARKS_IN_VIEW", 200)
    many(drawn.agency, 300)
    placed = Structure.objects.filter(agency=drawn.agency, lon_deg__isnull=False)
    collection = read(drawn.client("office"), STRUCTURES, gather="1")
    assert collection["grouped"]
    assert sum(f["properties"]["count"] for f in collection["features"]) == placed.count()
    closed = placed.filter(standing__restriction="closed").count()
    assert sum(f["properties"]["closed"] for f in collection["features"]) == closed
    for feature in collection["features"]:
        west, south, east, north = feature["bbox"]
        lon, lat = feature["geometry"]["coordinates"]
        assert west - 1e-6 <= lon <= east + 1e-6 and south - 1e-6 <= lat <= north + 1e-6
    # A closer window shows them one by one again.
    near = read(drawn.client("office"), STRUCTURES, gather="1", bbox="-100.01,44.99,-99.8,45.01")
    assert not near["grouped"] and len(near["features"]) == 11  # longitudes -100, -99.98 ... -99.80: 11 of them


@pytest.mark.parametrize("address", ["/", STRUCTURES, STRUCTURES + "?gather=1", LINES, "/structures/export.gpkg"])
def test_the_number_of_queries_does_not_grow_with_the_county(drawn, address, django_assert_max_num_queries):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client = drawn.client("office")
    client.get(address)
    with CaptureQueriesContext(
        connection,
    ) as few:
        client.get(address)
    many(drawn.agency, 150)
    with django_assert_max_num_queries(len(few)):
        client.get(address)


def test_every_system_has_a_symbol_on_the_page(drawn):
    from inventory.vocabulary.structures import ConditionClass, System

    page = drawn.client("office").get("/").content.decode()
    for system in System:
        for condition in ConditionClass:
            assert f'id="deck-{marks.shape_of(system.value)}-{condition.value}"' in page


def test_the_plate_of_emergency_limits_is_short(drawn):
    """The limit of trucks where there is one, else one word: the words beside it say the rest. Practice, no source."""
    Standing.objects.filter(structure__number="Q-01").update(sign_words="23 T; emergency 10 / 17 / 17 T")
    Standing.objects.filter(structure__number="Q-02").update(
        restriction="posted", sign_words="emergency 10 / 17 / 17 T", posted_ton=None
    )
    found = read(drawn.client("office"), STRUCTURES)["features"]
    by_number = {f["properties"]["number"]: f["properties"] for f in found}
    assert (by_number["Q-01"]["plate"], by_number["Q-02"]["plate"]) == ("23 T", "emergency")
    assert "emergency 10 / 17 / 17 T" in by_number["Q-01"]["restriction_words"]
