"""A word to the worker that a rating is owed; the row is the queue, so a lost word costs one sweep."""

from inspections.queries.pages import rating_owed
from inspections.tasks import nudge
from inventory.models import Structure


def nudge_rating(structure: Structure) -> None:
    """Called after the action has committed."""
    owed = rating_owed(structure)
    if owed is not None:
        nudge(owed.pk)
