"""The form of a record from the field, format 1: what must be right before anything is made of it.

Every function returns sentences, none where all is well. The limits are the project's own [model]: far above an
inspection of a county bridge, low enough that no record can fill the disk or the memory of the site.
"""

from collections.abc import Mapping
from math import isfinite
from uuid import UUID

from inspections.vocabulary.findings import (
    RATED_PARTS,
    Change,
    CriticalKind,
    Face,
    FindingKind,
    ForceMethod,
    InspectionKind,
)

FORMAT = 1
KINDS = ("inspection", "critical", "sign")
CHOICES = ("mine", "theirs", "both")
LARGEST = 1e9
MOST_ELEMENT = 9999
MOST_ROWS = {"findings": 1000, "elements": 200, "channel": 40, "photos": 500}

TEXTS = {"kind": 20, "face": 8, "change": 6, "force_method": 12, "note": 400}
WHOLE = ("span_index", "member_number", "condition_state", "member", "bar", "jack")
NUMBERS = (
    "station_ft",
    "across_ft",
    "extent_ft",
    "depth_in",
    "width_in",
    "height_in",
    "offset_in",
    "moisture_pct",
    "moisture_depth_in",
    "resistance_pct",
    "wave_time_us_per_ft",
    "force_lb",
    "gauge_psi",
    "wood_temp_f",
    "value_in",
    "area_pct",
)
CODES = {
    "kind": {member.value for member in FindingKind},
    "face": {member.value for member in Face},
    "change": {member.value for member in Change},
    "force_method": {member.value for member in ForceMethod},
}
SHOWN_ONLY = frozenset({"words", "kind_words", "seen_on", "photo", "photos"})
"""What a pack shows beside a finding and a device may send back. Which photographs are a finding's stands in the
record's own list of them."""
VISIT_TEXTS = {"team": 160, "weather": 120, "notes": 20_000}
RATING_CODES = frozenset("9876543210N")


def envelope_faults(record: Mapping) -> list[str]:
    """What a record must carry so that it can be kept at all: its own identity and the device's."""
    return [
        f"The record carries no {name} that can be read: it cannot be told from another. Update the app and send again."
        for name in ("record", "device")
        if not is_identity(record.get(name))
    ]


def format_faults(record: Mapping) -> list[str]:
    """Why a kept record cannot be filed as it is; it is held for a person then."""
    if record.get("format") != FORMAT:
        return [f"The record is of format {record.get('format')!r:.20}; this site reads format {FORMAT}."]
    kind = record.get("kind")
    if kind not in KINDS:
        return [f"The record is of a kind this site does not know: {kind!r:.30}."]
    if not isinstance(record.get(kind), Mapping):
        return [f"The record says it is of kind '{kind}' but holds none."]
    if not _is_whole(record.get("structure")):
        return ["The record does not say which structure it is of."]
    faults = _rows_faults(record, ("photos",)) + _resolve_faults(record.get("resolves"))
    by_kind = {"inspection": _inspection_faults, "critical": _critical_faults, "sign": _sign_faults}
    return faults + (by_kind[kind](record) if not faults else [])


def _inspection_faults(record: Mapping) -> list[str]:
    faults = _rows_faults(record, ("findings", "elements", "channel"))
    if faults:
        return faults
    faults = _visit_faults(record["inspection"])
    for position, finding in enumerate(record.get("findings") or [], start=1):
        faults += [f"Finding {position}: {sentence}" for sentence in _finding_faults(finding)]
    for element in record.get("elements") or []:
        faults += _element_type_faults(element)
    for soundings in record.get("channel") or []:
        faults += _channel_faults(soundings)
    for position, photo in enumerate(record.get("photos") or [], start=1):
        faults += _photo_faults(photo, position)
    return faults


def _rows_faults(record: Mapping, names: tuple[str, ...]) -> list[str]:
    faults = []
    for name in names:
        rows = record.get(name) or []
        if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
            faults.append(f"The record's {name} are not a list of rows.")
        elif len(rows) > MOST_ROWS[name]:
            faults.append(f"The record has {len(rows)} {name}; more than {MOST_ROWS[name]} are not taken in one.")
    return faults


def _resolve_faults(resolves) -> list[str]:
    if resolves is None:
        return []
    is_right = isinstance(resolves, Mapping) and is_identity(resolves.get("record"))
    if is_right and resolves.get("choice") in CHOICES:
        return []
    return ["The record answers another one, but does not say which, or not with mine, theirs or both."]


def _visit_faults(visit: Mapping) -> list[str]:
    faults = [] if is_identity(visit.get("identity")) else ["The inspection carries no identity that can be read."]
    if not _is_code(visit.get("kind"), {member.value for member in InspectionKind}):
        faults.append(f"'{visit.get('kind')!s:.20}' is not a kind of inspection.")
    for name in ("base_revision", "leader"):
        if visit.get(name) is not None and not _is_whole(visit[name]):
            faults.append(f"The inspection's {name.replace('_', ' ')} is not a whole number.")
    for name, most in VISIT_TEXTS.items():
        faults += _text_faults(visit.get(name), f"The {name}", most)
    on = visit.get("field_completed_on")
    if on not in (None, "") and not isinstance(on, str):
        faults.append("The day of the field work is not a date.")
    if not _is_number(visit.get("air_temp_f")):
        faults.append("The air temperature is not a number.")
    for part in RATED_PARTS:
        code = visit.get(f"{part}_rating")
        if code not in (None, "") and not _is_code(code, RATING_CODES):
            faults.append(f"The {part} rating is '{code!s:.10}'; it must be 9 to 0 or N.")
    asked = visit.get("asked") or []
    if not isinstance(asked, list) or not all(isinstance(row, dict) for row in asked):
        faults.append("The answers to what was asked for are not a list of rows.")
    reasons = visit.get("rating_reasons") or {}
    if not isinstance(reasons, Mapping) or not all(isinstance(why, str) for why in reasons.values()):
        faults.append("The reasons of the ratings are not words.")
    return faults


def _finding_faults(finding: Mapping) -> list[str]:
    faults = [] if is_identity(finding.get("identity")) else ["it carries no identity that can be read."]
    for name, value in finding.items():
        if value is None or value == "" or name in SHOWN_ONLY or name == "identity":
            continue
        if name == "carries_on":
            faults += [] if is_identity(value) else ["the finding it goes on from cannot be read."]
        elif name in TEXTS:
            faults += _text_faults(value, f"the {name.replace('_', ' ')}", TEXTS[name])
            if name in CODES and isinstance(value, str) and value not in CODES[name]:
                faults.append(f"'{value:.20}' is not a {name.replace('_', ' ')} of the list.")
        elif name in WHOLE:
            faults += [] if _is_whole(value) else [f"'{name}' is not a whole number."]
        elif name in NUMBERS:
            faults += [] if _is_number(value) else [f"'{name}' is not a number."]
        elif name == "repeats_lb":
            is_list = isinstance(value, list) and len(value) <= 20 and all(_is_number(each) for each in value)
            faults += [] if is_list else ["the repeated readings are not numbers."]
        else:
            faults.append(f"this site knows no field '{name:.40}'; the app on the device is newer or older than it.")
    return faults


def _element_type_faults(element: Mapping) -> list[str]:
    if not _is_whole(element.get("number")) or element["number"] > MOST_ELEMENT:
        return [f"An element row has no element number of at most {len(str(MOST_ELEMENT))} digits."]
    faults = []
    for name in ("total", "cs1", "cs2", "cs3", "cs4"):
        if not _is_number(element.get(name)):
            faults.append(f"Element {element['number']}: '{name}' is not a number.")
    faults += _text_faults(element.get("unit"), f"Element {element['number']}: the unit", 8)
    return faults + _text_faults(element.get("note"), f"Element {element['number']}: the note", 200)


def _channel_faults(soundings: Mapping) -> list[str]:
    faults = (
        [] if soundings.get("section") is None or _is_whole(soundings["section"]) else ["A channel section is none."]
    )
    for name, most in (("name", 60), ("datum", 120), ("method", 40), ("note", 200)):
        faults += _text_faults(soundings.get(name), f"Soundings: the {name}", most)
    points = soundings.get("points") or []
    is_list = isinstance(points, list) and len(points) <= 500
    if not is_list or not all(
        isinstance(each, list) and len(each) == 2 and all(map(_is_number, each)) for each in points
    ):
        faults.append("Soundings: the points are not pairs of station and depth.")
    return faults + ([] if _is_number(soundings.get("water_ft")) else ["Soundings: the water surface is no number."])


def _photo_faults(photo: Mapping, position: int) -> list[str]:
    if not is_identity(photo.get("identity")):
        return [f"Photograph {position} carries no identity that can be read."]
    if photo.get("finding") and not is_identity(photo["finding"]):
        return [f"Photograph {position}: the finding it belongs to cannot be read."]
    return _text_faults(photo.get("caption"), f"Photograph {position}: the caption", 2000)


def _critical_faults(record: Mapping) -> list[str]:
    critical = record["critical"]
    faults = [] if is_identity(critical.get("identity")) else ["The critical finding carries no identity."]
    if not _is_code(critical.get("kind"), {member.value for member in CriticalKind}):
        faults.append(f"'{critical.get('kind')!s:.20}' is not a kind of critical finding.")
    faults += _text_faults(critical.get("words"), "What was seen", 500)
    notices = critical.get("notices") or []
    if not isinstance(notices, list) or not all(isinstance(row, dict) for row in notices) or len(notices) > 100:
        return [*faults, "Who was told is not a list."]
    for row in notices:
        faults += _text_faults(row.get("whom"), "Who was told", 120) + _text_faults(row.get("role"), "The role", 12)
        if row.get("how") not in (None, "", "call", "radio", "person", "mail"):
            faults.append(f"'{row.get('how')!s:.20}' is not a way of telling somebody.")
    for position, photo in enumerate(record.get("photos") or [], start=1):
        faults += _photo_faults(photo, position)
    return faults


def _sign_faults(record: Mapping) -> list[str]:
    sign = record["sign"]
    faults = [] if _is_whole(sign.get("id")) else ["The record does not say which sign was seen."]
    if sign.get("seen") not in ("standing", "missing", "taken_down"):
        faults.append("The record does not say whether the sign was seen standing, missing or taken down.")
    if not isinstance(sign.get("seen_on"), str):
        faults.append("The record does not say on which day the sign was seen.")
    faults += [] if all(_is_number(sign.get(name)) for name in ("lon", "lat")) else ["The sign's place is no place."]
    for position, photo in enumerate(record.get("photos") or [], start=1):
        faults += _photo_faults(photo, position)
    return faults


def is_identity(value) -> bool:
    """Whether a value is the text of a UUID."""
    if not isinstance(value, str) or len(value) != 36:
        return False
    try:
        UUID(value)
    except ValueError:
        return False
    return True


def _is_code(value, codes) -> bool:
    return isinstance(value, str) and value in codes


def _is_whole(value) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 2**31


def _is_number(value) -> bool:
    """A finite number, or nothing."""
    if value is None:
        return True
    is_real = isinstance(value, int | float) and not isinstance(value, bool)
    return is_real and isfinite(value) and abs(value) < LARGEST


def _text_faults(value, name: str, most: int) -> list[str]:
    if value is None or (isinstance(value, str) and len(value) <= most):
        return []
    return [f"{name} is not text." if not isinstance(value, str) else f"{name} is longer than {most} characters."]
