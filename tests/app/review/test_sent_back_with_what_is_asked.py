"""Sent back with what is asked: kept with the inspection, marked when saved, wanted when it is handed in again."""

import pytest

from inspections.actions import receive, review
from inspections.models import Inspection
from inspections.rules.refusals import Refused
from inventory.actions.receive_photo import receive_photo
from inventory.models import Event
from tests.makers.critical import jpeg
from tests.makers.inspected import DONE_ON, RATINGS, decay, submitted


@pytest.fixture
def back(judged, people, now):
    found = str(judged.findings.get().identity)
    asked = [{"finding": found, "field": "depth_in", "words": "Probe again."}, {"finding": found, "field": "photo"}]
    return review.send_back(inspection=judged, reason="", asked=asked, by=people["engineer"], at=now)


def save(inspection, people, now, rows, **more):
    inspection.refresh_from_db()
    return receive.save_draft(
        inspection=inspection,
        revision=inspection.revision,
        fields={"field_completed_on": DONE_ON} | RATINGS,
        findings=rows,
        elements=[],
        by=people["inspector"],
        at=now,
        **more,
    )


def again(inspection, bridge, **changed):
    return [decay(bridge, identity=inspection.findings.get().identity, **changed)]


def hand_in(inspection, people, now):
    inspection.refresh_from_db()
    return receive.submit_inspection(
        inspection=inspection, revision=inspection.revision, by=people["inspector"], at=now
    )


def test_what_is_asked_stands_with_the_inspection_and_in_the_event(back):
    assert [row["words"] for row in back.asked] == ["Probe again.", "Give a photograph."]
    assert back.review_reason == "2 things are asked for."
    assert Event.objects.get(verb="send_back").detail["asked"] == ["Probe again.", "Give a photograph."]


def test_it_is_not_handed_in_before_every_answer(back, bridge, people, now):
    saved = save(back, people, now, again(back, bridge, depth_in=1.5))
    assert [row["answered"] for row in saved.asked] == [True, False]
    with pytest.raises(Refused, match=r"finding 1 \(decay on a face\): Give a photograph"):
        hand_in(saved, people, now)
    photo = receive_photo(structure=bridge, data=jpeg(), title="x", by=people["inspector"], at=now)
    saved = save(saved, people, now, again(saved, bridge, depth_in=1.5, photo=photo))
    assert all(row["answered"] for row in saved.asked)
    assert hand_in(saved, people, now).state == "submitted"


def test_words_why_not_are_an_answer(back, bridge, people, now):
    words = [row | {"why_not": "The water is too high."} for row in back.asked]
    saved = save(back, people, now, again(back, bridge), asked=words)
    assert hand_in(saved, people, now).state == "submitted"
    saved.refresh_from_db()
    assert [row["why_not"] for row in saved.asked] == ["The water is too high."] * 2


def test_what_was_asked_last_time_is_not_asked_again(back, bridge, people, now):
    saved = save(back, people, now, again(back, bridge), asked=[row | {"why_not": "x"} for row in back.asked])
    hand_in(saved, people, now)
    Inspection.objects.filter(pk=saved.pk).update(state="rated")
    saved.refresh_from_db()
    once_more = review.send_back(inspection=saved, reason="Look at the rail.", by=people["engineer"], at=now)
    assert once_more.asked == []


def test_a_row_the_table_does_not_know_is_refused_and_nothing_changes(judged, people, now):
    asked = [{"finding": "", "field": "depth_in", "words": "x"}]
    with pytest.raises(Refused, match="not a field"):
        review.send_back(inspection=judged, reason="x", asked=asked, by=people["engineer"], at=now)
    judged.refresh_from_db()
    assert judged.state == "rated" and judged.asked == []


def test_an_inspection_without_anything_asked_goes_on_as_before(bridge, people, now):
    assert submitted(bridge, people["inspector"], now, [decay(bridge)]).state == "submitted"
