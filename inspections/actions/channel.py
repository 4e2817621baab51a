"""Sections across the channel are laid down, and sounded at an inspection."""

import json
from collections.abc import Mapping
from datetime import datetime
from hashlib import sha256

from django.db import transaction

from inspections.models import ChannelSection, ChannelSurvey, Inspection
from inspections.rules.channel import LEAST_DEPTH_FT, MOST_DEPTH_FT, survey_faults
from inspections.rules.lifecycle import EDITABLE
from inspections.rules.refusals import Refused, stale
from inspections.vocabulary.states import InspectionState
from inventory.actions.tell import tell_event
from inventory.models import Person, Structure
from inventory.vocabulary.roles import Permit

from .lock import lock_structure, require_permit

MOST_SECTIONS = 20


@transaction.atomic
def save_section(
    *,
    structure: Structure,
    section: int | None,
    name: str,
    datum: str,
    foundation_ft: float | None,
    by: Person,
    at: datetime,
    permit: Permit = Permit.ENTER_INSPECTION,
) -> ChannelSection:
    """A new section (`section` None) or a changed one. A section that was sounded keeps its datum: another datum is
    another section, because depths from two marks cannot be compared."""
    structure = lock_structure(structure.pk)
    require_permit(by, structure, permit)
    row = _section_row(structure, section) or ChannelSection(structure=structure)
    name, datum = name.strip(), datum.strip()
    faults = _section_faults(structure, row, name, datum, foundation_ft)
    if faults:
        raise Refused(*faults)
    is_new = row.pk is None
    if is_new:
        row.order = structure.channel_sections.count() + 1
    row.name, row.datum, row.foundation_ft = name, datum, foundation_ft
    row.save()
    below = "" if foundation_ft is None else f", foundation {foundation_ft:g} ft below it"
    tell_event(
        verb="save_channel_section",
        sentence=f"Channel section '{name}' {'laid down' if is_new else 'changed'}, datum {datum}{below}.",
        at=at,
        by=by,
        structure=structure,
        detail={"section": row.pk},
    )
    return row


def _section_row(structure: Structure, pk: int | None) -> ChannelSection | None:
    if pk is None:
        return None
    row = ChannelSection.objects.filter(structure=structure, pk=pk).first()
    if row is None:
        raise Refused("This channel section is not one of this structure: open the page again.")
    return row


def _section_faults(
    structure: Structure, row: ChannelSection, name: str, datum: str, foundation_ft: float | None
) -> list[str]:
    faults = []
    if not name or len(name) > 60:
        faults.append("Name the section in at most 60 characters: upstream face, 50 ft downstream.")
    if not datum or len(datum) > 120:
        faults.append("Say what the depths are measured down from, in at most 120 characters: a mark that stays.")
    others = structure.channel_sections.exclude(pk=row.pk)
    if any(other.name.casefold() == name.casefold() for other in others):
        faults.append(f"There is a section '{name}' already: choose another name.")
    if row.pk is None and others.count() >= MOST_SECTIONS:
        faults.append(f"A structure holds at most {MOST_SECTIONS} sections.")
    if row.pk is not None and row.datum != datum and row.surveys.exists():
        faults.append(
            f"'{row.name}' was sounded from '{row.datum}': depths from another datum cannot be compared. Lay down a "
            "new section."
        )
    if foundation_ft is not None and not LEAST_DEPTH_FT <= foundation_ft <= MOST_DEPTH_FT:
        faults.append("The underside of the foundation is given in feet below the datum.")
    return faults


@transaction.atomic
def save_surveys(
    *,
    inspection: Inspection,
    rows: list[Mapping],
    by: Person,
    at: datetime,
    permit: Permit = Permit.ENTER_INSPECTION,
) -> list[ChannelSurvey]:
    """Save the soundings of an inspection, whole or not at all; sections not named keep theirs.

    Each row: `section` (row id or None), `name` and `datum` of a section to lay down where it is None, `points`
    [[station_ft, depth_ft], ...] by rising station, `water_ft`, `method`, `note`. Empty points take the survey away.
    A row with `seen` (`mark_of` what the person read) is refused where somebody else saved in between. `permit` is
    SETTLE_RECEIPTS where the office files what came from the field.
    """
    structure = lock_structure(inspection.structure_id)
    require_permit(by, structure, permit)
    inspection = Inspection.objects.select_for_update(of=("self",)).get(pk=inspection.pk)
    if inspection.state not in EDITABLE:
        raise Refused(
            f"This inspection is '{InspectionState.label_of(inspection.state).lower()}': its soundings can no longer "
            "be changed. Ask for it to be sent back, or open a new one."
        )
    faults = [fault for row in rows for fault in _survey_faults(row)]
    if faults:
        raise Refused(*faults)
    saved = [survey for row in rows if (survey := _save_survey(inspection, structure, row, by, at, permit)) is not None]
    if rows:
        names = ", ".join(str(survey.section) for survey in saved) or "none"
        tell_event(
            verb="save_soundings",
            sentence=f"Soundings saved: {names}."[:500],
            at=at,
            by=by,
            structure=structure,
            detail={"inspection": inspection.pk},
        )
    return saved


def mark_of(survey: ChannelSurvey | None) -> str:
    """A short mark of what a survey says, to see whether it is still what a person read; "" where there is none."""
    if survey is None:
        return ""
    said = [survey.points, survey.water_ft, survey.method, survey.note]
    return sha256(json.dumps(said).encode()).hexdigest()[:16]


def _survey_faults(row: Mapping) -> list[str]:
    section = row.get("section")
    if section is not None and (isinstance(section, bool) or not isinstance(section, int)):
        return ["Soundings name a channel section that is none: choose the section again."]
    where = f"Soundings of {row.get('name') or 'section ' + str(row.get('section') or '')}".strip()
    points, water_ft = row.get("points") or [], row.get("water_ft")
    if water_ft is not None and (isinstance(water_ft, bool) or not isinstance(water_ft, int | float)):
        return [f"{where}: the water surface must be a number in feet below the datum."]
    faults = survey_faults(points, water_ft=water_ft, where=where) if points else []
    for name, most in (("method", 40), ("note", 200)):
        if len(str(row.get(name) or "")) > most:
            faults.append(f"{where}: write at most {most} characters for the {name}.")
    return faults


def _save_survey(
    inspection: Inspection, structure: Structure, row: Mapping, by: Person, at: datetime, permit: Permit
) -> ChannelSurvey | None:
    points = row.get("points") or []
    section = _section_row(structure, row.get("section"))
    if section is None and points:
        wanted = str(row.get("name") or "").strip()
        known = {each.name.casefold(): each for each in structure.channel_sections.all()}
        section = known.get(wanted.casefold()) or save_section(
            structure=structure,
            section=None,
            name=wanted,
            datum=str(row.get("datum") or ""),
            foundation_ft=None,
            by=by,
            at=at,
            permit=permit,
        )
    if section is None:
        return None
    stored = ChannelSurvey.objects.filter(inspection=inspection, section=section).first()
    if "seen" in row and row["seen"] != mark_of(stored):
        raise stale("these soundings")
    if not points:
        ChannelSurvey.objects.filter(inspection=inspection, section=section).delete()
        return None
    survey, _ = ChannelSurvey.objects.update_or_create(
        inspection=inspection,
        section=section,
        defaults={
            "points": [[float(station), float(depth)] for station, depth in points],
            "water_ft": row.get("water_ft"),
            "method": str(row.get("method") or ""),
            "note": str(row.get("note") or ""),
        },
    )
    return survey
