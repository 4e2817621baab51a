"""What the last inspection of each structure found, as its story asks."""

from datetime import date
from random import Random

from inventory.models import Structure

from .bars import BarRow, lift_off


def findings(structure: Structure, story: str, day: date, row: BarRow | None, jack, random: Random) -> list[dict]:
    """Rows for the inspection form."""
    rows: list[dict] = []
    span = structure.spans.first()
    if span is None:
        return rows
    main = span.members.exclude(role__in=("deck", "cap", "flange", "bottom_flange", "stiffener")).first()
    half = span.length_ft / 2
    rows.append(_moisture(span, main, round(random.uniform(14, 18), 1), half))
    if story in TELLING:
        rows += TELLING[story](span, main, half)
    if story in ("worn", "posted"):
        rows += _worn_deck_and_cap(span, half, story)
    if row is not None and story != "no_readings":
        rows += lift_off(row, row.forces(day), jack=jack, repeats=2)
    return rows


def _moisture(span, main, pct: float, station: float) -> dict:
    return {
        "kind": "moisture",
        "span_index": span.index,
        "member": main,
        "member_number": 1,
        "station_ft": station,
        "moisture_pct": pct,
        "moisture_depth_in": 2.0,
    }


def _decayed_stringer(span, main, half: float) -> list[dict]:
    """One stringer hollow at a bearing and softened under the deck."""
    hollow = {
        "kind": "internal_void",
        "span_index": span.index,
        "member": main,
        "member_number": 3,
        "station_ft": 1.0,
        "extent_ft": 4.0,
        "width_in": 1.5,
        "height_in": 6.0,
        "offset_in": 0.0,
        "note": "drilled at three heights, bit fell through",
    }
    soft = {
        "kind": "surface_decay",
        "span_index": span.index,
        "member": main,
        "member_number": 3,
        "station_ft": half - 2,
        "extent_ft": 5.0,
        "face": "top",
        "depth_in": 1.5,
        "note": "probe sinks under a leaking plank joint",
    }
    return [hollow, soft, _moisture(span, main, 31.0, 1.0) | {"member_number": 3}]


def _worn_members(span, main, half: float) -> list[dict]:
    return [
        {
            "kind": "surface_decay",
            "span_index": span.index,
            "member": main,
            "member_number": 2,
            "station_ft": half - 1,
            "extent_ft": 2.0,
            "face": "top",
            "depth_in": 0.5,
        },
        {
            "kind": "check",
            "span_index": span.index,
            "member": main,
            "member_number": 4,
            "station_ft": 2.0,
            "extent_ft": 4.0,
            "face": "left",
            "depth_in": 0.75,
        },
    ]


def _worn_deck_and_cap(span, half: float, story: str) -> list[dict]:
    """Planks worn in the wheel tracks of a posted bridge, a cap pressed into by its pile on a worn one."""
    found = []
    for member in span.members.filter(role="deck" if story == "posted" else "cap"):
        place = {"span_index": span.index, "member": member, "member_number": min(2, member.count)}
        if story == "posted":
            worn = {"kind": "wear", "station_ft": half - 3, "extent_ft": 6.0, "face": "top", "depth_in": 0.25}
            found.append(worn | place)
        else:
            found.append({"kind": "crushing", "station_ft": 5.75, "depth_in": 0.0625} | place)
    return found


def _old_decay(span, main, half: float) -> list[dict]:
    return [
        {
            "kind": "surface_decay",
            "span_index": span.index,
            "member": main,
            "member_number": 5,
            "station_ft": half - 3,
            "extent_ft": 6.0,
            "face": "top",
            "depth_in": 1.25,
        }
    ]


def _failing(span, main, half: float) -> list[dict]:
    broken = {
        "kind": "broken",
        "span_index": span.index,
        "member": main,
        "member_number": 4,
        "station_ft": half,
        "note": "broken through at midspan",
    }
    rotten = {
        "kind": "surface_decay",
        "span_index": span.index,
        "member": main,
        "member_number": 3,
        "station_ft": half - 4,
        "extent_ft": 8.0,
        "face": "top",
        "depth_in": 5.0,
    }
    return [broken, rotten]


def _old_surface(span, main, half: float) -> list[dict]:
    return [
        {"kind": "surface_crack", "span_index": span.index, "station_ft": half, "extent_ft": 14.0, "value_in": 0.375},
        {"kind": "pothole", "span_index": span.index, "station_ft": half + 3, "area_pct": 2.0},
    ]


def _overlay(span, main, half: float) -> list[dict]:
    return [{"kind": "surface_thickness", "span_index": span.index, "station_ft": half, "value_in": 10.5}]


def _slack(span, main, half: float) -> list[dict]:
    return [{"kind": "slip", "span_index": span.index, "station_ft": half, "value_in": 0.375, "note": "under a truck"}]


TELLING = {
    "decayed_stringer": _decayed_stringer,
    "worn": _worn_members,
    "posted": _old_decay,
    "closed": _failing,
    "old_surface": _old_surface,
    "overlay": _overlay,
    "slack": _slack,
    "awaiting_decision": _old_decay,
    "sign_unseen": _old_decay,
    "sign_missing": _old_decay,
    "sent_back": _slack,
}
