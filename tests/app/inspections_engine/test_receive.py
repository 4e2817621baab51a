"""Drafts and submissions: whole or not at all, and two people never overwrite each other unseen."""

import pytest

from inspections.actions import receive
from inspections.models import ElementState, Finding, Inspection, OwedRating
from inspections.rules.refusals import Refused, Stale
from inventory.models import Event, MemberGroup
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import DONE_ON, RATINGS, decay, draft, submitted

pytestmark = [pytest.mark.django_db, pytest.mark.database]

ELEMENT = {"number": 117, "unit": "ft", "total": 180, "cs1": 180, "cs2": 0, "cs3": 0, "cs4": 0}


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def inspector(county):
    return county.people["inspector"]


def save(inspection, by, at, revision=None, findings=(), elements=(), **fields):
    revision = inspection.revision if revision is None else revision
    return receive.save_draft(
        inspection=inspection,
        revision=revision,
        fields=fields,
        findings=list(findings),
        elements=list(elements),
        by=by,
        at=at,
    )


def test_a_draft_may_be_incomplete_and_is_saved_again(bridge, inspector, now):
    inspection = receive.open_inspection(structure=bridge, kind="routine", by=inspector, at=now)
    inspection = save(inspection, inspector, now, findings=[{"kind": "surface_decay", "span_index": 1}])
    inspection = save(inspection, inspector, now, findings=[decay(bridge)], elements=[ELEMENT], weather="rain")
    assert (inspection.revision, inspection.weather, inspection.inspector) == (2, "rain", inspector)
    assert Finding.objects.count() == 1 and ElementState.objects.count() == 1


def test_two_people_saving_the_second_reads_a_sentence_and_nothing_is_half_saved(bridge, inspector, county, now):
    inspection = draft(bridge, inspector, now, [decay(bridge)])
    opened = inspection.revision
    save(inspection, inspector, now, revision=opened, findings=[decay(bridge, depth_in=2.0)], notes="first")
    with pytest.raises(Stale) as refusal:
        save(inspection, county.people["engineer"], now, revision=opened, findings=[], notes="second")
    assert "Someone else changed this inspection" in refusal.value.sentence
    kept = Inspection.objects.get()
    assert (kept.notes, kept.findings.get().depth_in, kept.revision) == ("first", 2.0, opened + 1)


def test_submitting_what_someone_else_changed_is_refused(bridge, inspector, now):
    inspection = draft(bridge, inspector, now)
    save(inspection, inspector, now)
    with pytest.raises(Stale):
        receive.submit_inspection(inspection=inspection, revision=inspection.revision - 1, by=inspector, at=now)
    assert Inspection.objects.get().state == "draft" and not OwedRating.objects.exists()


@pytest.mark.parametrize(
    ("findings", "elements", "fields", "said"),
    [
        ([{"kind": "nonsense"}], [], {}, "choose what kind"),
        ([{"kind": "other", "colour": "red"}], [], {}, "no field 'colour'"),
        ([{"kind": "other", "depth_in": -3}], [], {}, "outside"),
        ([{"kind": "other", "span_index": 7}], [], {}, "no span 7"),
        ([], [ELEMENT | {"cs2": 50}], {}, "add up to 230"),
        ([], [ELEMENT, ELEMENT], {}, "given twice"),
        ([], [], {"deck_rating": "A"}, "deck rating"),
        ([], [], {"state": "accepted"}, "no field state"),
        ([], [], {"weather": "x" * 200}, "weather"),
    ],
)
def test_what_cannot_be_is_refused_and_the_draft_stays_as_it_was(
    bridge, inspector, now, findings, elements, fields, said
):
    inspection = draft(bridge, inspector, now, [decay(bridge)])
    with pytest.raises(Refused) as refusal:
        save(inspection, inspector, now, findings=findings, elements=elements, **fields)
    assert said in refusal.value.sentence.lower() or said in refusal.value.sentence
    kept = Inspection.objects.get()
    assert (kept.revision, kept.state, kept.findings.count()) == (inspection.revision, "draft", 1)


def test_a_member_of_another_structure_is_refused(bridge, inspector, county, now):
    other = make_stringer_bridge(county.agency, "Q-8")
    theirs = MemberGroup.objects.get(span__structure=other)
    with pytest.raises(Refused, match="does not belong to this structure"):
        draft(bridge, inspector, now, [decay(bridge, member=theirs)])
    with pytest.raises(Refused, match="none has the number 11"):
        draft(bridge, inspector, now, [decay(bridge, member_number=11)])


def test_submission_names_everything_missing_at_once(bridge, inspector, now):
    inspection = receive.open_inspection(structure=bridge, kind="routine", by=inspector, at=now)
    inspection = save(
        inspection, inspector, now, findings=[decay(bridge, depth_in=None), decay(bridge, face="", station_ft=None)]
    )
    with pytest.raises(Refused) as refusal:
        receive.submit_inspection(inspection=inspection, revision=inspection.revision, by=inspector, at=now)
    assert len(refusal.value.sentences) == 4
    assert "the depth" in refusal.value.sentence and "the face" in refusal.value.sentence
    assert Inspection.objects.get().state == "draft" and not OwedRating.objects.exists()


def test_submission_leaves_a_rating_owed_and_closes_the_form(bridge, inspector, now):
    inspection = submitted(bridge, inspector, now)
    assert inspection.state == "submitted" and inspection.submitted_at == now
    owed = OwedRating.objects.get()
    assert (owed.inspection, owed.state, owed.attempts) == (inspection, "owed", 0)
    with pytest.raises(Refused, match="no longer be changed"):
        save(inspection, inspector, now)
    with pytest.raises(Refused):
        receive.submit_inspection(inspection=inspection, revision=inspection.revision, by=inspector, at=now)
    assert OwedRating.objects.count() == 1


@pytest.mark.parametrize("role", ["office", "crew", "supervisor", "administrator", "reviewer"])
def test_only_inspectors_and_engineers_enter_inspections(bridge, county, now, role):
    with pytest.raises(Refused, match="needs the role"):
        receive.open_inspection(structure=bridge, kind="routine", by=county.people[role], at=now)
    assert not Inspection.objects.exists() and not Event.objects.exists()


def test_an_inspector_of_another_agency_may_not(bridge, now):
    other = make_county("Marrow County", "003")
    with pytest.raises(Refused):
        receive.open_inspection(structure=bridge, kind="routine", by=other.people["inspector"], at=now)


def test_a_day_still_to_come_is_refused(bridge, inspector, now):
    inspection = draft(bridge, inspector, now, field_completed_on=DONE_ON.replace(year=2030))
    with pytest.raises(Refused, match="still to come"):
        receive.submit_inspection(inspection=inspection, revision=inspection.revision, by=inspector, at=now)
    assert RATINGS["deck_rating"] == Inspection.objects.get().deck_rating
