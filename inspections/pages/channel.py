"""Sections across the channel: drawing, table of depths and what changed, section by section."""

from itertools import pairwise

from django.utils.safestring import mark_safe

from inspections.assembly.condition_facts import survey_of, surveys_by_section
from inspections.drawings.channel_section import Bed, channel_drawing
from inspections.models import ChannelSection, ChannelSurvey
from inspections.rules.channel import (
    BedChange,
    bed_change,
    deepest,
    depth_at,
    foundation_words,
    grown_ratio,
    over_foundation_ft,
)
from inventory.models import Structure

MOST_COLUMNS = 6


def channel_context(structure: Structure) -> dict:
    """Every section of a structure."""
    return {"sections": [_section(section, rows) for section, rows in surveys_by_section(structure)]}


def _section(section: ChannelSection, rows: list[ChannelSurvey]) -> dict:
    made = {"section": section, "surveys": rows, "foundation_words": foundation_words(None)}
    if not rows:
        return made
    surveys = [survey_of(row) for row in rows]
    beds = [
        Bed(on=row.inspection.field_completed_on, points=survey.points, water_ft=row.water_ft)
        for row, survey in zip(rows, surveys, strict=True)
    ]
    drawing, scale = channel_drawing(
        beds, datum=section.datum, name=section.name, key=f"channel-{section.pk}", foundation_ft=section.foundation_ft
    )
    over = over_foundation_ft(surveys[-1].points, section.foundation_ft)
    return (
        made
        | {
            "drawing": mark_safe(drawing),  # noqa: S308 the writer escapes every text
            "scale_words": scale.words,
            "deepest": deepest(surveys[-1].points),
            "water_depth_ft": _water_depth(surveys[-1]),
            "is_below": over is not None and over < 0,
            "foundation_words": foundation_words(over),
            "since_last": _change(rows, surveys, -2),
            "since_first": _change(rows, surveys, 0) if len(rows) > 2 else None,
            "grown_pct": _pct(grown_ratio(surveys[0], surveys[-1])) if len(rows) > 1 else None,
            "shown": list(reversed(rows))[:MOST_COLUMNS],
            "table": _table(surveys[::-1][:MOST_COLUMNS]),
            "steps": [
                {"on": later.inspection.field_completed_on, "change": bed_change(survey_of(earlier), survey_of(later))}
                for earlier, later in pairwise(rows)
            ],
        }
    )


def _water_depth(survey) -> float | None:
    """Deepest water on the day."""
    if survey.water_ft is None:
        return None
    return max(0.0, deepest(survey.points)[1] - survey.water_ft)


def _pct(ratio: float | None) -> float | None:
    return None if ratio is None else 100.0 * ratio


def _change(rows: list[ChannelSurvey], surveys: list, place: int) -> dict | None:
    """Change from the survey at `place` to the newest."""
    if len(rows) < 2:
        return None
    change: BedChange | None = bed_change(surveys[place], surveys[-1])
    return {"on": rows[place].inspection.field_completed_on, "change": change}


def _table(surveys: list) -> list[dict]:
    """Depths at every station of the surveys shown (newest first), straight between soundings; change to the next."""
    stations = sorted({station for survey in surveys for station, _ in survey.points})
    rows = []
    for station in stations:
        depths = [depth_at(survey.points, station) for survey in surveys]
        both = len(depths) > 1 and depths[0] is not None and depths[1] is not None
        sounded = [any(station == s for s, _ in survey.points) for survey in surveys]
        rows.append(
            {
                "station": station,
                "depths": list(zip(depths, sounded, strict=True)),
                "change": depths[0] - depths[1] if both else None,
                "raised": depths[1] - depths[0] if both else None,
            }
        )
    return rows
