"""The crew at the road: a sign is seen standing, or seen missing."""

from datetime import date, datetime

from django.db import transaction

from inspections.models import Recommendation
from inspections.rules import lifecycle
from inspections.rules.clocks.terms import day
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import RecommendationState
from inventory.actions.tell import tell_event
from inventory.models import Person, Posting, Sign, Structure
from inventory.vocabulary.roles import Permit
from inventory.vocabulary.structures import SignState

from .lock import day_of, lock_structure, require_move, require_permit
from .post import all_signs_stand, is_take_down
from .standing import refresh_standing


@transaction.atomic
def confirm_sign(*, sign: Sign, on: date, by: Person, at: datetime) -> Sign:
    """Record a sign seen standing and legible (or, where so ordered, taken down) on a day.

    The last one brings the posting into force.
    """
    structure, sign, permits = _open(sign, on, by, at)
    posting = sign.posting
    if on < posting.decided_on and sign.state == SignState.ORDERED:
        raise Refused(
            f"The sign was ordered on {day(posting.decided_on)}, so it cannot have been seen on {day(on)}: "
            "correct the day."
        )
    down = is_take_down(sign)
    sign.state = SignState.REMOVED if down else SignState.CONFIRMED
    sign.set_on = sign.set_on or on
    sign.confirmed_on, sign.confirmed_by, sign.missing_seen_on = on, by, None
    sign.save()
    what = "taken down" if down else "seen standing"
    _tell("confirm_sign", f"Sign {what} {sign.approach}: {sign.code} {sign.legend}.", structure, sign, by, at)
    if all_signs_stand(posting):
        _bring_into_force(posting, structure, permits, on, at)
    refresh_standing(structure=structure, as_of=day_of(at))
    return sign


@transaction.atomic
def report_sign_missing(*, sign: Sign, on: date, by: Person, at: datetime) -> Sign:
    """Record a sign missing or illegible; it is owed until it is confirmed again (30 days, 23 CFR 650.313 [memory])."""
    structure, sign, _permits = _open(sign, on, by, at)
    if is_take_down(sign):
        raise Refused("This sign is to be taken down: if it is gone already, confirm that it was taken down.")
    sign.state = SignState.MISSING
    sign.missing_seen_on = on
    sign.save()
    _tell("sign_missing", f"Sign missing {sign.approach}: {sign.code} {sign.legend}.", structure, sign, by, at)
    refresh_standing(structure=structure, as_of=day_of(at))
    return sign


def _open(sign: Sign, on: date, by: Person, at: datetime) -> tuple[Structure, Sign, frozenset[Permit]]:
    structure = lock_structure(sign.posting.structure_id)
    permits = require_permit(by, structure, Permit.CONFIRM_SIGN)
    fresh = Sign.objects.select_for_update().get(pk=sign.pk)
    fresh.posting = Posting.objects.select_for_update().get(pk=fresh.posting_id)
    if fresh.posting.superseded_on is not None or fresh.state == SignState.REMOVED:
        raise Refused("This sign belongs to a restriction that is no longer in force; open the structure again.")
    if on > day_of(at):
        raise Refused(f"A sign cannot have been seen on {on}, which is still to come: correct the day.")
    return structure, fresh, permits


def _bring_into_force(
    posting: Posting, structure: Structure, permits: frozenset[Permit], on: date, at: datetime
) -> None:
    if posting.in_force_from is None:
        posting.in_force_from = on
        posting.save(update_fields=["in_force_from"])
    for adopted in Recommendation.objects.select_for_update().filter(
        posting=posting, state=RecommendationState.ADOPTED
    ):
        require_move(lifecycle.RECOMMENDATION, adopted.state, RecommendationState.IN_FORCE, permits)
        adopted.state = RecommendationState.IN_FORCE
        adopted.revision += 1
        adopted.save(update_fields=["state", "revision"])
        tell_event(
            verb="in_force",
            sentence=f"In force: {posting.words}; every sign was seen.",
            at=at,
            by=None,
            structure=structure,
            detail={"posting": posting.pk},
        )


def _tell(verb: str, sentence: str, structure: Structure, sign: Sign, by: Person, at: datetime) -> None:
    tell_event(verb=verb, sentence=sentence, at=at, by=by, structure=structure, detail={"sign": sign.pk})
