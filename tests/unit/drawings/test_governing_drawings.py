"""The governing case as drawn: to scale, the load where it stands, losses in the member, every text escaped.

Laws: distances on the drawing are in the proportion of the record; a drawing carries as many wheels as axles.
"""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from inspections.drawings.governing_load import LoadDrawing, load_elevation, load_words
from inspections.drawings.governing_member import MemberDrawing, member_section
from inspections.drawings.governing_part import PartDrawing, part_section
from tests.unit.calculation_sheet.sheets import damaged_span, sheet_of
from tests.unit.mechanics.spans import stressed_span, stringer_span

SVG = "{http://www.w3.org/2000/svg}"


def drawings_of(case, method: str = "ASR", **more):
    sheet = sheet_of(case, **more)
    governing = next(one for one in sheet.results["governing_cases"] if one["method"] == method)
    span = sheet.cases[0]
    member = next(one for one in span["members"] if one["label"] == governing["member"])
    load = LoadDrawing(key="load-1", governing=governing, span=span, member=member, title="Where the load stands")
    section = MemberDrawing(
        key="member-1", span=span, member=member, station_ft=governing["station_ft"], title="The member in section"
    )
    return governing, load, section


def shapes(svg: str, tag: str, kind: str) -> list[ElementTree.Element]:
    return [each for each in ElementTree.fromstring(svg).iter(SVG + tag) if each.get("class") == kind]


def test_axles_stand_to_scale():
    """Law: wheel distances over span distance are those of the record."""
    governing, load, _section = drawings_of(stringer_span())
    svg = load_elevation(load)
    wheels = sorted(float(each.get("cx")) for each in shapes(svg, "circle", "wheel"))
    places = sorted(one["place_ft"] for one in governing["load"]["axles"])
    assert len(wheels) == len(places) > 2
    base = shapes(svg, "line", "line-base")[0]
    left, right = float(base.get("x1")), float(base.get("x2"))
    for x, place in zip(wheels, places, strict=True):
        assert (x - left) / (right - left) == pytest.approx(place / governing["span_ft"], abs=1e-3)
    mark = float(shapes(svg, "line", "section-mark")[0].get("x1"))
    assert (mark - left) / (right - left) == pytest.approx(governing["station_ft"] / governing["span_ft"], abs=1e-3)


def test_the_drawing_says_the_numbers_of_the_sheet():
    governing, load, _section = drawings_of(stringer_span())
    svg = load_elevation(load)
    for words in (f"{governing['lane_effect']:,.0f}", f"{governing['live_effect']:,.0f}", "17,000 lb"):
        assert words in svg
    assert f"{governing['station_ft']:.2f} ft" in load_words(load) and governing["name"] in load_words(load)


def test_lane_load_is_drawn_as_such():
    """HS20 on 150 ft: lane load governs (AASHTO Standard Specifications Appendix A, memory), 640 lb/ft and a point."""
    _governing, load, _section = drawings_of(
        stringer_span(span_ft=150.0, depth_in=60.0, width_in=14.0), vehicles=("HS20",)
    )
    svg = load_elevation(load)
    assert shapes(svg, "rect", "lane-load") and "640 lb/ft" in svg and not shapes(svg, "circle", "wheel")


def test_losses_stand_where_they_were_found():
    _governing, load, section = drawings_of(damaged_span(), method="LRFR")
    assert load.member["label"] == "stringer 5"
    assert len(shapes(load_elevation(load), "rect", "loss")) == 2
    boxes = shapes(member_section(section), "rect", "loss")
    whole = [each for each in shapes(member_section(section), "rect", "member") if each.get("stroke-width") == "1.4"][0]
    ratios = sorted(float(each.get("height")) / float(whole.get("height")) for each in boxes)
    # 1 in of decay from the top and a void 6 in high in a member 16 in deep.
    assert ratios == pytest.approx([1 / 16, 6 / 16], abs=0.01)


def test_only_the_named_stringer_is_meant():
    _governing, _load, section = drawings_of(damaged_span(), method="LRFR")
    row = [each for each in shapes(member_section(section), "rect", "member") if each.get("stroke-width") != "1.4"]
    meant = [at for at, each in enumerate(row, 1) if each.get("stroke-width") == "1.6"]
    assert len(row) == 12 and meant == [5]


def test_one_foot_of_a_deck_is_drawn_with_its_laminations():
    """Arithmetic: laminations of 1.5 in, eight in a foot, so seven lines between them."""
    _governing, _load, section = drawings_of(stressed_span())
    svg = member_section(section)
    assert "one foot of the deck is rated" in svg and "1 ft" in svg
    assert len([e for e in ElementTree.fromstring(svg).iter(SVG + "line") if e.get("stroke") == "#8a6534"]) == 7


def test_a_deck_that_is_the_member_is_drawn_once():
    """Law: laminations that are the deck carry no second deck on themselves, whatever thickness is on record."""
    _governing, _load, section = drawings_of(replace(stressed_span(), deck_thickness_in=12.0))
    assert not shapes(member_section(section), "rect", "deck")
    _governing, _load, plank = drawings_of(stringer_span())
    assert len(shapes(member_section(plank), "rect", "deck")) == 1


def test_hostile_labels_are_text():
    case = stringer_span()
    label = '"><script>alert(1)</script>&'
    case = replace(case, members=(replace(case.members[0], label=label),))
    _governing, load, section = drawings_of(case)
    for svg in (load_elevation(load), member_section(section)):
        assert "<script" not in svg
        ElementTree.fromstring(svg)


def test_without_a_position_it_says_so():
    _governing, load, _section = drawings_of(stringer_span())
    svg = load_elevation(replace(load, governing={**load.governing, "load": None}))
    assert "not kept with this rating" in svg


@pytest.mark.parametrize("size", [None, 0.0, float("nan"), 1e9])
def test_an_impossible_member_is_refused(size):
    _governing, _load, section = drawings_of(stringer_span())
    svg = member_section(replace(section, member={**section.member, "depth_in": size}))
    assert "cannot be drawn" in svg


@pytest.mark.parametrize("name", ["deck", "cap"])
def test_a_part_is_drawn_across_the_roadway(name):
    """Law: the section mark stands where the station is, to the scale of supports or piles."""
    from tests.unit.calculation_sheet.test_by_hand import PARTS

    sheet = PARTS[name]()
    governing = sheet.results["governing_cases"][0]
    drawing = PartDrawing(
        key="part-1",
        governing=governing,
        span=sheet.cases[0],
        deck=sheet.cases[0].get("deck"),
        cap=sheet.caps[0] if sheet.caps else None,
        title="The governing part",
    )
    svg = part_section(drawing)
    mark = float(shapes(svg, "line", "section-mark")[0].get("x1"))
    if name == "cap":
        cap = sheet.caps[0]
        piles = [float(each.get("x")) + float(each.get("width")) / 2 for each in shapes(svg, "rect", "pile")]
        per_ft = (piles[1] - piles[0]) / cap["pile_spacing_ft"]
        beam = shapes(svg, "rect", "cap")[0]
        assert len(piles) == cap["pile_count"]
        assert (mark - float(beam.get("x"))) / per_ft == pytest.approx(governing["station_ft"], abs=0.02)
    else:
        supports = [float(each.get("x")) + float(each.get("width")) / 2 for each in shapes(svg, "rect", "support")]
        assert mark == pytest.approx(sum(supports) / 2, abs=0.02)  # bending governs at mid-span
    assert "cannot be drawn" in part_section(replace(drawing, deck=None, cap={"width_in": 0.0}))
