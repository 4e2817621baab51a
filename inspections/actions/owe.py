"""A rating is owed: one row a structure and inspection says so, and why."""

from datetime import datetime

from django.db import transaction

from inspections.models import Inspection, OwedRating
from inspections.vocabulary.states import OwedState
from inventory.models import Structure

from .lock import lock_structure


@transaction.atomic
def owe_rating(*, structure: Structure, cause: str, at: datetime, inspection: Inspection | None = None) -> OwedRating:
    """Leave a row saying that a structure must be rated; a row already waiting for the same reason is enough."""
    structure = lock_structure(structure.pk)
    waiting = OwedRating.objects.filter(structure=structure, state=OwedState.OWED, inspection=inspection).first()
    if waiting is not None:
        return waiting
    return OwedRating.objects.create(structure=structure, inspection=inspection, cause=cause[:200], created_at=at)
