"""Field days with their stops, and what is owed in the field in a month."""

from collections.abc import Iterable, Mapping
from datetime import date

from django.db.models import Prefetch, Q, QuerySet

from inspections.models import FieldDay, FieldStop, Inspection, Reminder
from inspections.rules.clocks import INSPECTION_OF
from inspections.vocabulary.findings import InspectionKind
from inspections.vocabulary.states import ReminderKind, ReminderState
from inventory.models import Agency, Person
from inventory.queries.people import agencies_of
from inventory.queries.qualifications import lines_by_person, possible_leaders, refresher_of
from inventory.rules.qualifications import Answer, may_lead

from .inspections import RECEIVED
from .reminders import ACTIVE

BEGINS = (InspectionKind.INITIAL.value, InspectionKind.ROUTINE.value)
FIELD_REMINDERS = tuple(kind.value for kind in INSPECTION_OF)


def field_days_for(person: Person) -> QuerySet[FieldDay]:
    """All field days of the person's agencies, with their stops in order."""
    return with_stops(FieldDay.objects.filter(agency__in=agencies_of(person)))


def with_stops(days: QuerySet[FieldDay]) -> QuerySet[FieldDay]:
    """Everything a page shows of a day, in a fixed number of queries."""
    stops = FieldStop.objects.select_related("structure", "reminder").order_by("order", "pk")
    return days.select_related("agency", "leader", "override_by").prefetch_related(Prefetch("stops", queryset=stops))


def days_between(agency: Agency, first: date, last: date) -> QuerySet[FieldDay]:
    """The agency's days from `first` to `last`, both included."""
    return with_stops(FieldDay.objects.filter(agency=agency, on__range=(first, last))).order_by("on", "pk")


def days_to_come(agency: Agency, today: date) -> QuerySet[FieldDay]:
    """Days on which a stop may still be put."""
    return FieldDay.objects.filter(agency=agency, on__gte=today).select_related("leader").order_by("on", "pk")


def stops_for(person: Person) -> QuerySet[FieldStop]:
    """Every stop of the person's agencies."""
    return FieldStop.objects.filter(day__agency__in=agencies_of(person)).select_related("day__agency", "structure")


def field_work_due(agency: Agency, last: date) -> QuerySet[Reminder]:
    """Inspections, visits and bar checks due by a day and not put off beyond it; the longest due first."""
    owed = Reminder.objects.filter(
        structure__agency=agency, kind__in=FIELD_REMINDERS, state__in=ACTIVE, due_on__lte=last
    ).exclude(put_off_past(last))
    return owed.select_related("structure", "assigned_to").order_by("due_on", "structure__number", "kind", "pk")


def put_off_past(last: date) -> Q:
    """Put off by a person to a day after `last`."""
    return Q(state=ReminderState.DEFERRED.value, deferred_to__gt=last)


def count_put_off(agency: Agency, last: date) -> int:
    """How many are due by a day but put off beyond it."""
    owed = Reminder.objects.filter(structure__agency=agency, kind__in=FIELD_REMINDERS, due_on__lte=last)
    return owed.filter(put_off_past(last)).count()


def stop_kinds(reminders: Iterable[Reminder]) -> dict[int, str]:
    """Reminder id to the kind of inspection that answers it; the first of a structure is its initial one."""
    rows = list(reminders)
    begun = set(
        Inspection.objects.filter(
            structure__in={row.structure_id for row in rows}, kind__in=BEGINS, state__in=RECEIVED
        ).values_list("structure_id", flat=True)
    )
    found = {}
    for row in rows:
        kind = INSPECTION_OF[ReminderKind(row.kind)]
        is_first = row.kind == ReminderKind.INSPECTION and row.structure_id not in begun
        found[row.pk] = InspectionKind.INITIAL.value if is_first else InspectionKind(kind).value
    return found


def planned_on(reminders: Iterable[Reminder], kinds: Mapping[int, str], today: date) -> dict[int, FieldDay]:
    """Reminder id to the day it is planned for: one still to come, else the last one on which it was not done."""
    rows = list(reminders)
    stops = FieldStop.objects.filter(structure__in={row.structure_id for row in rows}).select_related("day__leader")
    to_come, gone = {}, {}
    for stop in stops.order_by("day__on", "pk"):
        if stop.day.on >= today:
            to_come.setdefault((stop.structure_id, stop.kind), stop.day)
        elif stop.reminder_id:
            gone[stop.reminder_id] = stop.day
    found = {row.pk: to_come.get((row.structure_id, kinds[row.pk])) or gone.get(row.pk) for row in rows}
    return {pk: day for pk, day in found.items() if day is not None}


def leader_answers(agency: Agency, leader: Person, on: date, kinds: Iterable[str]) -> list[Answer]:
    """For each kind of inspection: may this person lead it on that day?"""
    lines = lines_by_person(agency, [leader.pk]).get(leader.pk, [])
    refresher = refresher_of(agency)
    return [may_lead(lines, kind=kind, on=on, name=str(leader), refresher=refresher) for kind in sorted(set(kinds))]


def leader_refusals(agency: Agency, leader: Person | None, on: date, kinds: Iterable[str]) -> list[str]:
    """Why the person may not lead on that day, each sentence once; none where nobody is named yet."""
    if leader is None:
        return []
    return list(dict.fromkeys(each.words for each in leader_answers(agency, leader, on, kinds) if not each.may))


def leads_elsewhere(leader: Person, on: date, *, but: FieldDay | None = None) -> bool:
    """Nobody leads two teams on one day."""
    days = FieldDay.objects.filter(leader=leader, on=on)
    return (days.exclude(pk=but.pk) if but is not None else days).exists()


def leaders_offered(inspection: Inspection) -> QuerySet[Person]:
    """Who may be named as leader of an inspection: those who enter inspections, and whoever is named already."""
    agency = inspection.structure.agency
    named = Q(pk=inspection.leader_id) if inspection.leader_id else Q(pk__in=[])
    chosen = Q(pk__in=possible_leaders(agency).order_by().values("pk")) | named
    return Person.objects.filter(chosen).order_by("last_name", "first_name", "username")
