"""The drawing of beams being set: to scale, outward, escaped; laws of geometry, not our own output."""

from xml.etree import ElementTree

import pytest

from inventory.drawings.setting import BeamShape, SettingShape, setting_drawing
from inventory.rules.setting import centred_places, setting_order

NS = "{http://www.w3.org/2000/svg}"


def shape(count=5, **more):
    order = setting_order(centred_places(count))
    beams = tuple(
        BeamShape(mark=f"B{place}", place=place, order=number, length_ft=40, depth_in=30, lifts_ft=(8, 32))
        for number, place in enumerate(order, start=1)
    )
    given = dict(key="s", title="Setting", span_ft=40, beams=beams, spacing_ft=2, width_in=5.25)
    return SettingShape(**(given | more))


def boxes(svg, kind):
    return [e for e in ElementTree.fromstring(svg).iter(NS + "rect") if e.get("class", "").split()[:1] == [kind]]


@pytest.mark.parametrize("count", [1, 2, 5, 12, 20])
def test_every_beam_from_above_once_and_in_section_once(count):
    svg = setting_drawing(shape(count))
    assert len(boxes(svg, "beam")) == len(boxes(svg, "beam-section")) == count
    numbers = [e.text for e in ElementTree.fromstring(svg).iter(NS + "text") if e.get("class") == "order-number"]
    assert sorted(map(int, numbers)) == list(range(1, count + 1))


def test_a_beam_half_as_long_is_drawn_half_as_long():
    beams = list(shape().beams)
    short = BeamShape(mark="S", place=beams[1].place, order=2, length_ft=20, depth_in=30)
    svg = setting_drawing(shape(beams=(beams[0], short, *beams[2:])))
    widths = sorted(float(box.get("width")) for box in boxes(svg, "beam"))
    assert widths[0] * 2 == pytest.approx(widths[1], rel=1e-3)


def test_lift_points_stand_at_their_share_of_the_beam():
    """8 ft of 40 ft is one fifth."""
    svg = setting_drawing(shape(1))
    beam = boxes(svg, "beam")[0]
    left, wide = float(beam.get("x")), float(beam.get("width"))
    lifts = [e.get("d") for e in ElementTree.fromstring(svg).iter(NS + "path") if e.get("class") == "lift"]
    middles = sorted(float(d.split("L")[1].split()[0]) for d in lifts)
    assert middles == pytest.approx([left + wide / 5, left + wide * 4 / 5], abs=0.02)


def test_places_are_evenly_apart_and_grow_with_the_place():
    svg = setting_drawing(shape(12))
    tops = sorted(float(box.get("y")) for box in boxes(svg, "beam"))
    gaps = [b - a for a, b in zip(tops, tops[1:], strict=False)]
    assert min(gaps) > 0 and max(gaps) - min(gaps) < 0.02


def test_a_mark_is_text_and_nonsense_is_said():
    hostile = BeamShape(mark="<b>&", place=0, order=1, length_ft=40)
    svg = setting_drawing(shape(beams=(hostile,)))
    assert "<b>" not in svg and "&lt;b&gt;" in svg
    assert "delivery list is empty" in setting_drawing(shape(beams=()))
    assert "makes no sense" in setting_drawing(shape(span_ft=float("nan")))
    assert "stroke-dasharray" in setting_drawing(shape(beams=(BeamShape(mark="A", place=0, order=1),)))
