"""What will be done about a critical finding, and by when."""

from datetime import date, datetime

from django.db import transaction

from inspections.actions.lock import day_of
from inspections.models import CriticalFinding
from inspections.rules.clocks.terms import day
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import CriticalState
from inventory.actions.tell import tell_event
from inventory.models import Person

from .held import hold_critical, needed_words


@transaction.atomic
def plan_critical(
    *, finding: CriticalFinding, revision: int, words: str, until: date | None, by: Person, at: datetime
) -> CriticalFinding:
    """Write the plan, or a new one in its place (the event keeps the old). The first plan stops the clock."""
    structure, finding = hold_critical(finding, revision, by)
    if finding.state == CriticalState.CLOSED:
        raise Refused("This critical finding is closed: what was done stands on record, and no plan is needed.")
    words = needed_words(words, "Say what will be done: shoring, repair, replacement, and who does it.")
    if until is None:
        raise Refused("Give the day by which it will be done; the status report asks for it.")
    if until < day_of(finding.found_at):
        raise Refused(f"It was found on {day(day_of(finding.found_at))}: give a day after that.")
    finding.plan_words, finding.plan_until = words, until
    finding.planned_at = finding.planned_at or at
    finding.revision += 1
    finding.save(update_fields=["plan_words", "plan_until", "planned_at", "revision"])
    tell_event(
        verb="plan_critical",
        sentence=f"Critical finding, to be done by {day(until)}: {words}",
        at=at,
        by=by,
        structure=structure,
        detail={"critical": finding.pk},
    )
    return finding
