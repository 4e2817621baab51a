"""Structures a person may see."""

from django.db.models import QuerySet

from inventory.models import Person, Structure

from .people import agencies_of


def structures_for(person: Person) -> QuerySet[Structure]:
    """All structures of the person's agencies, with what a list shows."""
    return Structure.objects.filter(agency__in=agencies_of(person)).select_related("standing", "agency")
