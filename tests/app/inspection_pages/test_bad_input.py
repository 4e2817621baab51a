"""Bad input: one sentence each, nothing lost, nothing half-saved, never a broken page."""

import pytest
from django.urls import reverse

from inspections.models import Inspection
from tests.app.inspection_pages.sheets import decay, row, sheet

pytestmark = pytest.mark.django_db


def post(county, draft, sent, role="inspector"):
    return county.client(role).post(reverse("inspections:edit", args=[draft.pk]), sent)


@pytest.mark.parametrize(
    "changes, words",
    [
        ({"field_completed_on": "14 May"}, "write the date as year-month-day"),
        ({"field_completed_on": "2026-02-30"}, "write the date as year-month-day"),
        ({"air_temp_f": "warm"}, "“warm” is not a number"),
        ({"air_temp_f": "nan"}, "“nan” is not a number"),
        ({"air_temp_f": "1e400"}, "is not a number"),
        ({"air_temp_f": "900"}, "is outside -60 to 130"),
        ({"deck_rating": "A"}, "choose one of the codes"),
        ({"team": "x" * 400}, "at most 160 characters"),
        ({"f-0-kind": "", "f-0-depth_in": "1"}, "Choose the kind of finding"),
        ({"f-0-kind": "dragon", "f-0-depth_in": "1"}, "choose one of the entries"),
        ({"f-0-kind": "surface_decay", "f-0-depth_in": "deep"}, "“deep” is not a number"),
        ({"f-0-kind": "surface_decay", "f-0-depth_in": "3/0"}, "“3/0” is not a number"),
        ({"f-0-kind": "surface_decay", "f-0-depth_in": "-2"}, "is outside 0 to 60 in"),
        ({"f-0-kind": "surface_decay", "f-0-member": "999999"}, "choose one of the entries"),
        ({"f-0-kind": "surface_decay", "f-0-station_ft": "80", "f-0-span_index": "1"}, "beyond the span of 18 ft"),
        ({"f-0-kind": "moisture", "f-0-moisture_pct": "400"}, "is outside 5 to 60 %"),
        ({"f-0-kind": "check", "f-0-member_number": "2.5"}, "is not a whole number"),
        ({"f-0-kind": "other", "f-0-note": "n" * 500}, "at most 400 characters"),
        (row("e", 0, {"number": "117", "total": "180", "cs1": "100"}), "add up to 100 but the total is 180"),
        (row("e", 0, {"number": "117", "total": "", "cs1": "100"}), "give the whole quantity"),
        (row("e", 0, {"number": "9999", "total": "1", "cs1": "1"}), "choose one of the list"),
        (row("e", 0, {"number": "", "total": "1", "cs1": "1"}), "Choose the element"),
        (
            row("e", 0, {"number": "117", "total": "5", "cs1": "5"})
            | row("e", 1, {"number": "117", "total": "5", "cs1": "5"}),
            "Element 117 is given twice",
        ),
    ],
)
def test_a_sentence_and_nothing_lost(county, draft, changes, words):
    answer = post(county, draft, sheet(draft, notes="what I typed", **changes))
    text = answer.content.decode()
    assert answer.status_code == 200 and words in text
    assert 'role="alert"' in text and "what I typed" in text
    draft.refresh_from_db()
    assert (draft.revision, draft.notes, draft.findings.count(), draft.elements.count()) == (0, "", 0, 0)


def test_typed_number_stays_in_its_box(county, draft):
    text = post(county, draft, sheet(draft, decay(draft, depth_in="two"))).content.decode()
    assert 'value="two"' in text and 'href="#id_f-0-depth_in"' in text and 'value="9"' in text


@pytest.mark.parametrize("revision", ["", "x", "-1", "99999999999999999999", "1.0", "²"])
def test_a_bad_revision_is_a_sentence(county, draft, revision):
    answer = post(county, draft, sheet(draft, revision=revision))
    assert answer.status_code == 200 and "without the revision" in answer.content.decode()


def test_incomplete_inspection_is_saved_but_not_submitted(county, draft):
    sent = sheet(draft, decay(draft, depth_in=""), deck_rating="", then="submit")
    text = post(county, draft, sent).content.decode()
    draft.refresh_from_db()
    assert draft.state == "draft" and draft.revision == 1 and draft.findings.count() == 1
    assert "Saved as a draft, not yet submitted" in text
    assert "Finding 1 (decay on a face) lacks the depth" in text and 'href="#id_f-0-kind"' in text
    assert "component rating of the deck" in text and 'href="#ratings"' in text


def test_stale_save_keeps_what_was_typed(county, draft):
    """Two people open the same revision; the second is told who saved and keeps every word."""
    assert post(county, draft, sheet(draft, notes="first words")).status_code == 302
    late = sheet(draft, decay(draft), notes="second words")
    answer = post(county, draft, late, role="engineer")
    text = answer.content.decode()
    assert answer.status_code == 409
    assert "second words" in text and 'value="1-1/2"' in text
    assert f"{county.people['inspector']} changed this inspection on" in text
    assert reverse("inspections:inspection", args=[draft.pk]) in text
    draft.refresh_from_db()
    assert draft.notes == "first words" and draft.findings.count() == 0
    # Pressing save again without choosing is refused again; only the button that says so replaces theirs.
    assert post(county, draft, late, role="engineer").status_code == 409
    assert 'name="replace" value="1"' in text
    assert post(county, draft, {**late, "replace": "1"}, role="engineer").status_code == 302
    draft.refresh_from_db()
    assert draft.notes == "second words" and draft.findings.count() == 1


def test_saving_what_was_submitted_meanwhile(county, draft):
    first = sheet(draft, decay(draft), then="submit")
    assert post(county, draft, first).status_code == 302
    draft.refresh_from_db()
    answer = post(county, draft, sheet(draft, notes="too late"))
    assert answer.status_code == 200 and "can no longer be changed" in answer.content.decode()
    assert "too late" in answer.content.decode()


def test_rows_without_end_are_refused(county, draft):
    many = {}
    for number in range(405):
        many |= row("f", number, {"kind": "other", "note": "x"})
    text = post(county, draft, sheet(draft, many)).content.decode()
    assert "More than 400 rows were sent" in text
    draft.refresh_from_db()
    assert draft.revision == 0


def test_removed_and_empty_rows_are_no_rows(county, draft):
    sent = sheet(
        draft, decay(draft), row("f", 1, {"kind": "", "note": ""}), row("f", 7, {"kind": "other", "note": "a"})
    )
    assert post(county, draft, {**sent, "f-0-remove": "on"}).status_code == 302
    assert [finding.kind for finding in draft.findings.all()] == ["other"]


def test_markup_typed_by_people_is_shown_as_text(county, draft, bridge):
    nasty = '"><script>alert(1)</script>'
    sent = sheet(draft, row("f", 0, {"kind": "other", "note": nasty}), notes=nasty, team=nasty)
    assert post(county, draft, sent).status_code == 302
    inspector = county.client("inspector")
    for name in ("edit", "inspection"):
        text = inspector.get(reverse(f"inspections:{name}", args=[draft.pk])).content.decode()
        assert "<script>alert" not in text and "&lt;script&gt;alert(1)" in text
    Inspection.objects.filter(pk=draft.pk).update(state="accepted", field_completed_on="2026-05-14")
    text = inspector.get(reverse("inventory:structure", args=[bridge.pk])).content.decode()
    assert "<script>alert" not in text and "&lt;script&gt;alert(1)" in text


def test_start_wants_a_kind(county, bridge):
    address = reverse("inspections:start", args=[bridge.pk])
    for kind in ("", "leisure"):
        answer = county.client("inspector").post(address, {"kind": kind})
        assert answer.status_code == 200 and "Choose" in answer.content.decode()
    assert not Inspection.objects.exists()


def test_busy_database_is_a_sentence(county, draft, monkeypatch):
    from django.db import OperationalError

    from inspections.actions import receive

    def busy(**_):
        raise OperationalError("database is locked")

    monkeypatch.setattr(receive, "save_draft", busy)
    answer = post(county, draft, sheet(draft, notes="kept words"))
    assert answer.status_code == 200 and "was busy" in answer.content.decode()
    assert "kept words" in answer.content.decode()
