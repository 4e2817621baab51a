"""The sketch of a route: to scale, north up, every number once, nothing outside the sheet."""

from math import dist
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.drawings.route_sketch import WIDTH, SketchStop, frame_of, route_sketch

MILES = st.floats(-20, 20)


def stops_at(spots) -> list[SketchStop]:
    return [
        SketchStop(number=n, number_words=f"Q-{n}", title="A & B <road>", east_mi=east, north_mi=north)
        for n, (east, north) in enumerate(spots, start=1)
    ]


def drawn(stops):
    root = ElementTree.fromstring(route_sketch(stops, key="k"))
    return root, [each for each in root.iter() if each.get("class") == "place"]


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(MILES, MILES), min_size=1, max_size=12, unique=True))
def test_to_scale_and_on_the_sheet(spots):
    stops = stops_at(spots)
    root, places = drawn(stops)
    height = float(root.get("viewBox").split()[3])
    points = [(float(each.get("cx")), float(each.get("cy"))) for each in places]
    assert len(points) == len(stops) and all(0 < x < WIDTH and 0 < y < height for x, y in points)
    unit = frame_of(stops).unit_per_mi
    for i, one in enumerate(stops):
        for j, other in enumerate(stops):
            miles = dist((one.east_mi, one.north_mi), (other.east_mi, other.north_mi))
            assert dist(points[i], points[j]) == pytest.approx(miles * unit, abs=0.03)
            if one.north_mi > other.north_mi + 0.01:
                assert points[i][1] < points[j][1] + 0.02, "north is up"


def test_the_bar_of_the_scale_is_as_long_as_it_says():
    stops = stops_at([(0, 0), (7, 3)])
    root, _places = drawn(stops)
    bars = [float(each.get("width")) for each in root.iter() if each.get("class") == "scale-bar"]
    words = next(each.text for each in root.iter() if (each.text or "").endswith(" mi"))
    assert sum(bars) == pytest.approx(float(words.split()[0]) * frame_of(stops).unit_per_mi, abs=0.05)


def test_numbers_near_each_other_do_not_cover_each_other():
    stops = stops_at([(0, 0), (0.001, 0), (0, 0.001), (5, 5)])
    root, _places = drawn(stops)
    bubbles = [(float(e.get("cx")), float(e.get("cy"))) for e in root.iter() if e.get("class") == "stop"]
    assert len(bubbles) == 4
    assert all(dist(a, b) > 28 for i, a in enumerate(bubbles) for b in bubbles[:i])


def test_it_says_what_it_shows():
    root, _places = drawn(stops_at([(0, 0), (1, 1)]))
    text = " ".join(each.text or "" for each in root.iter())
    assert "Q-1, A & B <road>" in text and "not roads" in text and "north up" in text
