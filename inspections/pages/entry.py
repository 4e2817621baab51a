"""The sheet on which an inspection is entered: its parts with what stood there last time."""

from datetime import date

from inspections.forms.entry import EntrySheet
from inspections.forms.findings import fields_by_kind
from inspections.forms.meanings import COMPONENT_CODES, code_in_words
from inspections.models import Finding, Inspection
from inspections.queries.findings import rated_inspections
from inspections.queries.inspections import standing_findings
from inspections.vocabulary.findings import FindingKind

from .findings import finding_line
from .leading import leader_note
from .proposals import proposals_context

# Looking back further than this says nothing about what changed lately.
LOOK_BACK = 20


def entry_context(inspection: Inspection, sheet: EntrySheet, today: date) -> dict:
    """Everything the entry page shows; what rests on a saved sheet is left out before the first save."""
    is_saved = bool(inspection.revision)
    return {
        "inspection": inspection,
        "structure": inspection.structure,
        "sheet": sheet,
        "components": _components(inspection, sheet),
        "standing": [finding_line(row) for row in _standing(inspection)],
        "by_kind": fields_by_kind(),
        "places": sheet.known_places,
        "asked_sheet": sheet.asked,
        "codes": COMPONENT_CODES,
        "proposals": proposals_context(inspection, as_of=today) if is_saved else None,
        "leader_note": leader_note(inspection) if is_saved else "",
        "revision": inspection.revision,
    }


def _components(inspection: Inspection, sheet: EntrySheet) -> list[dict]:
    """Every part that may be rated: its boxes, and the last rating with its day."""
    before = list(rated_inspections(inspection.structure).exclude(pk=inspection.pk)[:LOOK_BACK])
    found = []
    for part, field, reason in sheet.visit.component_fields():
        last = next((row for row in before if getattr(row, f"{part}_rating")), None)
        found.append(
            {
                "part": part,
                "field": field,
                "reason": reason,
                "last": code_in_words(getattr(last, f"{part}_rating")) if last else "",
                "last_on": last.field_completed_on if last else None,
            }
        )
    return found


def _standing(inspection: Inspection) -> list[Finding]:
    """What stands from other inspections; bars have their own part of the sheet."""
    rows = standing_findings(inspection.structure)
    return [row for row in rows if row.kind != FindingKind.BAR_FORCE and row.inspection_id != inspection.pk]
