"""What a browser would send: an entry sheet, filled in or changed."""

from inspections.models import Inspection

VISIT = {
    "field_completed_on": "2026-05-14",
    "team": "two from the yard",
    "weather": "dry",
    "air_temp_f": "61",
    "deck_rating": "6",
    "superstructure_rating": "5",
    "substructure_rating": "6",
    "channel_rating": "7",
    "culvert_rating": "N",
    "notes": "",
}
DECAY = {
    "kind": "surface_decay",
    "span_index": "1",
    "member_number": "3",
    "station_ft": "9",
    "extent_ft": "4",
    "face": "top",
    "depth_in": "1-1/2",
}


def row(prefix: str, number: int, values: dict) -> dict:
    return {f"{prefix}-{number}-{name}": value for name, value in values.items()}


def decay(inspection: Inspection, **changes) -> dict:
    member = inspection.structure.spans.get().members.get()
    return row("f", 0, {**DECAY, "member": str(member.pk), **changes})


def sheet(inspection: Inspection, *parts: dict, **changes) -> dict:
    """A whole form at the inspection's own revision."""
    sent = {"revision": str(inspection.revision), "then": "save", **VISIT}
    for part in parts:
        sent |= part
    return sent | changes
