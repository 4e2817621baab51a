"""Photographs named in a record find their place: at once where they are here, when they arrive otherwise."""

from datetime import datetime
from uuid import UUID

from django.db import transaction

from inspections.models import Finding, Inspection, InspectionPhoto, PhotoPlace, PhotoUpload, Receipt
from inspections.rules.field_clock import moment_from, put_right
from inspections.vocabulary.states import UploadState
from inventory.models import Document

from .filing import Filed

MOST_CAPTION = 200


def name_places(receipt: Receipt, record: dict) -> None:
    """A row for every photograph that a record names; before it is filed none knows where it belongs yet."""
    for order, photo in enumerate(record.get("photos") or []):
        PhotoPlace.objects.get_or_create(
            receipt=receipt,
            identity=UUID(photo["identity"]),
            defaults={
                "finding_identity": UUID(photo["finding"]) if photo.get("finding") else None,
                "caption": (photo.get("caption") or "")[:MOST_CAPTION],
                "order": min(order, 32_000),
            },
        )


def point_places(receipt: Receipt, inspection: Inspection) -> None:
    """Say before the save which inspection the record's photographs belong to: they count as evidence on their way."""
    PhotoPlace.objects.filter(receipt=receipt, linked_at__isnull=True).update(inspection=inspection)


def give_places(receipt: Receipt, filed: Filed, at: datetime) -> None:
    """The record is filed: its photographs belong there; those that are here are linked."""
    target = {"inspection": filed.inspection, "critical": filed.critical, "sign": filed.sign}
    if not any(target.values()):
        return
    for place in PhotoPlace.objects.filter(receipt=receipt, linked_at__isnull=True):
        place.inspection, place.critical, place.sign = target["inspection"], target["critical"], target["sign"]
        place.save(update_fields=["inspection", "critical", "sign"])
        _link(place, at)


@transaction.atomic
def link_arrived(identity: UUID, at: datetime) -> int:
    """A photograph has arrived: every place that awaits it gets it. Returns how many did."""
    awaiting = PhotoPlace.objects.select_for_update().filter(identity=identity, linked_at__isnull=True)
    return sum(_link(place, at) for place in awaiting)


def photos_wanted(receipt: Receipt) -> list[str]:
    """Identities that the record names and that are neither here nor refused."""
    named = list(PhotoPlace.objects.filter(receipt=receipt).values_list("identity", flat=True))
    done = set(
        PhotoUpload.objects.filter(identity__in=named)
        .exclude(state=UploadState.OPEN)
        .values_list("identity", flat=True)
    )
    return [str(identity) for identity in named if identity not in done]


def _link(place: PhotoPlace, at: datetime) -> bool:
    upload = PhotoUpload.objects.filter(identity=place.identity, state=UploadState.KEPT).first()
    document = upload.document if upload is not None else None
    if document is None or not (place.inspection_id or place.critical_id or place.sign_id):
        return False
    if not _belongs(place, document):
        return False
    if place.inspection_id:
        InspectionPhoto.objects.get_or_create(
            inspection_id=place.inspection_id,
            document=document,
            finding_identity=place.finding_identity,
            defaults={"caption": place.caption, "order": place.order},
        )
        own = Finding.objects.filter(inspection_id=place.inspection_id, identity=place.finding_identity)
        own.filter(photo__isnull=True, identity__isnull=False).update(photo=document)
    for row in (place.critical, place.sign):
        if row is not None and row.photo_id is None:
            row.photo = document
            row.save(update_fields=["photo"])
    _put_stamp_right(document, upload, place.receipt)
    place.linked_at = at
    place.save(update_fields=["linked_at"])
    return True


def _belongs(place: PhotoPlace, document: Document) -> bool:
    """A photograph of another structure is not linked, whatever the record says."""
    structure_id = (
        place.inspection.structure_id
        if place.inspection_id
        else place.critical.structure_id
        if place.critical_id
        else place.sign.posting.structure_id
    )
    return document.structure_id == structure_id


def _put_stamp_right(document: Document, upload: PhotoUpload, receipt: Receipt) -> None:
    """Where the record showed the device's clock to be wrong, the moment of the photograph moves with the others."""
    stamped = moment_from(upload.about.get("taken_at"))
    right = put_right(stamped, receipt.clock_off_s)
    if right is None or right == document.taken_at or right > receipt.received_at:
        return
    document.taken_at = right
    document.save(update_fields=["taken_at"])
