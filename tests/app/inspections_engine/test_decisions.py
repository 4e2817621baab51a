"""The engineer reviews and decides, the crew confirms: every path, each with its event, none half done."""

import pytest

from inspections.actions import adopt, rate, receive, restrict_now, review, signs
from inspections.models import Recommendation
from inspections.queries.inspections import posting_in_force
from inspections.rules.posting import PostingTerms
from inspections.rules.refusals import Refused, Stale
from inventory.models import Event, Posting, RatingSettings, Sign, Standing
from inventory.vocabulary.vehicles import USUAL_SET
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import DONE_ON, decay, rated, settle_all

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def bridge(county):
    """Emergency vehicles have signs of their own, and a test of their own."""
    RatingSettings.objects.create(agency=county.agency, standard_vehicles=[k for k in USUAL_SET if k[:2] != "EV"])
    return make_stringer_bridge(county.agency)


@pytest.fixture
def people(county):
    return county.people


def proposal_of(bridge):
    return Recommendation.objects.get(structure=bridge, state="proposed")


def take(bridge, people, now, otherwise=None, reason="", by="engineer", revision=None):
    proposal = proposal_of(bridge)
    return adopt.adopt_recommendation(
        recommendation=proposal,
        revision=proposal.revision if revision is None else revision,
        by=people[by],
        at=now,
        order_number="2026-11",
        otherwise=otherwise,
        reason=reason,
    )


def confirm_all(bridge, people, now):
    for sign in Sign.objects.filter(posting=posting_in_force(bridge), state__in=("ordered", "missing")):
        signs.confirm_sign(sign=sign, on=now.date(), by=people["crew"], at=now)


@pytest.fixture
def weak(bridge, people, now):
    """Rated with decay: 24 tons proposed (see the end-to-end test for the arithmetic)."""
    rated(bridge, people["inspector"], now, [decay(bridge)])
    return bridge


# --- review


def test_accepted_and_sent_back(bridge, people, now):
    inspection = rated(bridge, people["inspector"], now)
    with pytest.raises(Refused, match="without a reason"):
        review.send_back(inspection=inspection, reason=" ", by=people["engineer"], at=now)
    back = review.send_back(inspection=inspection, reason="Probe the ends.", by=people["engineer"], at=now)
    assert (back.state, back.review_reason) == ("sent_back", "Probe the ends.")
    with pytest.raises(Refused):
        review.accept_inspection(inspection=back, by=people["engineer"], at=now)
    again = receive.save_draft(
        inspection=back,
        revision=back.revision,
        fields={},
        findings=[decay(bridge)],
        elements=[],
        by=people["inspector"],
        at=now,
    )
    receive.submit_inspection(inspection=again, revision=again.revision, by=people["inspector"], at=now)
    settle_all(bridge, now)
    again.refresh_from_db()
    accepted = review.accept_inspection(inspection=again, by=people["engineer"], at=now)
    assert accepted.state == "accepted" and accepted.reviewed_by == people["engineer"]
    verbs = list(Event.objects.order_by("id").values_list("verb", flat=True))
    assert verbs.count("submit_inspection") == 2 and verbs[-1] == "accept_inspection"


def test_the_reviewer_did_not_enter_any_of_it(bridge, people, county, now):
    inspection = rated(bridge, people["engineer"], now)
    with pytest.raises(Refused, match="another engineer must review"):
        review.accept_inspection(inspection=inspection, by=people["engineer"], at=now)
    county.agency.reviewer_may_be_inspector = True
    county.agency.reviewer_override_reason = "The county has one engineer."
    county.agency.save()
    inspection.structure.agency.refresh_from_db()
    review.accept_inspection(inspection=inspection, by=people["engineer"], at=now)
    assert "The county has one engineer." in Event.objects.latest("id").sentence


def test_who_only_saved_a_draft_of_it_is_an_author_too(bridge, people, now):
    inspection = receive.open_inspection(structure=bridge, kind="special", by=people["inspector"], at=now)
    for person in ("engineer", "inspector"):
        inspection = receive.save_draft(
            inspection=inspection,
            revision=inspection.revision,
            fields={"field_completed_on": DONE_ON},
            findings=[],
            elements=[],
            by=people[person],
            at=now,
        )
    receive.submit_inspection(inspection=inspection, revision=inspection.revision, by=people["inspector"], at=now)
    settle_all(bridge, now)
    with pytest.raises(Refused, match="another engineer"):
        review.accept_inspection(inspection=inspection, by=people["engineer"], at=now)


@pytest.mark.parametrize("role", ["inspector", "crew", "supervisor", "office", "administrator", "reviewer"])
def test_nobody_else_reviews_or_adopts(weak, people, now, role):
    inspection = weak.inspections.get()
    with pytest.raises(Refused, match="needs the role"):
        review.accept_inspection(inspection=inspection, by=people[role], at=now)
    with pytest.raises(Refused, match="needs the role"):
        take(weak, people, now, by=role)
    assert not Posting.objects.exists()


def test_an_engineer_of_another_agency_may_not(weak, now):
    with pytest.raises(Refused):
        take(weak, make_county("Marrow County", "003").people, now)


# --- adoption


def test_adopted_as_recommended_waits_for_both_signs(weak, people, now):
    decision = take(weak, people, now)
    posting = posting_in_force(weak)
    assert (decision.state, decision.posting, decision.adopted_otherwise) == ("adopted", posting, False)
    assert (posting.single_ton, posting.source, posting.in_force_from) == (24.0, "adopted", None)
    assert {(s.code, s.legend, s.state) for s in posting.signs.all()} == {("R12-1", "WEIGHT LIMIT 24 TONS", "ordered")}
    standing = Standing.objects.get(structure=weak)
    assert (standing.restriction, standing.sign_words, standing.posted_ton) == ("posted", "24 T", 24.0)
    assert standing.sign_awaited and not standing.decision_awaited
    first, second = posting.signs.all()
    signs.confirm_sign(sign=first, on=now.date(), by=people["crew"], at=now)
    decision.refresh_from_db()
    assert decision.state == "adopted"
    signs.confirm_sign(sign=second, on=now.date(), by=people["crew"], at=now)
    decision.refresh_from_db()
    posting.refresh_from_db()
    assert (decision.state, posting.in_force_from) == ("in_force", now.date())
    assert not Standing.objects.get(structure=weak).sign_awaited


def test_open_needs_no_sign_and_is_in_force_at_once(bridge, people, now):
    rated(bridge, people["inspector"], now)
    decision = take(bridge, people, now)
    assert decision.state == "in_force" and posting_in_force(bridge).in_force_from == now.date()
    assert not Sign.objects.exists()


def test_otherwise_needs_a_reason_and_is_marked(weak, people, now):
    lower = PostingTerms(restriction="posted", single_ton=15.0)
    with pytest.raises(Refused, match="Give the reason"):
        take(weak, people, now, otherwise=lower)
    decision = take(weak, people, now, otherwise=lower, reason="School bus route; the approach is poor.")
    assert decision.adopted_otherwise and posting_in_force(weak).single_ton == 15.0
    assert "School bus route" in posting_in_force(weak).reason


@pytest.mark.parametrize(
    ("terms", "said"),
    [
        (PostingTerms(restriction="open"), "above its operating rating"),
        (PostingTerms(restriction="posted", single_ton=25.0), "above its operating rating"),
        (PostingTerms(restriction="posted", single_ton=41.0), "legal gross"),
        (PostingTerms(restriction="posted", single_ton=2.0), "must be closed"),
        (PostingTerms(restriction="unknown"), "cannot be adopted"),
    ],
)
def test_no_reason_lifts_the_rules(weak, people, now, terms, said):
    with pytest.raises(Refused, match=said):
        take(weak, people, now, otherwise=terms, reason="I say so.")
    assert not Posting.objects.exists() and proposal_of(weak).revision == 0


def test_two_engineers_deciding_at_once(weak, people, now):
    proposal = proposal_of(weak)
    adopt.withdraw(recommendation=proposal, revision=0, by=people["engineer"], at=now, reason="Drill it first.")
    with pytest.raises(Stale):
        adopt.adopt_recommendation(recommendation=proposal, revision=0, by=people["engineer"], at=now)
    proposal.refresh_from_db()
    with pytest.raises(Refused, match="withdrawn"):
        adopt.adopt_recommendation(recommendation=proposal, revision=1, by=people["engineer"], at=now)
    assert not Posting.objects.exists()


def test_a_failure_in_the_middle_leaves_nothing(weak, people, now, monkeypatch):
    def broken(**_):
        raise RuntimeError("power cut")

    monkeypatch.setattr(adopt, "refresh_standing", broken)
    with pytest.raises(RuntimeError):
        take(weak, people, now)
    assert not Posting.objects.exists() and not Sign.objects.exists()
    assert proposal_of(weak).state == "proposed" and not Event.objects.filter(verb="adopt").exists()


# --- what follows


def test_the_same_again_proposes_nothing_and_says_so(weak, people, now):
    take(weak, people, now)
    confirm_all(weak, people, now)
    rate.owe_rating(structure=weak, cause="yearly look", at=now)
    settle_all(weak, now)
    assert not Recommendation.objects.filter(state="proposed").exists()
    assert Event.objects.filter(verb="recommend").latest("id").sentence.startswith("The engineer has decided")


def test_what_the_engineer_decided_otherwise_is_not_proposed_again(weak, people, now):
    take(weak, people, now, otherwise=PostingTerms(restriction="closed"), reason="Approach washed out.")
    rate.owe_rating(structure=weak, cause="again", at=now)
    settle_all(weak, now)
    assert not Recommendation.objects.filter(state="proposed").exists()


def test_worse_findings_supersede_and_replace_the_signs(weak, people, now):
    first = take(weak, people, now)
    confirm_all(weak, people, now)
    rated(weak, people["inspector"], now, [decay(weak, depth_in=4.0)])
    proposal = proposal_of(weak)
    # One limit before, three now: the trucks with two trailers may weigh a little more than under the one limit.
    assert proposal.changes_sign and any("Harder for some vehicles" in reason for reason in proposal.reasons)
    take(weak, people, now)
    first.refresh_from_db()
    assert first.state == "superseded" and first.posting.superseded_on == now.date()
    assert set(first.posting.signs.values_list("state", flat=True)) == {"removed"}
    assert Posting.objects.filter(superseded_on__isnull=True).count() == 1


def test_repaired_and_opened_the_signs_must_come_down(weak, people, now):
    take(weak, people, now)
    confirm_all(weak, people, now)
    rated(weak, people["inspector"], now, [])
    assert any("Less restrictive" in reason for reason in proposal_of(weak).reasons)
    decision = take(weak, people, now)
    assert decision.state == "adopted"
    orders = Sign.objects.filter(posting=decision.posting)
    assert all(sign.legend.startswith("TAKE DOWN") for sign in orders) and orders.count() == 2
    with pytest.raises(Refused, match="taken down"):
        signs.report_sign_missing(sign=orders[0], on=now.date(), by=people["crew"], at=now)
    confirm_all(weak, people, now)
    decision.refresh_from_db()
    assert decision.state == "in_force" and set(orders.values_list("state", flat=True)) == {"removed"}


def test_a_newer_proposal_withdraws_the_open_one(weak, people, now):
    old = proposal_of(weak)
    rated(weak, people["inspector"], now, [decay(weak, depth_in=4.0)])
    old.refresh_from_db()
    assert old.state == "withdrawn" and "newer rating" in old.decision_reason
    assert Recommendation.objects.filter(state="proposed").count() == 1


def test_one_open_proposal_holds_while_the_same_rating_is_settled_again(weak, people, now):
    before = proposal_of(weak)
    rate.owe_rating(structure=weak, cause="again", at=now)
    settle_all(weak, now)
    assert proposal_of(weak).pk == before.pk


# --- signs


def test_a_missing_sign_is_owed_until_seen_again(weak, people, now):
    take(weak, people, now)
    confirm_all(weak, people, now)
    sign = Sign.objects.first()
    signs.report_sign_missing(sign=sign, on=now.date(), by=people["crew"], at=now)
    sign.refresh_from_db()
    assert sign.state == "missing" and Standing.objects.get(structure=weak).sign_awaited
    signs.confirm_sign(sign=sign, on=now.date(), by=people["supervisor"], at=now)
    assert not Standing.objects.get(structure=weak).sign_awaited


def test_a_sign_is_not_seen_tomorrow_nor_before_it_was_ordered(weak, people, now):
    take(weak, people, now)
    sign = Sign.objects.first()
    for day in (now.date().replace(year=2030), now.date().replace(year=2020)):
        with pytest.raises(Refused, match="correct the day"):
            signs.confirm_sign(sign=sign, on=day, by=people["crew"], at=now)
    with pytest.raises(Refused, match="needs the role"):
        signs.confirm_sign(sign=sign, on=now.date(), by=people["inspector"], at=now)


# --- restricted at once


def close_now(bridge, by, now, restriction="closed", single_ton=None, reason="Two stringers broken under a truck."):
    return restrict_now.restrict_now(
        structure=bridge, restriction=restriction, single_ton=single_ton, reason=reason, by=by, at=now
    )


def test_a_supervisor_closes_at_once_and_the_engineer_confirms(weak, people, now):
    posting = close_now(weak, people["supervisor"], now)
    assert (posting.restriction, posting.source) == ("closed", "immediate")
    assert set(posting.signs.values_list("code", flat=True)) == {"R11-2"}
    assert proposal_of(weak).restriction == "closed" and proposal_of(weak).needs_review_now
    confirm_all(weak, people, now)
    decision = take(weak, people, now)
    assert decision.state == "in_force" and decision.posting.source == "adopted"
    assert decision.posting.signs.count() == 2
    assert set(decision.posting.signs.values_list("state", flat=True)) == {"confirmed"}
    assert Sign.objects.count() == 2


def test_at_once_only_ever_means_harder(weak, people, now):
    close_now(weak, people["engineer"], now)
    with pytest.raises(Refused, match="only the engineer may"):
        close_now(weak, people["supervisor"], now, restriction="posted", single_ton=10.0)
    with pytest.raises(Refused, match="in force already"):
        close_now(weak, people["supervisor"], now)
    assert Posting.objects.count() == 1


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"reason": "  "}, "Say what was seen"),
        ({"restriction": "open"}, "posting a weight limit or closing"),
        ({"restriction": "posted", "single_ton": 2.0}, "must be closed"),
        ({"restriction": "posted"}, "needs a weight limit"),
    ],
)
def test_at_once_is_refused_without_sense(weak, people, now, changed, said):
    with pytest.raises(Refused, match=said):
        close_now(weak, people["supervisor"], now, **changed)
    assert not Posting.objects.exists()


@pytest.mark.parametrize("role", ["inspector", "crew", "office", "administrator", "reviewer"])
def test_others_may_not_close(weak, people, now, role):
    with pytest.raises(Refused, match="needs the role"):
        close_now(weak, people[role], now)


def test_a_later_rating_does_not_push_a_closing_at_once_aside(weak, people, now):
    """The rating does not know what was seen at the road: the engineer decides on both."""
    close_now(weak, people["supervisor"], now)
    rated(weak, people["inspector"], now, [])
    proposal = proposal_of(weak)
    assert proposal.restriction == "closed"
    assert "broken under a truck" in proposal.reasons[0] and "alone would ask for less" in proposal.reasons[-1]


def test_a_rating_that_asks_for_more_replaces_what_was_posted_at_once(weak, people, now):
    close_now(weak, people["supervisor"], now, restriction="posted", single_ton=20.0)
    rated(weak, people["inspector"], now, [decay(weak, depth_in=4.0)])
    proposal = proposal_of(weak)
    assert proposal.single_ton is None or proposal.single_ton < 20.0
    assert any("Restricted at once" in reason for reason in proposal.reasons)
