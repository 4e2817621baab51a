"""The field pack of one structure: all that an inspector needs beside it, as plain values for a device.

`missing` says in sentences what the pack could not hold; `version` is the digest of everything else, so that a device
learns whether its copy is still right without fetching it again.
"""

import hashlib
import json
from datetime import date, datetime

from inspections.assembly.inspection_content import content_of, element_content, finding_content, plain
from inspections.models import Inspection
from inspections.queries import field_pack as rows
from inspections.queries.bar_reading import bars_before
from inspections.queries.findings import last_elements
from inspections.queries.inspections import component_rating, received_inspections, standing_findings
from inspections.vocabulary.findings import RATED_PARTS, FindingKind, InspectionKind, VisitCause
from inspections.vocabulary.states import InspectionState
from inventory.models import Posting, Structure
from inventory.queries.qualifications import leaders_on
from inventory.vocabulary.structures import SignState, System

from .field_pack_sources import brought_by_others
from .field_pack_spans import span_parts
from .findings import finding_line

PACK_FORMAT = 1


def pack_of(structure: Structure, *, as_of: date, made_at: datetime, table_version: str) -> dict:
    """The whole pack as JSON values. `as_of` judges what is lapsed."""
    before = bars_before(structure)
    pack = {
        "pack": PACK_FORMAT,
        "structure": _structure(structure),
        "spans": span_parts(structure, before),
        "findings": [_finding(row) for row in standing_findings(structure)],
        "elements": _elements(structure),
        "ratings": _ratings(structure, as_of),
        "channel": _channel(structure),
        **_posting(structure),
        "jacks": [_jack(jack, before, as_of) for jack in rows.jacks_of(structure)],
        "leaders": _leaders(structure, as_of),
        "photos": [
            {
                "id": photo.pk,
                "caption": photo.title,
                "taken_on": plain(photo.taken_on),
                "finding": identity or None,
            }
            for photo, identity in rows.photos_of(structure)
        ],
        "drafts": [draft_content(row) for row in rows.drafts_of(structure)],
        "visits": _visits(structure),
        "contacts": contact_list(structure.agency_id),
        "table_version": table_version,
        "map": None,
        **brought_by_others(structure),
    }
    pack["missing"] = _missing(structure, pack)
    pack["version"] = digest(pack)
    pack["made_at"] = made_at.isoformat()
    return pack


def digest(pack: dict) -> str:
    """The pack's version: a checksum of its content."""
    return hashlib.sha256(json.dumps(pack, sort_keys=True).encode()).hexdigest()[:32]


def contact_list(agency_id: int) -> list[dict]:
    """Whom to call, in order."""
    return [
        {"role": row.role, "role_words": row.get_role_display(), "name": row.name, "phone": row.phone, "note": row.note}
        for row in rows.contacts_of(agency_id)
    ]


def draft_content(inspection: Inspection) -> dict:
    """An open or sent-back inspection, with what is asked."""
    return {
        "identity": str(inspection.identity),
        "id": inspection.pk,
        "kind": inspection.kind,
        "kind_words": InspectionKind.label_of(inspection.kind),
        "state": inspection.state,
        "state_words": InspectionState.label_of(inspection.state),
        "revision": inspection.revision,
        "inspector": str(inspection.inspector or ""),
        "review_reason": inspection.review_reason,
        "asked": inspection.asked,
        **content_of(inspection),
    }


def _structure(structure: Structure) -> dict:
    return {
        "id": structure.pk,
        "number": structure.number,
        "title": structure.title,
        "road": structure.road_name,
        "crosses": structure.feature_crossed,
        "system": structure.system,
        "system_words": System.label_of(structure.system),
        "lon": structure.lon_deg,
        "lat": structure.lat_deg,
        "year": structure.year_built,
        "length_ft": structure.length_ft,
        "deck_width_ft": structure.deck_width_ft,
        "status": structure.status,
        "over_water": structure.over_water,
        "revision": structure.revision,
        "agency": structure.agency_id,
    }


def _finding(row) -> dict:
    line = finding_line(row)
    parts = [line["kind"], line["place"], line["sizes"], line["note"]]
    return finding_content(row) | {
        "words": ", ".join(part for part in parts if part),
        "kind_words": FindingKind.label_of(row.kind),
        "seen_on": plain(row.inspection.field_completed_on),
        "photo": row.photo_id,
    }


def _elements(structure: Structure) -> list[dict]:
    return [element_content(row) for row in last_elements(structure, but=Inspection())]


def _ratings(structure: Structure, as_of: date) -> dict[str, dict]:
    found = {}
    given = list(received_inspections(structure, as_of).exclude(state=InspectionState.SENT_BACK))
    for part in RATED_PARTS:
        name = f"{part}_rating"
        if row := next((row for row in given if getattr(row, name)), None):
            found[part] = {"rating": getattr(row, name), "on": plain(row.field_completed_on)}
        elif part in ("deck", "superstructure", "substructure", "culvert"):
            if code := component_rating(structure, name, as_of):
                found[part] = {"rating": code, "on": None}
    return found


def _channel(structure: Structure) -> list[dict]:
    last = rows.last_surveys_of(structure)
    found = []
    for section in rows.sections_of(structure):
        survey = last.get(section.pk)
        found.append(
            {
                "section": section.pk,
                "name": section.name,
                "datum": section.datum,
                "foundation_ft": section.foundation_ft,
                "last": survey
                and {
                    "on": plain(survey.inspection.field_completed_on),
                    "points": survey.points,
                    "water_ft": survey.water_ft,
                },
            }
        )
    return found


def _posting(structure: Structure) -> dict:
    posting = Posting.objects.filter(structure=structure, superseded_on__isnull=True).prefetch_related("signs").first()
    if posting is None:
        return {"posting": None, "signs": []}
    signs = [
        {
            "id": sign.pk,
            "approach": sign.approach,
            "code": sign.code,
            "legend": sign.legend,
            "state": sign.state,
            "state_words": SignState.label_of(sign.state),
            "confirmed_on": plain(sign.confirmed_on),
        }
        for sign in posting.signs.all()
    ]
    return {"posting": {"words": posting.words, "restriction": posting.restriction}, "signs": signs}


def _jack(jack, before, as_of: date) -> dict:
    calibration = before.calibration(jack, as_of)
    return {
        "id": jack.pk,
        "name": jack.name,
        "pounds_per_psi": jack.ram_area_in2 * jack.efficiency,
        "gauge_most_psi": jack.gauge_most_psi,
        "calibrated_until": plain(calibration.until),
        "calibration_words": calibration.words,
        "calibration_warns": calibration.warns,
    }


def _leaders(structure: Structure, as_of: date) -> list[dict]:
    """Everyone who may be on site as leader, with the registry's answer for today."""
    return [
        {
            "id": person.pk,
            "name": str(person),
            "qualified_until": plain(answer.until),
            "may_lead": answer.may,
            "lapsed": not answer.may,
            "words": answer.words,
        }
        for person, answer in leaders_on(structure.agency, as_of)
    ]


def _visits(structure: Structure) -> list[dict]:
    return [
        {
            "identity": str(row.identity),
            "kind": row.kind,
            "kind_words": InspectionKind.label_of(row.kind),
            "cause_words": VisitCause.label_of(row.cause),
            "happened_on": plain(row.happened_on),
            "due_on": plain(row.due_on),
            "words": row.words,
        }
        for row in rows.visits_of(structure)
    ]


def _missing(structure: Structure, pack: dict) -> list[str]:
    """What an inspector will miss beside the structure, and who can put it right."""
    said = []
    if not pack["spans"]:
        said.append("No span is on record, so nothing can be placed on a drawing: note places in words.")
    for span in pack["spans"]:
        if not span["members"]:
            said.append(f"Span {span['index']}: no members are on record; name them in the notes.")
    if not pack["ratings"]:
        said.append("No component rating is on record from before.")
    if structure.lon_deg is None:
        said.append("The place of the structure is not on record, so there is no map around it.")
    elif pack["map"] is None:
        said.append("No roads are drawn around the structure; take a map along.")
    if any(span["bars"] for span in pack["spans"]) and not pack["jacks"]:
        said.append("No jack is on record: enter forces in pounds, not gauge pressures.")
    if not pack["contacts"]:
        said.append("No telephone numbers for emergencies are on record: ask the office for them before you leave.")
    said += [
        f"{jack['name']}: {jack['calibration_words']}."
        for jack in pack["jacks"]
        if any(span["bars"] for span in pack["spans"]) and jack["calibration_warns"]
    ]
    if not any(leader["may_lead"] for leader in pack["leaders"]):
        said.append("By the registry nobody of the agency may lead a team today: ask the office before you leave.")
    return said
