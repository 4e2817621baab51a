"""Findings of a report: numbered, with place, sizes, change, note, and the photographs that show them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from inspections.models import Finding
from inspections.pages.findings import finding_line
from inspections.queries.findings import where_words
from inspections.rules.grave import grave_sentences
from inspections.vocabulary.findings import Change


@dataclass(frozen=True, kw_only=True)
class Numbered:
    """A finding with its number in this report."""

    number: int
    finding: Finding
    is_grave: bool


def numbered(findings: Iterable[Finding]) -> list[Numbered]:
    """In the order they were entered, from 1."""
    return [
        Numbered(number=number, finding=row, is_grave=bool(grave_of(row)))
        for number, row in enumerate(findings, start=1)
    ]


def grave_of(finding: Finding) -> list[str]:
    """Sentences that must reach the engineer at once."""
    columns = {field.name: field.value_from_object(finding) for field in finding._meta.concrete_fields}
    return grave_sentences(columns | {"where": where_words(finding)})


def finding_tables(rows: Sequence[Numbered], photos: Sequence[Mapping]) -> dict:
    """The table of findings, and what of them must reach the engineer at once."""
    return {
        "heads": ["No.", "What", "Where", "Sizes", "Change and note", "Photo"],
        "figures": [0],
        "widths": [0, 1.2, 1.5, 1.7, 1.9, 0],
        "rows": [_row(row, photos) for row in rows],
        "grave": [f"No. {row.number}: {sentence}" for row in rows for sentence in grave_of(row.finding)],
    }


def _row(row: Numbered, photos: Sequence[Mapping]) -> list[str]:
    finding, line = row.finding, finding_line(row.finding)
    place = line["place"]
    if finding.across_ft is not None:
        place = f"{place}, {finding.across_ft:g} ft from the left edge".removeprefix(", ")
    change = Change.label_of(finding.change) if finding.change else ""
    said = ". ".join(part.rstrip(".") for part in (change, finding.note) if part)
    shown = ", ".join(str(photo["number"]) for photo in photos if photo["finding"] == row.number)
    mark = "▲ " if row.is_grave else ""
    return [str(row.number), mark + line["kind"], place or "not given", line["sizes"], said, shown]
