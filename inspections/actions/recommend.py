"""A rating becomes an opinion: what the restriction should be, why, and whether a sign must change."""

from datetime import date, datetime

from django.db import transaction

from inspections.models import Rating, Recommendation
from inspections.queries.inspections import posting_in_force
from inspections.rules.clocks.terms import day
from inspections.rules.posting import PostingTerms, is_less_restrictive, panels, terms_of
from inspections.rules.proposal import propose
from inspections.vocabulary.states import RecommendationState
from inventory.actions.tell import tell_event
from inventory.models import Posting, Structure
from inventory.vocabulary.structures import Restriction

from .lock import lock_structure


@transaction.atomic
def recommend(*, structure: Structure, rating: Rating, as_of: date, at: datetime) -> Recommendation | None:
    """Propose a restriction from a rating, or None where nothing is to be decided; the event says so either way.

    A new proposal withdraws the open one. None is made where the posting in force says the same already, or where the
    engineer has decided on this very rating.
    """
    structure = lock_structure(structure.pk)
    posting = posting_in_force(structure)
    terms, reasons = propose(
        is_rated=rating.is_rated,
        results=rating.results,
        reasons=rating.reasons,
        flags=rating.flags,
    )
    open_one = (
        Recommendation.objects.select_for_update()
        .filter(structure=structure, state=RecommendationState.PROPOSED)
        .first()
    )
    if terms is None:
        _say(structure, rating, "No restriction can be recommended without a rating; the engineer must judge.", at)
        return open_one
    if open_one is not None and open_one.rating_id == rating.pk and terms_of(open_one) == terms:
        return open_one
    if open_one is not None and _waits_on_closing_at_once(open_one, posting, terms):
        _add_reason(open_one, f"The rating of {day(as_of)} alone would ask for less: {terms.words}.")
        _say(structure, rating, "What was restricted at once stands until the engineer decides.", at)
        return open_one
    if quiet := _nothing_to_decide(structure, rating, terms, posting):
        withdraw_open(structure, f"A newer rating of {day(as_of)} took its place.", at)
        _say(structure, rating, quiet, at)
        return None
    withdraw_open(structure, f"A newer rating of {day(as_of)} took its place.", at)
    proposal = Recommendation.objects.create(
        structure=structure,
        rating=rating,
        **terms.as_dict(),
        reasons=reasons + comparison(terms, posting),
        changes_sign=sign_changes(terms, posting),
        needs_review_now=bool(rating.flags) or terms.restriction in (Restriction.CLOSED, Restriction.UNKNOWN),
        made_on=as_of,
    )
    tell_event(
        verb="recommend",
        sentence=f"Recommended: {terms.words}. The engineer decides.",
        at=at,
        by=None,
        structure=structure,
        detail={"recommendation": proposal.pk, "rating": rating.pk},
    )
    return proposal


def _nothing_to_decide(structure: Structure, rating: Rating, terms: PostingTerms, posting: Posting | None) -> str:
    if posting is None:
        return ""
    decided = Recommendation.objects.filter(structure=structure, rating=rating, posting=posting).first()
    if decided is not None:
        return f"The engineer has decided on this rating already: {posting.words}."
    if terms_of(posting) == terms and not rating.flags and posting.source != "immediate":
        return f"Nothing to change: the restriction in force ({posting.words}) is the one the rating asks for."
    return ""


def _waits_on_closing_at_once(proposal: Recommendation, posting: Posting | None, terms: PostingTerms) -> bool:
    """True where somebody restricted at once, the engineer has not yet spoken, and the rating asks for less.

    The rating does not know what was seen at the road, so it does not push that proposal aside.
    """
    if posting is None or posting.source != "immediate" or terms_of(proposal) != terms_of(posting):
        return False
    return not is_less_restrictive(terms_of(posting), terms)


def _add_reason(proposal: Recommendation, reason: str) -> None:
    if reason not in proposal.reasons:
        proposal.reasons = [*proposal.reasons, reason]
        proposal.revision += 1
        proposal.save(update_fields=["reasons", "revision"])


def withdraw_open(structure: Structure, reason: str, at: datetime) -> None:
    """Withdraw the open proposal of a structure, if there is one, with the reason."""
    for proposal in Recommendation.objects.select_for_update().filter(
        structure=structure, state=RecommendationState.PROPOSED
    ):
        proposal.state = RecommendationState.WITHDRAWN
        proposal.decision_reason = reason[:500]
        proposal.decided_at = at
        proposal.revision += 1
        proposal.save()


def comparison(terms: PostingTerms, posting: Posting | None) -> list[str]:
    """Sentences that hold the proposal against the restriction in force."""
    if posting is None:
        return ["No restriction is on record for this structure, so the engineer's decision will be the first."]
    if posting.source == "immediate":
        return [
            f"Restricted at once on {day(posting.decided_on)} ({posting.words}): {posting.reason} "
            "The rating does not know what was seen there; the engineer must judge both together."
        ]
    inforce = terms_of(posting)
    if inforce == terms:
        return [f"The same as the restriction in force since {day(posting.decided_on)} ({posting.words})."]
    if is_less_restrictive(terms, inforce) and is_less_restrictive(inforce, terms):
        return [
            f"Harder for some vehicles and easier for others than what is in force since {day(posting.decided_on)} "
            f"({posting.words})."
        ]
    if is_less_restrictive(terms, inforce):
        return [f"Less restrictive than what is in force since {day(posting.decided_on)} ({posting.words})."]
    return [f"More restrictive than what is in force since {day(posting.decided_on)} ({posting.words})."]


def sign_changes(terms: PostingTerms, posting: Posting | None) -> bool:
    """True where what must stand at the road differs from what the posting in force has there."""
    standing = panels(terms_of(posting)) if posting is not None else ()
    return panels(terms) != standing


def _say(structure: Structure, rating: Rating, sentence: str, at: datetime) -> None:
    detail = {"rating": rating.pk}
    tell_event(verb="recommend", sentence=sentence, at=at, by=None, structure=structure, detail=detail)
