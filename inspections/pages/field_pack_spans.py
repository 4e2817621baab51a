"""The spans of a field pack: members and bars to choose from, drawings on which a tap becomes a place."""

from dataclasses import replace

from inspections.assembly.inspection_content import plain
from inspections.queries.bar_reading import BarsBefore
from inventory.drawings.elevation import elevation
from inventory.drawings.from_rows import shape_of
from inventory.drawings.section import cross_section
from inventory.drawings.shapes import StructureShape
from inventory.models import Bar, Span, Structure
from inventory.pages import marks_of
from inventory.vocabulary.structures import MemberRole


def span_parts(structure: Structure, before: BarsBefore) -> list[dict]:
    """Each span with members, bars and its own drawings; stations run from its own first bearing."""
    marks = marks_of(structure)
    shape = shape_of(structure, bar_states=marks.bar_states)
    shapes = {span.index: span for span in shape.spans}
    found = []
    for span in structure.spans.all():
        alone = replace(shape, key=f"{shape.key}-{span.index}", spans=(shapes[span.index],))
        here = tuple(mark for mark in marks.findings if mark.span_index == span.index)
        found.append(
            {
                "index": span.index,
                "length_ft": span.length_ft,
                "width_ft": structure.deck_width_ft,
                "members": _members(span),
                "bars": [_bar(bar, before) for bar in before.bars if bar.system.span_id == span.pk],
                "elevation": elevation(_titled(alone, span, len(shapes)), marks=here),
                "section": cross_section(_titled(alone, span, len(shapes)), span_index=span.index),
            }
        )
    return found


def _titled(shape: StructureShape, span: Span, count: int) -> StructureShape:
    return shape if count == 1 else replace(shape, title=f"{shape.title}, span {span.index}")


def _members(span: Span) -> list[dict]:
    return [
        {
            "id": group.pk,
            "role": group.role,
            "name": f"{group.label} {group}".strip(),
            "role_words": MemberRole.label_of(group.role),
            "count": group.count,
            "width_in": group.width_in,
            "depth_in": group.depth_in,
            "spacing_ft": group.spacing_ft,
            "first_offset_ft": group.first_offset_ft,
            "material": " ".join(part for part in (group.species, group.grade) if part),
        }
        for group in span.members.all()
    ]


def _bar(bar: Bar, before: BarsBefore) -> dict:
    known, why = before.known[bar.pk], before.aside.get(bar.pk, "")
    return {
        "id": bar.pk,
        "position": bar.number,
        "name": str(bar),
        "level": bar.level,
        "station_ft": bar.station_ft,
        "last_force_lb": known.last_lb,
        "last_on": plain(known.last_on),
        "design_lb": known.design_lb,
        "net_area_in2": known.net_area_in2,
        "tensile_psi": known.tensile_psi,
        "asked_for": bar.pk in before.suggested,
        "is_usable": not why,
        "why_not": why,
    }
