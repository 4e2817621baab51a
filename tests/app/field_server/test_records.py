"""Records from the field: kept once, filed or held, never lost. The laws are the contract's own: sent twice is filed
once, and what is answered names what was sent."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from inspections.actions import receive
from inspections.models import Finding, Inspection, InspectionVersion, OwedRating, Receipt
from inventory.models import Event, Membership
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.field_records import DEVICE, finding_row, inspection_record, send, sent


def test_an_inspection_is_filed_and_submitted(bridge, inspector, county):
    record = inspection_record(bridge, findings=[finding_row(bridge)])
    answer = sent(inspector, record)
    assert (answer["state"], answer["already"], answer["sentences"]) == ("filed", False, [])
    row = Inspection.objects.get(identity=record["inspection"]["identity"])
    assert answer["record"] == record["record"]
    assert answer["inspection"] == {
        "identity": str(row.identity),
        "id": row.pk,
        "revision": row.revision,
        "state": "submitted",
    }
    assert row.inspector == county.people["inspector"] and str(row.device) == DEVICE
    assert str(row.findings.get().identity) == record["findings"][0]["identity"]
    assert OwedRating.objects.filter(inspection=row).exists()


def test_the_same_record_again_changes_nothing(bridge, inspector):
    record = inspection_record(bridge, findings=[finding_row(bridge)])
    first = sent(inspector, record)
    again = sent(inspector, record | {"device_now": (timezone.now() + timedelta(minutes=3)).isoformat()})
    assert again == first | {"already": True}
    assert Inspection.objects.count() == Receipt.objects.count() == 1
    asked = inspector.get(f"/field/records/{record['record']}/").json()
    assert asked == again


def test_the_same_identity_with_other_content_is_refused(bridge, inspector):
    record = inspection_record(bridge)
    sent(inspector, record)
    answer = send(inspector, record | {"app_version": "9"})
    assert answer.status_code == 409 and answer.json()["sentences"]
    assert Receipt.objects.count() == 1


def test_missing_evidence_leaves_a_draft_that_says_what(bridge, inspector):
    record = inspection_record(bridge, findings=[finding_row(bridge, depth_in=None)])
    answer = sent(inspector, record)
    assert (answer["state"], answer["inspection"]["state"]) == ("filed", "draft")
    assert any("depth" in sentence for sentence in answer["sentences"])
    assert Finding.objects.count() == 1


def test_what_cannot_be_is_held_with_its_sentence(bridge, inspector):
    record = inspection_record(bridge, findings=[finding_row(bridge, station_ft=80.0)])
    answer = sent(inspector, record)
    assert (answer["state"], answer["held_for"]) == ("held", "refused")
    assert "span" in answer["sentences"][0]
    assert Receipt.objects.get().body["findings"][0]["station_ft"] == 80.0
    assert not Inspection.objects.exists()


def test_put_right_and_sent_again_the_held_one_is_answered(bridge, inspector):
    wrong = finding_row(bridge, station_ft=80.0)
    record = inspection_record(bridge, findings=[wrong])
    sent(inspector, record)
    right = record | {"record": str(uuid4()), "findings": [wrong | {"station_ft": 8.0}]}
    assert sent(inspector, right)["state"] == "filed"
    assert Receipt.objects.get(identity=record["record"]).state == "set_aside"
    assert inspector.get(f"/field/records/{record['record']}/").json()["state"] == "filed"


@pytest.mark.parametrize("day", ["next year", "before it was built", "no date"])
def test_an_impossible_day_keeps_a_draft(bridge, inspector, day):
    today = timezone.localdate()
    on = {
        "next year": today.replace(year=today.year + 1, day=1).isoformat(),
        "before it was built": f"{bridge.year_built - 1}-06-01",
        "no date": "the 5th",
    }[day]
    answer = sent(inspector, inspection_record(bridge, visit={"field_completed_on": on}))
    assert (answer["state"], answer["inspection"]["state"]) == ("filed", "draft")
    assert answer["sentences"]


def test_a_structure_deleted_meanwhile_holds_the_record(bridge, inspector):
    record = inspection_record(bridge)
    bridge.standing.delete()
    bridge.delete()
    answer = sent(inspector, record)
    assert (answer["state"], answer["held_for"]) == ("held", "missing")
    assert bridge.number in answer["sentences"][0]


def test_a_structure_of_another_county_does_not_exist(inspector):
    theirs = make_stringer_bridge(make_county("Marrow County", "003").agency)
    answer = sent(inspector, inspection_record(theirs))
    assert answer["held_for"] == "missing"
    assert Receipt.objects.get().structure is None and not Inspection.objects.exists()


def test_one_who_may_no_longer_inspect_is_held_not_lost(bridge, county):
    Membership.objects.filter(person=county.people["inspector"]).update(role="crew")
    answer = sent(county.client("inspector"), inspection_record(bridge))
    assert (answer["state"], answer["held_for"]) == ("held", "refused")
    assert "enter an inspection" in answer["sentences"][0]


def test_a_disabled_user_is_a_stranger_and_nothing_is_taken(bridge, county):
    client = county.client("inspector")
    county.people["inspector"].is_active = False
    county.people["inspector"].save()
    answer = send(client, inspection_record(bridge))
    assert answer.status_code == 401 and answer.json() == {"signed_in": False}
    assert not Receipt.objects.exists()


@pytest.mark.parametrize("changed", [{"format": 2}, {"kind": "survey"}, {"inspection": []}, {"structure": "x"}])
def test_an_unknown_format_is_held(bridge, inspector, changed):
    answer = sent(inspector, inspection_record(bridge) | changed)
    assert answer["state"] == "held" and answer["held_for"] == "format"
    assert Receipt.objects.count() == 1


def test_a_finding_of_a_newer_app_is_held_not_cut(bridge, inspector):
    answer = sent(inspector, inspection_record(bridge, findings=[finding_row(bridge, grain_in=3)]))
    assert answer["held_for"] == "format" and "grain_in" in answer["sentences"][0]


@pytest.mark.parametrize(
    "raw", [b"", b"[]", b"{", b"\xff\xfe", b'{"record": NaN}', b"[" * 5000, b'{"a": 1' + b"0" * 400 + b"}"]
)
def test_what_is_no_record_gets_a_sentence(inspector, raw):
    answer = inspector.post("/field/records/", raw, content_type="application/json")
    assert answer.status_code == 400 and answer.json()["sentences"]
    assert not Receipt.objects.exists()


def test_too_large_is_said(inspector):
    answer = inspector.post(
        "/field/records/", b'{"a": "' + b"x" * (2 * 1024 * 1024) + b'"}', content_type="application/json"
    )
    assert answer.status_code == 400 and "2 MB" in answer.json()["sentences"][0]
    answer = inspector.post("/field/records/", b"x" * (6 * 1024 * 1024), content_type="application/json")
    assert answer.status_code == 413 and answer.json()["sentences"]


def test_text_no_database_keeps_is_cleaned_not_lost(bridge, inspector):
    record = inspection_record(bridge, visit={"notes": "a\x00b"})
    assert sent(inspector, record)["state"] == "filed"
    assert Inspection.objects.get().notes == "ab"
    assert sent(inspector, record)["already"]


def test_a_stale_token_is_told_in_json(county, bridge):
    client = Client(enforce_csrf_checks=True)
    assert send(client, inspection_record(bridge)).status_code == 401
    client.force_login(county.people["inspector"])
    answer = send(client, inspection_record(bridge))
    assert answer.status_code == 403 and answer.json() == {"csrf": True}
    token = client.get("/field/whoami/").json()["csrf"]
    assert send(client, inspection_record(bridge), headers={"X-CSRFToken": token}).status_code == 200


def test_a_critical_record_twice_is_one_finding_with_more_words(bridge, county, inspector):
    identity, at = str(uuid4()), timezone.now().isoformat()
    base = inspection_record(bridge) | {
        "kind": "critical",
        "critical": {"identity": identity, "kind": "threat", "words": "", "found_at": at, "notices": []},
    }
    assert sent(inspector, base)["state"] == "filed"
    notice = {"whom": "Sheriff", "role": "sheriff", "how": "call", "told_at": at}
    more = base | {
        "record": str(uuid4()),
        "critical": base["critical"] | {"words": "Stringer broken", "notices": [notice]},
    }
    assert sent(inspector, more)["state"] == "filed"
    from inspections.models import CriticalFinding

    row = CriticalFinding.objects.get()
    assert row.words == "Stringer broken" and row.notices.count() == 1


def test_a_version_is_kept_of_every_save(bridge, county, now):
    by = county.people["inspector"]
    row = receive.open_inspection(structure=bridge, kind="routine", by=by, at=now)
    for revision, team in enumerate(("A", "B")):
        receive.save_draft(
            inspection=row, revision=revision, fields={"team": team}, findings=[], elements=[], by=by, at=now
        )
    versions = InspectionVersion.objects.filter(inspection=row).order_by("revision")
    assert [(each.revision, each.content["inspection"]["team"]) for each in versions] == [(1, "A"), (2, "B")]


def test_made_by_another_stays_a_draft(bridge, county):
    """The office sends what the inspector left on a device: both are named and the inspector looks at it first."""
    person = county.people["inspector"]
    record = inspection_record(bridge, made_by={"id": person.pk, "name": str(person)})
    answer = sent(county.client("engineer"), record)
    row = Inspection.objects.get()
    assert answer["inspection"]["state"] == "draft" and row.inspector == person
    assert Event.objects.filter(verb="save_inspection", by=county.people["engineer"]).exists()


def test_an_unfinished_element_row_is_kept_in_the_notes(bridge, inspector):
    record = inspection_record(bridge)
    record["elements"] = [{"number": 117, "unit": "ft", "total": None, "cs1": 3, "cs2": None, "note": "north end"}]
    answer = sent(inspector, record)
    row = Inspection.objects.get()
    assert (answer["state"], row.state) == ("filed", "draft") and "total" in " ".join(answer["sentences"])
    assert row.notes == "Element 117, total not given: state 1 3, north end."


def test_soundings_come_with_the_record(bridge, inspector):
    record = inspection_record(bridge)
    record["channel"] = [
        {"section": None, "name": "Upstream", "datum": "curb", "points": [[0, 4.0], [5, 6.0], [10, 7.5]]}
    ]
    answer = sent(inspector, record)
    assert answer["state"] == "filed", answer["sentences"]
    assert answer["inspection"]["state"] == "submitted"
    from inspections.models import ChannelSurvey

    assert ChannelSurvey.objects.get().points == [[0.0, 4.0], [5.0, 6.0], [10.0, 7.5]]


def test_a_device_with_a_wrong_clock_keeps_a_draft(bridge, inspector):
    """A year ahead: what the device stamped is not believed, the day is asked for again; put right it goes through."""
    ahead = timezone.now() + timedelta(days=365)
    record = inspection_record(bridge) | {"device_now": ahead.isoformat(), "clock_correction_s": 0}
    answer = sent(inspector, record)
    assert answer["inspection"]["state"] == "draft" and "365 days ahead" in answer["sentences"][0]
    right = record | {"record": str(uuid4()), "clock_correction_s": -365 * 86400}
    assert sent(inspector, right)["inspection"]["state"] == "submitted"


def test_a_critical_finding_of_a_wrong_clock_is_moved_with_a_sentence(bridge, inspector):
    from inspections.models import CriticalFinding

    ahead = timezone.now() + timedelta(days=365)
    record = inspection_record(bridge) | {
        "kind": "critical",
        "device_now": ahead.isoformat(),
        "critical": {
            "identity": str(uuid4()),
            "kind": "threat",
            "words": "",
            "found_at": (ahead - timedelta(hours=2)).isoformat(),
        },
    }
    assert "365 days ahead" in sent(inspector, record)["sentences"][0]
    off = timezone.now() - timedelta(hours=2) - CriticalFinding.objects.get().found_at
    assert abs(off.total_seconds()) < 60


def test_an_older_table_is_said(bridge, inspector):
    answer = sent(inspector, inspection_record(bridge) | {"table_version": "1-old"})
    assert answer["inspection"]["state"] == "submitted" and "evidence table" in answer["sentences"][0]
