"""A word to the worker that a rating is owed. The row is the queue: a lost word costs one sweep and nothing else."""

import logging

from inspections.queries.pages import rating_owed
from inspections.tasks import settle_owed_rating
from inventory.models import Structure

log = logging.getLogger(__name__)


def nudge_rating(structure: Structure) -> None:
    """Called after the action has committed; a broker that is away must not break the page."""
    owed = rating_owed(structure)
    if owed is None:
        return
    try:
        settle_owed_rating.delay(owed.pk)
    except Exception:
        log.warning("no broker answered for owed rating %s; the sweep will find it", owed.pk, exc_info=True)
