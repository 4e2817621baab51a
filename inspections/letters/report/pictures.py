"""Drawings of a report: findings on elevation and section, the profile of bars read, the channel's sections."""

from collections.abc import Sequence
from datetime import date

from inspections.assembly.condition_facts import survey_of, surveys_by_section
from inspections.drawings.channel_section import Bed, channel_drawing
from inspections.models import ChannelSurvey, Finding, Inspection
from inspections.pages.bar_readings import reading_notes
from inspections.pages.bars import profiles
from inspections.queries.ratings import current_rating
from inspections.rules.clocks.terms import day
from inspections.vocabulary.findings import Face, FindingKind, ForceMethod
from inventory.drawings.elevation import elevation
from inventory.drawings.from_rows import shape_of
from inventory.drawings.profile import carrying_roles
from inventory.drawings.section import centres, cross_section, deck_width
from inventory.drawings.shapes import FindingMark, SectionMark, SpanShape, StructureShape
from inventory.models import StressingSystem

from .findings import Numbered

DOWN = {Face.TOP.value: 0.0, Face.BOTTOM.value: 1.0}


def drawings_part(inspection: Inspection, rows: Sequence[Numbered]) -> dict:
    """The elevation with the findings that have a station, a section for each span with those placed across."""
    shape = shape_of(inspection.structure)
    stations = {row.number: _station_ft(row.finding) for row in rows}
    on_elevation = [row for row in rows if stations[row.number] is not None]
    marks = tuple(
        FindingMark(
            span_index=row.finding.span_index or 1,
            station_ft=stations[row.number],
            extent_ft=row.finding.extent_ft or 0.0,
            label=str(row.number),
            is_grave=row.is_grave,
        )
        for row in on_elevation
    )
    figures = [_figure(elevation(shape, marks=marks), "Elevation, looking across the road", 100)]
    placed = {row.number for row in on_elevation}
    seen: set = set()
    for span in shape.spans:
        found = [(row, across) for row in rows if (across := _across_ft(row.finding, shape, span)) is not None]
        built = (span.system, span.members, span.deck_thickness_in)
        if found or built not in seen:
            seen.add(built)
            section = cross_section(shape, span_index=span.index, marks=tuple(_section_mark(*each) for each in found))
            figures.append(_figure(section, f"Cross-section of span {span.index}, looking ahead", 78))
            placed |= {row.number for row, _across in found}
    return {"figures": figures, "unplaced": [row.number for row in rows if row.number not in placed]}


def _figure(svg: str, title: str, width: int) -> dict:
    return {"svg": svg, "title": title, "width": width}


def _station_ft(finding: Finding) -> float | None:
    """Where it was measured; a bar's defect without a station of its own stands at the bar."""
    if finding.station_ft is None and finding.bar is not None:
        return finding.bar.station_ft
    return finding.station_ft


def _across_ft(finding: Finding, shape: StructureShape, span: SpanShape) -> float | None:
    """Feet from the left edge: as placed, else where the member named stands; None where neither is on record."""
    if (finding.span_index or 1) != span.index:
        return None
    if finding.across_ft is not None:
        return finding.across_ft
    width_ft = deck_width(shape, span)
    if not finding.member_id or not finding.member_number or width_ft is None:
        return None
    groups = [member for member in span.of_role(finding.member.role) if member.count >= finding.member_number]
    if len(groups) != 1 or finding.member.role not in carrying_roles(span):
        return None
    return centres(groups[0], width_ft)[finding.member_number - 1]


def _section_mark(row: Numbered, across_ft: float) -> SectionMark:
    down = DOWN.get(row.finding.face, 0.5)
    return SectionMark(across_ft=across_ft, label=str(row.number), down_ratio=down, is_grave=row.is_grave)


def bar_part(inspection: Inspection, findings: Sequence[Finding], on: date) -> dict | None:
    """Bars read at this inspection: every reading, and the profile of what the rating counted on its day."""
    read = [row for row in findings if row.kind == FindingKind.BAR_FORCE]
    if not read:
        return None
    notes = reading_notes(read)
    ids = {row.bar.system_id for row in read if row.bar_id}
    systems = list(StressingSystem.objects.filter(pk__in=ids).select_related("span").order_by("span__index"))
    made = profiles(inspection.structure, systems, current_rating(inspection.structure), on)
    return {
        "heads": ["Bar", "At, ft", "Force, lb", "How", "Remarks"],
        "figures": [1, 2],
        "widths": [0, 0, 0, 0, 1],
        "rows": [_bar_row(row, notes.get(row.pk, [])) for row in read],
        "figures_of": [_figure(str(profile["drawing"]), profile["title"], 100) for profile in made],
        "warned": [sentence for profile in made for sentence in profile["warned"]],
    }


def _bar_row(finding: Finding, notes: Sequence[dict]) -> list[str]:
    bar = finding.bar
    said = [note["words"] for note in notes] + ([finding.note] if finding.note else [])
    return [
        str(bar) if bar else "not named",
        f"{bar.station_ft:g}" if bar else "",
        "none" if finding.force_lb is None else f"{finding.force_lb:,.0f}",
        ForceMethod.label_of(finding.force_method) if finding.force_method else "",
        "; ".join(said),
    ]


def channel_part(inspection: Inspection) -> list[dict]:
    """Every section sounded at this inspection, with the beds before it."""
    own = set(ChannelSurvey.objects.filter(inspection=inspection).values_list("section_id", flat=True))
    parts = []
    for section, surveys in surveys_by_section(inspection.structure, inspection.field_completed_on):
        if section.pk not in own or not surveys:
            continue
        beds = [
            Bed(on=row.inspection.field_completed_on, points=survey_of(row).points, water_ft=row.water_ft)
            for row in surveys
        ]
        key = f"report-channel-{section.pk}"
        foundation = getattr(section, "foundation_ft", None)
        svg, _scale = channel_drawing(beds, datum=section.datum, name=section.name, key=key, foundation_ft=foundation)
        last = beds[-1]
        parts.append(
            {
                **_figure(svg, f"Channel section: {section.name}", 100),
                "words": f"Depths below {section.datum}, sounded {day(last.on)}.",
                "heads": ["At, ft", "Depth, ft"],
                "figures": [0, 1],
                "widths": [0, 0],
                "rows": [[f"{station:g}", f"{depth:g}"] for station, depth in last.points],
            }
        )
    return parts
