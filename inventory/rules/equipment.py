"""What can be a jack: sizes, efficiency and dates that hold together.

Ram area and efficiency come from the maker's plate and the calibration: pressure times area times efficiency is the
force (p = F / (A_ram eff), EM 7700-8 chapter 9 [memory]); efficiency 0.95 to 1.0 is usual [memory]. The other ranges
are limits against slips of the keyboard [model].
"""

from collections.abc import Mapping
from datetime import date
from math import isfinite

EFFICIENCY = (0.90, 1.0)
USUAL_EFFICIENCY = (0.95, 1.0)
RAM_AREA_IN2 = (0.5, 100.0)
DIVISION_PSI = (1.0, 1000.0)
SCALE_PSI = (500.0, 30_000.0)
CAPACITY_LB = (1000.0, 1_000_000.0)
MONTHS = (1, 24)
RANGES = {
    "ram_area_in2": ("The ram area", RAM_AREA_IN2, "in²", True),
    "efficiency": ("The efficiency", EFFICIENCY, "", True),
    "gauge_division_psi": ("The smallest division of the gauge", DIVISION_PSI, "psi", True),
    "gauge_most_psi": ("The end of the gauge's scale", SCALE_PSI, "psi", False),
    "capacity_lb": ("The rated capacity", CAPACITY_LB, "lb", False),
    "calibration_months": ("The months a calibration holds", MONTHS, "", True),
}


def jack_faults(values: Mapping, *, today: date, serials: frozenset[str]) -> dict[str, str]:
    """Field -> sentence; `serials` are those of the agency's other jacks, in lower case."""
    faults = {}
    if not (values.get("name") or "").strip():
        faults["name"] = "Give the jack a name, as painted on it."
    serial = (values.get("serial") or "").strip()
    if not serial:
        faults["serial"] = "Give the serial number of the jack: its calibration is found by it."
    elif serial.lower() in serials:
        faults["serial"] = f"A jack with the serial number {serial} is on record already: open that one."
    for name, (label, (least, most), unit, needed) in RANGES.items():
        if sentence := _fault(values.get(name), label, least, most, unit, needed):
            faults[name] = sentence
    return faults | _together(values, faults, today)


def _fault(value, label: str, least: float, most: float, unit: str, needed: bool) -> str:
    between = f"{least:,g} to {most:,g} {unit}".rstrip()
    if value is None:
        return f"{label} is needed, from {between}." if needed else ""
    if not isfinite(value) or not least <= value <= most:
        return f"{label} must be from {between}; {value:,g} was entered."
    return ""


def _together(values: Mapping, faults: Mapping, today: date) -> dict[str, str]:
    found = {}
    calibrated = values.get("calibrated_on")
    if calibrated is not None and calibrated > today:
        found["calibrated_on"] = "The calibration lies in the future: enter the day it was made."
    division, end = values.get("gauge_division_psi"), values.get("gauge_most_psi")
    if division and end and division > end / 10 and not {"gauge_division_psi", "gauge_most_psi"} & set(faults):
        found["gauge_division_psi"] = (
            f"A gauge that ends at {end:g} psi has divisions finer than {division:g} psi: read its face again."
        )
    return found


def efficiency_words(efficiency: float) -> str:
    """What to say of an efficiency outside the usual range; "" inside it."""
    low, high = USUAL_EFFICIENCY
    if low <= efficiency <= high:
        return ""
    return f"Efficiency {efficiency:g} is outside the usual {low:g} to {high:g}: compare it with the calibration sheet."


def retire_fault(reason: str) -> dict[str, str]:
    """A jack is retired for a reason."""
    return {} if reason.strip() else {"reason": "Say why it is retired: the reason is kept with the event."}
