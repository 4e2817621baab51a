"""What people do with a reminder: acknowledge, assign, defer, mark done. Each locks the row and tells the event.

None of them moves `due_on`: that is the rule's. A deferral is a person's word beside it.
"""

from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from inspections.actions.lock import lock_row, lock_structure, require_permit
from inspections.models import OwedMessage, Reminder
from inspections.queries.clock_facts import clock_facts
from inspections.queries.reminders import ACTIVE
from inspections.rules.clocks import CLOSED_BY_RECORD, all_dues, day, deferral_note, deferral_refusal
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import ReminderKind, ReminderState
from inventory.actions.record_history import record_work
from inventory.actions.tell import tell_event
from inventory.models import Membership, Person
from inventory.rules.refusals import Refused as NotRecorded
from inventory.vocabulary.roles import Permit, Role
from inventory.vocabulary.structures import WorkKind

from .refresh import refresh_reminders

WORK_OF = {
    ReminderKind.RETENSION: WorkKind.RETENSION,
    ReminderKind.RESURFACING: WorkKind.RESURFACING,
    ReminderKind.TREATMENT: WorkKind.TREATMENT,
}


@transaction.atomic
def acknowledge(*, reminder: Reminder, revision: int, by: Person, at: datetime) -> Reminder:
    """Seen: supervisors are told no more. The person it is assigned to may say so as well as those who manage.

    Raises `Refused` for a closed reminder, `Stale` for an old copy.
    """
    own = reminder.assigned_to_id == by.pk
    row = _open(reminder, revision, by, None if own else Permit.MANAGE_REMINDERS)
    if row.state == ReminderState.ACKNOWLEDGED:
        raise Refused("This reminder is acknowledged already.")
    row.state, row.deferred_to, row.state_reason = ReminderState.ACKNOWLEDGED.value, None, ""
    return _save(row, "reminder acknowledged", f"acknowledged by {by}.", by, at)


@transaction.atomic
def assign(*, reminder: Reminder, revision: int, by: Person, at: datetime, to: Person | None) -> Reminder:
    """Give it to a member of the structure's agency who does more than read, or to nobody; the person is told."""
    row = _open(reminder, revision, by)
    if to is not None and not _is_assignable(row, to):
        raise Refused(f"{to} does not work in {row.structure.agency} or only reads there: choose another person.")
    row.assigned_to = to
    _save(row, "reminder assigned", f"assigned to {to}." if to else "assigned to nobody.", by, at)
    if to is not None and to != by:
        where = f"{row.structure.number} {row.structure.title}"
        OwedMessage.objects.bulk_create(
            [
                OwedMessage(
                    person=to,
                    structure=row.structure,
                    sentence=f"{by} gave you: {_title(row)}, {where}. {row.reason}"[:400],
                    key=f"assigned:{row.pk}:{row.revision}",
                    created_at=at,
                )
            ],
            ignore_conflicts=True,
        )
    return row


@transaction.atomic
def assign_many(*, chosen: list[tuple[Reminder, int]], by: Person, at: datetime, to: Person | None) -> int:
    """Assign several, all or none: one that cannot be assigned refuses the whole, and says which."""
    for reminder, revision in chosen:
        try:
            assign(reminder=reminder, revision=revision, by=by, at=at, to=to)
        except Refused as refused:
            raise Refused(f"{reminder.structure.number}, {_title(reminder)}: {refused.sentence}") from refused
    return len(chosen)


@transaction.atomic
def defer(*, reminder: Reminder, revision: int, by: Person, at: datetime, to: date, reason: str) -> Reminder:
    """Put it off to a day with a reason. The due date stays; the law's clocks stop at the end of their tolerance."""
    row = _open(reminder, revision, by)
    refusal = deferral_refusal(
        kind=row.kind,
        due_on=row.due_on,
        late_after=row.late_after,
        to=to,
        reason=reason,
        as_of=timezone.localdate(at),
    )
    if refusal:
        raise Refused(refusal)
    row.state, row.deferred_to, row.state_reason = ReminderState.DEFERRED.value, to, reason.strip()[:300]
    note = deferral_note(row.kind, row.due_on)
    return _save(row, "reminder deferred", f"put off to {day(to)} by {by}: {reason.strip()} {note}", by, at)


@transaction.atomic
def complete(*, reminder: Reminder, revision: int, by: Person, at: datetime, on: date, note: str = "") -> Reminder:
    """Say that work was done on a day: it is written as work done, and the next date follows from it.

    Refused for what only its own record can close (inspection, bar check, sign, posting), for a day in the future,
    and where the record would still ask for the same after it.
    """
    row = _open(reminder, revision, by)
    if row.kind in CLOSED_BY_RECORD:
        raise Refused(CLOSED_BY_RECORD[ReminderKind(row.kind)])
    today = timezone.localdate(at)
    if on > today:
        raise Refused(f"{day(on)} is in the future: give the day on which the work was done.")
    summary = note.strip() or f"{ReminderKind.label_of(row.kind)}: marked done from the due list, particulars to follow"
    work = {"kind": WORK_OF[ReminderKind(row.kind)].value, "done_on": on, "summary": summary[:300]}
    try:
        record_work(structure=row.structure, fields=work, by=by, at=at)
    except NotRecorded as refused:
        raise Refused(refused.sentence) from refused
    facts, policy = clock_facts([row.structure_id])[row.structure_id]
    for due in all_dues(facts, policy, today):
        if (due.kind.value, due.due_on) == (row.kind, row.due_on):
            raise Refused(f"The record would still ask for this after work on {day(on)}: {due.reason}")
    row.state, row.deferred_to = ReminderState.DONE.value, None
    row.state_reason = f"Done on {day(on)}, said by {by}. {note.strip()}".strip()[:300]
    _save(row, "reminder done", row.state_reason, by, at)
    refresh_reminders(structure_ids=[row.structure_id], as_of=today, at=at)
    return row


def _open(reminder: Reminder, revision: int, by: Person, permit: Permit | None = Permit.MANAGE_REMINDERS) -> Reminder:
    """The row, held after its structure (always in that order), of one who may move it and not yet closed."""
    structure = lock_structure(reminder.structure_id)
    if permit is not None:
        require_permit(by, structure, permit)
    row = lock_row(reminder, revision, "this reminder")
    row.structure = structure
    if row.state not in ACTIVE:
        label = ReminderState.label_of(row.state).lower()
        raise Refused(f"This reminder is closed ({label}): {row.state_reason or 'nothing more to do'}")
    return row


def _save(row: Reminder, verb: str, sentence: str, by: Person, at: datetime) -> Reminder:
    row.changed_by, row.changed_at = by, at
    row.revision += 1
    row.save()
    tell_event(verb=verb, sentence=f"{_title(row)}: {sentence}", at=at, by=by, structure=row.structure)
    return row


def _title(row: Reminder) -> str:
    return f"{ReminderKind.label_of(row.kind)} due {day(row.due_on)}"


def _is_assignable(row: Reminder, person: Person) -> bool:
    memberships = Membership.objects.filter(agency=row.structure.agency, person=person, person__is_active=True)
    return memberships.exclude(role=Role.REVIEWER.value).exists()
