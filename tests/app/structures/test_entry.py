"""The office edits the register: roles, sentences, nothing half-saved, two people, typed fields remembered."""

import re
from datetime import date

import pytest

from inventory.models import (
    Bar,
    Event,
    MemberGroup,
    Span,
    Standing,
    StressingSystem,
    Structure,
    SurfacingLayer,
    Treatment,
    Work,
)
from tests.makers.county import make_county, make_stringer_bridge

MEMBER = {
    "role": "stringer",
    "count": "8",
    "spacing_ft": "2",
    "first_offset_ft": "1",
    "width_in": "6",
    "depth_in": "16",
    "unbraced_ft": "0",
    "product": "sawn",
    "species": "Douglas fir-larch",
    "grade": "No.1",
}
SPAN = {"index": "1", "length_ft": "24", "system": "stress_laminated", "lanes_loaded": "2", "skew_deg": "0"} | {
    "surface_finish": "surfaced",
    "wet_service": "on",
}
BARS = {
    "bar_count": "6",
    "first_station_ft": "2",
    "spacing_in": "48",
    "level": "mid",
    "unusable": "",
    "bar_diameter_in": "1",
    "bar_area_in2": "0.85",
    "bar_grade": "ASTM A722, 150 ksi",
    "fpu_ksi": "150",
    "stressed_depth_in": "12",
}
LAYER = {"material": "asphalt", "thickness_in": "2.5", "unit_weight_pcf": "144", "laid_on": "2020-06-01"}


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def office(county):
    return county.client("office")


def page_values(client, address) -> dict:
    """What a browser would send back unchanged: every entry of the form with its value."""
    response = client.get(address)
    assert response.status_code == 200
    form = response.context["form"]
    values = {"stamp": response.context["stamp"]}
    for name, field in form.fields.items():
        value = form[name].value()
        if value is True:
            value = {"NullBooleanField": "true"}.get(type(field).__name__, "on")
        if value not in (None, False, ""):
            values[name] = str(value)
    return values


def words(response) -> str:
    return re.sub(r"\s+", " ", response.content.decode())


def test_a_new_structure_with_its_event_and_its_standing(office, county):
    address = "/structures/new/"
    values = page_values(office, address) | {"number": "Q-77", "road_name": "Plover Lane", "length_ft": "31.5"}
    response = office.post(address, values)
    made = Structure.objects.get(number="Q-77")
    assert response.status_code == 302 and response.url == f"/structures/{made.pk}/"
    assert {"number", "road_name", "length_ft"} <= set(made.hand_entered)
    assert "feature_crossed" not in made.hand_entered
    assert made.agency == county.agency and made.length_ft == 31.5
    event = Event.objects.get(structure=made)
    assert event.by == county.people["office"] and event.verb == "add_structure"
    assert Standing.objects.get(structure=made).missing_count > 0
    assert office.get(response.url).status_code == 200


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        ({"length_ft": "0"}, "The structure length must be above 0 to 2000 ft; 0 was entered."),
        ({"length_ft": "-12"}, "-12 was entered"),
        ({"length_ft": "twelve"}, "Enter a number in digits"),
        ({"length_ft": "nan"}, "Enter a number in digits"),
        ({"number": " "}, "This field is required"),
        ({"number": "Q-1"}, "already has a structure Q-1"),
        ({"year_built": "1066"}, "must lie between 1700 and"),
        ({"lat_deg": "146", "lon_deg": "-97"}, "The latitude must be from -90 to 90 degrees"),
        ({"lat_deg": "46"}, "both longitude and latitude"),
        ({"deck_width_ft": "18", "roadway_width_ft": "22"}, "cannot be wider than the deck"),
        ({"adt": "99999999999999999999"}, "The daily traffic must be"),
        ({"system": "steel"}, "Select a valid choice"),
        ({"name": "x" * 500}, "at most 120 characters"),
    ],
)
def test_a_refused_structure_is_told_and_nothing_is_saved(office, bridge, entry, sentence):
    before = Structure.objects.count(), Event.objects.count()
    response = office.post("/structures/new/", {"number": "Q-78", "system": "unknown", "status": "planned"} | entry)
    assert response.status_code == 422
    assert sentence in words(response)
    assert (Structure.objects.count(), Event.objects.count()) == before
    for value in entry.values():
        assert value.strip() == "" or value in words(response), "what was typed must still be on the page"


def test_edit_adds_only_the_changed_fields_to_hand_entered(office, bridge):
    address = f"/structures/{bridge.pk}/edit/"
    assert office.post(address, page_values(office, address)).status_code == 302
    bridge.refresh_from_db()
    assert bridge.hand_entered == [] and not bridge.events.exists(), "an unchanged page changes nothing"
    office.post(address, page_values(office, address) | {"road_name": "Plover Lane"})
    bridge.refresh_from_db()
    assert bridge.hand_entered == ["road_name"] and bridge.revision == 0
    office.post(address, page_values(office, address) | {"roadway_width_ft": "17"})
    bridge.refresh_from_db()
    assert bridge.hand_entered == ["road_name", "roadway_width_ft"]
    assert bridge.revision == 1, "the roadway width bears on the rating"
    detail = bridge.events.first().detail
    assert detail["before"] == {"roadway_width_ft": 18.0} and detail["after"] == {"roadway_width_ft": 17.0}


def test_an_old_page_is_refused_and_names_who_changed_it(county, bridge):
    address = f"/structures/{bridge.pk}/edit/"
    first, second = county.client("office"), county.client("engineer")
    stale = page_values(first, address)
    assert second.post(address, page_values(second, address) | {"road_name": "Plover Lane"}).status_code == 302
    response = first.post(address, stale | {"feature_crossed": "Alder Run"})
    assert response.status_code == 422
    assert "engineer-001 changed Q-1" in words(response) and "nothing of yours was saved" in words(response)
    assert 'value="Alder Run"' in words(response)
    bridge.refresh_from_db()
    assert (bridge.road_name, bridge.feature_crossed) == ("Plover Lane", "Sedge Creek")
    # and again with the same old page: still refused
    assert first.post(address, stale | {"feature_crossed": "Alder Run"}).status_code == 422
    # a page without its stamp is an old page too
    assert first.post(address, {k: v for k, v in stale.items() if k != "stamp"}).status_code == 422


EDITORS, WORKERS = {"office", "engineer", "administrator"}, {"crew", "supervisor", "engineer", "office"}


@pytest.mark.parametrize("role", ["office", "inspector", "crew", "supervisor", "engineer", "administrator", "reviewer"])
def test_who_may_enter_what(county, bridge, role):
    client = county.client(role)
    span = bridge.spans.get()
    member = span.members.get()
    for tail in (
        "edit/",
        "spans/new/",
        f"spans/{span.pk}/",
        f"spans/{span.pk}/members/new/",
        f"spans/{span.pk}/members/{member.pk}/",
        f"spans/{span.pk}/bars/",
        "record/surfacing/",
        "record/railing/",
    ):
        expected = 200 if role in EDITORS else 403
        assert client.get(f"/structures/{bridge.pk}/{tail}").status_code == expected, tail
        if expected == 403:
            assert client.post(f"/structures/{bridge.pk}/{tail}", {}).status_code == 403
    for tail in ("record/work/", "record/treatment/"):
        assert client.get(f"/structures/{bridge.pk}/{tail}").status_code == (200 if role in WORKERS else 403)
    assert client.get("/structures/new/").status_code == (200 if role in EDITORS else 403)
    assert client.get("/structures/").status_code == 200
    removal = client.post(f"/structures/{bridge.pk}/spans/{span.pk}/members/{member.pk}/remove/", {"stamp": "old"})
    assert removal.status_code == (302 if role in EDITORS else 403)
    assert MemberGroup.objects.filter(pk=member.pk).exists()


def test_another_countys_structure_cannot_be_entered_into(bridge):
    stranger = make_county("Marrow County", "003").client("office")
    for tail in ("edit/", "spans/new/", "record/work/"):
        assert stranger.get(f"/structures/{bridge.pk}/{tail}").status_code == 404


def test_a_span_of_one_structure_is_not_reached_through_another(office, county, bridge):
    other = make_stringer_bridge(county.agency, "Q-2")
    assert office.get(f"/structures/{other.pk}/spans/{bridge.spans.get().pk}/").status_code == 404


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        ({"length_ft": "0", "index": "2"}, "The span must be above 0 to 500 ft; 0 was entered."),
        ({"length_ft": "-4", "index": "2"}, "-4 was entered"),
        ({"index": "1"}, "Span 1 is already entered"),
        ({"index": "0"}, "The span&#x27;s number must be from 1"),
        ({"deck_thickness_in": "-2", "index": "2"}, "The deck thickness must be above 0"),
    ],
)
def test_refused_spans(office, bridge, entry, sentence):
    address = f"/structures/{bridge.pk}/spans/new/"
    response = office.post(address, SPAN | {"stamp": page_values(office, address)["stamp"]} | entry)
    assert response.status_code == 422 and sentence in words(response)
    bridge.refresh_from_db()
    assert bridge.spans.count() == 1 and bridge.revision == 0 and not bridge.events.exists()


def test_span_members_and_bars_in_the_order_an_office_enters_them(office, county):
    bridge = Structure.objects.create(agency=county.agency, number="Q-9", deck_width_ft=20, roadway_width_ft=18)
    address = f"/structures/{bridge.pk}/spans/new/"
    office.post(address, SPAN | {"stamp": page_values(office, address)["stamp"]})
    span = Span.objects.get(structure=bridge)
    address = f"/structures/{bridge.pk}/spans/{span.pk}/members/new/"
    lamination = MEMBER | {"role": "lamination", "count": "160", "width_in": "1.5", "depth_in": "12", "spacing_ft": ""}
    office.post(address, lamination | {"stamp": page_values(office, address)["stamp"]})
    address = f"/structures/{bridge.pk}/spans/{span.pk}/bars/"
    response = office.post(address, BARS | {"unusable": "4", "stamp": page_values(office, address)["stamp"]})
    assert response.status_code == 302
    # six bars from 2 ft at 48 in: 2, 6, 10, 14, 18, 22 ft
    assert list(Bar.objects.values_list("station_ft", flat=True)) == [2, 6, 10, 14, 18, 22]
    assert [bar.number for bar in Bar.objects.filter(is_usable=False)] == [4]
    bridge.refresh_from_db()
    assert bridge.revision == 3
    page = office.get(f"/structures/{bridge.pk}/").content.decode()
    assert page.count('class="lamination"') == 160
    # closer bars keep their rows; fewer bars are refused
    kept = set(Bar.objects.values_list("pk", flat=True))
    again = page_values(office, address) | {"spacing_in": "36", "bar_count": "8"}
    assert office.post(address, again).status_code == 302
    assert kept < set(Bar.objects.values_list("pk", flat=True)) and Bar.objects.count() == 8
    plates = {"plate_thickness_in": "1.25", "nut_plate_in": "4", "plate_yield_ksi": "36", "channel_height_in": "12"}
    assert office.post(address, page_values(office, address) | plates).status_code == 302
    assert StressingSystem.objects.filter(plate_thickness_in=1.25, nut_plate_in=4, plate_yield_ksi=36).exists()
    fewer = office.post(address, page_values(office, address) | {"bar_count": "5"})
    assert fewer.status_code == 422 and "8 bars are on record" in words(fewer)
    assert Bar.objects.count() == 8


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        ({"bar_count": "0"}, "The number of bars must be from 1"),
        ({"bar_count": "40"}, "beyond the span of 24 ft"),
        ({"spacing_in": "0"}, "The bar spacing must be above 0"),
        ({"unusable": "9"}, "There is no bar 9"),
        ({"unusable": "four"}, "Write the numbers of the bars"),
        # a bar of 1 in has pi/4 = 0.785 in2 of steel at the most
        ({"bar_area_in2": "1.5"}, "at most 0.79 in2"),
        ({"design_force_lb": "43000"}, "Say where the design force comes from"),
    ],
)
def test_refused_bars(office, bridge, entry, sentence):
    span = bridge.spans.get()
    span.system, span.length_ft = "stress_laminated", 24
    span.save()
    address = f"/structures/{bridge.pk}/spans/{span.pk}/bars/"
    response = office.post(address, BARS | {"stamp": page_values(office, address)["stamp"]} | entry)
    assert response.status_code == 422 and sentence in words(response)
    assert not Bar.objects.exists() and not bridge.events.exists()


def test_bars_are_refused_on_a_span_without_bars(office, bridge):
    address = f"/structures/{bridge.pk}/spans/{bridge.spans.get().pk}/bars/"
    response = office.post(address, BARS | {"bar_count": "4", "stamp": page_values(office, address)["stamp"]})
    assert response.status_code == 422 and "has no bars" in words(response)


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        ({"count": "0"}, "The count must be from 1 to 2000; 0 was entered."),
        ({"width_in": "-6"}, "The width must be above 0"),
        ({"depth_in": "0"}, "The depth must be above 0"),
        ({"spacing_ft": "0"}, "The spacing must be above 0"),
        # 1 ft + 19 spaces of 2 ft = 39 ft on a deck of 20 ft
        ({"count": "20"}, "reach 39.0 ft across, but the deck is 20 ft wide"),
        ({"fb_psi": "1350"}, "Say where the design values come from"),
    ],
)
def test_refused_members(office, bridge, entry, sentence):
    address = f"/structures/{bridge.pk}/spans/{bridge.spans.get().pk}/members/new/"
    response = office.post(address, MEMBER | {"stamp": page_values(office, address)["stamp"]} | entry)
    assert response.status_code == 422 and sentence in words(response)
    assert MemberGroup.objects.count() == 1 and not bridge.events.exists()


def test_a_member_and_a_span_can_be_taken_out_but_not_from_an_old_page(office, bridge):
    span = bridge.spans.get()
    member = span.members.get()
    address = f"/structures/{bridge.pk}/spans/{span.pk}/members/{member.pk}/"
    stamp = page_values(office, address)["stamp"]
    office.post(address + "remove/", {"stamp": stamp})
    assert not MemberGroup.objects.exists()
    office.post(f"/structures/{bridge.pk}/spans/{span.pk}/remove/", {"stamp": stamp})
    assert Span.objects.exists(), "the first removal changed the structure, so the page is old"
    stamp = page_values(office, f"/structures/{bridge.pk}/spans/{span.pk}/")["stamp"]
    office.post(f"/structures/{bridge.pk}/spans/{span.pk}/remove/", {"stamp": stamp})
    assert not Span.objects.exists()
    assert office.get(f"/structures/{bridge.pk}/").status_code == 200
    assert [event.verb for event in bridge.events.order_by("id")] == ["remove_member", "remove_span"]


def test_surfacing_is_laid_and_removed_and_stays_in_the_history(office, bridge):
    address = f"/structures/{bridge.pk}/record/surfacing/"
    assert office.post(address, LAYER).status_code == 302
    twice = office.post(address, LAYER)
    assert twice.status_code == 422 and "already on record" in words(twice)
    layer = SurfacingLayer.objects.get()
    bridge.refresh_from_db()
    assert bridge.revision == 1 and bridge.standing.surface_material == "asphalt"
    removal = f"/structures/{bridge.pk}/surfacing/{layer.pk}/remove/"
    early = office.post(removal, {"removed_on": "2019-01-01"})
    assert early.status_code == 422 and "cannot be removed before that" in words(early)
    late = office.post(removal, {"removed_on": "2999-01-01"})
    assert late.status_code == 422 and "lies after today" in words(late)
    assert office.post(removal, {"removed_on": "2024-05-05"}).status_code == 302
    layer.refresh_from_db()
    assert layer.removed_on == date(2024, 5, 5)
    assert "already recorded as removed" in words(office.post(removal, {"removed_on": "2024-05-06"}))
    page = words(office.get(f"/structures/{bridge.pk}/"))
    assert "Taken off" in page and "No surfacing is on record" in page


@pytest.mark.parametrize(
    "entry", [{"thickness_in": "-1"}, {"thickness_in": "90"}, {"unit_weight_pcf": "0"}, {"laid_on": "2999-01-01"}]
)
def test_refused_layers(office, bridge, entry):
    assert office.post(f"/structures/{bridge.pk}/record/surfacing/", LAYER | entry).status_code == 422
    assert not SurfacingLayer.objects.exists() and not bridge.events.exists()


def test_crew_records_work_and_treatment(county, bridge):
    crew = county.client("crew")
    work = {"kind": "repair", "done_on": "2025-09-01", "summary": "Two stringers sistered", "crew": "Crew 2"}
    assert crew.post(f"/structures/{bridge.pk}/record/work/", work).status_code == 302
    treatment = {"part": "deck", "kind": "surface", "preservative": "copper_naphthenate", "treated_on": "2025-09-02"}
    assert crew.post(f"/structures/{bridge.pk}/record/treatment/", treatment).status_code == 302
    done = Work.objects.get()
    assert (done.crew, done.by) == ("Crew 2", county.people["crew"]) and Treatment.objects.count() == 1
    page = words(crew.get(f"/structures/{bridge.pk}/"))
    assert "Two stringers sistered" in page and "Copper naphthenate" in page
    assert crew.get(f"/structures/{bridge.pk}/record/else/").status_code == 404


def test_the_page_of_every_state_of_a_record_opens(office, county):
    """From a bare record to a full one, the page says what is missing and never breaks."""
    bare = Structure.objects.create(agency=county.agency, number="Q-0")
    page = words(office.get(f"/structures/{bare.pk}/"))
    assert "No span is on record" in page and "No span is entered" in page
    hostile = make_stringer_bridge(county.agency, "Q-3", name="<script>alert(1)</script>", notes="<b>bold</b>")
    page = office.get(f"/structures/{hostile.pk}/").content.decode()
    assert "<script>alert" not in page and "<b>bold" not in page
