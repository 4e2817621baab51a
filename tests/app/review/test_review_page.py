"""The engineer's page: what it shows, its three verbs, and who may not use them."""

from datetime import timedelta

import pytest
from django.urls import reverse

from inspections.actions import review
from inspections.models import Inspection, InspectionPhoto, Recommendation
from inspections.rules.refusals import Stale
from inventory.actions.receive_photo import receive_photo
from inventory.models import Agency, Event, Posting
from tests.makers.county import make_stringer_bridge
from tests.makers.critical import jpeg, make_critical
from tests.makers.inspected import decay, submitted


def address(inspection, verb="review"):
    return reverse(f"inspections:{verb}", args=[inspection.pk])


@pytest.fixture
def desk(county):
    return county.client("engineer")


@pytest.fixture
def adopting(desk, judged):
    def post(**values):
        return desk.post(address(judged, "review_adopt"), {"adopt-revision": judged.revision} | values)

    return post


def with_proposal(proposal):
    return {"adopt-proposal": proposal.pk, "adopt-proposal_revision": proposal.revision}


def test_the_page_shows_what_the_verbs_rest_on(desk, judged, proposal, bridge, people, now):
    finding = judged.findings.get()
    photo = receive_photo(structure=bridge, data=jpeg(), title="Stringer 4", by=people["inspector"], at=now)
    InspectionPhoto.objects.create(
        inspection=judged, document=photo, finding_identity=finding.identity, caption="Probe at midspan"
    )
    page = desk.get(address(judged)).content.decode()
    for words in (
        "Decay on a face", "1 in", "Probe at midspan", reverse("inventory:photo", args=[photo.pk]), "<svg",
        "Component ratings", "12 tons", "The stringers are decayed.", "In force", "Ask for something here",
        "Adopt", "Send back", "Restrict now", "State's manual",
    ):  # fmt: skip
        assert words in page, words


def test_adopting_accepts_the_inspection_and_makes_the_posting(adopting, judged, proposal, bridge):
    answer = adopting(**with_proposal(proposal), **{"adopt-order_number": "R-7"})
    assert answer.status_code == 302 and answer.url == reverse("inspections:decisions")
    judged.refresh_from_db()
    proposal.refresh_from_db()
    assert judged.state == "accepted" and proposal.state == "adopted"
    assert Posting.objects.get(structure=bridge).order_number == "R-7"
    assert list(Event.objects.filter(verb__in=("accept_inspection", "adopt")).order_by("id").values_list("verb")) == [
        ("accept_inspection",), ("adopt",)
    ]  # fmt: skip


def test_adopting_without_a_recommendation_only_accepts(adopting, judged):
    assert adopting().status_code == 302
    judged.refresh_from_db()
    assert judged.state == "accepted" and not Posting.objects.exists()


def test_a_recommendation_that_came_after_the_page_stops_both(adopting, judged, proposal):
    answer = adopting(**{"adopt-reason": "seen it myself"})
    page = answer.content.decode()
    assert answer.status_code == 409 and "12 tons" in page and "seen it myself" in page
    judged.refresh_from_db()
    assert judged.state == "rated" and not Posting.objects.exists()
    # The page shows what stands now, so that the next press is meant for it.
    assert f'name="adopt-proposal" value="{proposal.pk}"' in page
    assert adopting(**with_proposal(proposal)).status_code == 302


def test_a_recommendation_changed_meanwhile_stops_both(judged, proposal, people, now):
    Recommendation.objects.filter(pk=proposal.pk).update(revision=4)
    with pytest.raises(Stale):
        review.adopt_inspection(
            inspection=judged, revision=judged.revision, proposal=(proposal.pk, 0), by=people["engineer"], at=now
        )
    judged.refresh_from_db()
    assert judged.state == "rated"


def test_judged_by_another_meanwhile_is_told(adopting, judged, people, now):
    review.accept_inspection(inspection=judged, by=people["engineer"], at=now)
    answer = adopting()
    assert answer.status_code == 302 and answer.url == address(judged, "inspection")


def test_send_back_with_ticks_and_words(desk, judged):
    found = str(judged.findings.get().identity)
    sent = {
        "back-revision": judged.revision,
        "back-reason": "",
        "ask": [f"{found}:depth_in", f"{found}:photo"],
        f"words-{found}": "at both ends",
        "words-": "Was the water high?",
    }
    assert desk.post(address(judged, "review_send_back"), sent).status_code == 302
    judged.refresh_from_db()
    assert judged.state == "sent_back" and judged.review_reason == "3 things are asked for."
    assert [(row["field"], row["words"]) for row in judged.asked] == [
        ("depth_in", "Give the depth: at both ends."),
        ("photo", "Give a photograph: at both ends."),
        ("", "Was the water high?"),
    ]


def test_send_back_without_anything_keeps_what_was_typed_and_says_why(desk, judged):
    answer = desk.post(address(judged, "review_send_back"), {"back-revision": judged.revision, "back-reason": " "})
    assert answer.status_code == 409 and "without a reason" in answer.content.decode()


def test_a_foreign_tick_is_refused_and_the_own_ones_stay_ticked(desk, judged):
    found = str(judged.findings.get().identity)
    sent = {"back-revision": judged.revision, "ask": [f"{found}:depth_in", "nobody:note"], f"words-{found}": "again"}
    page = desk.post(address(judged, "review_send_back"), sent).content.decode()
    assert "not one of this inspection" in page and f'value="{found}:depth_in" form="send-back" checked' in page
    assert 'value="again"' in page


def test_the_inspector_does_not_review_but_for_a_named_override(county, desk, bridge, people, now):
    own = submitted(bridge, people["engineer"], now, [decay(bridge)]) if _may_enter(people) else None
    assert own is not None
    Inspection.objects.filter(pk=own.pk).update(state="rated")
    page = desk.get(address(own)).content.decode()
    assert "another engineer must review it" in page and "review/adopt/" not in page
    assert desk.post(address(own, "review_adopt"), {"adopt-revision": own.revision}).status_code == 409
    Agency.objects.update(reviewer_may_be_inspector=True, reviewer_override_reason="One engineer in the county.")
    assert "One engineer in the county." in desk.get(address(own)).content.decode()
    assert desk.post(address(own, "review_adopt"), {"adopt-revision": own.revision}).status_code == 302
    assert "One engineer in the county." in Event.objects.get(verb="accept_inspection").sentence


def test_who_led_it_does_not_review_it_either(desk, judged, people):
    """The leader answers for the inspection (23 CFR 650.305 [memory]); the reviewer is another (650.313(p))."""
    Inspection.objects.filter(pk=judged.pk).update(leader=people["engineer"])
    assert "another engineer must review it" in desk.get(address(judged)).content.decode()
    assert desk.post(address(judged, "review_adopt"), {"adopt-revision": judged.revision}).status_code == 409


def _may_enter(people) -> bool:
    from inventory.queries.people import permits_of
    from inventory.vocabulary.roles import Permit

    return Permit.ENTER_INSPECTION in permits_of(people["engineer"])


@pytest.mark.parametrize("role", ["inspector", "crew", "supervisor", "office", "reviewer"])
def test_only_the_engineer(county, judged, role):
    assert county.client(role).get(address(judged)).status_code == 403
    assert county.client(role).post(address(judged, "review_adopt")).status_code == 403


def test_what_awaits_no_review_is_read_on_its_own_page(desk, judged):
    Inspection.objects.filter(pk=judged.pk).update(state="accepted")
    assert desk.get(address(judged)).url == address(judged, "inspection")


def test_the_queue_puts_the_grave_first_and_names_the_next(county, desk, judged, people, now):
    other = make_stringer_bridge(county.agency, number="Q-2")
    grave = submitted(other, people["inspector"], now + timedelta(hours=1), [decay(other)])
    Inspection.objects.filter(pk=grave.pk).update(state="rated")
    assert "Review Q-1" in desk.get(reverse("inspections:decisions")).content.decode().split("h-rev")[0]
    Recommendation.objects.create(
        structure=other, restriction="closed", reasons=["x"], needs_review_now=True, made_on=now.date()
    )
    page = desk.get(reverse("inspections:decisions")).content.decode()
    assert page.index(address(grave)) < page.index(address(judged))
    assert address(grave) in page.split('id="h-rev"')[0]


def test_markup_typed_by_people_is_text(desk, bridge, people, now):
    sent = submitted(bridge, people["inspector"], now, [decay(bridge, note="<script>alert(1)</script>")])
    Inspection.objects.filter(pk=sent.pk).update(state="rated")
    page = desk.get(address(sent)).content.decode()
    assert "<script>alert" not in page and "&lt;script&gt;alert" in page


def test_a_rating_can_be_asked_for(desk, judged):
    sent = {"back-revision": judged.revision, "ask": [":substructure_rating"]}
    assert desk.post(address(judged, "review_send_back"), sent).status_code == 302
    judged.refresh_from_db()
    assert judged.asked[0]["words"] == "Give the substructure rating." and judged.asked[0]["was"] == "6"


@pytest.fixture
def grave(bridge, people, now):
    """Rated and awaiting review, with the superstructure at 2, which is on the list of critical findings."""
    inspection = submitted(bridge, people["inspector"], now, [decay(bridge)], superstructure_rating="2")
    Inspection.objects.filter(pk=inspection.pk).update(state="rated")
    inspection.refresh_from_db()
    return inspection


def adopt(desk, inspection, **values):
    return desk.post(address(inspection, "review_adopt"), {"adopt-revision": inspection.revision} | values)


def test_a_danger_nobody_reported_is_not_accepted_in_silence(desk, grave):
    """A component rated 2 or less is on the least list of 23 CFR 650.313(q) [checked-2nd]."""
    assert "adopt-no_danger" in desk.get(address(grave)).content.decode()
    answer = adopt(desk, grave)
    assert answer.status_code == 409 and "report it above, or say why it is no danger" in answer.content.decode()
    grave.refresh_from_db()
    assert grave.state == "rated"
    adopt(desk, grave, **{"adopt-no_danger": "The span was replaced this morning."})
    grave.refresh_from_db()
    assert grave.state == "accepted"
    assert "The span was replaced this morning." in Event.objects.get(verb="no_danger").sentence


def test_a_danger_reported_is_accepted_without_more_words(desk, grave, bridge, people, now):
    make_critical(bridge, people["engineer"], now, inspection=grave, kind="component")
    assert "adopt-no_danger" not in desk.get(address(grave)).content.decode()
    adopt(desk, grave)
    grave.refresh_from_db()
    assert grave.state == "accepted"


def test_what_a_visit_does_not_rate_is_no_gap(desk, bridge, people, now):
    special = submitted(bridge, people["inspector"], now, [decay(bridge)], kind="special", **dict.fromkeys(PARTS, ""))
    Inspection.objects.filter(pk=special.pk).update(state="rated")
    page = desk.get(address(special)).content.decode()
    assert "No component was rated." in page and "not rated" not in page


PARTS = ("deck_rating", "superstructure_rating", "substructure_rating")
