"""Force in time: both axes to scale, words that do not stand on each other, hollow where a reading does not count.

Laws: a scale drawing is a linear map (equal differences of days and of force are equal lengths); the lower edge of the
band is below its middle. No value here was read from a drawing first.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from datetime import date, timedelta
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.drawings.force_in_time import (
    BandDay,
    BarLine,
    LockOff,
    ReadMark,
    TimeChart,
    TimeLevel,
    force_in_time,
)
from inspections.drawings.label_room import spread
from tests.unit.drawings.boxes import SVG, outside, overlaps, shapes

STRESSED = (date(2019, 5, 3), date(2019, 5, 10), date(2019, 6, 20), date(2024, 6, 3))
TODAY = date(2026, 11, 27)


def dense(bar_count: int, reading_count: int, chosen: tuple[str, ...] = ()) -> TimeChart:
    """A row of bars stressed four times, read often, with frost readings and a forecast of five years."""
    band = tuple(
        BandDay(
            on_day=TODAY + timedelta(days=30 * month), lower=66 - month / 3, middle=74 - month / 4, upper=84 - month / 5
        )
        for month in range(61)
    )
    bars = tuple(
        BarLine(
            name=str(n), points=((STRESSED[0], 95.0 + n % 7), (STRESSED[3], None), (date(2025, 1, 1), 80.0 - n % 6))
        )
        for n in range(1, bar_count + 1)
    )
    readings = tuple(
        ReadMark(
            on_day=STRESSED[2] + timedelta(days=66 * n), value=90.0 - n % 30, left_out="frost" if n % 4 == 1 else ""
        )
        for n in range(reading_count)
    )
    return TimeChart(
        title="Bar force in time: span 1",
        quantity="least local pressure",
        unit="psi",
        today=TODAY,
        band=band,
        bars=bars,
        readings=readings,
        lock_offs=tuple(LockOff(on_day=day, value=104.0 + n) for day in STRESSED for n in range(2)),
        stressed_on=STRESSED,
        levels=(
            TimeLevel(value=52, words="need 52 psi", is_need=True),
            TimeLevel(value=50, words="re-tension below 50 psi"),
            TimeLevel(value=47, words="posting changes at 47 psi"),
            TimeLevel(value=40, words="floor 40 psi"),
        ),
        chosen=chosen,
    )


def scales(svg: str):
    """y by force, from the words of the scale; x by day, from the first of January of two years."""
    words = shapes(svg, "text", "value-word")
    low, high = words[0], words[-1]
    ticks = shapes(svg, "line", "value-tick")
    y0, y1 = float(ticks[0].get("y1")), float(ticks[-1].get("y1"))
    v0, v1 = (float(each.text.replace(",", "")) for each in (low, high))
    years = [each for each in shapes(svg, "text", "time-word") if re.fullmatch(r"\d{4}", each.text)]
    first, last = years[0], years[-1]
    x0, x1 = float(first.get("x")), float(last.get("x"))
    d0, d1 = date(int(first.text), 1, 1), date(int(last.text), 1, 1)
    return (
        lambda day: x0 + (x1 - x0) * (day - d0).days / (d1 - d0).days,
        lambda value: y0 + (y1 - y0) * (value - v0) / (v1 - v0),
    )


def test_readings_levels_and_today_stand_to_scale():
    """Law: a linear map, fixed by two ticks of each axis, gives every place (to the two decimals that are written)."""
    chart = dense(8, 12)
    svg = force_in_time(chart, key="t")
    x, y = scales(svg)
    dots = [*shapes(svg, "circle", "reading"), *shapes(svg, "circle", "reading left-out")]
    places = sorted((float(each.get("cx")), float(each.get("cy"))) for each in dots)
    wanted = sorted((x(each.on_day), y(each.value)) for each in chart.readings)
    assert len(places) == 12
    for place, want in zip(places, wanted, strict=True):
        assert place == pytest.approx(want, abs=0.03)
    for line, level in zip(shapes(svg, "line", "time-level"), chart.levels, strict=True):
        assert float(line.get("y1")) == float(line.get("y2")) == pytest.approx(y(level.value), abs=0.03)
    (today,) = shapes(svg, "line", "today")
    assert float(today.get("x1")) == pytest.approx(x(TODAY), abs=0.03)
    lines = sorted(float(each.get("x1")) for each in shapes(svg, "line", "stressing-line"))
    assert lines == pytest.approx([x(day) for day in STRESSED], abs=0.03)


def test_the_band_is_drawn_through_its_days():
    chart = dense(2, 3)
    svg = force_in_time(chart, key="t")
    x, y = scales(svg)
    for edge in ("lower", "middle", "upper"):
        (path,) = shapes(svg, "path", f"band-{edge}")
        places = [tuple(map(float, pair.split())) for pair in path.get("d")[1:].split(" L")]
        assert len(places) == len(chart.band)
        for place, point in zip(places, chart.band, strict=True):
            assert place == pytest.approx((x(point.on_day), y(getattr(point, edge))), abs=0.03)


def test_a_reading_left_out_is_hollow_and_has_its_word():
    readings = tuple(
        ReadMark(on_day=date(year, 1, 1), value=60.0, left_out="frost" if year > 2022 else "")
        for year in range(2019, 2025)
    )
    svg = force_in_time(replace(dense(2, 0), readings=readings), key="t")
    hollow = shapes(svg, "circle", "reading left-out")
    assert len(hollow) == 2 and len(shapes(svg, "circle", "reading")) == 4
    assert {each.get("fill") for each in hollow} == {"#fdfcf8"}
    assert [each.text for each in shapes(svg, "text", "left-out-word")] == ["frost", "frost"]


def test_a_gauge_reading_at_lock_off_stands_outside_the_scale_of_force():
    """It is no standing force (facts page, force measurement [model]); so it is never on the axis of standing force."""
    chart = dense(2, 3)
    svg = force_in_time(chart, key="t")
    base = max(float(each.get("y1")) for each in shapes(svg, "line", "value-tick"))
    top = base - 240.0
    marks = shapes(svg, "path", "lock-off")
    assert len(marks) == len(STRESSED)
    assert all(float(re.match(r"M[\d.]+ ([\d.]+)", each.get("d")).group(1)) + 8 < top for each in marks)
    assert "not a standing force" in svg
    higher = replace(chart, lock_offs=(LockOff(on_day=TODAY, value=9999.0),))
    y_before, y_after = (scales(force_in_time(each, key="t"))[1] for each in (chart, higher))
    assert y_before(0) == y_after(0) and y_before(100) == y_after(100)


@pytest.mark.parametrize("bar_count", [1, 6, 30, 60])
@pytest.mark.parametrize("reading_count", [0, 1, 40])
@pytest.mark.parametrize("chosen", [(), ("3", "7", "12")])
def test_no_words_stand_on_each_other_or_off_the_sheet(bar_count, reading_count, chosen):
    svg = force_in_time(dense(bar_count, reading_count, chosen), key="t")
    assert overlaps(svg) == []
    assert outside(svg) == []


def test_the_check_of_words_sees_words_on_each_other():
    planted = force_in_time(dense(1, 0), key="t")
    root = ElementTree.fromstring(planted)
    texts = list(root.iter(SVG + "text"))
    texts[-1].set("x", texts[-2].get("x")), texts[-1].set("y", texts[-2].get("y"))
    texts[0].set("x", "-40")
    planted = ElementTree.tostring(root, encoding="unicode")
    assert overlaps(planted) and outside(planted)


@given(
    st.lists(st.dates(date(2010, 1, 1), date(2030, 1, 1)), min_size=1, max_size=12),
    st.lists(st.floats(0, 110), max_size=7),
)
@settings(max_examples=60, deadline=None)
def test_any_days_and_levels_keep_their_words_apart(days, levels):
    chart = replace(
        dense(4, 3),
        stressed_on=tuple(days),
        readings=tuple(ReadMark(on_day=day, value=60, left_out="frost") for day in days),
        lock_offs=tuple(LockOff(on_day=day, value=100) for day in days),
        levels=tuple(TimeLevel(value=value, words=f"level {value:.0f} psi") for value in levels),
    )
    assert overlaps(force_in_time(chart, key="t")) == []


@pytest.mark.parametrize("days", [0, 1, 20, 60, 200, 400, 1000, 20_000])
def test_short_times_have_months_and_long_ones_years(days):
    chart = TimeChart(
        title="t",
        quantity="mean bar force",
        unit="lb",
        today=date(2026, 3, 10),
        readings=(ReadMark(on_day=date(2026, 3, 10) - timedelta(days=days), value=40_000.0),),
    )
    svg = force_in_time(chart, key="t")
    words = [each.text for each in shapes(svg, "text", "time-word")]
    assert overlaps(svg) == [] and len(words) <= 40
    if 32 <= days <= 1000:
        assert shapes(svg, "line", "month-tick")
    if days > 1100:
        assert not shapes(svg, "line", "month-tick") and all(word.isdigit() for word in words)
    if days:
        assert words or days < 2


def test_bars_are_told_apart_by_dash_and_marker_and_chosen_by_name():
    six = force_in_time(dense(6, 3), key="t")
    lines = [each for each in ElementTree.fromstring(six).iter(SVG + "path") if each.get("class") == "bar-line"]
    legend = [each.text for each in shapes(six, "text", "legend-word")]
    assert [f"bar {n}" in legend for n in range(1, 7)] == [True] * 6
    assert (
        len({each.get("stroke-dasharray") for each in lines}) <= 6 and len({each.get("stroke") for each in lines}) <= 1
    )
    many = force_in_time(dense(30, 3), key="t")
    assert "30 bars, one by one" in many and "bar 3" not in [e.text for e in shapes(many, "text", "legend-word")]
    picked = force_in_time(dense(30, 3, ("3", "7")), key="t")
    words = [each.text for each in shapes(picked, "text", "legend-word")]
    assert "bar 3" in words and "bar 7" in words and "28 bars, one by one" in words


def test_a_line_breaks_where_the_bars_were_pulled():
    """None between two values: two runs, and no line from before the stressing to after it."""
    line = BarLine(
        name="1",
        points=(
            (date(2020, 1, 1), 90.0),
            (date(2021, 1, 1), 60.0),
            (date(2021, 1, 2), None),
            (date(2021, 1, 2), 95.0),
            (date(2022, 1, 1), 80.0),
        ),
    )
    svg = force_in_time(replace(dense(0, 0), bars=(line,)), key="t")
    assert len(shapes(svg, "path", "bar-line")) == 2


def test_a_screen_reader_is_told_what_stands_there():
    svg = force_in_time(dense(8, 12), key="force 1")
    root = ElementTree.fromstring(svg)
    title, desc = root.find(SVG + "title"), root.find(SVG + "desc")
    assert root.get("role") == "img" and root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert title.text == "Bar force in time: span 1"
    # Month 0 and 60 of the band: 66 and 66 - 60/3 = 46 psi at the lower edge.
    for words in (
        "least local pressure",
        "3 Jun 2024",
        "lower edge 66",
        "lower edge 46",
        "need 52 psi",
        "3 of them left out",
    ):
        assert words in desc.text


HOSTILE = '"><script>alert(1)</script>&\x00'


def test_every_text_is_escaped():
    chart = replace(
        dense(2, 3),
        title=HOSTILE,
        quantity=HOSTILE,
        unit=HOSTILE,
        band_words=HOSTILE,
        bars=(BarLine(name=HOSTILE, points=((TODAY, 50.0), (STRESSED[0], 70.0))),),
        readings=(ReadMark(on_day=TODAY, value=60, left_out=HOSTILE, bar=HOSTILE),),
        levels=(TimeLevel(value=50, words=HOSTILE),),
    )
    svg = force_in_time(chart, key=HOSTILE)
    ElementTree.fromstring(svg)
    assert "<script" not in svg


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_force_that_is_no_number_is_told(value):
    svg = force_in_time(replace(dense(1, 0), readings=(ReadMark(on_day=TODAY, value=value),)), key="t")
    assert "cannot be drawn" in svg and "no finite number" in svg


def test_nothing_on_record_is_told():
    svg = force_in_time(TimeChart(title="t", quantity="q", unit="psi", today=TODAY), key="t")
    assert "Read the bars" in svg


def test_labels_are_spread_and_not_moved_where_there_is_room():
    assert spread([10, 50, 90], apart=14, top=0, bottom=100) == [10, 50, 90]
    assert spread([50, 51, 52], apart=14, top=0, bottom=100) == [50, 64, 78]
    assert spread([99, 99], apart=14, top=0, bottom=100) == [86, 100]
    assert spread([], apart=14, top=0, bottom=100) == []
