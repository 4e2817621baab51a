"""The plan in pictures: forces and stations to scale, every pull numbered, words apart however many bars.

Laws of scale drawing (a linear map through zero). No value here was read from a drawing first.
"""

from __future__ import annotations

import math
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.drawings.plan_passes import (
    OrderBar,
    OrderSheet,
    PassBar,
    PassesChart,
    PassPanel,
    pass_panels,
    pulling_order,
)
from tests.unit.drawings.boxes import SVG, outside, overlaps, shapes

AREA_LIMIT_LB = 0.70 * 150_000 * 0.85


def chart(bar_count: int, pass_count: int, *, spacing_ft: float = 4.0, aside: int | None = 3) -> PassesChart:
    """Bars at (i + 1/2) s; each pass leaves a tenth more of 50,000 lb; one bar left as it stands."""
    panels, pull = [], 0
    for number in range(pass_count):
        bars = []
        for at in range(bar_count):
            pull += 1
            bars.append(
                PassBar(
                    name=str(at + 1),
                    station_ft=(at + 0.5) * spacing_ft,
                    before_lb=5_000.0 * number,
                    after_lb=5_000.0 * (number + 1) + 100 * at,
                    target_lb=50_000.0,
                    limit_lb=AREA_LIMIT_LB,
                    pulls=() if at == aside else (pull,),
                    is_planned=at != aside,
                )
            )
        panels.append(PassPanel(number=number + 1, bars=tuple(bars)))
    return PassesChart(title="Plan of the day", span_ft=bar_count * spacing_ft, panels=tuple(panels))


def sheet(bar_count: int, spacing_ft: float = 4.0) -> OrderSheet:
    bars = tuple(
        OrderBar(name=str(at + 1), station_ft=(at + 0.5) * spacing_ft, pull=at // 2 + 1, jack=f"Jack {at % 2 + 1}")
        for at in range(bar_count)
    )
    bars = (*bars[:-1], replace(bars[-1], pull=None, why_not="pitted"))
    return OrderSheet(title="Order", span_ft=bar_count * spacing_ft, deck_width_ft=16.0, bars=bars)


def test_forces_are_in_proportion_and_bars_at_their_stations():
    """Law: heights over the base are in the ratio of the forces, one scale for all; x in that of the stations."""
    plan = chart(8, 3)
    svg = pass_panels(plan, key="p")
    after = shapes(svg, "rect", "force-after")
    before = shapes(svg, "rect", "force-before")
    drawn = [bar for panel in plan.panels for bar in panel.bars if bar.is_planned]
    assert len(after) == len(before) == len(drawn) == 21
    highest = max(range(21), key=lambda at: drawn[at].after_lb)
    per_lb = float(after[highest].get("height")) / drawn[highest].after_lb
    for box, bar in zip(after, drawn, strict=True):
        assert float(box.get("height")) == pytest.approx(bar.after_lb * per_lb, abs=0.02)
    for box, bar in zip(before, drawn, strict=True):
        assert float(box.get("height")) == pytest.approx(bar.before_lb * per_lb, abs=0.02)
    bases = shapes(svg, "line", "panel-base")
    for number, panel in enumerate(plan.panels):
        left, right = float(bases[number].get("x1")), float(bases[number].get("x2"))
        middles = [float(b.get("x")) + float(b.get("width")) / 2 for b in after[number * 7 : number * 7 + 7]]
        wanted = [left + (right - left) * bar.station_ft / plan.span_ft for bar in panel.bars if bar.is_planned]
        assert middles == pytest.approx(wanted, abs=0.02)
        base = float(bases[number].get("y1"))
        for kind, force in (("target", 50_000.0), ("limit", AREA_LIMIT_LB)):
            line = shapes(svg, "line", kind)[number * 7]
            assert base - float(line.get("y1")) == pytest.approx(force * per_lb, rel=2e-3)


@pytest.mark.parametrize(("bar_count", "pass_count"), [(1, 1), (8, 3), (14, 4), (15, 4), (30, 4), (60, 4), (120, 2)])
def test_every_pull_is_numbered_and_no_words_stand_on_each_other(bar_count, pass_count):
    plan = chart(bar_count, pass_count)
    svg = pass_panels(plan, key="p")
    numbers = [each.text for each in shapes(svg, "text", "pull-number")]
    wanted = [str(n) for panel in plan.panels for bar in panel.bars for n in bar.pulls]
    assert numbers == wanted
    assert overlaps(svg) == []
    assert outside(svg) == []


@given(st.lists(st.floats(0, 80), min_size=1, max_size=40), st.integers(1, 400))
@settings(max_examples=60, deadline=None)
def test_uneven_stations_keep_their_words_apart(stations, first):
    bars = tuple(
        PassBar(name=f"B{at}", station_ft=station, before_lb=0, after_lb=1e4, target_lb=2e4, pulls=(first + at,))
        for at, station in enumerate(sorted(stations))
    )
    plan = PassesChart(title="t", span_ft=80, panels=(PassPanel(number=1, bars=bars), PassPanel(number=2, bars=bars)))
    assert overlaps(pass_panels(plan, key="p")) == []
    order = OrderSheet(
        title="t",
        span_ft=80,
        deck_width_ft=16,
        bars=tuple(
            OrderBar(name=bar.name, station_ft=bar.station_ft, pull=bar.pulls[0], jack="Jack 1") for bar in bars
        ),
    )
    assert overlaps(pulling_order(order, key="o")) == []


def test_a_bar_left_as_it_stands_is_crossed_and_named():
    svg = pass_panels(chart(8, 2), key="p")
    assert len(shapes(svg, "path", "bar-set-aside")) == 2
    assert "bars 4" in ElementTree.fromstring(svg).find(SVG + "desc").text
    assert "left as it stands" in svg


def test_the_least_of_a_pass_is_told():
    """Arithmetic: bar 1 has 5,000 of 50,000 lb after pass 1 and 10,000 after pass 2."""
    svg = pass_panels(chart(8, 2), key="p")
    words = [each.text for each in shapes(svg, "text", "pass-least")]
    assert words == ["least 0.10 of target, bar 1", "least 0.20 of target, bar 1"]
    assert "Pass 2: least 0.20" in ElementTree.fromstring(svg).find(SVG + "desc").text


@pytest.mark.parametrize("bar_count", [1, 2, 8, 30, 60])
def test_the_row_in_plan_is_to_scale_and_numbered(bar_count):
    order = sheet(bar_count)
    svg = pulling_order(order, key="o")
    (deck,) = shapes(svg, "rect", "deck-plan")
    left, width = float(deck.get("x")), float(deck.get("width"))
    pulled = [bar for bar in order.bars if bar.pull is not None]
    lines = shapes(svg, "line", "order-bar")
    assert [float(each.get("x1")) for each in lines] == pytest.approx(
        [left + width * bar.station_ft / order.span_ft for bar in pulled], abs=0.02
    )
    assert [each.text for each in shapes(svg, "text", "order-number")] == [str(bar.pull) for bar in pulled]
    assert len(shapes(svg, "path", "bar-set-aside")) == 1
    assert overlaps(svg) == [] and outside(svg) == []
    circles = [(float(c.get("cx")), float(c.get("cy"))) for c in shapes(svg, "circle", "order-circle")]
    for at, one in enumerate(circles):
        assert all(math.dist(one, two) >= 18 for two in circles[at + 1 :])


def test_the_width_of_the_deck_is_to_the_scale_of_the_span():
    """16 ft wide and 32 ft long would be half as high as the sheet is wide, so it is cut at 150; 80 ft long is not."""
    short, long = (shapes(pulling_order(sheet(count), key="o"), "rect", "deck-plan")[0] for count in (8, 20))
    assert float(short.get("height")) == 150
    assert float(long.get("height")) / float(long.get("width")) == pytest.approx(16 / 80, abs=1e-3)


def test_a_screen_reader_hears_the_order_and_why_a_bar_is_left():
    desc = ElementTree.fromstring(pulling_order(sheet(4), key="o")).find(SVG + "desc").text
    assert desc == "Order of the first pass: 1 bar 1, 1 bar 2, 2 bar 3. Bar 4 is not pulled: pitted."


HOSTILE = '"><script>alert(1)</script>&\x00'


def test_every_text_is_escaped():
    plan = chart(2, 1, aside=None)
    bars = tuple(replace(bar, name=HOSTILE) for bar in plan.panels[0].bars)
    hostile = replace(plan, title=HOSTILE, panels=(replace(plan.panels[0], bars=bars),))
    order = sheet(2)
    order = replace(
        order, title=HOSTILE, bars=tuple(replace(b, name=HOSTILE, jack=HOSTILE, why_not=HOSTILE) for b in order.bars)
    )
    for svg in (pass_panels(hostile, key=HOSTILE), pulling_order(order, key=HOSTILE)):
        ElementTree.fromstring(svg)
        assert "<script" not in svg


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_what_cannot_be_drawn_is_told(value):
    plan = chart(2, 1)
    bars = (replace(plan.panels[0].bars[0], after_lb=value),)
    assert "cannot be drawn" in pass_panels(replace(plan, panels=(PassPanel(number=1, bars=bars),)), key="p")
    assert "cannot be drawn" in pass_panels(replace(plan, span_ft=0.0), key="p")
    assert "cannot be drawn" in pass_panels(replace(plan, panels=()), key="p")
    assert "cannot be drawn" in pulling_order(replace(sheet(2), deck_width_ft=value), key="o")
    assert "cannot be drawn" in pulling_order(replace(sheet(2), bars=()), key="o")
