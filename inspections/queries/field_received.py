"""Records and photographs from the field, as far as a person may see them."""

from datetime import datetime
from uuid import UUID

from django.db.models import F, Q, QuerySet

from inspections.models import PhotoPlace, PhotoUpload, Receipt
from inspections.vocabulary.states import ReceiptState, UploadState
from inventory.models import Person
from inventory.queries.people import agencies_of, agencies_permitting
from inventory.vocabulary.roles import Permit


def receipts_for(person: Person) -> QuerySet[Receipt]:
    """All records of the person's agencies."""
    return Receipt.objects.filter(agency__in=agencies_of(person)).select_related(
        "structure", "person", "inspection", "agency"
    )


def receipts_to_settle(person: Person) -> QuerySet[Receipt]:
    """Held records of the agencies where the person settles them, the longest held first."""
    agencies = agencies_permitting(person, Permit.SETTLE_RECEIPTS)
    return receipts_for(person).filter(state=ReceiptState.HELD, agency__in=agencies).order_by("received_at", "pk")


def uploads_for(person: Person) -> QuerySet[PhotoUpload]:
    return PhotoUpload.objects.filter(agency__in=agencies_of(person))


def uploads_refused(person: Person) -> QuerySet[PhotoUpload]:
    """What came as a photograph and is none, of the agencies where the person settles such things."""
    agencies = agencies_permitting(person, Permit.SETTLE_RECEIPTS)
    return (
        PhotoUpload.objects.filter(state=UploadState.REFUSED, agency__in=agencies)
        .select_related("structure", "person")
        .order_by("-touched_at", "-pk")
    )


def receipts_left(before: datetime) -> list[int]:
    """Kept records whose filing was cut short: older than a moment, so that no request is still at work on them."""
    rows = Receipt.objects.filter(state=ReceiptState.KEPT, received_at__lt=before)
    return list(rows.order_by("received_at").values_list("pk", flat=True))


def uploads_whole(before: datetime) -> list[int]:
    """Photographs that are here to the last byte and were not finished."""
    rows = PhotoUpload.objects.filter(state=UploadState.OPEN, received_bytes=F("size_bytes"), touched_at__lt=before)
    return list(rows.values_list("pk", flat=True))


def places_missed(since: datetime) -> list[UUID]:
    """Photographs that are here and that a filed record received since then awaits: the two came at the same moment,
    and neither saw the other."""
    kept = PhotoUpload.objects.filter(state=UploadState.KEPT).values("identity")
    rows = PhotoPlace.objects.filter(linked_at__isnull=True, receipt__received_at__gte=since, identity__in=kept)
    has_place = Q(inspection__isnull=False) | Q(critical__isnull=False) | Q(sign__isnull=False)
    return list(rows.filter(has_place).values_list("identity", flat=True).distinct())


def uploads_given_up(before: datetime) -> list[int]:
    """Photographs of which nothing has come for long."""
    rows = PhotoUpload.objects.filter(state=UploadState.OPEN, touched_at__lt=before)
    return list(rows.values_list("pk", flat=True))
