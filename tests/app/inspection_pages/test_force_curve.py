"""The curve of bar force on a structure's page: drawn to scale from what the rating kept, and said again in a table."""

from xml.etree import ElementTree

import pytest

from inspections.drawings.force_curve import HEIGHT, LEFT, TOP, WIDTH, CurveSheet, curve_drawing
from inspections.models import Rating
from inspections.pages.force_curve import curve_parts
from inspections.rules.force_curve import GroupCurve, curve_steps, group_curves
from inventory.models import StressingSystem
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import bar_readings, make_stressed_deck, rated


def piece(psi, **factors):
    lines = [{"vehicle": name, "series": "posting", "factors": row} for name, row in factors.items()]
    return {"pressures_psi": psi, "lines": lines}


CURVE = {
    "vehicles": [
        {"vehicle": "A", "name": "Truck A", "vehicle_class": "legal", "gross_tons": 25.0},
        {"vehicle": "B", "name": "Truck B", "vehicle_class": "shv", "gross_tons": 30.0},
        {"vehicle": "E", "name": "Engine E", "vehicle_class": "emergency", "gross_tons": 40.0},
    ],
    "pieces": [
        piece([0.0, 40.0], A=[0.5, 0.5], B=[0.4, 0.4], E=[0.3, 0.3]),
        piece([40.0, 100.0], A=[1.0, 1.6], B=[1.2, 1.3], E=[0.9, 1.5]),
    ],
    "breaks": [{"pressure_psi": 40.0, "words": "Need.", "jumps": True}],
}


def drawn(text, kind):
    return [shape for shape in ElementTree.fromstring(text).iter() if shape.get("class") == kind]


def sheet(**changes) -> CurveSheet:
    given = {
        "groups": group_curves(CURVE),
        "steps": [],
        "today_psi": 70.0,
        "force_per_psi_lb": 576.0,
        "closing_psi": 20.0,
        "title": "t",
    }
    return CurveSheet(**given | changes)


def test_the_governing_line_is_the_least_of_the_legal_vehicles():
    """By hand: 0.4 below the jump; above it min(1.0, 1.2) = 1.0 and min(1.6, 1.3) = 1.3; halfway 1.15."""
    governing = group_curves(CURVE)[0]
    assert governing.runs == (((0.0, 0.4), (40.0, 0.4)), ((40.0, 1.0), (100.0, 1.3)))
    assert governing.at(70.0) == pytest.approx(1.15)
    assert (governing.at(39.99), governing.at(40.0), governing.at(500.0)) == (0.4, 1.0, 1.3)


def test_a_group_that_says_the_same_stands_once():
    names = [group.name for group in group_curves({**CURVE, "vehicles": CURVE["vehicles"][:1]})]
    assert names == ["Governing legal vehicle"]


def test_the_drawing_is_to_scale():
    """Law: places are in proportion to pressures and factors, from zero."""
    text = curve_drawing(sheet(), key="k")
    (today,) = drawn(text, "today-dot")
    assert (float(today.get("cx")) - LEFT) / WIDTH == pytest.approx(0.70, abs=1e-4)
    (one,) = drawn(text, "factor-one")
    high = TOP + HEIGHT - float(today.get("cy"))
    assert high / (TOP + HEIGHT - float(one.get("y1"))) == pytest.approx(1.15, abs=2e-4)
    assert len(drawn(text, "curve-general")) == 2


def test_the_drawing_says_itself_in_words():
    assert "Today 70 psi, governing factor 1.15" in curve_drawing(sheet(), key="k")
    assert "No reading in date" in curve_drawing(sheet(today_psi=None), key="k")
    nasty = "</title><script>1</script>"
    assert "<script" not in curve_drawing(sheet(title=nasty), key="k")


def test_what_changes_at_one_pressure_is_one_row():
    rows = [
        {"pressure_psi": 40.0, "force_lb": 23040.0, "kind": "factor 1", "vehicle": "A", "at_jump": True, "words": "A."},
        {"pressure_psi": 40.0, "force_lb": 23040.0, "kind": "jump", "vehicle": "", "at_jump": True, "words": "Open."},
        {"pressure_psi": 55.0, "force_lb": 31680.0, "kind": "tons", "vehicle": "", "at_jump": False, "words": "9 t."},
    ]
    first, second = curve_steps(rows, CURVE)
    assert first.words == ("Need.", "Open.", "A factor of 1 and more from here up: Truck A.")
    assert (first.number, second.number, second.words) == (1, 2, ("9 t.",))


@pytest.fixture
def deck(county, now):
    structure = make_stressed_deck(county.agency)
    StressingSystem.objects.filter(span__structure=structure).update(plate_width_in=8.0, plate_height_in=10.0)
    rated(structure, county.people["inspector"], now, findings=bar_readings(structure, 34560.0))
    return structure


def page(county, structure) -> str:
    return county.client("inspector").get(f"/structures/{structure.pk}/").content.decode()


def test_the_page_of_a_stressed_deck_shows_its_curve(county, deck):
    text = page(county, deck)
    assert "Rating against bar force, span 1" in text
    assert "At 60 psi the governing legal factor is" in text
    assert "23,040" in text  # 40 psi x 48 in x 12 in
    assert "Bar stress standing" in text and "40,659" in text
    assert "not an order to re-tension" in text


def test_today_on_the_curve_is_the_rating_itself(deck):
    rating = Rating.objects.get(structure=deck)
    (part,) = curve_parts(rating)
    assert part["factor_today"] == pytest.approx(rating.least_factor, abs=1e-4)


def test_anchorage_that_crushes_is_told(county, deck):
    """57,600 lb on 8 x 10 in is 720 psi; wet Douglas fir bears 625 x 0.67 = 419 psi (NDS Table 4A)."""
    text = page(county, deck)
    assert "The edge lamination crushes under the anchorage: 720 psi on 419 psi." in text


def test_a_rating_without_a_curve_says_so(county, now, monkeypatch):
    monkeypatch.setattr("inspections.actions.rate.force_curves", lambda snapshot: [])
    structure = make_stressed_deck(county.agency)
    rated(structure, county.people["inspector"], now, findings=bar_readings(structure, 34560.0))
    assert "the next one brings it" in page(county, structure)


def test_a_bridge_without_bars_has_no_such_part(county, now):
    bridge = make_stringer_bridge(county.agency)
    rated(bridge, county.people["inspector"], now)
    assert "Rating against bar force" not in page(county, bridge)


def test_an_end_is_read_where_there_is_only_one_point():
    assert GroupCurve(key="general", name="x", runs=(((0.0, 0.5),),)).at(10.0) == 0.5
