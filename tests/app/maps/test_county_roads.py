"""A real county's roads: Census Bureau road lines of 2021 (public domain), read by GDAL, drawn and sent back."""

import json

import pyogrio
import pytest
import shapely

from maps.actions.draw_lines import draw_lines
from maps.geometry import drawn_line, length_m
from maps.models import Line


@pytest.fixture
def roads(shared_data):
    archives = sorted((shared_data / "roads").glob("tl_2021_*_roads.zip"))
    return pyogrio.read_dataframe(f"/vsizip/{archives[0]}")


def test_every_road_is_drawn_and_sent_back_where_it_lies(county, now, roads):
    lines = [
        drawn_line(shape, name=name if isinstance(name, str) else "")
        for shape, name in zip(roads.geometry, roads.FULLNAME, strict=True)
    ]
    draw_lines(agency=county.agency, kind="road", lines=lines, by=None, at=now)
    response = county.client("inspector").get("/map/lines.geojson")
    collection = json.loads(response.content)
    assert len(collection["features"]) + collection["omitted"] == len(roads)
    sent = {f["id"]: shapely.from_geojson(json.dumps(f["geometry"])) for f in collection["features"]}
    for pk, wkb in Line.objects.values_list("pk", "wkb"):
        # Six decimals: half a unit each way is 0.7e-6 degree at the corner.
        assert sent[pk].hausdorff_distance(shapely.from_wkb(bytes(wkb))) < 1e-6


def test_lengths_agree_with_a_flat_map_of_the_place(roads):
    """Second method: UTM, the zone of the place, scale within 0.9996 to 1.001 of the ground [memory: UTM design]."""
    flat = roads.to_crs(roads.estimate_utm_crs())
    on_the_ground = sum(length_m(drawn_line(shape).wkb) for shape in roads.geometry)
    assert 0.9995 < flat.length.sum() / on_the_ground < 1.001
