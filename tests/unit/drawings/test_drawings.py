"""Drawings are well-formed XML and hold the laws of scale; awkward data is told, never a crash.

Sources: laws of scale drawing (proportion); XML 1.0, by a parser of its own reading every drawing; 12 in = 1 ft.
No value here was read from a drawing first.
"""

import math
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.drawings.elevation import elevation
from inventory.drawings.section import cross_section
from inventory.drawings.shapes import (
    BarShape,
    FindingMark,
    LayerShape,
    MemberShape,
    SignShape,
    SpanShape,
    StressingShape,
    StructureShape,
    feet_and_inches,
    inches,
)
from inventory.vocabulary.structures import System

SVG = "{http://www.w3.org/2000/svg}"


def stringers(**changes) -> MemberShape:
    return replace(
        MemberShape(role="stringer", count=10, width_in=6, depth_in=16, spacing_ft=2, first_offset_ft=1), **changes
    )


def bars(count=8, spacing_ft=4.0) -> StressingShape:
    return StressingShape(
        bar_diameter_in=1,
        spacing_in=spacing_ft * 12,
        stressed_depth_in=9,
        bars=tuple(BarShape(number=n + 1, station_ft=2 + n * spacing_ft) for n in range(count)),
    )


def structure(*, system="sawn_stringer", members=None, length_ft=32.0, stressing=None, **changes) -> StructureShape:
    span = SpanShape(
        index=1,
        length_ft=length_ft,
        system=system,
        deck_thickness_in=3 if system.endswith("stringer") else None,
        members=(stringers(),) if members is None else members,
        stressing=stressing,
    )
    shape = StructureShape(key="s1", title="Heron Road over Sedge Creek", spans=(span,), deck_width_ft=20.0)
    return replace(shape, **changes)


BUILT = {
    "sawn_stringer": (stringers(),),
    "glulam_stringer": (stringers(count=5, spacing_ft=4, width_in=8.75, depth_in=30),),
    "nail_laminated": (MemberShape(role="lamination", count=160, width_in=1.5, depth_in=11.25),),
    "spike_laminated": (MemberShape(role="lamination", count=60, width_in=4, depth_in=14),),
    "glulam_panel": (
        MemberShape(role="panel", count=5, width_in=48, depth_in=12.25),
        MemberShape(role="stiffener", count=3, width_in=5, depth_in=6),
    ),
    "stress_laminated": (MemberShape(role="lamination", count=120, width_in=2, depth_in=12),),
    "stress_laminated_t": (
        MemberShape(role="web", count=7, width_in=5.25, depth_in=24, spacing_ft=3),
        MemberShape(role="flange", count=100, width_in=1.5, depth_in=9),
    ),
    "stress_laminated_box": (
        MemberShape(role="web", count=6, width_in=6.75, depth_in=26, spacing_ft=3.6),
        MemberShape(role="flange", count=100, width_in=1.5, depth_in=7),
        MemberShape(role="bottom_flange", count=100, width_in=1.5, depth_in=5),
    ),
    "other": (stringers(),),
    "unknown": (),
}


def parts(svg: str, kind: str) -> list[ElementTree.Element]:
    return [e for e in ElementTree.fromstring(svg).iter() if kind in e.get("class", "").split()]


def size(element, name) -> float:
    return float(element.get(name))


def test_every_system_of_the_register_is_tried():
    assert set(BUILT) == {member.value for member in System}


@pytest.mark.parametrize("system", BUILT)
def test_every_system_draws(system):
    stressing = bars() if system.startswith("stress") else None
    shape = structure(system=system, members=BUILT[system], stressing=stressing)
    for svg in (elevation(shape), cross_section(shape)):
        root = ElementTree.fromstring(svg)
        assert root.tag == f"{SVG}svg" and root.find(f"{SVG}title").text and root.find(f"{SVG}desc").text
        assert root.get("role") == "img"
        named = {e.get("id") for e in root.iter() if e.get("id")}
        assert set(root.get("aria-labelledby").split()) <= named
        assert not [e for e in root.iter() if e.get("style") or e.tag.endswith("script")]
    assert parts(elevation(shape), "member")


@pytest.mark.parametrize("system", [name for name in BUILT if BUILT[name]])
def test_as_many_members_are_drawn_as_stand(system):
    shape = structure(system=system, members=BUILT[system])
    carrying = BUILT[system][0]
    assert len(parts(cross_section(shape), carrying.role)) == carrying.count


def test_a_member_twice_as_wide_draws_twice_as_wide():
    once = parts(cross_section(structure(members=(stringers(width_in=4),))), "stringer")[0]
    twice = parts(cross_section(structure(members=(stringers(width_in=8),))), "stringer")[0]
    assert size(twice, "width") == pytest.approx(2 * size(once, "width"), abs=0.02)
    assert size(twice, "height") == pytest.approx(size(once, "height"), abs=0.02)


def test_stringer_spacing_and_size_share_one_scale():
    drawn = parts(cross_section(structure()), "stringer")
    pitch = size(drawn[1], "x") - size(drawn[0], "x")
    # 2 ft apart and 6 in wide: the pitch is four widths; 16 in deep: 16/6 of the width.
    assert pitch == pytest.approx(4 * size(drawn[0], "width"), abs=0.03)
    assert size(drawn[0], "height") == pytest.approx(16 / 6 * size(drawn[0], "width"), abs=0.03)


def test_the_deck_dimension_and_the_scale_bar_agree():
    svg = cross_section(structure())
    line = parts(svg, "deck-dimension")[0]
    drawn = size(line, "x2") - size(line, "x1")
    unit = sum(size(half, "width") for half in parts(svg, "scale-bar"))
    words = [e.text for e in ElementTree.fromstring(svg).iter(f"{SVG}text")]
    feet = next(int(word.split()[0]) for word in words if word.endswith(" ft") and word.split()[0].isdigit())
    assert drawn / unit == pytest.approx(20 / feet, abs=0.01)


def test_bars_stand_at_their_stations():
    svg = elevation(structure(system="stress_laminated", members=BUILT["stress_laminated"], stressing=bars(8, 4.0)))
    drawn = [size(bar, "cx") for bar in parts(svg, "bar")]
    line = parts(svg, "dimension")[0]
    begin, end = size(line, "x1"), size(line, "x2")
    assert len(drawn) == 8
    for place, x in enumerate(drawn):
        # 2 ft + 4 ft per bar along a span of 32 ft
        assert (x - begin) / (end - begin) == pytest.approx((2 + 4 * place) / 32, abs=1e-3)


def test_spans_keep_their_proportion():
    spans = tuple(SpanShape(index=n, length_ft=length, system="sawn_stringer") for n, length in ((1, 15), (2, 30)))
    lines = parts(elevation(structure(spans=spans)), "dimension")
    lengths = sorted(size(line, "x2") - size(line, "x1") for line in lines)
    assert lengths[1] == pytest.approx(2 * lengths[0], abs=0.05)
    assert lengths[2] == pytest.approx(3 * lengths[0], abs=0.05)


def test_layers_are_as_thick_as_laid():
    layers = (
        LayerShape(material="gravel", label="Gravel", thickness_in=6),
        LayerShape(material="asphalt", label="Asphalt", thickness_in=3),
    )
    drawn = parts(cross_section(structure(layers=layers)), "layer")
    assert size(drawn[0], "height") == pytest.approx(2 * size(drawn[1], "height"), abs=0.02)
    # laid later lies higher
    assert size(drawn[1], "y") < size(drawn[0], "y")


def test_box_beams_have_their_bottom_between_the_webs():
    svg = cross_section(structure(system="stress_laminated_box", members=BUILT["stress_laminated_box"]))
    webs, bottoms = parts(svg, "web"), parts(svg, "bottom_flange")
    left, right = size(webs[0], "x"), size(webs[-1], "x")
    assert bottoms and all(left < size(part, "x") < right for part in bottoms)
    foot = size(webs[0], "y") + size(webs[0], "height")
    assert size(bottoms[0], "y") + size(bottoms[0], "height") == pytest.approx(foot, abs=0.03)


def test_text_is_escaped_and_unprintable_text_does_not_break_the_drawing():
    shape = structure(title="<script>alert('x')</script> & \x00\x07 ￿ bridge")
    marks = (FindingMark(span_index=1, station_ft=3, label="\"><img src=x onerror='1'>"),)
    for svg in (elevation(shape, marks=marks), cross_section(shape)):
        assert "<script" not in svg and "<img" not in svg
        assert "<script>" in ElementTree.fromstring(svg).find(f"{SVG}title").text


@pytest.mark.parametrize("length_ft", [0, -3, math.nan, math.inf, 1e9])
def test_a_nonsense_span_is_told_in_the_drawing(length_ft):
    shape = structure(length_ft=length_ft)
    for svg in (elevation(shape), cross_section(shape)):
        assert parts(svg, "refused")
        assert "correct the span length" in " ".join(ElementTree.fromstring(svg).itertext())


def test_nothing_on_record_is_told():
    assert "No span is on record" in elevation(structure(spans=()))
    assert "No span is on record" in cross_section(structure(spans=()))
    bare = structure(members=(), deck_width_ft=None)
    assert "Enter the deck width" in cross_section(bare)
    assert "stringer sizes" in elevation(bare)
    assert parts(elevation(bare), "unknown")


def test_what_is_missing_is_named_and_what_is_known_is_drawn():
    svg = cross_section(structure(members=(stringers(spacing_ft=None, first_offset_ft=None),)))
    assert len(parts(svg, "stringer")) == 10 and "stringer spacing" in svg


def test_an_unusable_bar_is_crossed_and_open_in_shape_not_only_colour():
    stressing = replace(
        bars(2), bars=(BarShape(number=1, station_ft=2), BarShape(number=2, station_ft=6, is_usable=False))
    )
    svg = elevation(structure(system="stress_laminated", members=BUILT["stress_laminated"], stressing=stressing))
    assert len(parts(svg, "bar-cross")) == 1
    fills = [bar.get("fill") for bar in parts(svg, "bar")]
    assert fills[0] != fills[1]


@pytest.mark.parametrize(
    ("sign", "legend"),
    [
        (SignShape(restriction="posted", single_ton=14), ["WEIGHT", "LIMIT", "14", "TONS"]),
        (SignShape(restriction="posted", class_tons=(12, 20, 24)), ["WEIGHT", "LIMIT", "12T", "20T", "24T"]),
        (SignShape(restriction="closed"), ["ROAD", "CLOSED"]),
    ],
)
def test_the_sign_says_what_is_in_force(sign, legend):
    """R12-1 and R12-5 legends: MUTCD 2003 section 2B.49 [checked]; R11-2 ROAD CLOSED: the code ordered by `panel`."""
    assert [part.text for part in parts(elevation(structure(sign=sign)), "legend")] == legend


def test_no_sign_where_nothing_is_in_force():
    assert not parts(elevation(structure(sign=SignShape(restriction="open"))), "sign")


def test_lengths_read_the_way_drawings_write_them():
    # 18.5 ft = 18 ft 6 in; 17 ft 11.99 in rounds up to a whole foot, never to 17 ft 12 in
    assert feet_and_inches(18.5) == "18 ft 6 in"
    assert feet_and_inches(17 + 11.99 / 12) == "18 ft 0 in"
    assert inches(5.25) == "5-1/4 in" and inches(0.625) == "5/8 in" and inches(24) == "24 in"


SIZES = st.one_of(st.none(), st.floats(allow_nan=True, allow_infinity=True), st.floats(-5, 400), st.integers(-5, 400))


@settings(max_examples=120, deadline=None)
@given(
    system=st.sampled_from(sorted(BUILT)),
    length=st.floats(-10, 600),
    width=SIZES.filter(lambda v: v is not None),
    depth=SIZES.filter(lambda v: v is not None),
    spacing=SIZES,
    offset=SIZES,
    deck=SIZES,
    roadway=SIZES,
    count=st.integers(0, 60),
    role=st.sampled_from(["stringer", "lamination", "panel", "web", "flange", "bottom_flange", "stiffener", "deck"]),
    name=st.text(max_size=30),
)
def test_no_entry_of_any_kind_breaks_a_drawing(
    system, length, width, depth, spacing, offset, deck, roadway, count, role, name
):
    """Law: whatever stands in the register, both drawings are XML that a parser reads and no coordinate is nan."""
    member = MemberShape(
        role=role, count=count, width_in=width, depth_in=depth, spacing_ft=spacing, first_offset_ft=offset
    )
    shape = structure(
        system=system, length_ft=length, members=(member,), deck_width_ft=deck, roadway_width_ft=roadway, title=name
    )
    for svg in (elevation(shape), cross_section(shape)):
        for element in ElementTree.fromstring(svg).iter():
            for key in ("x", "y", "width", "height", "x1", "x2", "cx"):
                if element.get(key):
                    assert math.isfinite(float(element.get(key)))
                if key in ("width", "height") and element.get(key):
                    assert float(element.get(key)) >= 0


def test_emergency_vehicles_have_a_plate_of_their_own():
    """Single axle, tandem and gross on a separate sign (a State's page on load posting, checked; R12-7: memory)."""
    alone = SignShape(restriction="posted", emergency_tons=(14, None, 25))
    both = SignShape(restriction="posted", single_ton=12, emergency_tons=(14, 20, 25))
    one, two = elevation(structure(sign=alone)), elevation(structure(sign=both))
    legend = ["EMERGENCY", "VEHICLE", "WEIGHT LIMIT", "AXLE", "14T", "TANDEM", "-", "GROSS", "25T"]
    assert [element.text for element in parts(one, "legend")] == legend
    assert len(parts(one, "sign")) == 1 and len(parts(two, "sign")) == 2
    first, second = (float(element.get("x")) for element in parts(two, "sign"))
    assert first < 60 < 760 - 90 < second, "one at each approach"
    assert "emergency vehicles: single axle 14 T, tandem - T, gross 25 T" in one
