"""Drawings of this room: well-formed, to scale, and safe with whatever text they are given."""

from xml.etree import ElementTree

import pytest

from inspections.drawings.bar_force import BarPoint, ForceLevel, bar_profile
from inspections.drawings.factors import SCALE_WIDTH, FactorBar, factor_chart
from inspections.drawings.signs import sign_face
from inspections.forms.numbers import number_from
from inventory.drawings.shapes import SignShape

SVG = "{http://www.w3.org/2000/svg}"


def drawn(text: str, kind: str) -> list[ElementTree.Element]:
    return [shape for shape in ElementTree.fromstring(text).iter() if shape.get("class") == kind]


def test_bar_length_is_in_proportion_to_the_factor():
    """Law: two bars of one chart are as long to each other as their factors; the 1.00 line stands at factor 1."""
    chart = factor_chart(
        [FactorBar(label="A", factor=0.5), FactorBar(label="B", factor=1.75), FactorBar(label="C", factor=1.0)], key="k"
    )
    half, long, one = drawn(chart, "factor-bar")
    assert float(long.get("width")) / float(half.get("width")) == pytest.approx(1.75 / 0.5, rel=1e-3)
    end = float(one.get("x")) + float(one.get("width"))
    assert float(drawn(chart, "factor-one")[0].get("x1")) == pytest.approx(end, abs=0.05)
    assert half.get("fill") != long.get("fill") and "0.50 below 1" in chart


@pytest.mark.parametrize("factor", [0.0, 0.999, 12.5, 250.0])
def test_every_bar_stays_on_the_scale(factor):
    bar = drawn(factor_chart([FactorBar(label="A", factor=factor)], key="k"), "factor-bar")[0]
    assert 0 <= float(bar.get("width")) <= SCALE_WIDTH


def test_rounding_never_hides_that_a_factor_is_below_one():
    """Arithmetic: 0.997 rounds to 1.00, which would read as carried; 1.00 itself is carried."""
    assert "0.99 below 1" in factor_chart([FactorBar(label="A", factor=0.997)], key="k")
    assert "below" not in "".join(factor_chart([FactorBar(label="A", factor=1.0)], key="k").split("</desc>")[1:])


def test_what_governs_is_named_at_each_vehicle_only_where_it_differs():
    """Common practice, no source: eleven times the same words hide the one that is other."""
    same = factor_chart(
        [FactorBar(label="A", factor=2, words="shear"), FactorBar(label="B", factor=3, words="shear")], key="k"
    )
    other = factor_chart(
        [FactorBar(label="A", factor=2, words="shear"), FactorBar(label="B", factor=3, words="bending")], key="k"
    )
    assert "shear" not in same and "shear" in other and "bending" in other


def test_bar_forces_are_drawn_to_one_scale():
    """Law: stem lengths are as the forces, stations as the feet."""
    points = [
        BarPoint(number=1, station_ft=3, force_lb=20_000),
        BarPoint(number=2, station_ft=9, force_lb=10_000, is_low=True),
        BarPoint(number=3, station_ft=15, force_lb=None, is_low=True),
    ]
    drawing = bar_profile(points, [ForceLevel(force_lb=15_000, words="floor")], span_ft=30, title="t", key="k")
    first, second = drawn(drawing, "bar-stem")
    heights = [float(stem.get("y1")) - float(stem.get("y2")) for stem in (first, second)]
    assert heights[0] / heights[1] == pytest.approx(2, rel=1e-3)
    floor = float(drawn(drawing, "force-level")[0].get("y1"))
    assert float(first.get("y1")) - floor == pytest.approx(0.75 * heights[0], rel=1e-3)
    assert (float(first.get("x1")) - 48) / (float(second.get("x1")) - 48) == pytest.approx(3 / 9, rel=1e-3)
    assert "bars 2, 3" in drawing


def test_text_in_drawings_is_escaped():
    nasty = '</text><script>alert(1)</script>\x00&"'
    for drawing in (
        factor_chart([FactorBar(label=nasty, factor=1, words=nasty)], key=nasty),
        bar_profile([], [ForceLevel(force_lb=1, words=nasty)], span_ft=10, title=nasty, key="k"),
    ):
        root = ElementTree.fromstring(drawing)
        assert not list(root.iter(f"{SVG}script")) and "<script" not in drawing
        assert not [e for e in root.iter() if e.get("style") or any(name.startswith("on") for name in e.attrib)]


@pytest.mark.parametrize(
    "sign, words",
    [
        (SignShape(restriction="posted", single_ton=12), "12"),
        (SignShape(restriction="posted", class_tons=(15, 20, 25)), "20T"),
        (SignShape(restriction="closed"), "CLOSED"),
        (SignShape(restriction="open"), "no sign"),
        (SignShape(restriction="unknown"), "not known"),
    ],
)
def test_sign_face_says_what_stands(sign, words):
    root = ElementTree.fromstring(sign_face(sign, key="k"))
    assert words in [text.text for text in root.iter(f"{SVG}text")]


@pytest.mark.parametrize(
    "typed, inches",
    [
        ("5-1/4", 5 + 1 / 4),
        ("5 1/4", 5 + 1 / 4),
        ("3/8", 3 / 8),
        (" 1,200.5 ", 1200.5),
        ("-2", -2.0),
        ("−2", -2.0),
        (".5", 0.5),
        ("1,5", None),
        ("1/0", None),
        ("5'", None),
        ("inf", None),
        ("", None),
        ("١٢", 12.0),
    ],
)
def test_numbers_as_written_in_the_field(typed, inches):
    """Arithmetic shown beside each; what is no number is None, never a guess ("1,5" may be 15 or 1.5)."""
    assert number_from(typed) == inches
