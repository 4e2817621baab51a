"""Visits owed because something happened: a damage inspection after a hit, scour monitoring after high water.

23 CFR 650.305 and 650.313 name both kinds and set no number of days [memory]: the county's policy does.
"""

from datetime import date

from inspections.vocabulary.findings import InspectionKind, VisitCause
from inspections.vocabulary.states import ReminderKind

from .inspection_facts import InspectionFacts, VisitFact
from .terms import Due, clip, day

VISIT_KINDS = {InspectionKind.DAMAGE: ReminderKind.DAMAGE, InspectionKind.SCOUR: ReminderKind.SCOUR}
OFFERED_KIND = {VisitCause.FLOOD: InspectionKind.SCOUR}


def kind_offered(cause: str) -> InspectionKind:
    """What an event asks for where nobody says otherwise: monitoring after high water, else a damage inspection."""
    return OFFERED_KIND.get(cause, InspectionKind.DAMAGE)


def answered_on(facts: InspectionFacts, kind: str) -> date | None:
    """The last inspection of the kind that answers such a visit."""
    return {InspectionKind.DAMAGE: facts.last_damage_on, InspectionKind.SCOUR: facts.last_scour_on}.get(kind)


def visit_dues(facts: InspectionFacts) -> list[Due]:
    """The visits owed. One of the kind on the day of the event or later answers it; nothing is put off."""
    return [_due(visit) for visit in facts.visits if visit.kind in VISIT_KINDS and not _is_answered(facts, visit)]


def _is_answered(facts: InspectionFacts, visit: VisitFact) -> bool:
    done_on = answered_on(facts, visit.kind)
    return done_on is not None and done_on >= visit.happened_on


def _due(visit: VisitFact) -> Due:
    label = InspectionKind.label_of(visit.kind)
    what = label if visit.kind == InspectionKind.SCOUR else f"{label} inspection"
    told = f": {visit.words}" if visit.words else ""
    sentence = (
        f"{what}: {visit.cause.lower()} on {day(visit.happened_on)}{told}. By {day(visit.due_on)}; where it may be "
        "unsafe, close it first."
    )
    return Due(
        kind=VISIT_KINDS[InspectionKind(visit.kind)],
        due_on=visit.due_on,
        late_after=visit.due_on,
        counted_from=visit.happened_on,
        reason=clip(sentence),
    )
