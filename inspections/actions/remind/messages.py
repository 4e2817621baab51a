"""Messages owed to people: once per reminder and person, when it is due within 14 days or late."""

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from django.db import transaction

from inspections.models import OwedMessage, Reminder
from inspections.rules.clocks import SOON_DAYS, day
from inspections.vocabulary.states import OwedState, ReminderKind, ReminderState
from inventory.models import Membership, Person
from inventory.vocabulary.roles import Role

# More than this at once is one message: a person reads ten lines, not three hundred.
MOST_AT_ONCE = 10


@dataclass(frozen=True, kw_only=True)
class MessagePlan:
    """Messages not yet sent, by (person, key)."""

    rows: dict[tuple[int, str], tuple[int, str]] = field(default_factory=dict)

    def joined(self, other: "MessagePlan") -> "MessagePlan":
        return MessagePlan(rows=self.rows | other.rows)


def plan_messages(
    structure_ids: list[int], agency_of: dict[int, int], reminders: list[Reminder], as_of: date
) -> MessagePlan:
    """Who must still be told of which reminder.

    The person it is assigned to; where nobody is, the agency's supervisors, until one acknowledges it. A deferred
    reminder is silent until its day, and then told of once more.
    """
    near = [row for row in reminders if row.due_on <= as_of + timedelta(days=SOON_DAYS) and not _is_put_off(row, as_of)]
    if not near:
        return MessagePlan()
    supervisors = _supervisors({agency_of[row.structure_id] for row in near})
    wanted: dict[tuple[int, str], tuple[int, str]] = {}
    for row in near:
        for person_id in _recipients(row, supervisors.get(agency_of[row.structure_id], [])):
            wanted[(person_id, message_key(row))] = (row.structure_id, _sentence(row))
    told = set(
        OwedMessage.objects.filter(structure__in=structure_ids, key__in={key for _, key in wanted}).values_list(
            "person_id", "key"
        )
    )
    return MessagePlan(rows={place: row for place, row in wanted.items() if place not in told})


def send_messages(plan: MessagePlan, at: datetime) -> int:
    """Write the planned messages; one that another sweep wrote in the meantime stays the only one.

    Many at once (a file of records was read in) are told in one sentence; each still gets its row, as told, so that
    no later sweep tells it again.
    """
    by_person: dict[int, list[OwedMessage]] = {}
    for (person_id, key), (structure_id, sentence) in plan.rows.items():
        row = OwedMessage(person_id=person_id, structure_id=structure_id, sentence=sentence, key=key, created_at=at)
        by_person.setdefault(person_id, []).append(row)
    rows = []
    for person_id, own in by_person.items():
        rows += own if len(own) <= MOST_AT_ONCE else _told_together(person_id, own, at)
    OwedMessage.objects.bulk_create(rows, ignore_conflicts=True)
    return len(rows)


def _told_together(person_id: int, own: list[OwedMessage], at: datetime) -> list[OwedMessage]:
    for row in own:
        row.state, row.read_at = OwedState.DONE.value, at
    structures = len({row.structure_id for row in own})
    sentence = (
        f"{len(own)} dates on {structures} structures are due within {SOON_DAYS} days or late: see the overdue list."
    )
    together = OwedMessage(person_id=person_id, sentence=sentence, key=f"together:{at.isoformat()}", created_at=at)
    return [together, *own]


def message_key(row: Reminder) -> str:
    """What makes the same thing the same: structure, kind, date, and the day a deferral ended."""
    key = f"due:{row.structure_id}:{row.kind}:{row.due_on}"
    return f"{key}:after:{row.deferred_to}" if row.state == ReminderState.DEFERRED else key


@transaction.atomic
def mark_read(*, person: Person, message_ids: list[int] | None, at: datetime) -> int:
    """Mark a person's own messages as read; all of them where no ids are given."""
    owed = OwedMessage.objects.filter(person=person, state=OwedState.OWED.value)
    if message_ids is not None:
        owed = owed.filter(pk__in=message_ids)
    return owed.update(state=OwedState.DONE.value, read_at=at)


def _is_put_off(row: Reminder, as_of: date) -> bool:
    return row.state == ReminderState.DEFERRED and row.deferred_to is not None and row.deferred_to > as_of


def _recipients(row: Reminder, supervisors: list[int]) -> list[int]:
    if row.assigned_to_id is not None:
        return [row.assigned_to_id]
    return [] if row.state == ReminderState.ACKNOWLEDGED else supervisors


def _supervisors(agency_ids: set[int]) -> dict[int, list[int]]:
    rows = Membership.objects.filter(agency__in=agency_ids, role=Role.SUPERVISOR.value, person__is_active=True)
    by_agency: dict[int, list[int]] = {}
    for agency_id, person_id in rows.values_list("agency_id", "person_id"):
        by_agency.setdefault(agency_id, []).append(person_id)
    return by_agency


def _sentence(row: Reminder) -> str:
    where = f"{row.structure.number} {row.structure.title}".strip()
    return f"{ReminderKind.label_of(row.kind)} at {where}, due {day(row.due_on)}: {row.reason}"[:400]
