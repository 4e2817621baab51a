"""What each kind of finding needs before the inspector leaves, in one table for the form and for the server.

Ranges are plausibility limits against slips of the keyboard [model, no source]; moisture 5 to 60 %, because resistance
meters say only "wet" above 30 % [memory]; sound stress-wave times across the grain are 259 to 305 microseconds per
foot (FPL-GTR-119 [memory]), along it about 60 (FHWA [checked]).
"""

from collections.abc import Mapping
from dataclasses import dataclass

from inspections.vocabulary.findings import Face, FindingKind, ForceMethod


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One field of a finding: its name for people, unit, least and most plausible value (None: not a number)."""

    label: str
    unit: str = ""
    least: float | None = None
    most: float | None = None


READINGS: dict[str, Reading] = {
    "span_index": Reading(label="the span", least=1, most=99),
    "member": Reading(label="the member group"),
    "member_number": Reading(label="which member, counted from the left edge", least=1, most=600),
    "bar": Reading(label="the bar"),
    "station_ft": Reading(label="the distance from the first bearing", unit="ft", least=0, most=300),
    "extent_ft": Reading(label="the length along the member", unit="ft", least=0, most=300),
    "face": Reading(label="the face"),
    "depth_in": Reading(label="the depth", unit="in", least=0, most=60),
    "width_in": Reading(label="the width", unit="in", least=0, most=60),
    "height_in": Reading(label="the height", unit="in", least=0, most=60),
    "offset_in": Reading(label="the void's centre above mid-depth", unit="in", least=-40, most=40),
    "moisture_pct": Reading(label="the moisture reading", unit="%", least=5, most=60),
    "moisture_depth_in": Reading(label="the depth of the pins", unit="in", least=0, most=6),
    "resistance_pct": Reading(label="the drilling resistance in percent of sound wood", unit="%", least=0, most=150),
    "wave_time_us_per_ft": Reading(label="the stress-wave time", unit="us/ft", least=40, most=3000),
    "force_lb": Reading(label="the bar force", unit="lb", least=0, most=250_000),
    "force_method": Reading(label="how the force was read"),
    "jack": Reading(label="the jack and gauge"),
    "gauge_psi": Reading(label="the gauge pressure", unit="psi", least=0, most=30_000),
    "wood_temp_f": Reading(label="the wood temperature", unit="F", least=-60, most=150),
    "value_in": Reading(label="the measured size", unit="in", least=-60, most=60),
    "area_pct": Reading(label="the share of the area", unit="%", least=0, most=100),
    "condition_state": Reading(label="the condition state", least=1, most=4),
    "note": Reading(label="a note"),
}


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """What a kind of finding needs, what else may be given, and the words that tell the inspector how."""

    needs: tuple[str, ...]
    asks: tuple[str, ...] = ()
    faces: tuple[str, ...] = ()
    above_zero: tuple[str, ...] = ()
    how: str = ""


_PLACE = ("span_index", "member", "member_number", "station_ft")
_SIDES = (Face.TOP, Face.BOTTOM, Face.LEFT, Face.RIGHT)
_ALL = (*_SIDES, Face.END)

EVIDENCE: dict[str, Evidence] = {
    FindingKind.SURFACE_DECAY: Evidence(
        needs=(*_PLACE, "extent_ft", "face", "depth_in"),
        faces=_ALL,
        above_zero=("depth_in",),
        how="Probe to sound wood; the depth is what was lost or soft, measured from the face as built.",
    ),
    FindingKind.INTERNAL_VOID: Evidence(
        needs=(*_PLACE, "extent_ft", "width_in", "height_in"),
        asks=("offset_in", "note"),
        above_zero=("width_in", "height_in"),
        how="Drill or core from two faces; give the void's width and height, and its centre above mid-depth.",
    ),
    FindingKind.CHECK: Evidence(
        needs=(*_PLACE, "extent_ft", "face", "depth_in"),
        faces=_ALL,
        how="Push a feeler gauge in; the depth is how far it goes across the member.",
    ),
    FindingKind.SPLIT: Evidence(
        needs=(*_PLACE, "extent_ft"),
        asks=("face", "depth_in"),
        how="A split goes through; give the depth only where it stops short of the other face.",
    ),
    FindingKind.CRACK: Evidence(
        needs=(*_PLACE, "face", "depth_in"), asks=("value_in",), faces=_SIDES, how="Across the grain: always grave."
    ),
    FindingKind.CRUSHING: Evidence(
        needs=("span_index", "depth_in"),
        asks=("member", "member_number", "bar", "station_ft"),
        how="Name the member at its bearing, or the bar at its plate.",
    ),
    FindingKind.BROKEN: Evidence(
        needs=("span_index", "member", "member_number"), asks=("station_ft", "note"), how="Always grave: call at once."
    ),
    FindingKind.WEAR: Evidence(
        needs=(*_PLACE, "extent_ft", "face", "depth_in"), faces=_SIDES, how="Depth worn away from the face as built."
    ),
    FindingKind.MOISTURE: Evidence(
        needs=("span_index", "member", "station_ft", "moisture_pct", "moisture_depth_in"),
        asks=("member_number", "wood_temp_f"),
        how="Read at 1, 2 and 3 in with insulated pins; one finding each.",
    ),
    FindingKind.DRILLING: Evidence(
        needs=(*_PLACE, "resistance_pct"),
        asks=("extent_ft", "width_in", "height_in", "offset_in", "note"),
        how="Under 75 % of sound wood, give the size of the weak zone and its length. Plug the hole.",
    ),
    FindingKind.STRESS_WAVE: Evidence(
        needs=(*_PLACE, "wave_time_us_per_ft"),
        asks=("extent_ft", "width_in", "height_in", "offset_in", "note"),
        how="Across the grain. A slow time asks for drilling at the same place: without its size the whole section "
        "counts.",
    ),
    FindingKind.BAR_FORCE: Evidence(
        needs=("bar", "force_method"),
        asks=("force_lb", "jack", "gauge_psi", "wood_temp_f", "moisture_pct", "note"),
        how="Lift-off or load cell; a bar loose to the hand counts as no force. The pressure at lock-off shows no "
        "standing force.",
    ),
    FindingKind.BAR_DEFECT: Evidence(
        needs=("span_index", "bar"),
        asks=("station_ft", "depth_in", "note"),
        how="Pitted, bent, or not to be identified: photograph it or say in the note what is wrong. The bar is not "
        "jacked until the engineer releases it.",
    ),
    FindingKind.SLIP: Evidence(
        needs=("span_index", "station_ft", "value_in"),
        asks=("member", "member_number", "note"),
        above_zero=("value_in",),
        how="Height of the step between two laminations.",
    ),
    FindingKind.CAMBER: Evidence(
        needs=("span_index", "value_in"), asks=("station_ft",), how="At midspan; up is positive, sag is negative."
    ),
    FindingKind.SURFACE_CRACK: Evidence(
        needs=("span_index", "station_ft"),
        asks=("extent_ft", "value_in", "area_pct", "note"),
        how="Width of the crack, and its length.",
    ),
    FindingKind.POTHOLE: Evidence(needs=("span_index", "station_ft"), asks=("value_in", "area_pct", "note")),
    FindingKind.SURFACE_THICKNESS: Evidence(
        needs=("value_in",),
        asks=("span_index", "station_ft", "note"),
        how="Full thickness of all layers down to the deck.",
    ),
    FindingKind.CONNECTION: Evidence(needs=("span_index", "note"), asks=("member", "member_number", "station_ft")),
    FindingKind.SETTLEMENT: Evidence(needs=("value_in", "note"), asks=("span_index",)),
    FindingKind.SCOUR: Evidence(needs=("note",), asks=("value_in", "span_index")),
    FindingKind.SIGN: Evidence(needs=("note",), how="Which approach, and what is wrong with the sign."),
    FindingKind.OTHER: Evidence(needs=("note",), asks=("span_index", "member", "station_ft")),
}


def _given(finding: Mapping, field: str) -> bool:
    value = finding.get(field)
    return value is not None and value != ""


def missing_from(finding: Mapping) -> list[str]:
    """The fields (names of the finding's columns) that are still missing for its kind."""
    kind = finding.get("kind")
    if kind not in EVIDENCE:
        return ["kind"]
    missing = [field for field in EVIDENCE[kind].needs if not _given(finding, field)]
    missing += [field for field in EVIDENCE[kind].above_zero if finding.get(field) == 0]
    if kind == FindingKind.BAR_FORCE and finding.get("force_method") != ForceMethod.HAND_LOOSE:
        missing += [] if _given(finding, "force_lb") else ["force_lb"]
    if kind == FindingKind.BAR_DEFECT and not (_given(finding, "note") or _given(finding, "photo")):
        missing.append("note")
    resistance = finding.get("resistance_pct")
    if kind == FindingKind.DRILLING and resistance is not None and resistance < 75:
        missing += [f for f in ("extent_ft", "width_in", "height_in") if not finding.get(f)]
    if kind == FindingKind.CRUSHING and not (_given(finding, "bar") or _given(finding, "member_number")):
        missing.append("member_number")
    return missing


def _label(name: str, kind: str) -> str:
    if name == "note" and kind == FindingKind.BAR_DEFECT:
        return "a photo, or a note that says what is wrong with the bar,"
    return READINGS[name].label


def evidence_faults(finding: Mapping, position: int, waived: frozenset[str] = frozenset()) -> list[str]:
    """One sentence saying all that a finding still lacks, or an empty list. `position` counts from 1 on the page.

    `waived` names fields that cannot be given because the structure's own record lacks them (spans, members).
    """
    missing = missing_from(finding)
    if missing == ["kind"]:
        return [f"Finding {position}: choose what kind of finding it is."]
    missing = [name for name in missing if name not in waived]
    if not missing:
        return []
    label = FindingKind.label_of(finding["kind"])
    wanted = " and ".join(_label(name, finding["kind"]) for name in missing)
    return [f"Finding {position} ({label.lower()}) lacks {wanted}: measure or read it before you leave."]


def range_faults(finding: Mapping, position: int, *, span_ft: float | None = None) -> list[str]:
    """Sentences for every value outside its plausible range, and for a place outside the span of `span_ft` feet."""
    label = FindingKind.label_of(finding.get("kind")).lower() or "no kind chosen"
    faults = []
    for name, reading in READINGS.items():
        value = finding.get(name)
        if reading.least is None or not _given(finding, name):
            continue
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            faults.append(f"Finding {position} ({label}): {reading.label} is '{value}', which is not a number.")
        elif not reading.least <= value <= reading.most:
            faults.append(
                f"Finding {position} ({label}): {reading.label} is {value:g}, outside {reading.least:g} to "
                f"{reading.most:g} {reading.unit}".rstrip()
                + "; correct it."
            )
    faults += _place_faults(finding, position, label, span_ft)
    kind = finding.get("kind")
    if kind in EVIDENCE and EVIDENCE[kind].faces and _given(finding, "face"):
        if finding["face"] not in EVIDENCE[kind].faces:
            words = ", ".join(Face.label_of(face).lower() for face in EVIDENCE[kind].faces)
            faults.append(f"Finding {position} ({label}): the face must be one of {words}.")
    return faults


def _place_faults(finding: Mapping, position: int, label: str, span_ft: float | None) -> list[str]:
    station = finding.get("station_ft")
    if span_ft is None or not isinstance(station, (int, float)):
        return []
    if station > span_ft + 1.0:
        return [
            f"Finding {position} ({label}): {station:g} ft from the first bearing is beyond the span of "
            f"{span_ft:g} ft; measure from the bearing with the lower station."
        ]
    return []


TOLERANCE = 0.01
"""Element quantities may differ from their total by 1 percent of it, or by 0.5 of the unit: rounding [model]."""


def element_faults(element: Mapping) -> list[str]:
    """Sentences where an element's quantities are negative, missing or do not add up to the total."""
    number = element.get("number")
    if number is None or number == "":
        return ["An element row has no element number: choose the element or clear the row."]
    where = f"Element {number}"
    amounts = [element.get(name) for name in ("total", "cs1", "cs2", "cs3", "cs4")]
    if any(isinstance(a, bool) or not isinstance(a, (int, float)) or a != a for a in amounts):
        return [f"{where}: give the total and the quantity in each condition state as numbers, 0 where there is none."]
    if any(amount < 0 for amount in amounts):
        return [f"{where}: a quantity below zero cannot be; correct it."]
    total, parts = amounts[0], sum(amounts[1:])
    if total == 0:
        return [f"{where}: the total quantity is zero; give the quantity or clear the row."]
    if abs(parts - total) > max(TOLERANCE * total, 0.5):
        return [
            f"{where}: condition states 1 to 4 add up to {parts:g} but the total is {total:g} "
            f"{element.get('unit', '')}".rstrip()
            + "; correct one of them."
        ]
    return []
