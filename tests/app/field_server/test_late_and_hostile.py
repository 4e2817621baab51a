"""What comes late, twice, or from somebody who means harm: nothing newer is undone, nothing breaks, nothing is lost."""

import json
from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone

from inspections.actions.channel import save_surveys
from inspections.actions.field import receive_record as receiving
from inspections.models import ChannelSurvey, CriticalFinding, Finding, Inspection, PhotoPlace, Receipt
from inspections.tasks import sweep_receipts
from inventory.models import Document
from tests.makers.field_records import DEVICE, finding_row, inspection_record, jpeg, send, send_photo, sent

OTHER_DEVICE = "00000000-0000-4000-8000-0000000000ff"


def draft(record, **changed):
    return record | {"record": str(uuid4()), "inspection": record["inspection"] | {"submit": False}} | changed


def bring(county, works):
    head = {"spanledger_field_export": 1, "device": DEVICE, "made_at": "2026-06-15T12:00:00Z", "person": None}
    file = SimpleUploadedFile("unsent.json", json.dumps(head | {"works": works, "photos": []}).encode())
    return county.client("office").post("/field/held/bring/", {"file": file})


def test_a_file_brought_late_undoes_nothing_the_device_sent_since(bridge, inspector, county):
    early, late = (timezone.now() - timedelta(hours=hours) for hours in (5, 1))
    first = draft(inspection_record(bridge, findings=[finding_row(bridge)], made_at=early.isoformat()))
    newer = draft(first, made_at=late.isoformat())
    newer["findings"] = [*first["findings"], finding_row(bridge, station_ft=3.0)]
    sent(inspector, newer)
    assert bring(county, [first]).status_code == 200
    assert Finding.objects.count() == 2
    held = Receipt.objects.get(identity=first["record"])
    assert (held.state, held.held_for) == ("held", "meeting")


def test_the_same_device_going_on_is_no_meeting(bridge, inspector):
    first = draft(inspection_record(bridge, findings=[finding_row(bridge)]))
    sent(inspector, first)
    newer = draft(first, made_at=timezone.now().isoformat())
    newer["findings"] = [*first["findings"], finding_row(bridge, station_ft=3.0)]
    assert sent(inspector, newer)["state"] == "filed"
    assert Finding.objects.count() == 2


def soundings(*depths, section=None):
    points = [[10.0 * place, depth] for place, depth in enumerate(depths, start=1)]
    name = {} if section else {"name": "upstream face", "datum": "top of rail"}
    return {"section": section, "points": points, "water_ft": None, "method": "", "note": ""} | name


def test_soundings_of_two_meet_like_findings(bridge, inspector):
    base = draft(inspection_record(bridge, channel=[soundings(5.0, 6.0, 5.5)]))
    revision = sent(inspector, base)["inspection"]["revision"]
    section = ChannelSurvey.objects.get().section_id
    base["inspection"]["base_revision"] = revision
    theirs = draft(base, device=OTHER_DEVICE, channel=[soundings(5.0, 7.0, 5.5, section=section)])
    sent(inspector, theirs)
    mine = draft(base, channel=[soundings(5.0, 8.0, 5.5, section=section)])
    answer = sent(inspector, mine)
    assert (answer["state"], answer["held_for"]) == ("held", "meeting")
    assert [(row["part"], row["by"]) for row in answer["differs"]] == [("channel", "both")]
    choice = {"record": answer["record"], "choice": "both"}
    visit = mine["inspection"] | {"base_revision": answer["theirs"]["inspection"]["revision"]}
    assert sent(inspector, mine | {"record": str(uuid4()), "resolves": choice, "inspection": visit})["state"] == "filed"
    assert ChannelSurvey.objects.get().points == [[10.0, 5.0], [20.0, 8.0], [30.0, 5.5]]
    assert "20 ft: 7 ft" in Inspection.objects.get().notes


def test_soundings_typed_at_the_office_meanwhile_are_met(bridge, inspector, county):
    base = draft(inspection_record(bridge, channel=[soundings(5.0, 6.0, 5.5)]))
    revision = sent(inspector, base)["inspection"]["revision"]
    section = ChannelSurvey.objects.get().section_id
    row = soundings(5.0, 7.0, 5.5, section=section)
    who = county.people["inspector"]
    save_surveys(inspection=Inspection.objects.get(), rows=[row], by=who, at=timezone.now())
    mine = draft(base, channel=[soundings(5.0, 8.0, 5.5, section=section)])
    mine["inspection"]["base_revision"] = revision
    assert sent(inspector, mine)["held_for"] == "meeting"
    assert ChannelSurvey.objects.get().points == [[10.0, 5.0], [20.0, 7.0], [30.0, 5.5]]


def test_soundings_after_the_handing_in_are_held_not_thrown_away(bridge, inspector):
    record = inspection_record(bridge, findings=[finding_row(bridge)])
    assert sent(inspector, record)["inspection"]["state"] == "submitted"
    more = record | {"record": str(uuid4()), "channel": [soundings(5.0, 6.0, 5.5)]}
    assert sent(inspector, more)["state"] == "held"


def test_a_number_without_end_gets_a_sentence(bridge, inspector, county):
    """RFC 8259 section 6 sets no limit to a number; 1e400 is beyond an IEEE 754 double."""
    text = json.dumps(inspection_record(bridge)).replace('"format": 1', '"format": 1, "depth": 1e400')
    answer = inspector.post("/field/records/", text, content_type="application/json")
    assert answer.status_code == 400 and "beyond any measurement" in answer.json()["sentences"][0]
    head = '{"spanledger_field_export": 1, "works": [' + text + "]}"
    file = SimpleUploadedFile("unsent.json", head.encode())
    told = county.client("office").post("/field/held/bring/", {"file": file})
    assert told.status_code == 200 and b"beyond any measurement" in told.content


def test_a_brought_record_nested_without_end_gets_a_sentence(bridge, county):
    deep = []
    for _level in range(300):
        deep = [deep]
    told = bring(county, [inspection_record(bridge, more=deep), draft(inspection_record(bridge))])
    assert b"nested" in told.content
    assert Receipt.objects.count() == 1


@pytest.mark.parametrize("stamp", ["0001-01-01T00:00:00Z", "1970-01-01T00:00:05Z", "9999-12-31T23:59:59Z"])
def test_a_critical_finding_of_an_impossible_hour_counts_from_its_receiving(bridge, inspector, county, stamp):
    critical = {
        "identity": str(uuid4()),
        "kind": "threat",
        "words": "a stringer is broken",
        "found_at": stamp,
        "notices": [{"whom": "Sheriff", "role": "sheriff", "how": "call", "told_at": stamp}],
    }
    record = {name: value for name, value in inspection_record(bridge).items() if name != "inspection"}
    sent(inspector, record | {"kind": "critical", "critical": critical})
    found = CriticalFinding.objects.get()
    assert found.found_at == found.received_at
    assert found.notices.get().told_at == found.received_at
    assert county.client("reviewer").get(f"/critical/{found.pk}/").status_code in (200, 404)


def test_what_the_site_cannot_file_is_shown_to_a_person_in_the_end(bridge, inspector, monkeypatch):
    def fails(_filing):
        raise RuntimeError("a fault of the site")

    monkeypatch.setitem(receiving.FILERS, "inspection", fails)
    record = inspection_record(bridge)
    assert sent(inspector, record)["state"] == "kept"
    sweep_receipts()
    assert Receipt.objects.get().state == "kept"
    Receipt.objects.update(received_at=timezone.now() - receiving.TRIED_FOR - timedelta(minutes=6))
    sweep_receipts()
    assert (Receipt.objects.get().state, Receipt.objects.get().held_for) == ("held", "refused")


def test_one_who_left_the_agency_leaves_drafts_only(bridge, inspector):
    gone = {"id": 999_999, "name": "Somebody who left"}
    answer = sent(inspector, inspection_record(bridge, findings=[finding_row(bridge)], made_by=gone))
    assert (answer["state"], answer["inspection"]["state"]) == ("filed", "draft")


def test_a_photograph_that_crossed_with_its_record_is_linked_by_the_sweep(bridge, inspector):
    identity, data, finding = str(uuid4()), jpeg(31), finding_row(bridge)
    sent(
        inspector,
        inspection_record(
            bridge, findings=[finding], photos=[{"identity": identity, "finding": finding["identity"], "caption": ""}]
        ),
    )
    send_photo(inspector, identity, data, bridge)
    # As if neither transaction had seen the other.
    PhotoPlace.objects.update(linked_at=None)
    Finding.objects.update(photo=None)
    sweep_receipts()
    assert PhotoPlace.objects.get().linked_at is not None and Finding.objects.get().photo is not None


def test_a_stale_token_on_the_office_page_is_a_page(county):
    office = Client(enforce_csrf_checks=True)
    office.force_login(county.people["office"])
    answer = office.post("/field/held/bring/", {})
    assert answer.status_code == 403 and "html" in answer["Content-Type"]
    assert send(office, {}).json() == {"csrf": True}


def test_a_record_held_for_its_form_does_not_hold_up_the_next(bridge, inspector):
    assert sent(inspector, inspection_record(bridge, inspection="nothing readable"))["held_for"] == "format"
    assert sent(inspector, inspection_record(bridge))["state"] == "filed"


def test_no_cache_keeps_the_pictures_of_a_pack(bridge, inspector):
    send_photo(inspector, str(uuid4()), jpeg(32), bridge)
    answer = inspector.get(f"/field/packs/{bridge.pk}/photos/{Document.objects.get().pk}/")
    assert answer.status_code == 200 and "no-store" in answer["Cache-Control"]


@pytest.mark.parametrize("number", [40_000, 2**31 - 1, -1, "31"])
def test_an_element_number_that_is_none_is_held_in_either_database(bridge, inspector, number):
    """PostgreSQL keeps it in 16 bits; SQLite would take anything."""
    row = {"number": number, "unit": "ft2", "total": 10, "cs1": 10, "cs2": 0, "cs3": 0, "cs4": 0, "note": ""}
    answer = sent(inspector, inspection_record(bridge, elements=[row]))
    assert (answer["state"], answer["held_for"]) == ("held", "format")
