"""What keeps people safe until the work is done; that it no longer does; and the restriction that goes with it."""

from datetime import datetime

from django.db import transaction

from inspections.actions.restrict_now import restrict_now
from inspections.models import CriticalFinding
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import CriticalState
from inventory.actions.tell import tell_event
from inventory.models import Person

from .held import hold_critical, needed_words
from .messages import message_those_who_answer


@transaction.atomic
def make_safe(*, finding: CriticalFinding, revision: int, words: str, by: Person, at: datetime) -> CriticalFinding:
    """Say what makes it safe for now, as it stands at the road. The clocks go on until it is closed."""
    structure, finding = hold_critical(finding, revision, by, CriticalState.MADE_SAFE)
    finding.safe_words = needed_words(words, "Say what stands at the road now: barricades, shoring, a closed lane.")
    finding.state, finding.made_safe_at = CriticalState.MADE_SAFE, at
    finding.revision += 1
    finding.save(update_fields=["safe_words", "state", "made_safe_at", "revision"])
    tell_event(
        verb="make_critical_safe",
        sentence=f"Critical finding made safe for now: {finding.safe_words}",
        at=at,
        by=by,
        structure=structure,
        detail={"critical": finding.pk},
    )
    return finding


@transaction.atomic
def say_no_longer_safe(
    *, finding: CriticalFinding, revision: int, words: str, by: Person, at: datetime
) -> CriticalFinding:
    """What made it safe no longer does (a barricade gone, shoring moved): everyone who answers is told again."""
    structure, finding = hold_critical(finding, revision, by, CriticalState.REPORTED)
    words = needed_words(words, "Say what changed: why is it safe no longer?")
    finding.state, finding.made_safe_at, finding.safe_words = CriticalState.REPORTED, None, ""
    finding.revision += 1
    finding.save(update_fields=["safe_words", "state", "made_safe_at", "revision"])
    tell_event(
        verb="critical_unsafe_again",
        sentence=f"Critical finding safe no longer: {words}",
        at=at,
        by=by,
        structure=structure,
        detail={"critical": finding.pk},
    )
    what = f"unsafe:{finding.revision}"
    message_those_who_answer(structure=structure, finding=finding, what=what, words=f"Safe no longer: {words}", at=at)
    return finding


@transaction.atomic
def link_restriction(
    *,
    finding: CriticalFinding,
    restriction: str,
    single_ton: float | None,
    reason: str,
    by: Person,
    at: datetime,
) -> CriticalFinding:
    """Restrict or close at once because of this finding; no rating is waited for. The finding keeps the posting.

    It is not thereby made safe: a record is not a closing, somebody must say what stands at the road. Who may restrict
    is `restrict_now`'s to judge.
    """
    if finding.state == CriticalState.CLOSED:
        raise Refused("This critical finding is closed: restrict on the structure's own page.")
    posting = restrict_now(
        structure=finding.structure, restriction=restriction, single_ton=single_ton, reason=reason, by=by, at=at
    )
    finding = CriticalFinding.objects.select_for_update().get(pk=finding.pk)
    finding.posting = posting
    finding.revision += 1
    finding.save(update_fields=["posting", "revision"])
    return finding
