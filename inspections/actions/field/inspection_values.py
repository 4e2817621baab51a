"""The inspection of a record as save_draft takes it: dates and identities read, what only shows left out."""

from collections.abc import Iterable, Mapping
from uuid import UUID

from inspections.assembly.inspection_content import ELEMENT_FIELDS, VISIT_FIELDS
from inspections.rules.field_clock import day_from
from inspections.rules.field_record import NUMBERS, SHOWN_ONLY, TEXTS, WHOLE

FINDING_COLUMNS = ("carries_on", "repeats_lb", *TEXTS, *WHOLE, *NUMBERS)
QUANTITIES = ("total", "cs1", "cs2", "cs3", "cs4")


def visit_values(visit: Mapping) -> dict:
    """Columns of the inspection; what the record leaves out is left out, so that it stays as it was."""
    values = {name: visit[name] for name in VISIT_FIELDS if name in visit}
    if "field_completed_on" in values:
        values["field_completed_on"] = day_from(values["field_completed_on"])
    for name, value in values.items():
        if value is None and name not in ("field_completed_on", "air_temp_f", "leader"):
            values[name] = {} if name == "rating_reasons" else ""
    return values


def finding_values(finding: Mapping) -> dict:
    """Columns of a finding, all of them named: what the device emptied is emptied here too."""
    values = {name: finding.get(name) for name in FINDING_COLUMNS}
    values = {name: None if value == "" else value for name, value in values.items()}
    kept = {name: value for name, value in finding.items() if name not in values and name not in SHOWN_ONLY}
    return {name: value for name, value in values.items()} | kept | {"identity": UUID(finding["identity"])}


def element_values(element: Mapping) -> dict:
    """Columns of an element row; a condition state left out is none of it."""
    values = {name: element[name] for name in ELEMENT_FIELDS if element.get(name) is not None}
    return dict.fromkeys(QUANTITIES, 0.0) | {"unit": "", "note": ""} | values


def whole_elements(elements: Iterable[Mapping]) -> tuple[list[dict], list[str]]:
    """(rows that can be kept, words for those without a total): an unfinished row goes into the notes, not away."""
    rows, incomplete = [], []
    for element in elements:
        if element.get("total") is not None:
            rows.append(element_values(element))
            continue
        states = [f"state {n} {element[f'cs{n}']:g}" for n in range(1, 5) if element.get(f"cs{n}") is not None]
        said = [*states, *([str(element["note"])] if element.get("note") else [])]
        if said:
            incomplete.append(f"Element {element['number']}, total not given: {', '.join(said)}.")
    return rows, incomplete


def comparable(record: Mapping) -> dict:
    """The record's content in the shape that meetings compare: as it would be stored."""
    visit = visit_values(record["inspection"])
    day = visit.get("field_completed_on")
    return {
        "inspection": {**visit, "identity": record["inspection"]["identity"]}
        | ({"field_completed_on": day.isoformat()} if day else {}),
        "findings": [
            {name: value for name, value in finding.items() if name not in SHOWN_ONLY and value not in (None, "", [])}
            for finding in record.get("findings") or []
        ],
        "elements": [element_values(element) for element in record.get("elements") or []],
        "channel": record.get("channel") or [],
    }
