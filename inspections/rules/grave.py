"""Findings that call for the engineer at once, whatever the rating factors say.

Bar plates crushed over 1/8 in, steps between laminations over 1/4 in, any break across the grain, settlement, sag below
level: inspection triggers of the trade [model, owner policy]; the list of what marks a structure for immediate review
(slack bars, crushed bearing, lost section, settlement) likewise. The kernel adds what it sees in the sections itself.
"""

from collections.abc import Mapping

from inspections.vocabulary.findings import Change, Face, FindingKind, ForceMethod

from .loss_policy import DEFAULT

CRUSHED_PLATE_IN = 0.125
STEP_IN = 0.25
SEVERE_WAVE_RATIO = 1.5
ACTIVE_DECAY_PCT = 28.0
BEFORE_RECORDING = (
    "Call the supervisor or the engineer now, stay at the structure and keep traffic off it until somebody with the "
    "authority answers; record it after."
)


def grave_sentences(finding: Mapping) -> list[str]:
    """Sentences for one finding (its columns by name, `where` in words) that must reach the engineer at once.

    None for what is marked repaired or gone; a bar loose to the hand is a reading of its day and always told.
    """
    is_gone = finding.get("change") == Change.GONE
    if is_gone and finding["kind"] != FindingKind.BAR_FORCE:
        return []
    where = finding.get("where") or "place not named"
    kind, depth, value = finding["kind"], finding.get("depth_in") or 0.0, finding.get("value_in") or 0.0
    told = []
    if kind == FindingKind.BROKEN:
        told.append(f"A member is broken or missing ({where}).")
    elif kind == FindingKind.CRACK:
        told.append(f"A crack across the grain, {depth:g} in deep ({where}).")
    elif kind == FindingKind.SETTLEMENT:
        told.append(f"Settlement of {abs(value):g} in ({where}).")
    elif kind == FindingKind.CAMBER and value < 0:
        told.append(f"The span sags {-value:g} in below level ({where}).")
    elif kind == FindingKind.SLIP and abs(value) > STEP_IN:
        told.append(f"A step of {abs(value):g} in between laminations ({where}): the bars may be slack.")
    elif kind == FindingKind.CRUSHING and finding.get("bar") and depth > CRUSHED_PLATE_IN:
        told.append(f"Wood crushed {depth:g} in under a bar plate ({where}): force is lost there.")
    elif kind == FindingKind.SURFACE_DECAY and finding.get("face") == Face.END:
        told.append(f"Decay in the end grain at a bearing ({where}): the bearing length was reduced by its depth.")
    elif kind == FindingKind.STRESS_WAVE:
        told += _slow_wave(finding, where)
    elif kind == FindingKind.BAR_FORCE and finding.get("force_method") == ForceMethod.HAND_LOOSE:
        told.append(f"A stressing bar is loose to the hand ({where}).")
    if finding.get("condition_state") == 4 and not told and not is_gone:
        told.append(f"{FindingKind.label_of(kind)} in condition state 4, which asks for a structural review ({where}).")
    return told


def _slow_wave(finding: Mapping, where: str) -> list[str]:
    ratio = (finding.get("wave_time_us_per_ft") or 0.0) / DEFAULT.wave_sound_us_per_ft
    if ratio < SEVERE_WAVE_RATIO:
        return []
    return [f"Stress-wave time {ratio:.1f} times that of sound wood ({where}): drill there before relying on it."]
