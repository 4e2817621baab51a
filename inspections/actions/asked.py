"""What was asked for when an inspection was sent back: kept, marked when it is saved, wanted when it is handed in.

The first three are called inside the transaction of the action that saves, which saves the inspection.
"""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction

from inspections.models import Finding, Inspection, InspectionPhoto, PhotoPlace
from inspections.rules.asked import asked_faults, asked_rows, visit_fields, with_answers
from inspections.rules.lifecycle import EDITABLE
from inspections.rules.refusals import Refused
from inspections.vocabulary.findings import FindingKind
from inventory.actions.tell import tell_event
from inventory.models import Document, Person
from inventory.vocabulary.roles import Permit

from .lock import lock_row, lock_structure, require_permit


def keep_asked(inspection: Inspection, asked: Sequence[dict]) -> None:
    """Set what is asked for, held against the evidence table; Refused with a sentence for each row that cannot be."""
    rows, faults = asked_rows(asked, _findings(inspection), _visit(inspection))
    if faults:
        raise Refused(*faults)
    inspection.asked = rows


def mark_answered(inspection: Inspection, reasons: object = ()) -> bool:
    """Mark the rows by what stands now; `reasons` are rows with "why_not". True where a mark changed."""
    if not inspection.asked:
        return False
    if not isinstance(reasons, list | tuple):
        raise Refused("What was asked for came back in a form nobody can read: open the inspection again.")
    rows = with_answers(inspection.asked, _findings(inspection), _visit(inspection), reasons)
    changed, inspection.asked = rows != inspection.asked, rows
    return changed


def still_asked(inspection: Inspection) -> list[str]:
    """Sentences for what is asked and not answered."""
    place = {str(row.identity): number for number, row in enumerate(inspection.findings.order_by("id"), start=1)}
    kinds = {str(row.identity): FindingKind.label_of(row.kind).lower() for row in inspection.findings.all()}

    def named(row: dict) -> str:
        identity = row["finding"]
        if not identity:
            return ""
        return f"finding {place[identity]} ({kinds[identity]}): " if identity in place else "a finding taken out: "

    return asked_faults(inspection.asked, named)


def _visit(inspection: Inspection) -> dict:
    return {name: getattr(inspection, name) for name in visit_fields()}


def _findings(inspection: Inspection) -> dict[str, dict]:
    """Identity -> columns, with the names of the photographs that belong to it or are on their way."""
    photos: dict[str, set[str]] = {}
    places = PhotoPlace.objects.filter(inspection=inspection, finding_identity__isnull=False)
    for identity, photo in places.values_list("finding_identity", "identity"):
        photos.setdefault(str(identity), set()).add(f"sent:{photo}")
    linked = InspectionPhoto.objects.filter(inspection=inspection, finding_identity__isnull=False)
    for identity, document in linked.values_list("finding_identity", "document_id"):
        photos.setdefault(str(identity), set()).add(f"kept:{document}")
    rows = inspection.findings.filter(identity__isnull=False)
    return {str(row.identity): _columns(row, photos.get(str(row.identity), set())) for row in rows}


def _columns(row: Finding, photos: set[str]) -> dict:
    columns = {field.name: field.value_from_object(row) for field in row._meta.concrete_fields}
    own = {f"kept:{row.photo_id}"} if row.photo_id else set()
    return columns | {"photos": photos | own}


@transaction.atomic
def link_photo(*, inspection: Inspection, finding: UUID, photo: Document, by: Person, at: datetime) -> None:
    """Let a photograph of the structure show a finding of an open inspection; linked again it stays linked once."""
    structure = lock_structure(inspection.structure_id)
    require_permit(by, structure, Permit.ENTER_INSPECTION)
    inspection = lock_row(inspection, None, "this inspection")
    found = inspection.findings.filter(identity=finding).first()
    if found is None or photo.structure_id != structure.pk or inspection.state not in EDITABLE:
        raise Refused("The photograph is kept with the structure, but its finding is not open here any more.")
    link, is_new = InspectionPhoto.objects.get_or_create(
        inspection=inspection, document=photo, finding_identity=finding, defaults={"caption": photo.title}
    )
    if is_new:
        tell_event(
            verb="link_photo",
            sentence=f"Photograph of a finding ({FindingKind.label_of(found.kind).lower()}): {photo.title}.",
            at=at,
            by=by,
            structure=structure,
            detail={"inspection": inspection.pk, "photo": photo.pk},
        )
