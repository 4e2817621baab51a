"""What a month plan is made of: things owed, and people who may lead."""

from datetime import date, timedelta

from django.utils import timezone

from inspections.models import Reminder
from inventory.models import Agency, Person, Qualification, Structure


def owed(structure: Structure, *, kind: str = "inspection", on: date | None = None, **fields) -> Reminder:
    """One open reminder, due today unless said otherwise."""
    on = on or timezone.localdate()
    values = {
        "due_on": on,
        "late_after": on + timedelta(days=70),
        "reason": f"Routine inspection of {structure.number}: 24 months after the last.",
        "created_at": timezone.now(),
    }
    return Reminder.objects.create(structure=structure, kind=kind, **(values | fields))


def qualified(agency: Agency, person: Person, *, kind: str = "team_leader", **fields) -> Qualification:
    """A line of the registry that holds for years to come."""
    values = {
        "basis": "5 years, course passed",
        "evidence": "Personnel file",
        "held_since": timezone.localdate() - timedelta(days=300),
        "recorded_at": timezone.now(),
    }
    return Qualification.objects.create(agency=agency, person=person, kind=kind, **(values | fields))


def in_days(number: int) -> date:
    return timezone.localdate() + timedelta(days=number)
