"""Every bar reading of a structure with its inspection and jack, and the last pressure at lock-off of each bar."""

from datetime import date

from inspections.models import Finding
from inspections.vocabulary.findings import FindingKind, ForceMethod
from inventory.models import Structure

from .inspections import RECEIVED


def force_findings(structure: Structure, as_of: date) -> list[Finding]:
    """Bar readings handed over by a day, newest first."""
    rows = Finding.objects.filter(
        inspection__structure=structure,
        inspection__state__in=RECEIVED,
        inspection__field_completed_on__lte=as_of,
        kind=FindingKind.BAR_FORCE,
        bar__isnull=False,
    )
    return list(rows.select_related("inspection", "jack").order_by("-inspection__field_completed_on", "-id"))


def last_lock_offs(findings: list[Finding]) -> dict[int, Finding]:
    """Bar id to its newest gauge reading at lock-off."""
    found: dict[int, Finding] = {}
    for finding in findings:
        if finding.force_method == ForceMethod.LOCK_OFF and finding.force_lb is not None:
            found.setdefault(finding.bar_id, finding)
    return found
