"""The settings by which a county rates: what each does, its default, its range, its source and mark.

One table for the page, the form, the checks and the mapping to the kernel's policy. Marks as everywhere: memory,
recalled from the named text; model, a policy without a published number behind it.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from math import isfinite

from inventory.mechanics.rating import RatingPolicy
from inventory.mechanics.vehicle import STANDARD_VEHICLES

_MBE = "AASHTO Manual for Bridge Evaluation"
_POLICY = RatingPolicy()
PUBLISHED_FLOOR_PSI = 40.0
"""Least pressure of a stress-laminated deck in service (AASHTO LRFD 9.9.5.6, commentary [memory])."""
PUBLISHED_CLOSING_PSI = 20.0
"""Half of it, where closing is recommended [model]."""


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One setting. `kind`: choice, yesno, number, or optional (a number that may be left empty: step not used)."""

    name: str
    label: str
    kind: str
    default: object
    meaning: str
    source: str
    mark: str
    unit: str = ""
    least: float = 0.0
    most: float = 0.0
    choices: tuple[tuple[str, str], ...] = ()
    on_agency: bool = False

    def words(self, value: object) -> str:
        """A value as people read it."""
        if self.kind == "yesno":
            return "yes" if value else "no"
        if self.kind == "choice":
            return dict(self.choices).get(str(value), str(value))
        return "not used" if value is None else f"{float(value):g} {self.unit}".strip()


def _number(name, label, unit, least, most, meaning, source, mark, *, default=None, **more) -> Setting:
    kind = more.pop("kind", "number")
    default = getattr(_POLICY, name) if default is None else default
    return Setting(
        name=name, label=label, kind=kind, default=default, meaning=meaning, source=source, mark=mark, unit=unit,
        least=least, most=most, **more,
    )  # fmt: skip


def _yesno(name, label, meaning, source, mark) -> Setting:
    return Setting(
        name=name, label=label, kind="yesno", default=getattr(_POLICY, name), meaning=meaning, source=source, mark=mark
    )


METHOD_AND_SIGNS = (
    Setting(
        name="posting_method", label="Method that posts", kind="choice", default="ASR", source=f"{_MBE} 6A, 6B",
        mark="memory", choices=(("ASR", "Allowable stress"), ("LRFR", "Load and resistance factor")),
        meaning="Both methods are computed and shown; the tons on the sign come from this one.",
    ),
    _number(
        "posting_level", "Level that posts, allowable stress", "", 0, 1,
        "0 posts at inventory, 1 at operating, between in proportion. Never above operating.",
        f"{_MBE} 6B.7", "memory", default=1.0, on_agency=True,
    ),
    Setting(
        name="rounding", label="Rounding of tons", kind="choice", default="down", on_agency=True,
        source="practice of States", mark="model",
        choices=(
            ("down", "Down to whole tons"),
            ("down_by_5_above_30", "Down to whole tons, above 30 tons down by fives"),
            ("nearest", "Nearest whole ton"),
        ),
        meaning="Never above the operating rating and never above the vehicle's weight, whichever is chosen.",
    ),
    Setting(
        name="load_factor_table", label="Live-load factors of legal loads", kind="choice", default="2013",
        source=f"{_MBE} tables 6A.4.4.2.3a-1 and b-1", mark="memory",
        choices=(("2013", "2013 interims"), ("2008", "First edition, 2008")),
        meaning="Which edition's factors are used in load and resistance factor rating, by trucks a day.",
    ),
)  # fmt: skip
SHARES = (
    _yesno(
        "one_lane_case_too", "One lane beside several",
        "The worse of one lane loaded and several counts in load and resistance factor rating.",
        "AASHTO LRFD 4.6.2.2", "memory",
    ),
    _yesno(
        "emergency_in_one_lane", "Emergency vehicles in one lane",
        "Only one emergency vehicle at a time: it gets the share of one lane. No takes the share of other trucks, the "
        "heavier on most decks.", "FHWA questions and answers on emergency vehicles, 2018", "memory",
    ),
    _yesno(
        "rate_edge_strip", "Edge strip of slab decks",
        "The edge strip of a longitudinal deck is rated besides the inner strip.", "AASHTO LRFD 4.6.2.1.4", "memory",
    ),
    _number(
        "deflection_ratio", "Deflection is flagged above span over", "", 100, 2000,
        "A flag for service, not a limit of the rating.", "AASHTO LRFD 2.5.2.6.2", "memory",
    ),
)  # fmt: skip
DAMAGE = (
    _yesno(
        "raise_condition_where_measured", "Condition factor raised where loss was measured",
        "Where measured section loss is already in the strength, the condition factor rises by 0.05, never above 1.",
        f"{_MBE} 6A.4.2.3, commentary", "memory",
    ),
    _number(
        "transition_in", "Taken off behind surface decay", "in", 0, 2,
        "Wood behind visible decay that is already weakened, besides the measured depth.", "owner policy", "model",
    ),
    _number(
        "least_shell_in", "Least sound shell at a support", "in", 0, 6,
        "A thinner shell round a void carries no shear there.", "owner policy", "model",
    ),
    _number(
        "least_shell_ratio", "or this part of the side, if more", "", 0, 0.5,
        "The larger of the two counts.", "owner policy", "model",
    ),
    _number(
        "drilled_void_below", "Drilled wood is a void below, of sound resistance", "", 0, 1,
        "A zone with less drilling resistance counts as gone.", "owner policy", "model",
    ),
    _number(
        "drilled_sound_from", "Drilled wood is sound from, of sound resistance", "", 0, 1,
        "Between the two it is half effective in bending and carries no shear.", "owner policy", "model",
    ),
)  # fmt: skip
WAVES = (
    _number(
        "wave_sound_us_per_ft", "Stress-wave time of sound wood across the grain", "µs/ft", 100, 600,
        "Readings are divided by it. 259 to 305 for Douglas fir and southern pine at about 12 % moisture; the lower "
        "value suspects decay sooner.", "FPL-GTR-119", "memory", default=259.0,
    ),
    _number(
        "wave_grade_ratio", "One grade lower from, times sound", "", 1, 5,
        "Decay is suspected: the whole member is rated one grade lower until it is drilled there.",
        "FPL-GTR-119 (moderate decay at 1.3 times sound)", "model", default=1.3,
    ),
    _number(
        "wave_half_ratio", "Half effective from, times sound", "", 1, 10,
        "The place is half effective in bending and carries no shear; its size as recorded, else the whole section. "
        "Empty: step not used.", "FPL-GTR-119 (severe decay at 1.5 times sound)", "model", default=1.5, kind="optional",
    ),
    _number(
        "wave_void_ratio", "Void from, times sound", "", 1, 20,
        "The place counts as gone; its size as recorded, else the whole section. Empty: step not used.",
        "FPL-GTR-119 (void at 2 times sound)", "model", default=2.0, kind="optional",
    ),
)  # fmt: skip
PRESSURE = (
    _number(
        "pressure_floor_psi", "Least pressure between laminations", "psi", 1, 150,
        "Below it the bars are due for re-tensioning. Below 40 psi only for a named reason.",
        "AASHTO LRFD 9.9.5.6, commentary", "memory",
    ),
    _number(
        "closing_pressure_psi", "Closing is recommended below", "psi", 0, 150,
        "Below it the deck is not relied on to act together. Below 20 psi only for a named reason.",
        "owner policy", "model",
    ),
)  # fmt: skip
GROUPS: tuple[tuple[str, tuple[Setting, ...]], ...] = (
    ("Method and signs", METHOD_AND_SIGNS),
    ("Shares of the load", SHARES),
    ("Decay, voids and drilling", DAMAGE),
    ("What stress-wave times mean", WAVES),
    ("Pressure of stressed decks", PRESSURE),
)
SETTINGS: dict[str, Setting] = {setting.name: setting for _heading, group in GROUPS for setting in group}
LEAST_HALF_BAND = 0.01
"""Between void and sound there is always a band of half effective wood [model]."""
CLOSE_BELOW_TONS = _POLICY.close_below_tons
CLOSING_SENTENCE = (
    f"A structure that cannot carry {CLOSE_BELOW_TONS:g} tons is closed. This is law and cannot be set lower here "
    f"(23 CFR 650.313; {_MBE} 6A.8.1) [memory]."
)
SELECTABLE = tuple(key for key in STANDARD_VEHICLES if key not in ("HL93-TRUCK", "HL93-TANDEM"))
"""Standard vehicles a county may choose among; the parts of HL-93 come with it."""
GENERAL = ("legal", "shv", "county")


def settings_faults(values: Mapping, *, own_general: bool) -> dict[str, str]:
    """Field -> sentence; `values` holds every setting, standard_vehicles and pressure_reason.

    `own_general` says whether the agency has a legal, hauling or county vehicle of its own in use.
    """
    faults = {}
    for setting in SETTINGS.values():
        if sentence := _fault(setting, values.get(setting.name)):
            faults[setting.name] = sentence
    if not faults:
        faults |= _together(values)
    return faults | vehicle_set_faults(values.get("standard_vehicles") or (), own_general=own_general)


def _fault(setting: Setting, value: object) -> str:
    if setting.kind == "choice":
        known = [code for code, _word in setting.choices]
        return "" if value in known else f"{setting.label}: choose one of the values listed."
    if setting.kind == "yesno" or (setting.kind == "optional" and value is None):
        return ""
    if value is None:
        return f"{setting.label}: enter a number from {setting.least:g} to {setting.most:g}."
    number = float(value)
    if not isfinite(number) or not setting.least <= number <= setting.most:
        unit = f" {setting.unit}" if setting.unit else ""
        return f"{setting.label} must be from {setting.least:g} to {setting.most:g}{unit}; {number:g} was entered."
    return ""


def _together(values: Mapping) -> dict[str, str]:
    faults = {}
    if values["drilled_void_below"] > values["drilled_sound_from"] - LEAST_HALF_BAND:
        faults["drilled_sound_from"] = (
            f"Sound wood begins at least {LEAST_HALF_BAND:g} above the resistance below which wood is a void: between "
            "them it is half effective."
        )
    steps = [(name, values[name]) for name in ("wave_grade_ratio", "wave_half_ratio", "wave_void_ratio")]
    steps = [(name, value) for name, value in steps if value is not None]
    for (_first, low), (name, high) in zip(steps, steps[1:], strict=False):
        if high < low:
            faults[name] = f"A harder step cannot begin earlier: enter {low:g} or more."
    if values["closing_pressure_psi"] > values["pressure_floor_psi"]:
        faults["closing_pressure_psi"] = "Closing cannot be recommended above the least pressure."
    reason = (values.get("pressure_reason") or "").strip()
    low = values["pressure_floor_psi"] < PUBLISHED_FLOOR_PSI or values["closing_pressure_psi"] < PUBLISHED_CLOSING_PSI
    if low and not reason:
        faults["pressure_reason"] = (
            f"Below {PUBLISHED_FLOOR_PSI:g} psi (closing: {PUBLISHED_CLOSING_PSI:g} psi) name the reason: the test, "
            "report or engineer that allows it."
        )
    return faults


def vehicle_set_faults(chosen: Collection[str], *, own_general: bool) -> dict[str, str]:
    """The standard vehicles chosen exist, and something is left by which a structure can be posted."""
    unknown = [key for key in chosen if key not in SELECTABLE]
    if unknown:
        return {"standard_vehicles": f"There is no standard vehicle {', '.join(unknown)}: choose among those listed."}
    general = own_general or any(STANDARD_VEHICLES[key].vehicle_class in GENERAL for key in chosen)
    if not general:
        return {
            "standard_vehicles": "Choose at least one legal or hauling vehicle, or enter one of your State: without it "
            "no posting can be recommended."
        }
    return {}


def reason_fault(reason: str) -> dict[str, str]:
    """A change of settings without its reason is refused."""
    return {} if reason.strip() else {"reason": "Say why: the reason is kept with the change for whoever asks later."}
