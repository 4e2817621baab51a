"""A critical finding from the field: reported at the first record, added to by every later one of the same identity."""

from datetime import datetime
from uuid import UUID

from inspections.actions.critical.report import notice_row, report_critical
from inspections.models import CriticalFinding, CriticalNotice
from inspections.rules.field_clock import clock_sentence, is_far_off, moment_from, put_right
from inspections.vocabulary.findings import CriticalKind
from inspections.vocabulary.states import CriticalState
from inventory.actions.tell import tell_event

from .filing import Filed, Filing

SAME_CALL_S = 600.0
"""Two notices to one person so near in time are one call, sent twice [model]."""
FIRST_YEAR = 1990
"""A stamp before it is that of a clock that was never set; the moment of receiving counts then [model]."""


def file_critical(filing: Filing) -> Filed:
    """Called inside the transaction of the filing. The first word counts from when it was found; words and notices
    that come later are added, nothing that stands is overwritten."""
    given = filing.record["critical"]
    notices = [_notice(filing, row) for row in given.get("notices") or []]
    known = CriticalFinding.objects.filter(identity=UUID(given["identity"])).exists()
    finding = report_critical(
        structure=filing.structure,
        identity=UUID(given["identity"]),
        kind=given["kind"],
        words=given.get("words") or "",
        found_at=_moment(filing, given.get("found_at")),
        by=filing.by,
        at=filing.at,
        notices=notices,
    )
    said = [clock_sentence(filing.error_s)] if is_far_off(filing.error_s) else []
    if known:
        said += _add(finding, given, notices, filing)
    return Filed(critical=finding, sentences=said)


def _notice(filing: Filing, row: dict) -> dict:
    return {**row, "told_at": min(_moment(filing, row.get("told_at")), filing.at)}


def _moment(filing: Filing, stamp) -> datetime:
    right = put_right(moment_from(stamp), filing.error_s)
    return right if right is not None and right.year >= FIRST_YEAR else filing.at


def _is_same(given: dict, known: CriticalNotice) -> bool:
    """One call, named again in a later record; a second call to the same person counts after ten minutes."""
    same = str(given.get("whom") or "").strip()[:120] == known.whom
    return same and abs((given["told_at"] - known.told_at).total_seconds()) < SAME_CALL_S


def _add(finding: CriticalFinding, given: dict, notices: list[dict], filing: Filing) -> list[str]:
    """Words where it had none of its own, and every notice not on record yet (the same person, the same moment)."""
    added, words = [], (given.get("words") or "").strip()
    label = CriticalKind.label_of(finding.kind)
    if words and finding.words == label and words != label and finding.state != CriticalState.CLOSED:
        finding.words = words
        finding.revision += 1
        finding.save(update_fields=["words", "revision"])
        added.append(f"In words: {words}")
    told = list(CriticalNotice.objects.filter(finding=finding))
    fresh = [row for row in notices if not any(_is_same(row, known) for known in told)]
    CriticalNotice.objects.bulk_create([notice_row(finding, row, filing.by, filing.at) for row in fresh])
    added += [f"Told: {row['whom']}" for row in fresh]
    if added:
        tell_event(
            verb="add_to_critical",
            sentence=f"Added from the field to the critical finding: {'; '.join(added)}",
            at=filing.at,
            by=filing.by,
            structure=filing.structure,
            detail={"critical": finding.pk},
        )
    return [] if added else ["The site has this already."]
