"""Reminders and messages a person may see."""

from datetime import date

from django.db.models import Case, F, IntegerField, Q, QuerySet, Value, When

from inspections.models import OwedMessage, Reminder
from inspections.rules.clocks import INSPECTION_KINDS
from inspections.vocabulary.states import OwedState, ReminderState
from inventory.models import Agency, Membership, Person, Structure
from inventory.queries.people import agencies_of, agencies_permitting
from inventory.vocabulary.roles import Permit, Role
from inventory.vocabulary.structures import Status

ACTIVE = (ReminderState.OPEN.value, ReminderState.ACKNOWLEDGED.value, ReminderState.DEFERRED.value)


def reminders_for(person: Person) -> QuerySet[Reminder]:
    """All reminders of the person's agencies, with what a row shows."""
    return Reminder.objects.filter(structure__agency__in=agencies_of(person)).select_related(
        "structure", "structure__agency", "assigned_to"
    )


def reminders_managed_by(person: Person) -> QuerySet[Reminder]:
    """The reminders a person may assign, defer or close."""
    agencies = agencies_permitting(person, Permit.MANAGE_REMINDERS)
    return Reminder.objects.filter(structure__agency__in=agencies).select_related(
        "structure", "structure__agency", "assigned_to"
    )


def is_late(as_of: date) -> Q:
    """Late on a day, as the rule `lateness` has it: an inspection with a tolerance is late from the month after."""
    in_month = Q(kind__in=[kind.value for kind in INSPECTION_KINDS], late_after__gt=F("due_on"))
    return Q(state__in=ACTIVE) & ((in_month & Q(due_on__lt=as_of.replace(day=1))) | (~in_month & Q(due_on__lt=as_of)))


def late_first(reminders: QuerySet[Reminder], as_of: date) -> QuerySet[Reminder]:
    """Put off until later comes after what is owed now; within each, the longest late first."""
    put_off = When(state=ReminderState.DEFERRED.value, deferred_to__gt=as_of, then=Value(1))
    return reminders.annotate(put_off=Case(put_off, default=Value(0), output_field=IntegerField())).order_by(
        "put_off", "due_on", "structure__number", "kind", "pk"
    )


def late_reminders(person: Person, as_of: date) -> QuerySet[Reminder]:
    """What is late in the person's agencies, the longest late first."""
    return late_first(reminders_for(person).filter(is_late(as_of)), as_of)


def owed_on(structure: Structure) -> QuerySet[Reminder]:
    """What one structure owes now, by date."""
    return structure.reminders.filter(state__in=ACTIVE).select_related("assigned_to").order_by("due_on", "kind", "id")


def closed_on(structure: Structure) -> QuerySet[Reminder]:
    """The last reminders of a structure that were closed."""
    return structure.reminders.exclude(state__in=ACTIVE).order_by("-changed_at", "-pk")


def structures_with_clocks() -> QuerySet[Structure]:
    """Structures that owe something, or left service with a reminder still open."""
    return Structure.objects.filter(
        Q(status=Status.IN_SERVICE.value) | Q(pk__in=Reminder.objects.filter(state__in=ACTIVE).values("structure"))
    ).order_by("pk")


def assignable_people(person: Person) -> QuerySet[Person]:
    """Who may be given a reminder: active members of the person's agencies who do more than read."""
    return _working_in(agencies_of(person))


def assignable_in(agency: Agency) -> QuerySet[Person]:
    """Who may be given a reminder of one agency's structure."""
    return _working_in([agency])


def _working_in(agencies) -> QuerySet[Person]:
    memberships = Membership.objects.filter(agency__in=agencies).exclude(role=Role.REVIEWER.value)
    return (
        Person.objects.filter(is_active=True, pk__in=memberships.values("person"))
        .order_by("last_name", "first_name", "username")
        .distinct()
    )


def messages_of(person: Person) -> QuerySet[OwedMessage]:
    """A person's own messages, the newest first; nobody reads another's."""
    return OwedMessage.objects.filter(person=person).select_related("structure").order_by("-created_at", "-pk")


def unread_messages(person: Person) -> QuerySet[OwedMessage]:
    """Those the person has not marked as read."""
    return messages_of(person).filter(state=OwedState.OWED.value)
