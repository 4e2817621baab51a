"""Photographs that were left behind: begun and never finished, or put aside until their structure was known."""

from datetime import datetime
from uuid import UUID

from django.db import transaction

from inspections.models import PhotoUpload
from inspections.vocabulary.states import UploadState
from inventory.actions.tell import tell_event
from inventory.models import Structure

from .photos import finish_photo, path_of, throw_away


@transaction.atomic
def give_up_photo(*, upload_id: int, at: datetime) -> None:
    """Sweep a photograph that was begun and left: its pieces go, the event says so. Begun again it starts anew."""
    upload = (
        PhotoUpload.objects.select_for_update(of=("self",))
        .select_related("structure", "person", "agency")
        .get(pk=upload_id)
    )
    if upload.state != UploadState.OPEN:
        return
    tell_event(
        verb="give_up_photo",
        sentence=f"A photograph of {upload.person} was begun and never finished "
        f"({upload.received_bytes:,} of {upload.size_bytes:,} bytes); its pieces were removed. The device may have it.",
        at=at,
        by=None,
        structure=upload.structure,
        agency=upload.agency,
        detail={"photo": str(upload.identity)},
    )
    identity = upload.identity
    upload.delete()
    transaction.on_commit(lambda: throw_away(identity))


def take_up_again(*, identity: UUID, structure: Structure, at: datetime) -> None:
    """A photograph put aside because its structure was not in the register: now that the office has named one, it is
    kept like any other."""
    with transaction.atomic():
        upload = PhotoUpload.objects.select_for_update().filter(identity=identity, state=UploadState.REFUSED).first()
        if upload is None or upload.structure_id is not None or not upload.path or not path_of(upload).is_file():
            return
        upload.structure, upload.state, upload.problem = structure, UploadState.OPEN, ""
        upload.save(update_fields=["structure", "state", "problem"])
    finish_photo(upload_id=upload.pk, at=at)
