"""Something happened: the visits it sets off are owed, set aside with a reason, or found made.

A visit becomes done in `remind.refresh_reminders`, from the record, however often that runs.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inspections.models import OwedVisit
from inspections.queries.inspection_facts import clock_policy
from inspections.queries.schedule import MAY_REPORT
from inspections.rules import lifecycle
from inspections.rules.clocks import visit_due_on
from inspections.rules.clocks.terms import day
from inspections.rules.inspection_needs import event_faults
from inspections.rules.refusals import Refused
from inspections.vocabulary.findings import InspectionKind, VisitCause
from inspections.vocabulary.states import VisitState
from inventory.actions.tell import tell_event
from inventory.models import Agency, Person, Structure
from inventory.queries.inspection_policy import policies_of
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import ALLOWED
from inventory.vocabulary.structures import Status

from .lock import day_of, lock_row, lock_structure, require_move
from .remind import refresh_reminders


@dataclass(frozen=True, kw_only=True)
class Owed:
    """The visits made, and the structures that owed the same visit already."""

    made: tuple[OwedVisit, ...]
    already: tuple[Structure, ...]


@transaction.atomic
def owe_visits(
    *,
    structures: Iterable[Structure],
    kind: str,
    cause: str,
    happened_on: date | None,
    words: str,
    by: Person,
    at: datetime,
) -> Owed:
    """One visit to each structure, due by the days of its county's policy; all or none.

    Safe to send twice: a structure that has a visit of this kind for this cause and day, open or made, gets no second.
    """
    today = day_of(at)
    if faults := event_faults(kind=kind, cause=cause, happened_on=happened_on, words=words, today=today):
        raise Refused(*faults)
    ids = sorted({structure.pk for structure in structures})
    if not ids:
        raise Refused("No structure is ticked: tick those that must be looked at.")
    held = [lock_structure(pk) for pk in ids]
    agencies = Agency.objects.in_bulk({structure.agency_id for structure in held})
    for structure in held:
        structure.agency = agencies[structure.agency_id]
    _require_all(by, held)
    policies = policies_of(structure.agency_id for structure in held)
    known = set(
        OwedVisit.objects.filter(structure__in=ids, kind=kind, cause=cause, happened_on=happened_on)
        .exclude(state=VisitState.SET_ASIDE.value)
        .values_list("structure_id", flat=True)
    )
    made = []
    for structure in held:
        if structure.pk not in known:
            policy = clock_policy(structure.agency, policies[structure.agency_id])
            due_on = visit_due_on(kind, happened_on, policy)
            made.append(_owe(structure, kind, cause, happened_on, due_on, words.strip(), by, at))
    refresh_reminders(structure_ids=ids, as_of=today, at=at)
    return Owed(made=tuple(made), already=tuple(row for row in held if row.pk in known))


def _require_all(by: Person, held: list[Structure]) -> None:
    for agency in {structure.agency for structure in held}:
        if not set(MAY_REPORT) & permits_of(by, agency):
            roles = " or ".join(sorted({role.label.lower() for permit in MAY_REPORT for role in ALLOWED[permit]}))
            raise Refused(f"You may not report what sets off a visit in {agency}: that needs the role {roles}.")
    if out := [structure.number for structure in held if structure.status != Status.IN_SERVICE]:
        raise Refused(f"Not in service, so no visit is owed: {', '.join(out)}. Untick them.")


def _owe(structure: Structure, kind, cause, happened_on: date, due_on: date, words: str, by, at) -> OwedVisit:
    row = OwedVisit.objects.create(
        structure=structure,
        kind=kind,
        cause=cause,
        happened_on=happened_on,
        words=words,
        due_on=due_on,
        made_by=by,
        made_at=at,
    )
    told = f" ({words})" if words else ""
    tell_event(
        verb="owe_visit",
        sentence=f"{VisitCause.label_of(cause)} on {day(happened_on)}{told}: "
        f"{InspectionKind.label_of(kind).lower()} owed by {day(due_on)}.",
        at=at,
        by=by,
        structure=structure,
        detail={"visit": row.pk},
    )
    return row


@transaction.atomic
def set_visit_aside(*, visit: OwedVisit, revision: int, reason: str, by: Person, at: datetime) -> OwedVisit:
    """No visit after all, with the reason. Refused without one, for an old copy, and for one that is not open."""
    structure = lock_structure(visit.structure_id)
    row = lock_row(visit, revision, "this visit")
    require_move(lifecycle.VISIT, row.state, VisitState.SET_ASIDE.value, permits_of(by, structure.agency))
    if not reason.strip():
        raise Refused("Say why the visit is not needed: the reason is kept with it.")
    row.state, row.state_reason = VisitState.SET_ASIDE.value, reason.strip()[:300]
    row.revision += 1
    row.save()
    tell_event(
        verb="set_visit_aside",
        sentence=f"{InspectionKind.label_of(row.kind)} after {VisitCause.label_of(row.cause).lower()} on "
        f"{day(row.happened_on)} set aside: {reason.strip()}",
        at=at,
        by=by,
        structure=structure,
        detail={"visit": row.pk},
    )
    refresh_reminders(structure_ids=[structure.pk], as_of=day_of(at), at=at)
    return row
