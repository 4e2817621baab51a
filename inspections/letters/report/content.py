"""What an inspection report says, as plain strings: made once, shown on the page and printed as PDF.

Contents: findings, recommendations and the responsible team leader (23 CFR 650.305, inspection report [memory]). The
content holds no other time than those on record, so two prints of the same rows are the same bytes.
"""

from datetime import date

from django.utils import timezone

from inspections.models import Inspection
from inspections.rules.clocks.terms import day
from inspections.vocabulary.findings import FindingKind, InspectionKind
from inspections.vocabulary.states import InspectionState
from inventory.queries.qualifications import leader_answer
from inventory.vocabulary.record_1995 import CODE_LISTS

from .condition import change_table, element_table, rating_table
from .decided import critical_part, posting_part
from .findings import finding_tables, numbered
from .photos import photo_list
from .pictures import bar_part, channel_part, drawings_part

SAFETY = (
    "A record, not a closing, and an aid to a licensed professional engineer, never an order. The State's manual "
    "governs where it differs and the engineer of record decides. Where a span looks unsafe: stay, block the road, "
    "call."
)
"""Stands on every page."""
NOT_HANDED_IN = "Draft: not handed in. Nothing here counts until it is."
LINES = ("Name", "Licence or certificate", "Date", "Signature")


def report_content(inspection: Inspection) -> dict:
    """The whole report in plain strings, numbers and lists (JSON), drawings as SVG text, photographs by row id."""
    structure = inspection.structure
    on = reported_on(inspection)
    findings = list(inspection.findings.select_related("inspection", "member", "bar__system__span", "jack", "photo"))
    rows = numbered([row for row in findings if row.kind != FindingKind.BAR_FORCE])
    photos = photo_list(inspection, rows)
    label = InspectionKind.label_of(inspection.kind)
    return {
        "title": f"{label} inspection, {structure.number}",
        "name": structure.title,
        "heading": f"{label} inspection report",
        "running": f"{structure.number[:40]} · {label.lower()} inspection · {day(on)}",
        "made": [on.year, on.month, on.day],
        "safety": SAFETY,
        "warning": _warning(inspection),
        "fields": structure_fields(inspection),
        "visit": visit_fields(inspection),
        "critical": critical_part(inspection, on),
        "posting": posting_part(inspection, on),
        "ratings": rating_table(inspection),
        "elements": element_table(inspection),
        "findings": finding_tables(rows, photos),
        "drawings": drawings_part(inspection, rows),
        "bars": bar_part(inspection, findings, on),
        "channel": channel_part(inspection),
        "changes": change_table(inspection),
        "photos": photos,
        "notes": inspection.notes,
        "signs": signing(inspection),
        "lines": list(LINES),
    }


def reported_on(inspection: Inspection) -> date:
    """The day of the report: that of the field portion, or of the draft's opening."""
    return inspection.field_completed_on or timezone.localdate(inspection.created_at)


def _warning(inspection: Inspection) -> str:
    if inspection.state == InspectionState.DRAFT:
        return NOT_HANDED_IN
    if inspection.state == InspectionState.SENT_BACK:
        return f"Sent back to the inspector: {inspection.review_reason}"
    if inspection.state != InspectionState.ACCEPTED:
        return "Handed in, not yet accepted by the reviewing engineer."
    return ""


def structure_fields(inspection: Inspection) -> list[list[str]]:
    """Name and value of each field of the title block; what is not known says so."""
    structure = inspection.structure
    length = f"{structure.length_ft:.1f} ft" if structure.length_ft else ""
    span = f", longest span {structure.max_span_ft:.1f} ft" if structure.max_span_ft else ""
    fields = [
        ("structure number", structure.number),
        ("agency", str(structure.agency)),
        ("owner", CODE_LISTS["022"].meaning(structure.owner_code) or structure.owner_code),
        ("road", structure.road_name),
        ("crosses", structure.feature_crossed),
        ("place", structure.location),
        ("system", structure.get_system_display()),
        ("built", str(structure.year_built or "")),
        ("length", length + span),
        ("position", _position(structure)),
    ]
    return [[name, value or "not on record"] for name, value in fields]


def _position(structure) -> str:
    if structure.lat_deg is None or structure.lon_deg is None:
        return ""
    return f"{structure.lat_deg:.5f}, {structure.lon_deg:.5f} degrees"


def visit_fields(inspection: Inspection) -> list[list[str]]:
    """The visit: kind, day, weather, team, who led it and whether they were qualified to."""
    weather = inspection.weather
    if inspection.air_temp_f is not None:
        weather = f"{weather}, {inspection.air_temp_f:g} °F".removeprefix(", ")
    fields = [
        ("kind", InspectionKind.label_of(inspection.kind)),
        ("field portion finished", day(inspection.field_completed_on) if inspection.field_completed_on else ""),
        ("weather", weather),
        ("team", inspection.team),
        ("team leader on site", _leader(inspection)),
        ("state", InspectionState.label_of(inspection.state)),
    ]
    return [[name, value or "not given"] for name, value in fields]


def _leader(inspection: Inspection) -> str:
    leader = inspection.leader
    if leader is None:
        return ""
    answer = leader_answer(leader, inspection.structure.agency, inspection.kind, reported_on(inspection))
    return f"{leader}. {answer.words}"


def signing(inspection: Inspection) -> list[list[str]]:
    """Who signs for what, with the names on record."""
    reviewed = ""
    if inspection.reviewed_by_id and inspection.state == InspectionState.ACCEPTED:
        reviewed = f"{inspection.reviewed_by}, accepted {day(timezone.localdate(inspection.reviewed_at))}"
    elif inspection.reviewed_by_id:
        reviewed = f"{inspection.reviewed_by}, sent back {day(timezone.localdate(inspection.reviewed_at))}"
    inspector = str(inspection.inspector or ("from the federal record" if inspection.from_record else "not on record"))
    return [
        ["Inspector", inspector],
        ["Team leader on site", str(inspection.leader or "not given")],
        ["Reviewing engineer", reviewed or "not yet reviewed"],
    ]
