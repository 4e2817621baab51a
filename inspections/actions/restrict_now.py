"""Restrict or close at once, on a supervisor's or the engineer's word; the engineer confirms or changes it after."""

from dataclasses import replace
from datetime import datetime

from django.db import transaction

from inspections.models import Recommendation
from inspections.queries.inspections import posting_in_force
from inspections.queries.ratings import current_rating
from inspections.rules.posting import EMERGENCY_FIELDS, PostingTerms, faults_of, is_less_restrictive, terms_of
from inspections.rules.refusals import Refused
from inventory.actions.tell import tell_event
from inventory.models import Person, Posting, Structure
from inventory.vocabulary.roles import Permit
from inventory.vocabulary.structures import Restriction

from .lock import day_of, lock_structure, require_permit
from .post import put_in_force
from .recommend import withdraw_open
from .standing import refresh_standing


@transaction.atomic
def restrict_now(
    *, structure: Structure, restriction: str, single_ton: float | None, reason: str, by: Person, at: datetime
) -> Posting:
    """Post or close at once with the reason; only ever harder than what is in force. Leaves a proposal to confirm.

    A record is not a closing: the caller's page says to stay and block the road first.
    """
    structure = lock_structure(structure.pk)
    require_permit(by, structure, Permit.RESTRICT_NOW)
    before = posting_in_force(structure)
    terms = _with_standing_limits(PostingTerms(restriction=restriction, single_ton=single_ton), before)
    _check(terms, before, reason)
    on = day_of(at)
    posting = put_in_force(structure=structure, terms=terms, source="immediate", reason=reason.strip(), by=by, on=on)
    withdraw_open(structure, f"Restricted at once on {on}: {reason.strip()}", at)
    Recommendation.objects.create(
        structure=structure,
        rating=current_rating(structure),
        **terms.as_dict(),
        reasons=[
            f"Restricted at once on {on} by {by}: {reason.strip()}",
            "The engineer must confirm this restriction or adopt another.",
        ],
        changes_sign=False,
        needs_review_now=True,
        made_on=on,
    )
    tell_event(
        verb="restrict_now",
        sentence=f"Restricted at once: {terms.words}. {reason.strip()}",
        at=at,
        by=by,
        structure=structure,
        detail={"posting": posting.pk},
    )
    refresh_standing(structure=structure, as_of=on)
    return posting


def _with_standing_limits(terms: PostingTerms, before: Posting | None) -> PostingTerms:
    """Emergency limits in force stay where they are harder than the new limit for all; above it they fall away."""
    if before is None or terms.restriction != Restriction.POSTED or terms.single_ton is None:
        return terms
    gross = before.emergency_gross_ton
    if gross is None or gross >= terms.single_ton:
        return terms
    return replace(terms, **{name: getattr(before, name) for name in EMERGENCY_FIELDS})


def _check(terms: PostingTerms, before: Posting | None, reason: str) -> None:
    faults = []
    if terms.restriction not in (Restriction.POSTED, Restriction.CLOSED):
        faults.append("Restricting at once means posting a weight limit or closing: choose one.")
    else:
        faults += faults_of(terms)
    if not reason.strip():
        faults.append("Say what was seen: a restriction at once is not recorded without its reason.")
    if not faults and before is not None:
        inforce = terms_of(before)
        if inforce == terms:
            faults.append(f"This is in force already ({before.words}).")
        elif is_less_restrictive(terms, inforce):
            faults.append(
                f"This would allow more than what is in force ({before.words}); only the engineer may do that, by "
                "adopting a recommendation."
            )
    if faults:
        raise Refused(*faults)
