"""A structure's own interval for one kind of inspection is set, replaced and ended, each with its reason."""

from collections.abc import Collection
from datetime import date, datetime

from django.db import transaction

from inspections.models import InspectionNeed
from inspections.queries.inspection_facts import clock_policy
from inspections.rules.clocks.terms import count, day
from inspections.rules.inspection_needs import need_faults
from inspections.rules.refusals import Refused
from inspections.vocabulary.findings import InspectionKind
from inventory.actions.tell import tell_event
from inventory.models import Person, Structure
from inventory.queries.inspection_policy import policy_of
from inventory.vocabulary.roles import Permit

from .lock import day_of, lock_structure, require_permit
from .remind import refresh_reminders


@transaction.atomic
def set_need(
    *,
    structure: Structure,
    kind: str,
    interval_months: int | None,
    reason: str,
    by: Person,
    at: datetime,
    first_due_on: date | None = None,
    seen: Collection[int] = (),
) -> InspectionNeed:
    """Set it. `seen` are the rows the person saw in force: one among them for the same kind is replaced and stays on
    record as ended; where another stands meanwhile, it is refused."""
    structure = lock_structure(structure.pk)
    require_permit(by, structure, Permit.SET_INSPECTION_POLICY)
    policy = clock_policy(structure.agency, policy_of(structure.agency))
    faults = need_faults(
        kind=kind,
        months=interval_months,
        first_due_on=first_due_on,
        reason=reason,
        is_federal=structure.is_bridge_length is not False,
        policy=policy,
        today=day_of(at),
    )
    if faults:
        raise Refused(*faults)
    standing = InspectionNeed.objects.filter(structure=structure, kind=kind, ended_on__isnull=True).first()
    label = InspectionKind.label_of(kind)
    if standing is not None and standing.pk not in seen:
        raise Refused(
            f"{label}: an interval of {count(standing.interval_months, 'month')} is set already ({standing.reason}). "
            "It is shown on this page: read it, then save again to replace it."
        )
    if standing is not None:
        _end(standing, day_of(at), f"Replaced: {reason.strip()}")
    row = InspectionNeed.objects.create(
        structure=structure,
        kind=kind,
        interval_months=interval_months,
        first_due_on=first_due_on,
        reason=reason.strip(),
        set_by=by,
        set_at=at,
    )
    first = f", the first by {day(first_due_on)}" if first_due_on else ""
    tell_event(
        verb="set_inspection_need",
        sentence=f"{label} inspection every {count(interval_months, 'month')}{first}: {reason.strip()}",
        at=at,
        by=by,
        structure=structure,
        detail={"need": row.pk, "kind": kind, "months": interval_months, "replaces": standing.pk if standing else None},
    )
    refresh_reminders(structure_ids=[structure.pk], as_of=day_of(at), at=at)
    return row


@transaction.atomic
def end_need(*, need: InspectionNeed, reason: str, by: Person, at: datetime) -> InspectionNeed:
    """End it, with the reason; from today the county's own interval holds again. One ended already is refused."""
    structure = lock_structure(need.structure_id)
    require_permit(by, structure, Permit.SET_INSPECTION_POLICY)
    row = InspectionNeed.objects.select_for_update().get(pk=need.pk)
    if row.ended_on is not None:
        raise Refused(f"This was ended on {day(row.ended_on)} already: {row.ended_reason}")
    if not reason.strip():
        raise Refused("Say why it is ended: the reason is kept with it.")
    _end(row, day_of(at), reason.strip())
    label = InspectionKind.label_of(row.kind)
    tell_event(
        verb="end_inspection_need",
        sentence=f"{label} inspection every {count(row.interval_months, 'month')} ended: {reason.strip()}",
        at=at,
        by=by,
        structure=structure,
        detail={"need": row.pk, "kind": row.kind},
    )
    refresh_reminders(structure_ids=[structure.pk], as_of=day_of(at), at=at)
    return row


def _end(row: InspectionNeed, on: date, reason: str) -> None:
    row.ended_on, row.ended_reason = on, reason[:300]
    row.save(update_fields=["ended_on", "ended_reason"])
