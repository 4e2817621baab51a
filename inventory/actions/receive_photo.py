"""Keep a photograph: the received bytes as they came, and a clean copy to show."""

import hashlib
from datetime import date, datetime
from uuid import UUID

from django.core.files.base import ContentFile
from django.db import transaction
from django.utils import timezone

from inventory.models import Document, Person, Structure
from inventory.queries.people import permits_of
from inventory.rules.photo import clean_photo
from inventory.rules.refusals import Refused
from inventory.rules.sizes import date_faults
from inventory.vocabulary.roles import Permit

from .hold import hold_structure
from .tell import tell_event

MAY_ADD = (Permit.EDIT_STRUCTURE, Permit.ENTER_INSPECTION, Permit.RECORD_WORK)


def receive_photo(
    *,
    structure: Structure,
    data: bytes,
    title: str,
    by: Person,
    at: datetime,
    taken_on: date | None = None,
    place: str = "",
    identity: UUID | None = None,
    taken_at: datetime | None = None,
    lon: float | None = None,
    lat: float | None = None,
) -> Document:
    """A photograph of the structure; the same file sent twice is kept once, so that sending again is safe.

    `identity` (made on a device, unique for ever), `taken_at` and the place in degrees are what a device says of it;
    what the file itself says is neither trusted nor shown. Raises Refused where it is no photograph.
    """
    day = timezone.localtime(at).date()
    if faults := date_faults({"taken_on": taken_on}, {"taken_on": "The day it was taken"}, day):
        raise Refused(faults)
    # Decoding takes time: it is done before anything is locked.
    clean = clean_photo(data)
    digest = hashlib.sha256(data).hexdigest()
    held_permits = permits_of(by, structure.agency)
    permit = next((permit for permit in MAY_ADD if permit in held_permits), Permit.EDIT_STRUCTURE)
    with transaction.atomic():
        held = hold_structure(structure.pk, by=by, permit=permit)
        if before := held.documents.filter(sha256=digest).first():
            return before
        photo = Document(
            structure=held,
            kind="photo",
            title=title[:160] or "Photograph",
            sha256=digest,
            taken_on=taken_on,
            place=place[:120],
            identity=identity,
            taken_at=taken_at,
            lon=lon,
            lat=lat,
            by=by,
            at=at,
        )
        photo.received.save(f"{digest}.bin", ContentFile(data), save=False)
        photo.served.save(f"{digest}.jpg", ContentFile(clean.jpeg), save=False)
        photo.save()
        tell_event(verb="receive_photo", sentence=f"Photograph: {photo.title}", at=at, by=by, structure=held)
    return photo
