"""An inspection as the field sends it and gets it back: plain values by column, dates and identities as text."""

from datetime import date
from uuid import UUID

from inspections.models import ChannelSurvey, ElementState, Finding, Inspection

VISIT_FIELDS = (
    "kind",
    "field_completed_on",
    "team",
    "weather",
    "air_temp_f",
    "deck_rating",
    "superstructure_rating",
    "substructure_rating",
    "channel_rating",
    "culvert_rating",
    "scour_rating",
    "protection_rating",
    "underwater_rating",
    "rating_reasons",
    "leader",
    "notes",
)
"""What the entry sheet and the device may set on an inspection."""
ELEMENT_FIELDS = ("number", "unit", "total", "cs1", "cs2", "cs3", "cs4", "note")
FINDING_FIELDS = tuple(field.name for field in Finding._meta.concrete_fields if field.name not in ("id", "inspection"))


def content_of(inspection: Inspection) -> dict:
    """{"inspection", "findings", "elements", "channel"}: the same shape as a record from the field.

    Reads the rows of findings, elements and surveys; give an inspection with these prefetched where there are many.
    """
    visit = {name: plain(inspection.serializable_value(name)) for name in VISIT_FIELDS}
    visit["identity"] = str(inspection.identity)
    return {
        "inspection": visit,
        "findings": [finding_content(row) for row in inspection.findings.all()],
        "elements": [element_content(row) for row in inspection.elements.all()],
        "channel": [survey_content(row) for row in inspection.channel_surveys.all()],
    }


def finding_content(finding: Finding) -> dict:
    """The columns of a finding that hold something; identity, kind and note always."""
    values = {name: plain(finding.serializable_value(name)) for name in FINDING_FIELDS}
    always = ("identity", "kind", "note")
    return {name: value for name, value in values.items() if name in always or value not in (None, "", [])}


def element_content(element: ElementState) -> dict:
    return {name: plain(getattr(element, name)) for name in ELEMENT_FIELDS}


def survey_content(survey: ChannelSurvey) -> dict:
    return {
        "section": survey.section_id,
        "name": survey.section.name,
        "datum": survey.section.datum,
        "water_ft": survey.water_ft,
        "points": survey.points,
        "method": survey.method,
        "note": survey.note,
    }


def plain(value):
    """A column's value as JSON holds it."""
    if isinstance(value, UUID):
        return str(value)
    return value.isoformat() if isinstance(value, date) else value
