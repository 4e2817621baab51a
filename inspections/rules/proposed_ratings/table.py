"""From the size of a defect to a component rating: one table, shown on the page [model].

No published table leads from measured sizes to a rating of 0 to 9. The scale itself speaks of minor, moderate and major
defects that are isolated, some or widespread (SNBI, table of component conditions [memory]); what size is which, and
how many places are how many, is our own conservative choice here. Codes 1 and 0 mean closed and are never proposed.
"""

from dataclasses import dataclass

from inspections.vocabulary.findings import FindingKind
from inventory.vocabulary.words import Words

VERSION = 1


class Severity(Words):
    """Of one place. Major asks for a structural review when it is reported."""

    NONE = "none", "nothing to rate"
    MINOR = "minor", "minor"
    MODERATE = "moderate", "moderate"
    MAJOR = "major", "major"


class Extent(Words):
    ISOLATED = "isolated", "isolated"
    SOME = "some", "some"
    WIDESPREAD = "widespread", "widespread"


SEVERITIES = (Severity.NONE, Severity.MINOR, Severity.MODERATE, Severity.MAJOR)
EXTENTS = (Extent.ISOLATED, Extent.SOME, Extent.WIDESPREAD)

CODES: dict[tuple[str, str], int] = {
    (Severity.MINOR, Extent.ISOLATED): 7,
    (Severity.MINOR, Extent.SOME): 7,
    (Severity.MINOR, Extent.WIDESPREAD): 6,
    (Severity.MODERATE, Extent.ISOLATED): 6,
    (Severity.MODERATE, Extent.SOME): 5,
    (Severity.MODERATE, Extent.WIDESPREAD): 4,
    (Severity.MAJOR, Extent.ISOLATED): 4,
    (Severity.MAJOR, Extent.SOME): 3,
    (Severity.MAJOR, Extent.WIDESPREAD): 2,
}
"""Code by severity and extent: the descriptions of the SNBI scale turned round [memory]."""

CODE_MEANS = {
    8: "some inherent defects",
    7: "some minor defects",
    6: "widespread minor or isolated moderate defects",
    5: "some moderate defects; strength and performance not affected",
    4: "widespread moderate or isolated major defects; strength or performance affected",
    3: "major defects; strength or performance seriously affected, closer watch, restriction or repair usual",
    2: "major defects; severely compromised, strong restriction or repair usual to stay open",
}

FEW_PLACES, MANY_PLACES = 2, 5
FEW_SHARE, MANY_SHARE = 0.10, 1.0 / 3.0
EXTENT_WORDS = (
    "One place is isolated. Several are isolated up to 2 places and a tenth of the members, widespread over 5 "
    "places or a third of the members, and some in between."
)


@dataclass(frozen=True, kw_only=True)
class Step:
    """From which measure on a defect of this kind is moderate and major; below that, and above nothing, it is minor.

    `measure` is a share of the member ("loss_ratio", "depth_ratio", "length_ratio" in member depths), a size in inches
    ("depth_in", "down_in", "value_in") or "state" where only the condition state speaks.
    """

    measure: str
    words: str
    moderate_from: float | None = None
    major_from: float | None = None
    at_least: Severity = Severity.NONE
    least_extent: Extent = Extent.ISOLATED


_LOST = Step(measure="loss_ratio", words="share of the member section lost", moderate_from=0.10, major_from=0.20)
STEPS: dict[str, Step] = {
    FindingKind.SURFACE_DECAY: _LOST,
    FindingKind.INTERNAL_VOID: _LOST,
    FindingKind.DRILLING: _LOST,
    FindingKind.STRESS_WAVE: _LOST,
    FindingKind.WEAR: Step(measure="loss_ratio", words="share of the thickness worn", moderate_from=0.10,
                           major_from=0.25),
    FindingKind.CHECK: Step(measure="depth_ratio", words="share of the thickness checked; state 3 is moderate",
                            moderate_from=0.50, major_from=1.0),
    FindingKind.SPLIT: Step(measure="length_ratio", words="length in member depths", moderate_from=1.0, major_from=3.0,
                            at_least=Severity.MINOR),
    FindingKind.CRACK: Step(measure="state", words="across the grain, not arrested", at_least=Severity.MAJOR),
    FindingKind.BROKEN: Step(measure="state", words="a member broken or missing", at_least=Severity.MAJOR,
                             least_extent=Extent.SOME),
    FindingKind.CRUSHING: Step(measure="depth_in", words="depth crushed, in", moderate_from=0.125, major_from=0.5),
    FindingKind.SLIP: Step(measure="value_in", words="step between laminations, in", moderate_from=0.125,
                           major_from=0.25),
    FindingKind.CAMBER: Step(measure="down_in", words="sag below level, in", moderate_from=0.0, major_from=2.0),
    FindingKind.SETTLEMENT: Step(measure="value_in", words="settlement, in", moderate_from=0.0, major_from=2.0),
    FindingKind.SCOUR: Step(measure="value_in", words="depth of the hole, in", moderate_from=0.0, major_from=48.0),
    FindingKind.CONNECTION: Step(measure="state", words="fasteners loose (minor) or missing (moderate)"),
    FindingKind.BAR_DEFECT: Step(measure="state", words="a bar pitted, bent or not identified",
                                 at_least=Severity.MODERATE),
    FindingKind.BAR_FORCE: Step(measure="state", words="a bar loose to the hand", at_least=Severity.MAJOR),
    FindingKind.MOISTURE: Step(measure="moisture_pct", words="moisture of 28 % and more: decay may be active"),
}  # fmt: skip
WET_FROM_PCT = 28.0
"""Fibre saturation: active decay possible from 28 to 30 % [memory]; 25 to 30 % quoted [checked-2nd]."""
BY_STATE = {1: Severity.NONE, 2: Severity.MINOR, 3: Severity.MODERATE, 4: Severity.MAJOR}
"""A condition state given by the inspector, or suggested by a size, counts at least so much."""

BED_LOWERED_FT = (1.0, 3.0, 6.0)
"""Lowering of the bed since the first survey from which scour is minor, moderate and major [model]."""
NEAR_FOUNDATION_FT = 3.0
"""A bed nearer than this above the underside of the footing proposes 4, below it 2 [model]."""
AREA_GROWN = (0.10, 0.25, 0.50)
"""Growth of the area of the channel since the first survey from which it is minor, moderate and major [model]."""


def extent_of(places: int, share: float | None) -> Extent:
    """How far something is spread: `places` one by one, `share` of the members or of the quantity where known."""
    if places <= 1 and (share is None or share <= FEW_SHARE):
        return Extent.ISOLATED
    if places > MANY_PLACES or (share is not None and share > MANY_SHARE):
        return Extent.WIDESPREAD
    is_few = places <= FEW_PLACES and (share is None or share <= FEW_SHARE)
    return Extent.ISOLATED if is_few else Extent.SOME


def table_rows() -> list[dict]:
    """The table for the page: kind, measure and where moderate and major begin."""
    rows = []
    for kind, step in STEPS.items():
        scale = "%" if "share" in step.words else ""
        rows.append(
            {
                "kind": FindingKind.label_of(kind),
                "measure": step.words,
                "moderate": _figure(step.moderate_from, scale),
                "major": _figure(step.major_from, scale),
                "always": step.at_least.label if step.at_least != Severity.NONE else "",
            }
        )
    return rows


def _figure(value: float | None, scale: str) -> str:
    if value is None:
        return ""
    if value == 0:
        return "any"
    return f"{value:.0%}" if scale else f"{value:g}"


def table_json() -> dict:
    """The same table for a machine."""
    return {
        "version": VERSION,
        "mark": "model",
        "severities": [severity.value for severity in SEVERITIES],
        "extents": [extent.value for extent in EXTENTS],
        "codes": [
            {"severity": severity, "extent": extent, "code": code} for (severity, extent), code in CODES.items()
        ],
        "extent": {"few_places": FEW_PLACES, "many_places": MANY_PLACES, "few_share": FEW_SHARE,
                   "many_share": MANY_SHARE},
        "by_state": {str(state): severity.value for state, severity in BY_STATE.items()},
        "steps": [
            {"kind": kind, "measure": step.measure, "moderate_from": step.moderate_from,
             "major_from": step.major_from, "at_least": step.at_least.value, "least_extent": step.least_extent.value}
            for kind, step in STEPS.items()
        ],
    }  # fmt: skip
