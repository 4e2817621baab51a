"""Findings and bar states at their places on the elevation."""

from django.utils import timezone

from inspections.assembly.bars import bar_pressures
from inspections.models import Finding
from inspections.queries.inspections import standing_findings
from inspections.rules.bar_profile import BEFORE_PULL, READ, bar_places
from inspections.rules.grave import grave_sentences
from inspections.vocabulary.findings import FindingKind
from inventory.drawings.shapes import FindingMark
from inventory.models import StressingSystem, Structure
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
    """Low where the force the rating counts is under the least pressure or the need; an absent bar stays unknown."""
    systems = {
        row.span.index: row for row in StressingSystem.objects.filter(span__structure=structure).select_related("span")
    }
    if not systems:
        return {}
    found = bar_pressures(structure=structure, as_of=timezone.localdate()).by_span
    return {
        place.bar: "low" if place.is_low else "sound"
        for index, system in systems.items()
        for place in bar_places(
            found[index],
            spacing_in=system.spacing_in,
            thickness_in=system.stressed_depth_in,
            needed_psi=system.needed_pressure_psi,
        )
        if place.state in (READ, BEFORE_PULL)
    }
