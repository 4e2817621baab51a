"""Geographic files in: a real county's roads, a file made by a third-party writer, and files that cannot be taken."""

import geopandas
import pytest
from django.core.management import CommandError, call_command
from pyproj import Geod
from shapely.geometry import LineString, Point

from maps.models import Line
from maps.records.line_files import read_lines

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def write(path, shapes, crs="EPSG:4326", **columns):
    geopandas.GeoDataFrame(columns, geometry=shapes, crs=crs).to_file(path)
    return path


def test_real_county_is_drawn_whole(county, shared_data, capsys):
    """Steele County roads, Census Bureau TIGER/Line 2021: 2,414 features (count from the file's own README)."""
    call_command("draw_map", shared_data / "roads" / "tl_2021_38091_roads.zip", agency=county.agency.name, kind="road")
    assert Line.objects.filter(agency=county.agency, kind="road").count() == 2414
    assert Line.objects.filter(agency=county.agency, road_class="state").exists()


def test_projected_feet_come_out_as_degrees(tmp_path):
    """State plane feet (EPSG:2265) and degrees must give the same place, measured on pyproj's ellipsoid."""
    degrees = LineString([(-97.6, 47.4), (-97.5, 47.4)])
    feet = geopandas.GeoSeries([degrees], crs="EPSG:4326").to_crs("EPSG:2265")
    read = read_lines(write(tmp_path / "feet.gpkg", list(feet), crs="EPSG:2265", name=["Plover Road"]))
    [line] = read.lines
    assert line.name == "Plover Road"
    _, _, off_m = Geod(ellps="WGS84").inv(line.bounds.west, line.bounds.south, -97.6, 47.4)
    assert off_m < 1.5  # NAD83 against WGS 84


def test_feature_that_cannot_be_drawn_is_named(tmp_path):
    path = write(tmp_path / "mixed.geojson", [LineString([(0, 0), (1, 1)]), Point(0, 0)], name=["a", "b"])
    read = read_lines(path)
    assert len(read.lines) == 1
    [(number, reason)] = read.refused
    assert number == 2 and "Point" in reason


@pytest.mark.parametrize(
    "content, words", [(b"", "cannot be read"), (b"\x00\x01binary", "cannot be read"), (None, "no file")]
)
def test_file_that_is_none_gets_a_sentence(county, tmp_path, content, words):
    path = tmp_path / "roads.gpkg"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(CommandError, match=words):
        call_command("draw_map", path, agency=county.agency.name, kind="road")
    assert not Line.objects.exists()


def test_file_without_a_coordinate_system_is_refused(county, tmp_path):
    path = write(tmp_path / "loose.shp", [LineString([(0, 0), (1, 1)])], crs=None, name=["a"])
    with pytest.raises(CommandError, match="coordinate system"):
        call_command("draw_map", path, agency=county.agency.name, kind="stream")


def test_unknown_agency_is_named(county, tmp_path):
    with pytest.raises(CommandError, match="Quill County"):
        call_command("draw_map", tmp_path / "x.gpkg", agency="Nowhere", kind="road")
