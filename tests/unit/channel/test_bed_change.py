"""Area between two beds: arithmetic by hand, and polygons of a geometry library (shapely) as the second method."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from inspections.rules.channel import (
    Survey,
    area_below,
    bed_change,
    deepest,
    depth_at,
    foundation_words,
    grown_ratio,
    over_foundation_ft,
    survey_faults,
    survey_questions,
)

FLAT = Survey(points=((0.0, 5.0), (10.0, 5.0), (20.0, 5.0)))


def change(earlier, later):
    return bed_change(Survey(points=tuple(earlier)), Survey(points=tuple(later)))


def test_a_triangle_scoured_by_hand():
    # Two feet deeper at 10 ft of a flat bed 20 ft wide: 20 x 2 / 2 = 20 sq ft, all of it lost.
    found = bed_change(FLAT, Survey(points=((0.0, 5.0), (10.0, 7.0), (20.0, 5.0))))
    assert (found.lost_ft2, found.gained_ft2, found.net_ft2) == (20.0, 0.0, 20.0)
    assert (found.lowered_ft, found.lowered_at_ft, found.raised_ft) == (2.0, 10.0, 0.0)


def test_scour_and_fill_that_cross_by_hand():
    # +2 ft at the left end falling to -2 ft at the right end over 20 ft: 10 x 2 / 2 = 10 sq ft on each side of 10 ft.
    found = change([(0, 5), (20, 5)], [(0, 7), (20, 3)])
    assert (found.lost_ft2, found.gained_ft2, found.net_ft2) == pytest.approx((10.0, 10.0, 0.0))


def test_stations_of_both_surveys_count_and_only_the_stretch_in_common():
    # Later survey from 5 to 15 ft with a hole of 1 ft at 8 ft: triangle 10 x 1 / 2 = 5 sq ft.
    found = change([(0, 5), (20, 5)], [(5, 5), (8, 6), (15, 5)])
    assert (found.from_ft, found.to_ft) == (5.0, 15.0)
    assert found.lost_ft2 == pytest.approx(5.0)
    assert [row[0] for row in found.by_station] == [5.0, 8.0, 15.0]


def test_no_stretch_in_common_is_no_change():
    assert change([(0, 5), (10, 5)], [(10, 5), (20, 5)]) is None


def test_growth_of_the_area_by_hand():
    # Banks at 0 ft, bed 4 ft down from 5 to 15 ft: area (20 + 10) / 2 x 4 = 60; one foot deeper over the flat
    # bed and sloping to the banks: trapezoid of 5 ft depth 75; 75 / 60 - 1 = 0.25.
    first = Survey(points=((0.0, 0.0), (5.0, 4.0), (15.0, 4.0), (20.0, 0.0)))
    later = Survey(points=((0.0, 0.0), (5.0, 5.0), (15.0, 5.0), (20.0, 0.0)))
    assert area_below(first.points, 0.0, from_ft=0.0, to_ft=20.0) == pytest.approx(60.0)
    assert grown_ratio(first, later) == pytest.approx(0.25)
    assert grown_ratio(first, first) == pytest.approx(0.0)


LEVEL = -100.0


@st.composite
def bed(draw):
    count = draw(st.integers(3, 12))
    steps = draw(st.lists(st.floats(0.25, 12.0), min_size=count, max_size=count))
    depths = draw(st.lists(st.floats(-5.0, 40.0), min_size=count, max_size=count))
    station, points = draw(st.floats(0.0, 5.0)), []
    for step, depth in zip(steps, depths, strict=True):
        points.append((station, depth))
        station += step
    return tuple(points)


def polygon(points, start, end):
    """Water over the bed up to a level far above, within start to end: depths are drawn upwards for the library."""
    inner = [(s, -d) for s, d in points if start < s < end]
    ends = [(s, -depth_at(points, s)) for s in (start, end)]
    return Polygon([(start, -LEVEL), ends[0], *inner, ends[1], (end, -LEVEL)])


@settings(max_examples=100, deadline=None)
@given(bed(), bed())
def test_areas_are_those_of_polygons_cut_from_one_another(one, other):
    found = change(one, other)
    if found is None or found.to_ft - found.from_ft < 0.01:
        return
    was, now = (polygon(points, found.from_ft, found.to_ft) for points in (one, other))
    assert found.lost_ft2 == pytest.approx(now.difference(was).area, abs=1e-6, rel=1e-6)
    assert found.gained_ft2 == pytest.approx(was.difference(now).area, abs=1e-6, rel=1e-6)


@given(bed(), bed())
def test_what_one_way_is_scour_is_fill_the_other_way(one, other):
    there, back = change(one, other), change(other, one)
    if there is None:
        assert back is None
        return
    assert there.lost_ft2 == pytest.approx(back.gained_ft2) and there.net_ft2 == pytest.approx(-back.net_ft2)
    assert there.lowered_ft == pytest.approx(back.raised_ft)


@given(bed())
def test_a_bed_does_not_differ_from_itself(points):
    found = change(points, points)
    assert found.lost_ft2 == found.gained_ft2 == found.lowered_ft == 0.0


@given(bed(), st.floats(0.0, 1.0))
def test_a_station_added_on_the_straight_changes_nothing(points, share):
    station = points[0][0] + share * (points[-1][0] - points[0][0])
    if any(abs(station - s) < 1e-6 for s, _ in points):
        return
    more = tuple(sorted([*points, (station, depth_at(points, station))]))
    found = change(points, more)
    assert found.lost_ft2 + found.gained_ft2 == pytest.approx(0.0, abs=1e-6)


def test_the_deepest_hole_and_its_height_over_the_foundation():
    points = ((0.0, 4.0), (6.0, 9.5), (12.0, 9.5), (20.0, 4.0))
    assert deepest(points) == (6.0, 9.5)
    assert over_foundation_ft(points, 12.0) == 2.5 and over_foundation_ft(points, None) is None
    assert "above" in foundation_words(2.5) and "not on record" in foundation_words(None)
    assert "call the engineer now" in foundation_words(over_foundation_ft(points, 9.0))


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([(0, 1), (5, 2)], "at least 3"),
        ([(0, 1), (5, 2), (5, 3)], "does not lie beyond 5"),
        ([(0, 1), (5, 2), (4, 3)], "does not lie beyond 5"),
        ([(-1, 1), (5, 2), (9, 3)], "station -1 ft is outside"),
        ([(0, 1), (5, 999), (9, 3)], "depth 999 ft is outside"),
        ([(0, 1), (5, float("nan")), (9, 3)], "two numbers"),
        ([(0, 1), (5, True), (9, 3)], "two numbers"),
        ([(0, 1), ("5", 2), (9, 3)], "two numbers"),
        ([(0, 1), 5, (9, 3)], "two numbers"),
        ("0 1 5 2", "rows of two numbers"),
        ([(n, 1) for n in range(201)], "at most 200"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(points, said):
    assert any(said in sentence for sentence in survey_faults(points))


def test_a_good_survey_is_not_refused_and_what_is_odd_is_asked():
    points = [(0.0, 2.0), (0.1, 12.0), (9.0, 3.0)]
    assert survey_faults(points) == []
    assert "wall" in survey_questions(points)[0]
    assert "below the whole bed" in survey_questions([(0, 1), (5, 2), (9, 1)], water_ft=5.0)[0]
    moved = survey_questions([(0, 20), (10, 20), (20, 20)], before=FLAT)
    assert any("same datum" in sentence for sentence in moved)
