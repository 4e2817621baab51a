"""The office settles what is held, and brings files of unsent work."""

import base64
import hashlib
import io
import json
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from inspections.models import Finding, Inspection, Receipt
from inspections.records.field_file import read_export
from inspections.rules.refusals import Refused
from inventory.models import Document, Event, Membership
from tests.makers.field_records import DEVICE, finding_row, inspection_record, jpeg, send_photo, sent

OTHER_DEVICE = "00000000-0000-4000-8000-0000000000ff"


def post(county, receipt, role="office", **fields):
    return county.client(role).post(
        f"/field/held/{receipt.pk}/settle/", {f"r{receipt.pk}-{name}": value for name, value in fields.items()}
    )


def held_meeting(bridge, inspector):
    shared = finding_row(bridge)
    first = inspection_record(bridge, findings=[shared], visit={"submit": False})
    revision = sent(inspector, first)["inspection"]["revision"]
    base = first["inspection"] | {"base_revision": revision}
    sent(inspector, first | {"record": str(uuid4()), "device": OTHER_DEVICE, "inspection": base | {"team": "theirs"}})
    mine = first | {"record": str(uuid4()), "inspection": base | {"weather": "mine"}}
    assert sent(inspector, mine)["held_for"] == "meeting"
    return Receipt.objects.get(identity=mine["record"])


@pytest.mark.parametrize(
    ("choice", "team", "weather", "state"),
    [
        ("mine", "", "mine", "filed"),
        ("theirs", "theirs", "", "set_aside"),
        ("both", "theirs", "mine", "filed"),
        ("set_aside", "theirs", "", "set_aside"),
    ],
)
def test_a_meeting_is_settled(bridge, inspector, county, choice, team, weather, state):
    receipt = held_meeting(bridge, inspector)
    page = county.client("office").get("/field/held/").content.decode()
    assert "Two people changed it" in page and bridge.number in page and "Weather" in page
    assert post(county, receipt, choice=choice, reason="called both").status_code == 302
    row = Inspection.objects.get()
    assert (row.team, row.weather) == (team, weather)
    receipt.refresh_from_db()
    assert (receipt.state, receipt.settled_by) == (state, county.people["office"])
    assert Event.objects.filter(verb="settle_record", by=county.people["office"]).exists()


def test_setting_aside_needs_a_reason_and_keeps_what_was_typed(bridge, inspector, county):
    receipt = held_meeting(bridge, inspector)
    answer = post(county, receipt, choice="set_aside", reason="")
    assert answer.status_code == 409 and b"Give the reason" in answer.content
    assert b"checked" in answer.content
    receipt.refresh_from_db()
    assert receipt.state == "held"


def test_a_record_without_its_structure_gets_one(bridge, inspector, county):
    gone = {"structure": 987_654, "structure_number": "LOST-1"}
    finding, identity = finding_row(bridge), str(uuid4())
    photos = [{"identity": identity, "caption": "rot", "finding": finding["identity"]}]
    record = inspection_record(bridge, findings=[finding], photos=photos) | gone
    assert sent(inspector, record)["held_for"] == "missing"
    assert send_photo(inspector, identity, jpeg(22), None)["state"] == "refused"
    receipt = Receipt.objects.get()
    assert post(county, receipt, choice="mine", number="nowhere").status_code == 200
    assert post(county, receipt, choice="mine", number=bridge.number).status_code == 302
    row = Inspection.objects.get()
    assert (row.structure, row.state, row.inspector) == (bridge, "draft", county.people["inspector"])
    with Document.objects.get().received.open() as kept:
        assert kept.read() == jpeg(22), "the photograph put aside is taken up with its record"
    assert Finding.objects.get().photo == Document.objects.get()


def test_one_who_lost_the_permit_is_filed_by_the_office_as_a_draft(bridge, county):
    Membership.objects.filter(person=county.people["inspector"]).update(role="crew")
    sent(county.client("inspector"), inspection_record(bridge))
    assert post(county, Receipt.objects.get(), choice="mine").status_code == 302
    row = Inspection.objects.get()
    assert (row.state, row.inspector) == ("draft", county.people["inspector"])


def test_what_still_cannot_be_stays_held(bridge, inspector, county):
    sent(inspector, inspection_record(bridge, findings=[finding_row(bridge, station_ft=80.0)]))
    answer = post(county, Receipt.objects.get(), choice="mine")
    assert answer.status_code == 409 and b"beyond the span" in answer.content
    assert Receipt.objects.get().state == "held" and not Inspection.objects.exists()


def test_the_record_can_be_taken_away_as_it_came(bridge, inspector, county):
    record = inspection_record(bridge, findings=[finding_row(bridge, station_ft=80.0)])
    sent(inspector, record)
    receipt = Receipt.objects.get()
    body = county.client("office").get(f"/field/held/{receipt.pk}/record/").content
    assert json.loads(body) == record
    assert county.client("inspector").get(f"/field/held/{receipt.pk}/record/").status_code == 403


def export(person, works, photos) -> bytes:
    rows = [
        {
            "identity": identity,
            "sha256": hashlib.sha256(data).hexdigest(),
            "size_bytes": len(data),
            "structure": structure.pk,
            "caption": "brought",
            "base64": base64.b64encode(data).decode(),
        }
        for identity, data, structure in photos
    ]
    head = {"spanledger_field_export": 1, "device": DEVICE, "made_at": "2026-06-15T12:00:00Z", "person": person}
    return json.dumps({**head, "works": works, "photos": rows}).encode()


def bring(county, data: bytes, role="office"):
    return county.client(role).post("/field/held/bring/", {"file": SimpleUploadedFile("unsent.json", data)})


def test_a_file_is_brought_by_another_and_both_are_named(bridge, county):
    author = county.people["inspector"]
    who, identity, picture = {"id": author.pk, "name": "I. N. Spector"}, str(uuid4()), jpeg(21)
    finding = finding_row(bridge)
    work = inspection_record(
        bridge,
        findings=[finding],
        photos=[{"identity": identity, "caption": "rot", "finding": finding["identity"]}],
        made_by=who,
    )
    data = export(who, [work], [(identity, picture, bridge)])
    for _twice in range(2):
        answer = bring(county, data)
        assert answer.status_code == 200
    row = Inspection.objects.get()
    assert (row.state, row.inspector) == ("draft", author)
    with Document.objects.get().received.open() as kept:
        assert kept.read() == picture
    assert Finding.objects.get().photo == Document.objects.get()
    first = Event.objects.filter(verb="bring_file").order_by("pk").first()
    assert "I. N. Spector" in first.sentence and first.by == county.people["office"]
    assert b"1 already here" in answer.content


@pytest.mark.parametrize(
    "data", [b"{}", b"[]", b'{"spanledger_field_export": 2, "works": []}', b"\xff\xd8\xff", b'{"x"']
)
def test_another_file_gets_a_sentence(county, data):
    answer = bring(county, data)
    assert answer.status_code == 200 and b"file of unsent work" in answer.content


def test_a_broken_file_keeps_what_came_before(bridge, county):
    person = county.people["inspector"]
    data = export({"id": person.pk, "name": "x"}, [inspection_record(bridge), inspection_record(bridge)], [])
    answer = bring(county, data[: len(data) // 2 + 150])
    assert b"id_file" in answer.content
    assert Receipt.objects.count() == 1 and Inspection.objects.count() == 1


def test_the_reader_holds_one_part_at_a_time():
    """Against the standard library's reader of the whole: the same values, whatever the size of what is fetched."""
    value = {
        "spanledger_field_export": 1,
        "person": {"name": "Åse Grön"},
        "works": [{"n": n, "t": "ü" * n} for n in range(40)],
        "photos": [{"base64": "x" * 3000}],
    }
    data = json.dumps(value, ensure_ascii=False).encode()

    class Slow(io.BytesIO):
        def read(self, size=-1):
            return super().read(7)

    parts = list(read_export(Slow(data)))
    assert [each for part, each in parts if part == "work"] == json.loads(data)["works"]
    assert [each for part, each in parts if part == "photo"] == value["photos"]
    with pytest.raises(Refused):
        list(read_export(Slow(data[:-40])))
