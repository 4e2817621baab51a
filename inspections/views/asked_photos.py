"""Photographs chosen in the short form of an inspection that was sent back: kept, and linked to their findings."""

from uuid import UUID

from django.http import HttpRequest
from django.utils import timezone

from inspections.actions.asked import link_photo
from inspections.models import Inspection

from .attempts import attempt
from .critical_scope import photo_kept


def photos_linked(request: HttpRequest, inspection: Inspection, photos: list[tuple[str, bytes]]) -> list[tuple]:
    """(anchor, sentence) for each that could not be kept; those that could are kept whatever becomes of the rest."""
    problems = []
    for identity, data in photos:
        photo, faults = photo_kept(request, inspection.structure, data, "Photograph asked for at the review")
        if photo is not None:
            tried = attempt(
                lambda photo=photo, identity=identity: link_photo(
                    inspection=inspection, finding=UUID(identity), photo=photo, by=request.user, at=timezone.now()
                )
            )
            faults = list(tried.sentences)
        problems += [("asked", sentence) for sentence in faults]
    return problems
