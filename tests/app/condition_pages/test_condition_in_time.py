"""Change since last time and since ever, on the pages; drawings hold what the rows hold."""

from datetime import date
from xml.etree import ElementTree

import pytest

from inspections.pages.condition_in_time import changes_context, condition_context
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import decay, submitted

pytestmark = [pytest.mark.django_db, pytest.mark.database]
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def three(county, bridge, now):
    """Decay followed through three inspections, growing; a check seen once."""
    by, made, before = county.people["inspector"], [], None
    check = decay(bridge) | {"kind": "check", "face": "left", "depth_in": 0.5, "station_ft": 2.0, "member_number": 2}
    for year, depth, code in ((2022, 0.5, "7"), (2024, 1.0, "6"), (2026, 1.75, "5")):
        found = decay(bridge, depth_in=depth, carries_on=before)
        elements = [
            {
                "number": 117,
                "unit": "ft",
                "total": 180,
                "cs1": 180 - year + 2020,
                "cs2": year - 2020,
                "cs3": 0,
                "cs4": 0,
            }
        ]
        findings = [found, check] if year == 2024 else [found]
        inspection = submitted_with(bridge, by, now, findings, elements, year, code)
        before = inspection.findings.get(kind="surface_decay").identity
        made.append(inspection)
    return made


def submitted_with(bridge, by, now, findings, elements, year, code):
    from inspections.actions import receive

    inspection = receive.open_inspection(structure=bridge, kind="routine", by=by, at=now)
    fields = {"field_completed_on": date(year, 5, 14), "deck_rating": "6", "superstructure_rating": code,
              "substructure_rating": "6"}  # fmt: skip
    inspection = receive.save_draft(
        inspection=inspection, revision=0, fields=fields, findings=findings, elements=elements, by=by, at=now
    )
    return receive.submit_inspection(inspection=inspection, revision=1, by=by, at=now)


def test_ratings_are_steps_over_the_years(bridge, three):
    parts = {part["label"]: part for part in condition_context(bridge, date(2026, 6, 15))["components"]}
    part = parts["Superstructure"]
    assert part["change"] == "down 1 since 2024, down 2 since 2022"
    drawing = ElementTree.fromstring(part["drawing"])
    heights = [float(dot.get("cy")) for dot in drawing.iter(f"{SVG}circle")]
    # One code lower is one ninth of the height lower, twice.
    assert len(heights) == 3 and heights[1] - heights[0] == pytest.approx(heights[2] - heights[1], abs=0.02)
    words = [each.text for each in drawing.iter(f"{SVG}text")]
    assert "now 5 fair" in words and "Good from 7" in words


def test_elements_are_shares_of_their_total(bridge, three):
    (element,) = condition_context(bridge, date(2026, 6, 15))["elements"]
    drawing = ElementTree.fromstring(element["drawing"])
    by_state = {n: [float(box.get("height")) for box in drawing.iter(f"{SVG}rect") if box.get("class") == f"state-{n}"]
                for n in (1, 2, 3)}  # fmt: skip
    whole = [one + two for one, two in zip(by_state[1], by_state[2], strict=True)]
    assert whole == pytest.approx([whole[0]] * 3, abs=0.02) and by_state[3] == []
    # 2, 4 and 6 of 180 ft in state 2.
    assert [two / all_ for two, all_ in zip(by_state[2], whole, strict=True)] == pytest.approx(
        [2 / 180, 4 / 180, 6 / 180], abs=1e-3
    )


def test_a_finding_is_followed_by_its_sizes(bridge, three):
    (trail,) = condition_context(bridge, date(2026, 6, 15))["trails"]
    assert trail["title"] == "Decay on a face, span 1, stringer 4, at 8 ft"
    words = [each.text for each in ElementTree.fromstring(trail["drawings"][0]).iter(f"{SVG}text")]
    assert {"0.5 in", "1 in", "1.75 in"} <= set(words)


def test_what_is_new_grown_and_gone(three):
    at_second = {line["kind"]: line["change"] for line in changes_context(three[1])["changes"]}
    assert at_second == {"Decay on a face": "grown", "Check or shake": "new"}
    at_third = {line["kind"]: line["change"] for line in changes_context(three[2])["changes"]}
    assert at_third == {"Decay on a face": "grown", "Check or shake": "gone"}


def test_pages_show_it_and_a_bare_structure_too(county, bridge, three):
    client = county.client("reviewer")
    page = client.get(f"/structures/{bridge.pk}/condition/").content.decode()
    for words in ("Component ratings", "Element states", "Decay on a face", "117 Timber stringer"):
        assert words in page
    page = client.get(f"/inspections/{three[2].pk}/").content.decode()
    assert "Since last time" in page and "Not seen again" in page and "depth 1 to 1.75 in" in page
    bare = make_stringer_bridge(county.agency, number="Q-9")
    page = client.get(f"/structures/{bare.pk}/condition/").content.decode()
    assert "No component rating is on record." in page


def test_what_only_instruments_saw_is_not_gone_after_a_look_at_the_surface(county, bridge, now):
    by = county.people["inspector"]
    hole = decay(bridge) | {"kind": "internal_void", "face": "", "depth_in": None, "width_in": 2.0, "height_in": 4.0}
    submitted(bridge, by, now, [hole], field_completed_on=date(2024, 5, 14))
    assert changes_context(submitted(bridge, by, now))["changes"] == []
