"""Findings standing: what was found and is not known to be put right."""

from collections.abc import Sequence

from django.http import HttpRequest

from inspections.forms.findings import FindingForm
from inspections.models import Finding
from inspections.queries.findings import where_words
from inspections.queries.inspections import standing_findings
from inspections.vocabulary.findings import Face, FindingKind, ForceMethod
from inventory.models import Structure

SKIPPED = ("kind", "span_index", "station_ft", "member", "member_number", "bar", "photo", "note", "remove")
CARRIED = ("change", "identity", "carries_on", "across_ft")
IN_NOTES = ("jack", "gauge_psi", "repeats_lb", "as_read")


def finding_line(finding: Finding, notes: Sequence[dict] = ()) -> dict:
    """One finding in words: kind, place, sizes with their units, note; `notes` of a bar reading (`reading_notes`)."""
    return {
        "finding": finding,
        "kind": FindingKind.label_of(finding.kind),
        "place": where_words(finding),
        "sizes": _sizes(finding),
        "note": finding.note,
        "notes": notes,
    }


def _sizes(finding: Finding) -> str:
    said = []
    for name, field in FindingForm.base_fields.items():
        # Left out before it is read: reading a jack or a photograph would ask the database for its row.
        if name in (*SKIPPED, *IN_NOTES, *CARRIED) or (value := getattr(finding, name, None)) in (None, ""):
            continue
        if name == "face":
            said.append(f"{Face.label_of(value).lower()} face")
        elif name == "force_method":
            said.append(ForceMethod.label_of(value).lower())
        elif name == "condition_state":
            said.append(f"condition state {value}")
        else:
            said.append(f"{field.label.split(' (')[0].lower()} {value:,.6g} {getattr(field, 'unit', '')}".rstrip())
    return ", ".join(said)


def load(request: HttpRequest, structure: Structure) -> dict | None:
    found = [row for row in standing_findings(structure) if row.kind != FindingKind.BAR_FORCE]
    return {"lines": [finding_line(row) for row in found]}
