"""Findings and bar states at their places on the elevation."""

from inspections.models import Finding
from inspections.queries.clock_facts import clock_facts
from inspections.queries.inspections import standing_findings
from inspections.rules.bar_profile import bar_places
from inspections.rules.grave import grave_sentences
from inspections.vocabulary.findings import FindingKind
from inventory.drawings.shapes import FindingMark
from inventory.models import Bar, Structure
from inventory.pages import Marks

# Readings are not damage: they are drawn in their own charts, or not at all.
READINGS = (FindingKind.BAR_FORCE, FindingKind.MOISTURE, FindingKind.SURFACE_THICKNESS, FindingKind.SIGN)


def load(structure: Structure) -> Marks:
    findings = [
        row for row in standing_findings(structure) if row.kind not in READINGS and _station_ft(row) is not None
    ]
    return Marks(findings=tuple(_mark(row) for row in findings), bar_states=_bar_states(structure))


def _station_ft(finding: Finding) -> float | None:
    """Where it was measured; a bar's defect without a station of its own stands at the bar."""
    if finding.station_ft is None and finding.kind == FindingKind.BAR_DEFECT and finding.bar is not None:
        return finding.bar.station_ft
    return finding.station_ft


def _mark(finding: Finding) -> FindingMark:
    return FindingMark(
        span_index=finding.span_index or 1,
        station_ft=_station_ft(finding),
        extent_ft=finding.extent_ft or 0.0,
        label=FindingKind.label_of(finding.kind).lower(),
        is_grave=bool(grave_sentences(finding.__dict__)),
    )


def _bar_states(structure: Structure) -> dict[int, str]:
    """Low where the standing reading is under the floor; never read stays unknown."""
    bars = Bar.objects.filter(system__span__structure=structure).select_related("system__span")
    by_place = {(bar.system.span.index, bar.level, bar.number): bar.pk for bar in bars}
    if not by_place:
        return {}
    facts, _ = clock_facts([structure.pk])[structure.pk]
    return {
        by_place[span.span_index, place.level, place.number]: "low" if place.is_low else "sound"
        for span in facts.bars
        for place in bar_places(span)
        if place.force_lb is not None
    }
