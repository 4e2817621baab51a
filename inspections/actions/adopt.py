"""The engineer turns an opinion into the restriction in force, as recommended or otherwise, or withdraws it."""

from datetime import datetime

from django.db import transaction

from inspections.models import Recommendation
from inspections.rules import lifecycle
from inspections.rules.posting import PostingTerms, above_operating, faults_of, is_less_restrictive, terms_of
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import RecommendationState
from inventory.actions.tell import tell_event
from inventory.models import Person
from inventory.vocabulary.roles import Permit
from inventory.vocabulary.structures import Restriction

from .lock import day_of, lock_row, lock_structure, require_move, require_permit
from .post import all_signs_stand, put_in_force
from .standing import refresh_standing


@transaction.atomic
def adopt_recommendation(
    *,
    recommendation: Recommendation,
    revision: int,
    by: Person,
    at: datetime,
    order_number: str = "",
    otherwise: PostingTerms | None = None,
    reason: str = "",
) -> Recommendation:
    """Make the posting: as recommended, or `otherwise` with a reason; never above the operating rating.

    Supersedes the posting before it in the same transaction and orders the signs. The recommendation is ADOPTED until
    the crew has seen every sign, IN_FORCE at once where no sign changes.
    """
    structure = lock_structure(recommendation.structure_id)
    permits = require_permit(by, structure, Permit.DECIDE_POSTING)
    recommendation = lock_row(recommendation, revision, "this recommendation")
    proposed = terms_of(recommendation)
    terms = proposed if otherwise is None or otherwise == proposed else otherwise
    _check(recommendation, proposed, terms, reason)
    posting = put_in_force(
        structure=structure,
        terms=terms,
        source="adopted",
        reason=(reason.strip() or "As recommended."),
        order_number=order_number,
        by=by,
        on=day_of(at),
    )
    settled = all_signs_stand(posting)
    state = RecommendationState.IN_FORCE if settled else RecommendationState.ADOPTED
    require_move(lifecycle.RECOMMENDATION, recommendation.state, state, permits)
    recommendation.state = state
    recommendation.posting = posting
    recommendation.adopted_otherwise = terms is not proposed
    recommendation.decided_by, recommendation.decided_at = by, at
    recommendation.decision_reason = reason.strip()[:500]
    recommendation.revision += 1
    recommendation.save()
    how = "otherwise than recommended" if recommendation.adopted_otherwise else "as recommended"
    tell_event(
        verb="adopt",
        sentence=f"Adopted {how}: {terms.words}.{' ' + reason.strip() if reason.strip() else ''}",
        at=at,
        by=by,
        structure=structure,
        detail={"recommendation": recommendation.pk, "posting": posting.pk, "order_number": order_number},
    )
    refresh_standing(structure=structure, as_of=day_of(at))
    return recommendation


@transaction.atomic
def withdraw(*, recommendation: Recommendation, revision: int, by: Person, at: datetime, reason: str) -> Recommendation:
    """Put a proposal aside with the reason; the restriction in force stays as it is."""
    structure = lock_structure(recommendation.structure_id)
    permits = require_permit(by, structure, Permit.DECIDE_POSTING)
    recommendation = lock_row(recommendation, revision, "this recommendation")
    require_move(lifecycle.RECOMMENDATION, recommendation.state, RecommendationState.WITHDRAWN, permits)
    if not reason.strip():
        raise Refused("Say why the recommendation is put aside: the reason is kept with it.")
    recommendation.state = RecommendationState.WITHDRAWN
    recommendation.decided_by, recommendation.decided_at = by, at
    recommendation.decision_reason = reason.strip()[:500]
    recommendation.revision += 1
    recommendation.save()
    tell_event(
        verb="withdraw",
        sentence=f"Recommendation ({terms_of(recommendation).words}) withdrawn: {reason.strip()}",
        at=at,
        by=by,
        structure=structure,
        detail={"recommendation": recommendation.pk},
    )
    refresh_standing(structure=structure, as_of=day_of(at))
    return recommendation


def _check(recommendation: Recommendation, proposed: PostingTerms, terms: PostingTerms, reason: str) -> None:
    if recommendation.state != RecommendationState.PROPOSED:
        state = RecommendationState.label_of(recommendation.state).lower()
        raise Refused(f"This recommendation is '{state}' already: open the structure again to see what is in force.")
    faults = faults_of(terms)
    if terms is not proposed and not reason.strip():
        softer = is_less_restrictive(terms, proposed) and proposed.restriction != Restriction.UNKNOWN
        what = "less restrictive than recommended" if softer else "other than recommended"
        faults.append(f"Give the reason: what you adopt is {what}.")
    rating = recommendation.rating
    if rating is not None and rating.is_rated:
        faults += above_operating(terms, rating.results["governing"])
    if faults:
        raise Refused(*faults)
