"""Whom an agency calls, in its order."""

from django.db.models import QuerySet

from inventory.models import Agency, EmergencyContact, Person
from inventory.vocabulary.people import ContactRole

from .people import agencies_of


def contacts_of(agency: Agency | int) -> QuerySet[EmergencyContact]:
    """The agency's emergency contacts, the first to call first."""
    return EmergencyContact.objects.filter(agency=agency).order_by("order", "id")


def contacts_for(person: Person) -> QuerySet[EmergencyContact]:
    """The contacts of every agency the person belongs to."""
    return EmergencyContact.objects.filter(agency__in=agencies_of(person)).select_related("agency")


def contacts_missing(agency: Agency) -> list[str]:
    """Sentences for whom the list lacks: without a sheriff or an engineer nobody can close a road by telephone."""
    roles = set(contacts_of(agency).values_list("role", flat=True))
    wanted = (ContactRole.SHERIFF, ContactRole.ENGINEER)
    return [f"No {role.label.lower()} is on the list: enter one." for role in wanted if role.value not in roles]
