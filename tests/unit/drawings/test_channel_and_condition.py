"""Words of the drawings of channel and condition: on the sheet and not on each other, measured with a real font."""

from datetime import date, timedelta
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.drawings.channel_section import Bed, channel_drawing
from inspections.drawings.condition_in_time import (
    ElementShares,
    RatingSteps,
    SizeLine,
    element_shares,
    rating_steps,
    size_in_time,
)
from tests.unit.drawings.boxes import outside, overlaps

SVG = "{http://www.w3.org/2000/svg}"
DAY = date(2004, 5, 14)
BED = ((0.0, 2.0), (8.0, 6.5), (14.0, 9.0), (22.0, 6.0), (30.0, 2.5))


def bed(years=0, lower=0.0, water_ft=4.0):
    points = tuple((s, d + (lower if 2 < s < 25 else 0.0)) for s, d in BED)
    return Bed(on=DAY + timedelta(days=365 * years), points=points, water_ft=water_ft)


def test_earlier_beds_are_dashed_and_the_newest_is_not():
    svg, _ = channel_drawing([bed(), bed(2, 0.5), bed(4, 1.0)], datum="top of rail", name="Upstream", key="c")
    paths = list(ElementTree.fromstring(svg).iter(f"{SVG}path"))
    newest = [path for path in paths if path.get("class") == "bed"]
    before = [path for path in paths if path.get("class") == "bed-before"]
    assert len(newest) == 1 and newest[0].get("stroke-dasharray") is None
    dashes = [path.get("stroke-dasharray") for path in before]
    assert len(set(dashes)) == 2 and None not in dashes


def test_a_flat_wide_stream_is_drawn_taller_and_says_so():
    wide = Bed(on=DAY, points=((0.0, 3.0), (100.0, 6.0), (200.0, 3.0)), water_ft=None)
    svg, scale = channel_drawing([wide], datum="cap", name="Wide", key="w")
    assert scale.exaggeration > 1 and f"Heights {scale.exaggeration} times larger" in scale.words
    assert scale.words in " ".join(ElementTree.fromstring(svg).itertext())
    down, along = scale.y(6.0) - scale.y(3.0), scale.x(3.0) - scale.x(0.0)
    assert down == pytest.approx(along * scale.exaggeration)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.floats(-2.0, 60.0), min_size=3, max_size=20),
    st.floats(6.0, 400.0),
    st.one_of(st.none(), st.floats(0.0, 60.0)),
    st.one_of(st.none(), st.floats(0.0, 60.0)),
    st.integers(1, 7),
)
def test_no_words_of_a_section_stand_on_each_other(depths, wide_ft, water_ft, foundation_ft, count):
    step = wide_ft / (len(depths) - 1)
    points = tuple((place * step, depth) for place, depth in enumerate(depths))
    beds = [Bed(on=DAY + timedelta(days=700 * n), points=points, water_ft=water_ft) for n in range(count)]
    svg, _ = channel_drawing(beds, datum="top of the left rail", name="x", key="h", foundation_ft=foundation_ft)
    assert not outside(svg)
    names = ("datum", "water", "foundation")
    assert not [pair for pair in overlaps(svg) if any(word.startswith(names) for word in pair)]


days = st.lists(st.integers(0, 9000), min_size=1, max_size=20, unique=True).map(sorted)


@settings(max_examples=30, deadline=None)
@given(days, st.data())
def test_no_words_of_the_panels_stand_on_each_other(offsets, data):
    on = [DAY + timedelta(days=offset) for offset in offsets]
    codes = data.draw(st.lists(st.integers(0, 9), min_size=len(on), max_size=len(on)))
    steps = RatingSteps(label="Superstructure", points=tuple(zip(on, codes, strict=True)), word="imminent failure")
    shares = ElementShares(label="117 Timber stringer", points=tuple((day, (0.7, 0.2, 0.08, 0.02)) for day in on))
    line = SizeLine(
        label="depth", unit="in", points=tuple((day, code * 0.25) for day, code in zip(on, codes, strict=True))
    )
    for svg in (
        rating_steps(steps, today=on[-1] + timedelta(days=200), key="a"),
        element_shares(shares, key="b"),
        size_in_time(line, title="Decay on a face, span 1, stringer 4: depth", key="c"),
    ):
        assert not outside(svg) and not overlaps(svg)
