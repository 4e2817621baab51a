"""Whether an inspection may be submitted: date, component ratings and at least what its kind is made for."""

from collections.abc import Mapping
from datetime import date

from inspections.vocabulary.findings import Component, FindingKind, InspectionKind

FULL_KINDS = (InspectionKind.INITIAL, InspectionKind.ROUTINE, InspectionKind.IN_DEPTH)
"""Kinds that look at the whole structure, and so give component ratings and replace what was found before."""


def submission_faults(inspection: Mapping, findings: list[Mapping], today: date) -> list[str]:
    """Sentences for what an inspection lacks, besides the evidence of each finding."""
    faults = []
    completed = inspection.get("field_completed_on")
    if completed is None:
        faults.append("Give the day on which the field work was completed: it is the date of the inspection.")
    elif completed > today:
        faults.append(f"The field work cannot have been completed on {completed}, which is still to come.")
    if inspection.get("kind") in FULL_KINDS:
        faults += _rating_faults(inspection)
    if inspection.get("kind") == InspectionKind.BAR_CHECK and not any(
        finding.get("kind") == FindingKind.BAR_FORCE for finding in findings
    ):
        faults.append("A bar-force check needs at least one bar reading.")
    return faults


def before_built(completed: date | None, year_built: int | None) -> list[str]:
    """A sentence where the field work is dated before the structure was built."""
    if completed is None or not year_built or completed.year >= year_built:
        return []
    return [
        f"The field work is dated {completed.day} {completed:%b %Y}, but the structure was built in {year_built}: "
        "correct the day, or have the office correct the year."
    ]


def _rating_faults(inspection: Mapping) -> list[str]:
    ratings = {part: inspection.get(f"{part}_rating") or "" for part in Component}
    if ratings[Component.CULVERT] not in ("", "N"):
        return []
    wanted = [
        Component.label_of(part).lower()
        for part in (Component.DECK, Component.SUPERSTRUCTURE, Component.SUBSTRUCTURE)
        if ratings[part] == ""
    ]
    if not wanted:
        return []
    return [f"Give the component rating of the {' and the '.join(wanted)} (0 to 9, or N where there is none)."]
