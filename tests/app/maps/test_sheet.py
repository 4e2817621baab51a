"""The county sheet and a structure's place, as pages."""

import re

import pytest
from django.utils.html import escape

from inventory.models import Event, Structure
from maps.actions.draw_lines import draw_lines
from maps.geometry import NotOnTheMap, drawn_line
from maps.models import Line
from tests.makers.county import make_county


def test_the_list_beside_the_map_says_what_the_map_says(drawn, neighbour):
    page = drawn.client("office").get("/").content.decode()
    for structure in Structure.objects.filter(agency=drawn.agency):
        assert structure.number in page and escape(structure.title) in page
    assert "late 60 d" in page and "Posted 14 T" in page and "Restriction not known" in page
    assert "M-secret" not in page and "Marrow" not in page


def test_counts_are_those_of_the_filtered_list(drawn):
    client = drawn.client("office")
    # Ten structures cycle through open, posted, closed, unknown: 3, 3, 2, 2; two more have nothing on record.
    assert "no restriction 3, posted 3, closed 2, not known 4" in client.get("/").content.decode()
    assert "no restriction 0, posted 3, closed 0" in client.get("/?restriction=posted").content.decode()


def test_owed_work_is_most_urgent_first(drawn):
    page = drawn.client("office").get("/").content.decode()
    owed = page[page.index("h-owed") : page.index("h-counts")]
    order = re.findall(r">(Q-\d\d)<", owed)
    assert order == ["Q-00", "Q-01", "Q-02", "Q-03", "Q-04", "Q-05", "Q-06", "Q-07"]


def test_nothing_inline(drawn):
    """The policy allows no inline script and no style attribute."""
    response = drawn.client("office").get("/")
    page = response.content.decode()
    assert " style=" not in page and "<style" not in page
    assert not re.search(r"<script(?![^>]*\bsrc=)", page)
    assert not re.search(r'(?:src|href)="(?:https?:)?//', page)
    assert "style-src 'self'" in response["Content-Security-Policy"]


def test_a_filter_that_is_not_understood_shows_nothing_and_says_so(drawn):
    page = drawn.client("office").get("/?condition=splendid").content.decode()
    assert "was not understood" in page and "Q-00" not in page


def test_an_empty_register_says_what_to_do(county):
    page = county.client("office").get("/").content.decode()
    assert "Nothing stands in the register yet" in page


def test_hostile_names_are_text(drawn):
    Structure.objects.filter(number="Q-00").update(name="<script>alert(1)</script>")
    page = drawn.client("office").get("/").content.decode()
    assert "<script>alert" not in page and "&lt;script&gt;alert" in page


def test_place_draws_the_lines_about_the_structure(drawn, neighbour, rf):
    from django.template.loader import render_to_string

    from maps.pages import load_place

    structure = Structure.objects.get(number="Q-00")
    context = load_place(rf.get("/"), structure)
    html = render_to_string("maps/place.html", {"structure": structure, **context})
    assert "46.400000, -97.500000" in html and 'href="geo:46.400000,-97.500000"' in html
    assert html.count("<path") >= 2 and "Sedge Creek" in html and "1 mile" in html
    assert "Other Road" not in html and " style=" not in html


def test_place_without_a_position_says_what_is_missing(drawn, rf):
    from django.template.loader import render_to_string

    from maps.pages import load_place

    structure = Structure.objects.get(number="Q-unplaced")
    html = render_to_string("maps/place.html", {"structure": structure, **load_place(rf.get("/"), structure)})
    assert "No position is on record" in html and "<svg" not in html.replace("symbol-sheet", "")


def test_lines_of_one_kind_are_replaced_whole_and_told(county, now):
    agency, office = county.agency, county.people["office"]
    other = make_county("Marrow County", "003").agency
    first = [drawn_line([(-97.6, 46.4), (-97.3, 46.4)], name=name) for name in ("Heron Road", "Snipe Road")]
    for owner in (agency, other):
        draw_lines(agency=owner, kind="road", lines=first, by=office, at=now)
    draw_lines(agency=agency, kind="stream", lines=first[:1], by=office, at=now)
    draw_lines(
        agency=agency, kind="road", lines=[drawn_line([(-97, 46), (-97, 47)], name="New Road")], by=office, at=now
    )
    assert list(Line.objects.filter(agency=agency, kind="road").values_list("name", flat=True)) == ["New Road"]
    assert Line.objects.filter(agency=agency, kind="stream").count() == 1
    assert Line.objects.filter(agency=other, kind="road").count() == 2
    event = Event.objects.filter(agency=agency, verb="draw_lines").first()
    assert (event.by, event.at) == (office, now) and "1 lines drawn on the map in place of 2" in event.sentence


@pytest.mark.parametrize(("kind", "says"), [("road", "those already drawn stay"), ("river", "not a kind of line")])
def test_an_empty_or_unknown_replacement_leaves_all_as_it_was(drawn, now, kind, says):
    before = Line.objects.count()
    lines = [] if kind == "road" else [drawn_line([(-97, 46), (-97, 47)])]
    with pytest.raises(NotOnTheMap, match=says):
        draw_lines(agency=drawn.agency, kind=kind, lines=lines, by=None, at=now)
    assert Line.objects.count() == before


def test_a_failure_half_way_keeps_the_old_lines(drawn, now, monkeypatch):
    def fails(**_):
        raise RuntimeError("power cut")

    monkeypatch.setattr("maps.actions.draw_lines.tell_event", fails)
    names = list(Line.objects.values_list("name", flat=True))
    with pytest.raises(RuntimeError):
        draw_lines(agency=drawn.agency, kind="road", lines=[drawn_line([(-97, 46), (-97, 47)])], by=None, at=now)
    assert list(Line.objects.values_list("name", flat=True)) == names
