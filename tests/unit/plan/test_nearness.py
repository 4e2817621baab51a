"""Distances against printed geodesics and a sphere's formula; orders against every order there is; groups by laws."""

from itertools import permutations
from math import acos, cos, dist, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.rules.nearness import (
    Place,
    day_groups,
    distance_mi,
    length_mi,
    offsets_mi,
    visiting_order,
)

# A county of 30 by 40 miles.
LONS, LATS = st.floats(-98.0, -97.4), st.floats(46.2, 46.8)
SPOTS = st.tuples(LONS, LATS)


def places(spots) -> list[Place]:
    return [Place(key=index, lon_deg=lon, lat_deg=lat) for index, (lon, lat) in enumerate(spots)]


def test_a_degree_of_the_equator_and_of_a_meridian():
    """WGS 84: a = 6,378,137 m, so a degree of the equator is a pi / 180 = 111,319.49 m; from latitude 0 to 1 deg the
    meridian is 110,574.4 m (both NIMA TR8350.2 [memory]); 1,609.344 m to the mile."""
    east = distance_mi(Place(key=1, lon_deg=0, lat_deg=0), Place(key=2, lon_deg=1, lat_deg=0))
    north = distance_mi(Place(key=1, lon_deg=0, lat_deg=0), Place(key=2, lon_deg=0, lat_deg=1))
    assert east == pytest.approx(111_319.49 / 1609.344, abs=1e-4)
    assert north == pytest.approx(110_574.4 / 1609.344, abs=1e-3)


@given(SPOTS, SPOTS)
def test_near_the_spherical_law_of_cosines(one, other):
    """A second method: a sphere of 6,371.0088 km (mean radius, IUGG [memory]) is within 0.6 percent."""
    (lon1, lat1), (lon2, lat2) = one, other
    a, b, turn = radians(lat1), radians(lat2), radians(lon2 - lon1)
    angle = acos(min(1.0, sin(a) * sin(b) + cos(a) * cos(b) * cos(turn)))
    ball = angle * 6371.0088 / 1.609344
    if ball > 0.1:
        assert distance_mi(*places([one, other])) == pytest.approx(ball, rel=0.006)


def test_stops_on_one_road_come_in_the_order_of_the_road():
    """On a line the shortest open way from one end is the line itself."""
    spots = [(-97.9 + 0.07 * step, 46.5) for step in (0, 5, 2, 7, 1, 3, 6, 4)]
    order = visiting_order(places(spots))
    assert [spots[key][0] for key in order] == sorted(lon for lon, _lat in spots)


def test_the_yard_begins_the_way_and_is_no_stop():
    yard = Place(key="yard", lon_deg=-97.4, lat_deg=46.5)
    spots = [(-97.9, 46.5), (-97.5, 46.5), (-97.7, 46.5)]
    assert visiting_order(places(spots), start=yard) == [1, 2, 0]


def nearest_first(stops: list[Place]) -> list[Place]:
    """Always on to the nearest left: the method 2-opt begins from."""
    way, left = [stops[0]], list(stops[1:])
    while left:
        way.append(min(left, key=lambda place: distance_mi(way[-1], place)))
        left.remove(way[-1])
    return way


@settings(max_examples=40, deadline=None)
@given(st.lists(SPOTS, min_size=2, max_size=6, unique=True))
def test_between_the_shortest_of_all_orders_and_nearest_neighbour(spots):
    """Every order of at most six stops is tried; an exchange that shortens can only shorten."""
    stops = places(spots)
    order = visiting_order(stops)
    assert order[0] == 0 and sorted(order) == list(range(len(stops)))
    found = length_mi([stops[key] for key in order])
    shortest = min(length_mi([stops[0], *rest]) for rest in permutations(stops[1:]))
    assert shortest - 1e-6 <= found <= length_mi(nearest_first(stops)) + 1e-6
    assert order == visiting_order(stops)


def test_two_opt_undoes_a_crossing():
    """What 2-opt promises: no stretch turned round would make the way shorter (every stretch is turned here)."""
    spots = [(-97.60, 46.50), (-97.58, 46.50), (-97.64, 46.50), (-97.55, 46.52), (-97.68, 46.52), (-97.60, 46.56)]
    stops = places(spots)
    order = visiting_order(stops)
    found = length_mi([stops[key] for key in order])
    for i in range(1, len(order)):
        for j in range(i + 1, len(order) + 1):
            turned = order[:i] + order[i:j][::-1] + order[j:]
            assert found <= length_mi([stops[key] for key in turned]) + 1e-6


@settings(max_examples=60, deadline=None)
@given(
    st.lists(SPOTS, max_size=14, unique=True), st.integers(1, 6), st.floats(1, 20), st.randoms(use_true_random=False)
)
def test_groups_hold_everything_once_and_fit_a_day(spots, size, most_mi, chance):
    stops = places(spots)
    groups = day_groups(stops, size=size, most_mi=most_mi)
    assert sorted(key for group in groups for key in group) == list(range(len(stops)))
    for group in groups:
        assert 1 <= len(group) <= size
        for index, key in enumerate(group[1:], start=1):
            assert min(distance_mi(stops[key], stops[each]) for each in group[:index]) <= most_mi
    mixed = list(stops)
    chance.shuffle(mixed)
    assert day_groups(mixed, size=size, most_mi=most_mi) == groups


def test_two_towns_are_two_groups():
    west = [(-97.95 + 0.01 * step, 46.3) for step in range(3)]
    east = [(-97.45 + 0.01 * step, 46.7) for step in range(3)]
    groups = day_groups(places(west + east), size=4, most_mi=5)
    assert sorted(sorted(group) for group in groups) == [[0, 1, 2], [3, 4, 5]]


@given(st.lists(SPOTS, min_size=2, max_size=8, unique=True))
def test_the_sketch_is_to_scale(spots):
    """Straight lines measured on the sketch are those on the ground within 1 part in 10,000 over a county."""
    stops = places(spots)
    at = offsets_mi(stops)
    for one in stops:
        for other in stops:
            assert dist(at[one.key], at[other.key]) == pytest.approx(distance_mi(one, other), rel=1e-4, abs=1e-4)


def test_north_is_up_and_east_is_right():
    stops = places([(-97.6, 46.4), (-97.5, 46.4), (-97.6, 46.5)])
    at = offsets_mi(stops)
    assert at[1][0] > at[0][0] and at[2][1] > at[0][1]


def test_over_the_180th_meridian():
    stops = places([(179.9, 51.8), (-179.9, 51.8)])
    at = offsets_mi(stops)
    assert dist(at[0], at[1]) == pytest.approx(distance_mi(*stops), rel=1e-4) and at[1][0] > at[0][0]
