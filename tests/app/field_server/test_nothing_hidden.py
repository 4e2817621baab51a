"""What a record from the field must not hide: an earlier finding nobody answered, and who entered what."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from inspections.models import Inspection
from inspections.queries.inspections import authors_of, standing_findings
from tests.makers.field_records import finding_row, inspection_record, sent

LAST_YEAR = 400


def before(bridge, inspector, **changed):
    """A routine inspection of last year with one finding, handed in."""
    on = (timezone.localdate() - timedelta(days=LAST_YEAR)).isoformat()
    found = finding_row(bridge, **changed)
    answer = sent(inspector, inspection_record(bridge, findings=[found], visit={"field_completed_on": on}))
    assert answer["inspection"]["state"] == "submitted"
    return found


def carried(found, change):
    return found | {"identity": str(uuid4()), "carries_on": found["identity"], "change": change}


def test_an_earlier_finding_left_open_keeps_the_inspection_a_draft_and_the_damage_in_the_rating(bridge, inspector):
    found = before(bridge, inspector)
    answer = sent(inspector, inspection_record(bridge))
    assert (answer["state"], answer["inspection"]["state"]) == ("filed", "draft")
    assert "Decay on a face" in " ".join(answer["sentences"]) and "is not answered" in " ".join(answer["sentences"])
    assert [str(row.identity) for row in standing_findings(bridge)] == [found["identity"]]


@pytest.mark.parametrize(("change", "stand"), [("same", 1), ("grown", 1), ("less", 1), ("gone", 0)])
def test_with_every_answer_it_is_handed_in(bridge, inspector, change, stand):
    found = before(bridge, inspector)
    answer = sent(inspector, inspection_record(bridge, findings=[carried(found, change)]))
    assert answer["inspection"]["state"] == "submitted", answer["sentences"]
    assert len(standing_findings(bridge)) == stand


def test_a_special_inspection_is_asked_for_no_answers(bridge, inspector):
    before(bridge, inspector)
    record = inspection_record(bridge, visit={"kind": "special"})
    assert sent(inspector, record)["inspection"]["state"] == "submitted"


def test_who_entered_a_record_that_another_sent_is_an_author(bridge, county):
    """So that nobody reviews what they entered on a device that another carried to the office."""
    people = county.people
    first = inspection_record(bridge, visit={"submit": False})
    revision = sent(county.client("inspector"), first)["inspection"]["revision"]
    visit = first["inspection"] | {"base_revision": revision, "team": "A. Reed"}
    made_by = {"id": people["engineer"].pk, "name": "E. Ngineer"}
    second = first | {"record": str(uuid4()), "inspection": visit, "made_by": made_by}
    assert sent(county.client("inspector"), second)["state"] == "filed"
    assert authors_of(Inspection.objects.get()) == {people["inspector"].pk, people["engineer"].pk}
