"""Critical findings in words: clocks, who was told and when, what was done; the banner over every page."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.http import HttpRequest
from django.urls import reverse
from django.utils import timezone

from inspections.models import CriticalFinding
from inspections.queries.critical import (
    OPEN,
    critical_handled_by,
    critical_of_structure,
    critical_terms,
    fact_of,
    open_critical,
)
from inspections.queries.critical_proposals import Proposal
from inspections.rules.clocks.critical import CriticalClock, critical_clocks, most_pressing, whom_to_tell
from inspections.rules.critical import critical_of_restriction
from inspections.vocabulary.findings import CriticalKind
from inspections.vocabulary.states import CriticalState
from inventory.models import Event, Person, Structure
from inventory.pages.contacts import contact_lines
from inventory.queries.people import permits_of
from inventory.vocabulary.record_1995 import CODE_LISTS
from inventory.vocabulary.roles import Permit


@dataclass(frozen=True, kw_only=True)
class CriticalLine:
    """One critical finding as lists show it."""

    finding: CriticalFinding
    kind: str
    clocks: list[CriticalClock]
    pressing: CriticalClock | None

    @property
    def is_open(self) -> bool:
        return self.finding.state in OPEN

    @property
    def is_late(self) -> bool:
        return any(clock.grade == "late" for clock in self.clocks)


def critical_lines(rows: Iterable[CriticalFinding], now: datetime) -> list[CriticalLine]:
    """Lines of rows that `with_notices` gave."""
    rows = list(rows)
    terms = critical_terms({row.structure.agency_id for row in rows}) if rows else {}
    lines = []
    for row in rows:
        fact = fact_of(row, terms[row.structure.agency_id], is_nhs=row.structure.is_nhs)
        clocks = critical_clocks(fact, timezone.localtime(now))
        kind = CriticalKind.label_of(row.kind)
        lines.append(CriticalLine(finding=row, kind=kind, clocks=clocks, pressing=most_pressing(clocks)))
    return lines


def banner(person: Person) -> list[dict]:
    """The slim line over every page for those who answer; one query where nothing is open."""
    lines = critical_lines(critical_handled_by(person), timezone.now())
    if not lines:
        return []
    is_open = sum(line.is_open for line in lines)
    pressing = min((line for line in lines if line.pressing), key=lambda line: line.pressing.due_at, default=None)
    said = [f"{is_open} critical finding{'' if is_open == 1 else 's'} open"] if is_open else []
    if pressing is not None:
        said.append(f"{pressing.pressing.words} ({pressing.finding.structure.number})")
    one = lines[0] if len(lines) == 1 else None
    address = (
        reverse("inspections:critical", args=[one.finding.pk]) if one else reverse("inspections:critical_findings")
    )
    return [{"words": ", ".join(said), "address": address, "is_late": any(line.is_late for line in lines)}]


def load(request: HttpRequest, structure: Structure) -> dict | None:
    """The section of a structure's page; hidden where nothing was ever reported and nothing asks for it."""
    rows = list(critical_of_structure(structure).select_related("structure"))
    asked = restriction_asks(structure, rows)
    if not rows and asked is None:
        return None
    lines = critical_lines(rows, timezone.now())
    return {
        "open_lines": [line for line in lines if line.is_open],
        "closed_lines": [line for line in lines if not line.is_open],
        "asked": asked,
        "may_report": Permit.REPORT_CRITICAL in permits_of(request.user, structure.agency),
    }


def restriction_asks(structure: Structure, rows: Iterable[CriticalFinding]) -> str | None:
    """A closing or a restriction at once that no critical finding names: the sentence that asks for one."""
    posting = structure.postings.filter(superseded_on__isnull=True).first()
    if posting is None:
        return None
    proposed = critical_of_restriction(restriction=posting.restriction, source=posting.source, reason=posting.reason)
    named = any(row.posting_id == posting.pk or timezone.localdate(row.found_at) >= posting.decided_on for row in rows)
    return None if proposed is None or named else proposed.kind.label


def critical_context(request: HttpRequest, finding: CriticalFinding) -> dict:
    """The page of one critical finding."""
    line = critical_lines([finding], timezone.now())[0]
    structure = finding.structure
    permits = permits_of(request.user, structure.agency)
    notices = list(finding.notices.select_related("told_by"))
    return {
        "finding": finding,
        "structure": structure,
        "line": line,
        "notices": notices,
        "timeline": timeline(finding, notices),
        "contacts": contact_lines(structure.agency),
        "whom": whom_to_tell(is_nhs=structure.is_nhs),
        "is_made_safe": finding.state == CriticalState.MADE_SAFE,
        "never_told": finding.told_state_at is None and not line.is_open,
        "may_tell": Permit.REPORT_CRITICAL in permits,
        "may_handle": Permit.HANDLE_CRITICAL in permits,
        "may_restrict": Permit.RESTRICT_NOW in permits and line.is_open,
    }


def timeline(finding: CriticalFinding, notices: Iterable) -> list[tuple[datetime, str, str]]:
    """Everything that happened, the oldest first: (when, who, what)."""
    entries = [(finding.found_at, str(finding.found_by or "the system"), "Found.")]
    for notice in notices:
        what = "Status report to" if notice.is_status_report else "Told"
        note = f" {notice.note}" if notice.note else ""
        entries.append((notice.told_at, str(notice.told_by or ""), f"{what} {notice.whom}, {_how(notice)}.{note}"))
    events = Event.objects.filter(structure=finding.structure_id, detail__critical=finding.pk).exclude(
        verb="tell_critical"
    )
    entries += [(row.at, str(row.by or "the system"), row.sentence) for row in events.select_related("by")]
    if finding.posting_id:
        told = Event.objects.filter(structure=finding.structure_id, detail__posting=finding.posting_id)
        entries += [(row.at, str(row.by or ""), row.sentence) for row in told.select_related("by")]
    return sorted(entries, key=lambda entry: entry[0])


def _how(notice) -> str:
    return notice.get_how_display().lower()


def status_lines(rows, now: datetime, days: int) -> list[dict]:
    """The status report: what is open, and what was closed within the time of one report.

    Contents of a status report under 23 CFR 650.313(q) [memory]: owner, structure number, date found, description and
    photographs, corrective actions done, temporary or planned, active or completed, estimated date, completion date.
    """
    since = now - timedelta(days=days)
    shown = [row for row in rows if row.state in OPEN or (row.closed_at and row.closed_at >= since)]
    return [_status_line(line) for line in critical_lines(shown, now)]


def _status_line(line: CriticalLine) -> dict:
    finding, structure = line.finding, line.finding.structure
    code = structure.owner_code
    return {
        "line": line,
        "finding": finding,
        "structure": structure,
        "owner": CODE_LISTS["022"].meaning(code) or code or str(structure.agency),
        "is_active": line.is_open,
        "restriction": finding.posting.words if finding.posting else "",
        "notices": list(finding.notices.all()),
    }


def open_lines(rows, now: datetime) -> list[CriticalLine]:
    return critical_lines(open_critical(rows), now)


def demanded_context(demanded: list[Proposal], permits) -> dict:
    """What an inspection's page shows of critical findings that its own findings ask for."""
    return {
        "demanded": [row for row in demanded if row.open_already is None],
        "named_already": [row for row in demanded if row.open_already is not None],
        "may_report": Permit.REPORT_CRITICAL in permits,
    }
