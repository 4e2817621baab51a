"""Two devices, or a device and the office, on one inspection: nothing is written over, and a person chooses."""

from uuid import uuid4

from django.utils import timezone

from inspections.actions import receive
from inspections.models import Finding, Inspection, Receipt
from tests.makers.field_records import finding_row, inspection_record, sent

OTHER_DEVICE = "00000000-0000-4000-8000-0000000000ff"


def as_draft(record, **visit):
    return record | {"record": str(uuid4()), "inspection": record["inspection"] | {"submit": False} | visit}


def two_devices(bridge, inspector):
    """A draft on the site at revision 1, and what each of two devices makes of it."""
    shared = finding_row(bridge)
    first = as_draft(inspection_record(bridge, findings=[shared]))
    revision = sent(inspector, first)["inspection"]["revision"]
    mine = as_draft(first, base_revision=revision)
    theirs = as_draft(first, base_revision=revision) | {"device": OTHER_DEVICE}
    return shared, mine, theirs


def test_the_second_of_two_devices_meets_the_first(bridge, inspector):
    shared, mine, theirs = two_devices(bridge, inspector)
    theirs["inspection"]["weather"] = "rain"
    sent(inspector, theirs)
    mine["findings"] = [shared | {"depth_in": 2.0}]
    answer = sent(inspector, mine)
    assert (answer["state"], answer["held_for"]) == ("held", "meeting")
    assert answer["theirs"]["inspection"]["weather"] == "rain" and answer["theirs"]["by"]
    told = {(row["words"], row["by"]) for row in answer["differs"]}
    assert told == {("weather", "theirs"), ("Decay on a face", "mine")}
    assert Finding.objects.get().depth_in == 1.0


def settle(inspector, mine, answer, choice):
    settled = mine | {
        "record": str(uuid4()),
        "resolves": {"record": answer["record"], "choice": choice},
        "inspection": mine["inspection"] | {"base_revision": answer["theirs"]["inspection"]["revision"]},
    }
    return sent(inspector, settled)


def met(bridge, inspector):
    shared, mine, theirs = two_devices(bridge, inspector)
    theirs["inspection"]["weather"] = "rain"
    theirs["findings"] = [shared, finding_row(bridge, kind="check", note="theirs")]
    sent(inspector, theirs)
    mine["inspection"]["team"] = "A. Reed"
    mine["findings"] = [shared | {"depth_in": 2.0}]
    return shared, mine, sent(inspector, mine)


def test_mine_replaces_theirs(bridge, inspector):
    _shared, mine, answer = met(bridge, inspector)
    assert settle(inspector, mine, answer, "mine")["state"] == "filed"
    row = Inspection.objects.get()
    assert (row.weather, row.team, row.findings.count()) == ("", "A. Reed", 1)
    assert Receipt.objects.get(identity=answer["record"]).state == "set_aside"


def test_theirs_stays_as_it_is(bridge, inspector):
    _shared, mine, answer = met(bridge, inspector)
    before = Inspection.objects.get().revision
    assert settle(inspector, mine, answer, "theirs")["state"] == "filed"
    row = Inspection.objects.get()
    assert (row.weather, row.team, row.revision) == ("rain", "", before)


def test_both_are_put_together(bridge, inspector):
    shared, mine, answer = met(bridge, inspector)
    assert settle(inspector, mine, answer, "both")["state"] == "filed"
    row = Inspection.objects.get()
    assert (row.weather, row.team) == ("rain", "A. Reed")
    assert sorted(f.kind for f in row.findings.all()) == ["check", "surface_decay"]
    assert row.findings.get(identity=shared["identity"]).depth_in == 2.0


def test_an_answer_to_an_older_state_meets_again(bridge, inspector, county):
    _shared, mine, answer = met(bridge, inspector)
    row = Inspection.objects.get()
    receive.save_draft(
        inspection=row,
        revision=row.revision,
        fields={"weather": "snow"},
        findings=[],
        elements=[],
        by=county.people["engineer"],
        at=timezone.now(),
    )
    again = settle(inspector, mine, answer, "mine")
    assert again["held_for"] == "meeting" and again["theirs"]["inspection"]["weather"] == "snow"


def test_a_lost_answer_is_no_meeting(bridge, inspector):
    """The device never learned the revision its own first record got; it goes on all the same."""
    first = as_draft(inspection_record(bridge))
    sent(inspector, first)
    answer = sent(inspector, as_draft(first, notes="more"))
    assert answer["state"] == "filed" and Inspection.objects.get().notes == "more"


def test_handed_in_already_and_the_same_is_no_quarrel(bridge, inspector):
    record = inspection_record(bridge, findings=[finding_row(bridge)])
    sent(inspector, record)
    again = sent(inspector, record | {"record": str(uuid4())})
    assert again["state"] == "filed" and "already" in again["sentences"][0]
    changed = record | {"record": str(uuid4()), "findings": []}
    refused = sent(inspector, changed)
    assert (refused["state"], refused["held_for"]) == ("held", "refused") and refused["theirs"]
    assert Finding.objects.count() == 1


def test_the_office_in_between_is_met_too(bridge, inspector, county):
    first = as_draft(inspection_record(bridge))
    revision = sent(inspector, first)["inspection"]["revision"]
    row = Inspection.objects.get()
    receive.save_draft(
        inspection=row,
        revision=row.revision,
        fields={"team": "office"},
        findings=[],
        elements=[],
        by=county.people["engineer"],
        at=timezone.now(),
    )
    answer = sent(inspector, as_draft(first, base_revision=revision, notes="mine"))
    assert answer["held_for"] == "meeting"
    assert {(each["words"], each["by"]) for each in answer["differs"]} == {("team", "theirs"), ("notes", "mine")}
