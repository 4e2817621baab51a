"""Bring the reminders of structures in line with the record.

Safe to run twice, at once, and after any message was lost: everything is found again from the rows. What the record
owes and has no row gets one; a row the record no longer owes is done (the record holds later work of its kind) or no
longer owed; a closed row that is owed again is opened. What people made of an open row (acknowledged, deferred,
assigned) stays as it is.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime

from django.db import transaction
from django.db.models import F

from inspections.models import OwedVisit, Reminder
from inspections.queries.clock_facts import clock_facts
from inspections.queries.reminders import ACTIVE
from inspections.rules.clocks import Due, all_dues, closing, day
from inspections.vocabulary.states import ReminderKind, ReminderState
from inventory.models import Event, Standing, Structure

from .messages import MessagePlan, plan_messages, send_messages
from .visits import answered_visits, close_answered

BATCH = 200


@dataclass(kw_only=True)
class Refreshed:
    """How many rows were made, closed by the record, dropped, opened again, and messages sent."""

    made: int = 0
    done: int = 0
    lapsed: int = 0
    reopened: int = 0
    told: int = 0


@dataclass(kw_only=True)
class Plan:
    """What would have to be written for some structures."""

    agency_of: dict[int, int] = field(default_factory=dict)
    make: list[tuple[int, Due]] = field(default_factory=list)
    close: list[tuple[Reminder, bool, str]] = field(default_factory=list)
    reopen: list[tuple[Reminder, Due]] = field(default_factory=list)
    amend: list[tuple[Reminder, Due]] = field(default_factory=list)
    standing: list[Standing] = field(default_factory=list)
    visits: list[OwedVisit] = field(default_factory=list)
    messages: MessagePlan = field(default_factory=MessagePlan)

    @property
    def is_empty(self) -> bool:
        moved = self.make or self.close or self.reopen or self.amend or self.visits
        return not (moved or self.standing or self.messages.rows)


def refresh_reminders(*, structure_ids: Iterable[int], as_of: date, at: datetime) -> Refreshed:
    """Make, close and open reminders, owe messages, and set `next due` on the standings, 200 structures at a time."""
    total = Refreshed()
    for ids in _batches(sorted(set(structure_ids))):
        # A look without a lock first: most sweeps find nothing to write and must not keep writers waiting.
        if _plan(ids, as_of).is_empty:
            continue
        with transaction.atomic():
            list(Structure.objects.select_for_update(no_key=True).filter(pk__in=ids).order_by("pk").values_list("pk"))
            _apply(_plan(ids, as_of), as_of, at, total)
    return total


def _batches(ids: list[int]) -> Iterable[list[int]]:
    return (ids[start : start + BATCH] for start in range(0, len(ids), BATCH))


def _plan(ids: list[int], as_of: date) -> Plan:
    plan = Plan()
    facts = clock_facts(ids)
    plan.agency_of = dict(Structure.objects.filter(pk__in=ids).values_list("pk", "agency_id"))
    rows: dict[int, list[Reminder]] = {key: [] for key in facts}
    for row in Reminder.objects.filter(structure__in=ids).select_related("structure"):
        rows.setdefault(row.structure_id, []).append(row)
    owed: dict[int, list[Due]] = {}
    for key, (structure_facts, policy) in facts.items():
        owed[key] = all_dues(structure_facts, policy, as_of)
        _compare(plan, key, structure_facts, owed[key], rows[key])
    _plan_standing(plan, ids, owed)
    plan.visits = answered_visits(ids)
    plan.messages = plan_messages(ids, plan.agency_of, _open_after(plan, rows), as_of)
    return plan


def _compare(plan: Plan, key: int, facts, dues: list[Due], rows: list[Reminder]) -> None:
    """The difference between what is owed and the rows of one structure."""
    known = {(row.kind, row.due_on): row for row in rows}
    wanted = {(due.kind.value, due.due_on): due for due in dues}
    for place, due in wanted.items():
        row = known.get(place)
        if row is None:
            plan.make.append((key, due))
        elif row.state not in ACTIVE:
            plan.reopen.append((row, due))
        elif (row.reason, row.late_after, row.counted_from) != (due.reason, due.late_after, due.counted_from):
            plan.amend.append((row, due))
    for place, row in known.items():
        if place not in wanted and row.state in ACTIVE:
            done, sentence = closing(ReminderKind(row.kind), row.counted_from, facts, dues)
            plan.close.append((row, done, sentence))


def _open_after(plan: Plan, rows: dict[int, list[Reminder]]) -> list[Reminder]:
    """The reminders that will be open once the plan is carried out; those still to be made are told of next time
    round, once they have a row."""
    closed = {row.pk for row, _, _ in plan.close}
    return [row for found in rows.values() for row in found if row.state in ACTIVE and row.pk not in closed]


def _plan_standing(plan: Plan, ids: list[int], owed: dict[int, list[Due]]) -> None:
    for standing in Standing.objects.filter(structure__in=ids):
        first = next(iter(owed.get(standing.structure_id, [])), None)
        due_on = first.due_on if first else None
        words = first.kind.label if first else ""
        if (standing.next_due_on, standing.next_due_words) != (due_on, words):
            standing.next_due_on, standing.next_due_words = due_on, words
            plan.standing.append(standing)


def _apply(plan: Plan, as_of: date, at: datetime, total: Refreshed) -> None:
    """Write the plan; the caller holds the transaction and the structures' rows."""
    made = [_new_row(key, due, at) for key, due in plan.make]
    # A sweep that ran at the same moment may have made the same row: the constraint keeps one, whoever came first.
    Reminder.objects.bulk_create(made, ignore_conflicts=True)
    events = [_close(row, done, sentence, plan, at) for row, done, sentence in plan.close]
    events += [_reopen(row, due, plan, at) for row, due in plan.reopen]
    events += close_answered(plan.visits, plan.agency_of, at)
    for row, due in plan.amend:
        row.reason, row.late_after, row.counted_from = due.reason, due.late_after, due.counted_from
    moved = [row for row, *_ in plan.close] + [row for row, _ in plan.reopen] + [row for row, _ in plan.amend]
    fields = ["state", "state_reason", "deferred_to", "changed_by", "changed_at", "reason", "late_after"]
    Reminder.objects.bulk_update(moved, [*fields, "counted_from"], batch_size=100)
    Reminder.objects.filter(pk__in=[row.pk for row in moved]).update(revision=F("revision") + 1)
    Standing.objects.bulk_update(plan.standing, ["next_due_on", "next_due_words"], batch_size=200)
    Event.objects.bulk_create(events)
    messages = plan.messages
    if made:
        fresh = Reminder.objects.filter(
            structure__in=list(plan.agency_of), state__in=ACTIVE, due_on__in={row.due_on for row in made}
        ).select_related("structure")
        messages = messages.joined(plan_messages(list(plan.agency_of), plan.agency_of, list(fresh), as_of))
    total.told += send_messages(messages, at)
    total.made += len(made)
    total.done += sum(1 for _, done, _ in plan.close if done)
    total.lapsed += sum(1 for _, done, _ in plan.close if not done)
    total.reopened += len(plan.reopen)


def _new_row(key: int, due: Due, at: datetime) -> Reminder:
    return Reminder(
        structure_id=key,
        kind=due.kind.value,
        due_on=due.due_on,
        late_after=due.late_after,
        counted_from=due.counted_from,
        reason=due.reason,
        created_at=at,
    )


def _close(row: Reminder, done: bool, sentence: str, plan: Plan, at: datetime) -> Event:
    row.state = (ReminderState.DONE if done else ReminderState.LAPSED).value
    row.state_reason, row.deferred_to, row.changed_by, row.changed_at = sentence, None, None, at
    verb = "reminder done" if done else "reminder lapsed"
    return _event(row, verb, f"{_title(row)}: {sentence}", plan, at)


def _reopen(row: Reminder, due: Due, plan: Plan, at: datetime) -> Event:
    row.state, row.deferred_to, row.changed_by, row.changed_at = ReminderState.OPEN.value, None, None, at
    row.state_reason = "Opened again: by the record it is owed after all."
    row.reason, row.late_after, row.counted_from = due.reason, due.late_after, due.counted_from
    return _event(row, "reminder reopened", f"{_title(row)}: {row.state_reason}", plan, at)


def _title(row: Reminder) -> str:
    return f"{ReminderKind.label_of(row.kind)} due {day(row.due_on)}"


def _event(row: Reminder, verb: str, sentence: str, plan: Plan, at: datetime) -> Event:
    agency_id = plan.agency_of[row.structure_id]
    return Event(agency_id=agency_id, structure_id=row.structure_id, verb=verb, sentence=sentence[:500], by=None, at=at)
