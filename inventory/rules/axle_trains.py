"""What a vehicle entered by hand may be: every function returns field -> sentence, empty where nothing is wrong.

The ranges are those of the kernel's axle trains (up to 20 axles, up to 200 kip and 200 ft each, one spacing may vary);
they are our own, far above any road vehicle (common practice, no source).
"""

import re
from collections.abc import Mapping
from math import isfinite

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.vehicle import STANDARD_VEHICLES, LaneLoad, Vehicle, weight_excesses

MOST_AXLES, MOST_AXLE_KIP, MOST_SPACING_FT = 20, 200.0, 200.0
MOST_LANE_KLF, MOST_LANE_KIP = 5.0, 200.0
GROSS_TOLERANCE_KIP = 0.05
KEY = re.compile(r"^[A-Z0-9][A-Z0-9 .-]{0,19}$")
_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)"
_RANGE = re.compile(rf"^({_NUMBER})(?:\s*(?:-|–|to)\s*({_NUMBER}))?$")
LANE_FIELDS = ("lane_klf", "lane_moment_kip", "lane_shear_kip")


def read_axles(text: str) -> tuple[list[float], str]:
    """Axle weights written with commas or spaces, front to rear, kip; and a sentence where they cannot be read."""
    words = re.split(r"[,;\s]+", text.strip()) if text.strip() else []
    if not words:
        return [], "Write the axle weights in kip from front to rear, such as 16, 17, 17 (1 kip is 1,000 lb)."
    found = []
    for place, word in enumerate(words, start=1):
        if not re.fullmatch(_NUMBER, word):
            return [], f"Axle {place}: “{word[:20]}” is not a weight; write numbers in kip, such as 16, 17, 17."
        found.append(float(word))
    return found, _axle_fault(found)


def _axle_fault(axles: list[float]) -> str:
    if len(axles) > MOST_AXLES:
        return f"{len(axles)} axles were entered; from 1 to {MOST_AXLES} can be rated. Leave out none: split the load."
    for place, axle in enumerate(axles, start=1):
        if not isfinite(axle) or axle <= 0 or axle > MOST_AXLE_KIP:
            return f"Axle {place} must weigh above 0 and up to {MOST_AXLE_KIP:g} kip; {axle:g} was entered."
    return ""


def read_spacings(text: str, axles: int) -> tuple[list[list[float]], str]:
    """Gaps between axles with commas between them, ft, "14-30" where one varies; as (least, most) pairs."""
    words = [word.strip() for word in re.split(r"[,;]", text) if word.strip()]
    if len(words) == 1 and axles > 2:
        words = text.split()  # spaces alone, where none stands inside a range
    found = []
    for place, word in enumerate(words, start=1):
        read = _RANGE.match(word)
        if read is None:
            return [], f"Spacing {place}: “{word[:20]}” is not a distance; write feet, such as 15, 4, or 14-30 once."
        found.append([float(read[1]), float(read[2] or read[1])])
    return found, _spacing_fault(found, axles)


def _spacing_fault(gaps: list[list[float]], axles: int) -> str:
    if axles and len(gaps) != axles - 1:
        return f"{axles} axles have {axles - 1} spacings between them; {len(gaps)} were entered."
    for place, (least, most) in enumerate(gaps, start=1):
        if not (isfinite(least) and isfinite(most)) or least <= 0 or most > MOST_SPACING_FT or least > MOST_SPACING_FT:
            wrong = least if least <= 0 or least > MOST_SPACING_FT else most
            return f"Spacing {place} must be above 0 and up to {MOST_SPACING_FT:g} ft; {wrong:g} was entered."
        if most < least:
            return f"Spacing {place} runs from {least:g} down to {most:g} ft: write the smaller one first."
    if sum(1 for least, most in gaps if most > least) > 1:
        return "Only one spacing may vary; give the others one value each."
    return ""


def train_faults(values: Mapping) -> dict[str, str]:
    """Weights, spacings, gross and lane load together; `values` holds axles_kip, spacings_ft, gross_kip, lane_*."""
    axles = list(values.get("axles_kip") or [])
    gaps = [list(gap) for gap in values.get("spacings_ft") or []]
    faults = {}
    if fault := _axle_fault(axles) or ("" if axles else "Write at least one axle weight."):
        faults["axles"] = fault
    elif fault := _spacing_fault(gaps, len(axles)):
        faults["spacings"] = fault
    gross = values.get("gross_kip")
    if gross is not None and not faults and not abs(gross - sum(axles)) <= GROSS_TOLERANCE_KIP:
        faults["gross_kip"] = (
            f"The axles add up to {sum(axles):g} kip ({sum(axles) / 2:g} tons), the gross weight entered is "
            f"{gross:g} kip: correct one of them."
        )
    return faults | _lane_faults(values)


def _lane_faults(values: Mapping) -> dict[str, str]:
    given = {name: values.get(name) for name in LANE_FIELDS}
    if all(value is None for value in given.values()):
        return {}
    faults = {}
    for name, value in given.items():
        most, unit = (MOST_LANE_KLF, "kip/ft") if name == "lane_klf" else (MOST_LANE_KIP, "kip")
        if value is None:
            faults[name] = (
                "A lane load has three numbers: the load along it, and one load for moment and one for shear."
            )
        elif not isfinite(value) or value < 0 or value > most or (name == "lane_klf" and value == 0):
            faults[name] = f"It must be from 0 to {most:g} {unit}; {value:g} was entered."
    return faults


def vehicle_faults(values: Mapping, *, taken: frozenset[str]) -> dict[str, str]:
    """Everything about a vehicle of the agency; `taken` are the keys of its other vehicles."""
    faults = train_faults(values)
    key = values.get("key") or ""
    if not KEY.match(key):
        faults["key"] = "Give it a short key of capitals, digits, points and dashes, such as ST-4."
    elif key in STANDARD_VEHICLES:
        faults["key"] = f"{key} is a standard vehicle: give yours another key, and choose which of the two is rated."
    elif key in taken:
        faults["key"] = f"You already have a vehicle {key}: change that one, or give this another key."
    for name, asked in (
        ("name", "Give it a name people know it by."),
        ("source", "Say which law, rule or order makes it legal, with its section."),
    ):
        if not (values.get(name) or "").strip():
            faults[name] = asked
    if not faults:
        faults |= _kernel_faults(values)
    return faults


def _kernel_faults(values: Mapping) -> dict[str, str]:
    try:
        train_of(values)
    except OutsideValidity as refusal:
        return {"": str(refusal)}
    return {}


def train_of(values: Mapping) -> Vehicle:
    """The kernel's axle train of a vehicle's values; raises ``OutsideValidity`` for what is no vehicle."""
    lane = None
    if values.get("lane_klf") is not None:
        uniform, moment, shear = (float(values[name]) for name in LANE_FIELDS)
        lane = LaneLoad(uniform_klf=uniform, moment_kip=moment, shear_kip=shear)
    return Vehicle(
        id=values["key"],
        name=values["name"],
        vehicle_class=str(values["vehicle_class"]),
        axles_kip=tuple(float(axle) for axle in values["axles_kip"]),
        spacings_ft=tuple((float(least), float(most)) for least, most in values["spacings_ft"]),
        lane=lane,
        relieving_axles_dropped=bool(values.get("relieving_axles_dropped")),
        sign_class=str(values.get("sign_class") or "single_unit"),
        source=values.get("source") or "county record",
        mark="input",
    )


def weight_warnings(values: Mapping) -> list[str]:
    """Sentences with numbers where a federal axle limit or bridge formula B is exceeded: a warning, no refusal."""
    return [excess.sentence for excess in weight_excesses(train_of(values))]
