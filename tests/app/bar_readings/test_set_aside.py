"""Bars pitted, bent or not identified: set aside by anyone who works, released by the engineer only, with a reason."""

import re
from datetime import date, timedelta

import pytest
from django.utils import timezone

from inspections.actions.receive import open_inspection, save_draft, submit_inspection
from inspections.queries.bars import bars_set_aside
from inventory.actions.bar_state import release_bar, set_aside_bar
from inventory.actions.edit_members import save_bars
from inventory.actions.hold import stamp_of
from inventory.models import Bar, Event
from inventory.rules.refusals import Refused, Stale
from tests.app.inspection_pages.stressed import make_stressed_bridge
from tests.makers.county import make_county

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def bridge(county):
    return make_stressed_bridge(county.agency)


@pytest.fixture
def bar(bridge):
    return Bar.objects.get(system__span__structure=bridge, number=4)


@pytest.fixture
def found(county, bridge, bar, now):
    """A special inspection that found the bar pitted; `found(on, at)` hands it in."""

    def hand_in(on=date(2026, 6, 10), at=now, kind="special", rows=None):
        by = county.people["inspector"]
        row = {"kind": "bar_defect", "span_index": 1, "bar": bar, "note": "pitted at the left plate"}
        draft = open_inspection(structure=bridge, kind=kind, by=by, at=at)
        draft = save_draft(
            inspection=draft,
            revision=draft.revision,
            fields={"field_completed_on": on},
            findings=[row] if rows is None else rows,
            elements=[],
            by=by,
            at=at,
        )
        return submit_inspection(inspection=draft, revision=draft.revision, by=by, at=at)

    return hand_in


def opened(client, address):
    """The stamp of a page as a browser would send it back."""
    return re.search(r'name="stamp" value="([^"]+)"', client.get(address).content.decode())[1]


def aside(bar):
    return bars_set_aside(bar.system)


def let_go(bar, county, at, reason="cleaned, net area measured, 0.83 in2"):
    bridge = bar.system.span.structure
    bridge.refresh_from_db()
    return release_bar(bar=bar, stamp=stamp_of(bridge), reason=reason, by=county.people["engineer"], at=at)


def test_set_aside_and_released_by_pages(county, bridge, bar):
    page = f"/structures/{bridge.pk}/bars/{bar.pk}"
    crew, engineer = county.client("crew"), county.client("engineer")
    assert crew.post(f"{page}/aside/", {"set_aside_reason": " ", "stamp": stamp_of(bridge)}).status_code == 422
    assert crew.post(f"{page}/aside/", {"set_aside_reason": "bent", "stamp": stamp_of(bridge)}).status_code == 302
    bar.refresh_from_db()
    assert not bar.is_usable and "bent" in aside(bar)[bar.pk]
    assert "bent" in engineer.get(f"/structures/{bridge.pk}/").content.decode()
    bridge.refresh_from_db()
    stamp = opened(engineer, f"{page}/release/")
    assert crew.post(f"{page}/release/", {"release_reason": "fine", "stamp": stamp}).status_code == 403
    assert engineer.post(f"{page}/release/", {"release_reason": "", "stamp": stamp}).status_code == 422
    assert engineer.post(f"{page}/release/", {"release_reason": "replaced", "stamp": stamp}).status_code == 302
    bar.refresh_from_db()
    assert bar.is_usable and bar.released_by == county.people["engineer"] and bar.release_reason == "replaced"
    assert aside(bar) == {}
    assert {event.detail["bar"] for event in Event.objects.filter(verb__in=("set_aside_bar", "release_bar"))} == {
        bar.pk
    }


def test_only_the_engineer_releases(county, bridge, bar, now):
    for role in ("office", "inspector", "crew", "supervisor", "administrator", "reviewer"):
        with pytest.raises(Refused):
            release_bar(bar=bar, stamp=stamp_of(bridge), reason="fine", by=county.people[role], at=now)


def test_a_stale_page_releases_nothing(county, bridge, bar, now):
    old = stamp_of(bridge)
    set_aside_bar(bar=bar, stamp=old, reason="pitted", by=county.people["crew"], at=now)
    with pytest.raises(Stale):
        release_bar(bar=bar, stamp=old, reason="fine", by=county.people["engineer"], at=now)
    assert bar.pk in aside(bar)


def test_the_office_cannot_release_by_leaving_the_bar_off_its_list(county, bridge, bar, now):
    set_aside_bar(bar=bar, stamp=stamp_of(bridge), reason="pitted", by=county.people["crew"], at=now)
    bridge.refresh_from_db()
    fields = {
        "bar_diameter_in": 1.0,
        "bar_area_in2": 0.85,
        "bar_grade": "ASTM A722, 150 ksi",
        "fpu_ksi": 150.0,
        "spacing_in": 36.0,
        "stressed_depth_in": 14.0,
        "bar_count": 10,
        "first_station_ft": 1.5,
        "level": "mid",
    }
    span = bridge.spans.get()
    for role in ("office", "engineer"):
        with pytest.raises(Refused, match="set aside"):
            save_bars(
                span=span,
                stamp=stamp_of(bridge),
                fields=fields | {"unusable": frozenset()},
                by=county.people[role],
                at=now,
            )
    save_bars(
        span=span,
        stamp=stamp_of(bridge),
        fields=fields | {"unusable": frozenset({4, 9})},
        by=county.people["office"],
        at=now,
    )
    assert "pitted" in aside(bar)[bar.pk] and len(aside(bar)) == 2


def test_a_finding_sets_the_bar_aside_until_it_is_released(county, bar, found, now):
    found()
    assert "pitted at the left plate" in aside(bar)[bar.pk] and "10 Jun 2026" in aside(bar)[bar.pk]
    let_go(bar, county, now + timedelta(hours=1))
    assert aside(bar) == {}


def test_a_look_that_says_nothing_of_the_bar_releases_nothing(county, bar, found, now):
    found()
    reading = {"kind": "bar_force", "bar": bar, "force_method": "load_cell", "force_lb": 40_000.0}
    found(on=date(2026, 6, 12), kind="bar_check", rows=[reading])
    assert bar.pk in aside(bar)


def test_found_again_after_the_release(county, bar, found, now):
    found()
    let_go(bar, county, now + timedelta(hours=1))
    found(on=date(2026, 6, 15), at=now + timedelta(days=1))
    assert bar.pk in aside(bar)


def test_handed_in_after_the_release_counts_though_seen_before(county, bar, found, now):
    """The engineer cannot have known of it."""
    let_go(bar, county, now)
    found(on=date(2026, 6, 1), at=now + timedelta(days=1))
    assert bar.pk in aside(bar)


def test_a_broken_bar_is_not_jacked(county, bridge, bar, found):
    member = bridge.spans.get().members.get()
    broken = {"kind": "broken", "span_index": 1, "member": member, "member_number": 3, "bar": bar, "note": "no photo"}
    found(rows=[broken])
    assert "broken" in aside(bar)[bar.pk]


def test_a_defect_needs_a_photo_or_a_note(county, bar, found):
    with pytest.raises(Exception, match="photo, or a note"):
        found(rows=[{"kind": "bar_defect", "span_index": 1, "bar": bar}])
    with pytest.raises(Exception, match="the bar"):
        found(rows=[{"kind": "bar_defect", "span_index": 1, "note": "pitted"}])


def test_the_engineer_reads_what_was_found_and_nothing_found_since_is_released_unseen(county, bridge, bar, found):
    engineer, address = county.client("engineer"), f"/structures/{bridge.pk}/bars/{bar.pk}/release/"
    on, at = timezone.localdate() - timedelta(days=2), timezone.now() - timedelta(hours=1)
    found(on=on, at=at)
    assert "pitted at the left plate" in engineer.get(address).content.decode()
    stamp = opened(engineer, address)
    second = {"kind": "bar_defect", "span_index": 1, "bar": bar, "note": "bent at the right nut"}
    found(on=on, at=at, rows=[second])
    answer = engineer.post(address, {"release_reason": "cleaned", "stamp": stamp})
    page = answer.content.decode()
    assert answer.status_code == 422 and "Something else stands" in page and "bent at the right nut" in page
    assert "cleaned" in page and bar.pk in aside(bar)
    answer = engineer.post(address, {"release_reason": "cleaned, straightened", "stamp": opened(engineer, address)})
    assert answer.status_code == 302 and aside(bar) == {}


def test_another_county_sees_nothing(bridge, bar):
    stranger = make_county("Reed County", "003").client("engineer")
    for act in ("aside", "release"):
        assert stranger.get(f"/structures/{bridge.pk}/bars/{bar.pk}/{act}/").status_code == 404
