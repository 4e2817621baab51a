"""What a device takes along: whole, fresh, its own county's only; a tap on a drawing can be told in feet."""

import re
from xml.etree import ElementTree

import pytest
from django.utils import timezone

from inspections.actions import receive
from inspections.models import FieldDay, FieldStop
from inventory.drawings.from_rows import shape_of
from inventory.drawings.section import centres
from inventory.models import EmergencyContact
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.field_records import jpeg, send_photo
from tests.makers.inspected import bar_readings, decay, draft, make_stressed_deck, rated
from tests.makers.plan import in_days, owed


def pack(client, structure):
    answer = client.get(f"/field/packs/{structure.pk}/")
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_whoami_names_the_person_and_whom_to_call(county, inspector):
    EmergencyContact.objects.create(agency=county.agency, role="sheriff", name="Sheriff", phone="555 0100")
    told = inspector.get("/field/whoami/").json()
    assert told["person"]["id"] == county.people["inspector"].pk and told["csrf"] and told["table_version"]
    assert told["agencies"][0]["contacts"][0]["phone"] == "555 0100"
    assert abs((timezone.now() - timezone.datetime.fromisoformat(told["server_time"])).total_seconds()) < 60


@pytest.mark.parametrize(
    "path", ["whoami/", "packs/", "packs/1/", "table/", "photos/" + "0" * 8 + "-0000-4000-8000-" + "0" * 12 + "/"]
)
def test_a_stranger_gets_json_never_a_page(client, db, path):
    answer = client.get(f"/field/{path}")
    assert answer.status_code == 401 and answer.json() == {"signed_in": False}


def test_offers_hold_the_days_and_no_other_county(county, inspector, bridge):
    make_stringer_bridge(make_county("Marrow County", "003").agency, number="LEAK-1")
    today = timezone.localdate()
    day = FieldDay.objects.create(
        agency=county.agency, on=today, made_at=timezone.now(), leader=county.people["engineer"]
    )
    FieldStop.objects.create(day=day, structure=bridge)
    told = inspector.get("/field/packs/").json()
    assert [row["number"] for row in told["structures"]] == [bridge.number]
    assert told["structures"][0]["on_days"] == [today.isoformat()]
    assert told["days"][0]["stops"] == [bridge.pk] and told["days"][0]["leader"]


def test_what_is_late_says_so_where_it_is_taken_along(county, inspector, bridge):
    """Routine inspection: out of compliance after its tolerance (23 CFR 650.311(e) [memory])."""
    owed(bridge, on=in_days(-100), late_after=in_days(-8))
    owed(bridge, kind="bar_check", on=in_days(40))
    (row,) = inspector.get("/field/packs/").json()["structures"]
    late, ahead = row["due"]
    assert late["words"].endswith("out of compliance, late 100 days") and "late" not in ahead["words"]


def test_a_pack_holds_what_stands_and_what_is_asked(county, inspector, bridge, now):
    by = county.people["inspector"]
    before = rated(bridge, by, now, [decay(bridge)])
    sent_back = draft(bridge, by, now, [decay(bridge, depth_in=2.0)])
    sent_back.state, sent_back.review_reason = "sent_back", "Photo wanted"
    sent_back.asked = [{"finding": "", "field": "photo", "words": "Photo of the cap", "answered": False}]
    sent_back.save()
    made = pack(inspector, bridge)
    stands = {row["identity"]: row for row in made["findings"]}
    first = before.findings.get()
    assert stands[str(first.identity)]["depth_in"] == 1.0 and "Decay on a face" in stands[str(first.identity)]["words"]
    assert made["ratings"]["superstructure"]["rating"] == "6"
    assert [row["asked"][0]["words"] for row in made["drafts"]] == ["Photo of the cap"]
    assert made["drafts"][0]["findings"][0]["depth_in"] == 2.0
    assert made["spans"][0]["members"][0]["count"] == 10
    assert any("telephone" in sentence for sentence in made["missing"])


def test_a_pack_unchanged_is_not_sent_again(inspector, bridge, county, now):
    first = inspector.get(f"/field/packs/{bridge.pk}/")
    same = inspector.get(f"/field/packs/{bridge.pk}/", headers={"If-None-Match": first["ETag"]})
    assert same.status_code == 304 and not same.content
    receive.open_inspection(structure=bridge, kind="damage", by=county.people["inspector"], at=now)
    changed = inspector.get(f"/field/packs/{bridge.pk}/", headers={"If-None-Match": first["ETag"]})
    assert changed.status_code == 200 and changed.json()["version"] != first.json()["version"]


def scale(svg: str) -> tuple[float, float, float]:
    root = ElementTree.fromstring(svg)
    return tuple(float(root.get(name)) for name in ("data-x0", "data-px-per-ft", "data-reach-ft"))


def test_a_tap_on_the_elevation_is_a_station(inspector, county, now):
    """The bars of worked example D3 are at 2, 6, 10 ... ft: each drawn dot must say so by the drawing's own scale."""
    deck = make_stressed_deck(county.agency)
    rated(deck, county.people["inspector"], now, bar_readings(deck, 40_000.0), kind="bar_check")
    span = pack(inspector, deck)["spans"][0]
    x0, px_per_ft, reach = scale(span["elevation"])
    dots = re.findall(r'<circle[^>]*class="bar"[^>]*>', span["elevation"])
    xs = sorted(float(re.search(r'cx="([\d.]+)"', dot)[1]) for dot in dots)
    assert [round((x - x0) / px_per_ft, 1) for x in xs] == [2.0, 6.0, 10.0, 14.0, 18.0, 22.0]
    assert reach == span["length_ft"] == 24.0
    assert [bar["last_force_lb"] for bar in span["bars"]] == [40_000.0] * 6


def test_a_tap_on_the_section_is_a_place_across(inspector, bridge):
    """Ten stringers from 1 ft at 2 ft centres: the maker's own numbers, against the drawn boxes."""
    span = pack(inspector, bridge)["spans"][0]
    x0, px_per_ft, reach = scale(span["section"])
    boxes = re.findall(r'<rect[^>]*class="stringer"[^>]*>', span["section"])
    found = sorted(
        (float(re.search(r' x="([\d.]+)"', box)[1]) + float(re.search(r'width="([\d.]+)"', box)[1]) / 2 - x0)
        / px_per_ft
        for box in boxes
    )
    assert [round(each, 1) for each in found] == [1.0 + 2.0 * n for n in range(10)]
    member = shape_of(bridge).spans[0].members[0]
    assert found == pytest.approx(centres(member, reach), abs=0.05)


def test_each_span_begins_at_its_own_bearing(inspector, bridge):
    from inventory.models import Span

    Span.objects.create(structure=bridge, index=2, length_ft=30.0, system="sawn_stringer")
    spans = pack(inspector, bridge)["spans"]
    assert [scale(span["elevation"])[2] for span in spans] == [18.0, 30.0]
    keys = [re.search(r'id="([^"]+)-title"', span["elevation"])[1] for span in spans]
    assert len(set(keys)) == 2


def test_photographs_are_named_with_their_findings(inspector, county, bridge, now):
    from uuid import uuid4

    by = county.people["inspector"]
    send_photo(inspector, str(uuid4()), jpeg(41), bridge)
    from inventory.models import Document

    document = Document.objects.get()
    row = rated(bridge, by, now, [decay(bridge, photo=document)])
    made = pack(inspector, bridge)
    assert made["photos"][0]["finding"] == str(row.findings.get().identity)
    assert inspector.get(f"/field/packs/{bridge.pk}/photos/{document.pk}/")["Content-Type"] == "image/jpeg"
    other = make_county("Marrow County", "003").client("inspector")
    assert other.get(f"/field/packs/{bridge.pk}/").status_code == 404
    assert other.get(f"/field/packs/{bridge.pk}/photos/{document.pk}/").status_code == 404


def test_a_pack_says_what_it_could_not_hold(inspector, county):
    from inventory.models import Structure

    bare = Structure.objects.create(agency=county.agency, number="BARE-1", system="unknown")
    made = pack(inspector, bare)
    assert {"span", "place", "rating"} <= {
        word for s in made["missing"] for word in ("span", "place", "rating") if word in s
    }


def test_the_roads_around_come_from_the_maps_room(inspector, county, bridge):
    """A road drawn straight east through the bridge: from west to east it runs at no feet north."""
    import shapely

    from maps.models import Line

    road = shapely.LineString([(-97.6, 46.4), (-97.4, 46.4)])
    Line.objects.create(
        agency=county.agency,
        kind="road",
        name="Heron Road",
        wkb=shapely.to_wkb(road),
        min_lon=-97.6,
        max_lon=-97.4,
        min_lat=46.4,
        max_lat=46.4,
    )
    drawn = pack(inspector, bridge)["map"]
    assert drawn["svg"].startswith("<svg") and "Heron Road" in drawn["svg"] and "<use" not in drawn["svg"]
    (line,) = drawn["lines"]
    east = [x for x, _y in line["points"]]
    assert line["name"] == "Heron Road" and min(east) < -9_000 < 9_000 < max(east)
    assert all(abs(y) < 20 for _x, y in line["points"])
