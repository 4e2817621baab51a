"""Rows of due lists in words, and the part of a structure's page that says what it owes."""

from dataclasses import dataclass
from datetime import date

from django.http import HttpRequest
from django.utils import timezone

from inspections.models import Reminder
from inspections.queries.reminders import ACTIVE, closed_on, owed_on, unread_messages
from inspections.rules.clocks import CLOSED_BY_RECORD, Lateness, day, lateness
from inspections.vocabulary.states import ReminderState
from inventory.models import Person, Structure
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

CLOSED_SHOWN = 5


@dataclass(frozen=True, kw_only=True)
class DueRow:
    """One reminder as a list shows it on a day."""

    reminder: Reminder
    lateness: Lateness
    is_open: bool

    @property
    def state_words(self) -> str:
        """The state, with the day and the reason of a deferral."""
        row = self.reminder
        if row.state == ReminderState.DEFERRED:
            return f"Put off to {day(row.deferred_to)}: {row.state_reason}"
        return ReminderState.label_of(row.state)

    @property
    def can_be_done_by_hand(self) -> bool:
        return self.is_open and self.reminder.kind not in CLOSED_BY_RECORD


def due_row(reminder: Reminder, as_of: date) -> DueRow:
    """The row of one reminder; a closed one is not late any more."""
    is_open = reminder.state in ACTIVE
    stands = lateness(kind=reminder.kind, due_on=reminder.due_on, late_after=reminder.late_after, as_of=as_of)
    if not is_open:
        stands = Lateness(grade="ahead", days_late=0, words=ReminderState.label_of(reminder.state).lower())
    return DueRow(reminder=reminder, lateness=stands, is_open=is_open)


def due_rows(reminders, as_of: date) -> list[DueRow]:
    return [due_row(reminder, as_of) for reminder in reminders]


def unread_count(person: Person) -> int:
    """The number beside the door of the person's messages."""
    return unread_messages(person).count()


def load(request: HttpRequest, structure: Structure) -> dict:
    """The section of a structure's page."""
    as_of = timezone.localdate()
    return {
        "rows": due_rows(owed_on(structure), as_of),
        "closed": list(closed_on(structure)[:CLOSED_SHOWN]),
        "may_manage": Permit.MANAGE_REMINDERS in permits_of(request.user, structure.agency),
    }
