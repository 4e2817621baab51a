"""Shapes, refusals and lengths, held against known lengths of a degree, laws, and a second method."""

import itertools
import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from maps.geometry import (
    Bounds,
    NotOnTheMap,
    bounds_from_text,
    clipped,
    distance_m,
    drawn_line,
    geojson_texts,
    length_m,
    length_mi,
    lines_of,
    local_ft,
    window_about,
)

# WGS 84: semi-major axis and flattening, the two numbers that define it [memory: NIMA TR8350.2].
AXIS_M, FLATTENING = 6_378_137.0, 1 / 298.257223563
lons = st.floats(-179, 179)
lats = st.floats(-80, 80)


def meridian_arc_m(from_deg: float, to_deg: float, steps: int = 2000) -> float:
    """Second method: Simpson's rule over the meridian's radius of curvature, a(1 - e2) / (1 - e2 sin2)^1.5."""
    e2 = FLATTENING * (2 - FLATTENING)

    def radius(degrees: float) -> float:
        return AXIS_M * (1 - e2) / (1 - e2 * math.sin(math.radians(degrees)) ** 2) ** 1.5

    width = (to_deg - from_deg) / steps
    inner = sum((4 if i % 2 else 2) * radius(from_deg + i * width) for i in range(1, steps))
    return math.radians(width) / 3 * (radius(from_deg) + inner + radius(to_deg))


@pytest.mark.parametrize(
    ("south", "metres"),
    # Length of a degree of latitude on WGS 84 about the middle latitude [memory: tables of the degree's length].
    [(-0.5, 110_574), (44.5, 111_132)],
)
def test_a_degree_of_latitude_has_its_known_length(south, metres):
    line = drawn_line([(-97.5, south), (-97.5, south + 1)])
    assert length_m(line.wkb) == pytest.approx(metres, abs=2)


def test_a_degree_of_longitude_on_the_equator_is_the_axis_times_a_radian():
    """The equator is a circle: length = a x pi / 180 = 111,319.49 m (arithmetic)."""
    assert length_m(drawn_line([(10, 0), (11, 0)]).wkb) == pytest.approx(AXIS_M * math.pi / 180, rel=1e-9)


@given(lon=lons, south=lats, rise=st.floats(0.001, 5))
def test_length_along_a_meridian_equals_the_integral_of_curvature(lon, south, rise):
    line = drawn_line([(lon, south), (lon, south + rise)])
    assert length_m(line.wkb) == pytest.approx(meridian_arc_m(south, south + rise), rel=1e-6)


def test_miles_are_international_miles():
    """1 mi = 5,280 ft of 0.3048 m = 1,609.344 m (arithmetic)."""
    line = drawn_line([(-97.5, 46.0), (-97.5, 46.5)])
    assert length_mi(line.wkb) * 5280 * 0.3048 == pytest.approx(length_m(line.wkb))


@given(points=st.lists(st.tuples(lons, lats), min_size=2, max_size=8, unique=True))
def test_stored_line_gives_back_its_points_and_its_bounds_hold_them(points):
    try:
        line = drawn_line(points)
    except NotOnTheMap as refusal:
        assert "180th meridian" in str(refusal)
        return
    assert lines_of(line.wkb) == [points]
    assert all(line.bounds.west <= lon <= line.bounds.east for lon, _ in points)
    assert all(line.bounds.south <= lat <= line.bounds.north for _, lat in points)


@given(points=st.lists(st.tuples(st.floats(-98, -97), st.floats(46, 47)), min_size=3, max_size=3, unique=True))
def test_a_way_round_is_never_shorter_than_the_straight_way(points):
    line = drawn_line(points)
    assert length_m(line.wkb) >= distance_m(points[0], points[-1]) - 1e-6


@pytest.mark.parametrize(
    ("shape", "says"),
    [
        ([(46.4, -97.5), (46.5, -97.5)], "exchanged"),
        ([(500_000.0, 5_100_000.0), (500_100.0, 5_100_000.0)], "metres or feet"),
        ([(-97.5, 46.4)], "at least two"),
        ([], "at least two"),
        ([(-97.5, 46.4), (-97.5, 46.4)], "same place"),
        ([(-97.5, float("nan")), (-97.4, 46.4)], "not a number"),
        ([(179.9, 52.0), (-179.9, 52.0)], "180th meridian"),
        ([("here", "there"), (1, 2)], "not a list"),
        (b"not a geometry", "not a list"),
        (shapely.Point(-97.5, 46.4), "a Point"),
        (shapely.LineString(), "no points"),
        (shapely.Polygon([(0, 0), (1, 1), (1, 0), (0, 1), (0, 0)]), "Self-intersection"),
    ],
)
def test_nonsense_is_refused_with_its_reason(shape, says):
    with pytest.raises(NotOnTheMap, match=says):
        drawn_line(shape)


def test_an_area_is_drawn_by_its_edge():
    """A square of one degree has four sides of one degree: 4 in degrees."""
    line = drawn_line(shapely.box(-98, 46, -97, 47))
    assert shapely.from_wkb(line.wkb).length == pytest.approx(4)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1,2,3", "3 numbers"),
        ("a,b,c,d", "not four numbers"),
        ("-200,46,-97,47", "west"),
        ("-98,46,-97,95", "north"),
        ("-98,47,-97,46", "south edge"),
        ("nan,46,-97,47", "west"),
        ("-98,46,inf,47", "east"),
        ("", "1 numbers"),
    ],
)
def test_a_bad_window_is_refused_with_an_example_of_a_good_one(text, says):
    with pytest.raises(NotOnTheMap, match=says) as refusal:
        bounds_from_text(text)
    assert "bbox=-97.6,46.3,-97.4,46.5" in str(refusal.value)


def test_a_window_over_the_180th_meridian_is_understood():
    """RFC 7946, section 5.2 [memory]: the west edge's longitude is then greater than the east edge's."""
    assert bounds_from_text("177,-20,-178,-16").crosses_180
    assert not bounds_from_text("-98,46,-97,47").crosses_180


@given(lon=st.floats(-170, 170), lat=lats, half=st.floats(0.1, 20))
def test_the_window_about_a_place_reaches_as_far_as_asked(lon, lat, half):
    window = window_about(lon, lat, half)
    reach = half * 1609.344
    assert distance_m((lon, lat), (lon, window.north)) == pytest.approx(reach, rel=1e-6)
    assert distance_m((lon, lat), (lon, window.south)) == pytest.approx(reach, rel=1e-6)
    assert window.west < lon < window.east


def test_clipping_keeps_what_is_inside():
    line = drawn_line([(-98, 46.5), (-96, 46.5)])
    (part,) = clipped(line.wkb, Bounds(-97.5, 46, -97, 47))
    assert sorted(part) == [(-97.5, 46.5), (-97.0, 46.5)]
    assert clipped(line.wkb, Bounds(-97.5, 47, -97, 48)) == []


def test_thinning_moves_no_line_by_more_than_the_tolerance():
    """Douglas and Peucker keep every dropped point within the tolerance of what is drawn; rounding adds half a unit."""
    points = [(-98 + i / 1000, 46 + 0.002 * math.sin(i)) for i in range(500)]
    tolerance = 0.001
    (text,) = geojson_texts([drawn_line(points).wkb], tolerance_deg=tolerance)
    thinned = shapely.from_geojson(text)
    assert len(thinned.coords) < len(points)
    assert max(thinned.distance(shapely.Point(p)) for p in points) <= tolerance + 1e-6


def test_feet_around_a_place_keep_the_distances_of_the_ground():
    """Against the ellipsoid itself: the plane distance between any two places two miles out is the geodesic one."""
    origin = (-97.5, 46.4)
    window = window_about(*origin, 2.0)
    places = [(window.west, 46.4), (-97.5, window.north), (window.east, window.south), origin]
    feet = local_ft(places, origin)
    assert feet[3] == [0, 0] and feet[0][0] == -10_560 and feet[1] == [0, 10_560]  # two miles of 5,280 ft
    for one, two in itertools.combinations(range(4), 2):
        assert math.dist(feet[one], feet[two]) == pytest.approx(distance_m(places[one], places[two]) / 0.3048, abs=1.5)
