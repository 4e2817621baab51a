"""What was rated and found at every inspection of a structure, for pages that look back."""

from datetime import date

from inspections.models import Finding, Inspection
from inspections.queries.findings import inspections_handed_in
from inspections.rules.losses import is_still_there, which_stand
from inventory.models import Structure

from .inspections import received_inspections

MOST_INSPECTIONS = 60


def inspections_over_time(structure: Structure) -> list[Inspection]:
    """Inspections handed in, oldest first, with their elements; the newest sixty."""
    rows = inspections_handed_in(structure).prefetch_related("elements")[:MOST_INSPECTIONS]
    return list(reversed(rows))


def findings_over_time(structure: Structure) -> list[tuple[date, list[Finding]]]:
    """(day, findings) of every inspection handed in, oldest first."""
    rows = inspections_handed_in(structure).prefetch_related("findings__member", "findings__bar")[:MOST_INSPECTIONS]
    return [(row.field_completed_on, list(row.findings.all())) for row in reversed(rows)]


def findings_before(inspection: Inspection) -> list[Finding]:
    """What stood before an inspection: of the earlier ones by day, and of those of its day entered before it."""
    on = inspection.field_completed_on
    rows = [
        row
        for row in received_inspections(inspection.structure, on).exclude(pk=inspection.pk)
        if on is None or (row.field_completed_on, row.pk) < (on, inspection.pk)
    ]
    kinds = {row.pk: kinds for row, kinds in which_stand([(row, row.kind, row.state) for row in rows])}
    found = Finding.objects.filter(inspection__in=kinds).select_related("inspection", "member", "bar", "photo")
    return [row for row in found if row.kind in kinds[row.inspection_id] and is_still_there(row.kind, row.change)]
