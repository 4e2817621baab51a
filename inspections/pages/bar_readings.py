"""A bar reading in words: how it was read, repeats, the gauge and its calibration on that day, and what it is not."""

from collections.abc import Iterable

from inspections.models import Finding
from inspections.rules.gauge import NOT_STANDING, Repeats
from inspections.vocabulary.findings import FindingKind, ForceMethod
from inventory.queries.equipment import calibrations_at


def reading_notes(findings: Iterable[Finding]) -> dict[int, list[dict]]:
    """Finding id to what is said of a bar reading: {words, warns}; nothing for other kinds.

    Findings with their inspection and jack loaded. A reading with no day yet is held against the calibration on record.
    """
    rows = [row for row in findings if row.kind == FindingKind.BAR_FORCE]
    dated = [(row.jack, row.inspection.field_completed_on) for row in rows if row.jack_id and row.inspection_id]
    found = calibrations_at((jack, on) for jack, on in dated if on is not None)
    return {row.pk: _notes(row, found) for row in rows}


def _notes(finding: Finding, calibrations: dict) -> list[dict]:
    told = []
    if finding.force_method == ForceMethod.LOCK_OFF:
        told.append(_said(f"{NOT_STANDING}: counts nowhere", warns=True))
    if finding.jack_id:
        pressure = f"{finding.gauge_psi:,.0f} psi on " if finding.gauge_psi is not None else ""
        told.append(_said(f"{pressure}{finding.jack}, {finding.jack.ram_area_in2:g} in² ram"))
        calibration = calibrations.get((finding.jack_id, finding.inspection.field_completed_on))
        if calibration is not None:
            told.append(_said(calibration.words, warns=calibration.warns))
    elif finding.force_method == ForceMethod.LIFT_OFF:
        told.append(_said("jack not on record"))
    if len(finding.repeats_lb) > 1:
        told.append(_said(Repeats(forces_lb=tuple(finding.repeats_lb)).words))
    return told


def _said(words: str, *, warns: bool = False) -> dict:
    return {"words": words, "warns": warns}
