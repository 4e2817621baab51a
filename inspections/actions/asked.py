"""What was asked for when an inspection was sent back: kept, marked when it is saved, wanted when it is handed in.

Called inside the transaction of the action that saves; the caller saves the inspection.
"""

from collections.abc import Sequence

from inspections.models import Finding, Inspection, InspectionPhoto, PhotoPlace
from inspections.rules.asked import asked_faults, asked_rows, visit_fields, with_answers
from inspections.rules.refusals import Refused
from inspections.vocabulary.findings import FindingKind


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
