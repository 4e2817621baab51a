"""A critical finding is reported: on record once, and everyone who answers for it told in the same breath."""

from collections.abc import Iterable, Mapping
from datetime import datetime, time
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from inspections.actions.lock import lock_structure, require_permit
from inspections.models import CriticalFinding, CriticalNotice, Inspection
from inspections.queries.critical_proposals import proposals_of
from inspections.rules.critical import identity_from
from inspections.rules.refusals import Refused
from inspections.vocabulary.findings import CriticalKind
from inventory.actions.tell import tell_event
from inventory.models import Document, Person, Structure
from inventory.vocabulary.people import ContactRole
from inventory.vocabulary.roles import Permit

from .held import MOST_WORDS, own_photo
from .messages import message_those_who_answer

HOWS = dict(CriticalNotice._meta.get_field("how").choices)


@transaction.atomic
def report_critical(
    *,
    structure: Structure,
    identity: UUID,
    kind: str,
    words: str,
    found_at: datetime,
    by: Person,
    at: datetime,
    photo: Document | None = None,
    inspection: Inspection | None = None,
    notices: Iterable[Mapping] = (),
) -> CriticalFinding:
    """Record a critical finding. The same identity again returns the row as it stands: sending twice reports once.

    `words` may be empty where somebody stands on the road and pressed one button; the kind then says what was seen.
    `found_at` later than `at` (a telephone's clock ahead) counts as `at`. Each notice is {"whom", "role", "how",
    "told_at"}. Every supervisor and engineer of the agency gets a message. Raises Refused with sentences.
    """
    structure = lock_structure(structure.pk)
    require_permit(by, structure, Permit.REPORT_CRITICAL)
    before = CriticalFinding.objects.select_for_update().filter(identity=identity).first()
    if before is not None:
        return _same(before, structure)
    _check(kind, words, structure, inspection)
    label = CriticalKind.label_of(kind)
    ahead = found_at > at
    finding = CriticalFinding.objects.create(
        identity=identity,
        structure=structure,
        inspection=inspection,
        kind=kind,
        words=words.strip() or label,
        found_at=at if ahead else found_at,
        found_by=by,
        received_at=at,
        photo=own_photo(structure, photo),
    )
    CriticalNotice.objects.bulk_create([notice_row(finding, notice, by, at) for notice in notices])
    note = " The clock of the device ran ahead: counted from when it was received." if ahead else ""
    tell_event(
        verb="report_critical",
        sentence=f"Critical finding reported: {label}. {finding.words}{note}",
        at=at,
        by=by,
        structure=structure,
        detail={"critical": finding.pk},
    )
    message_those_who_answer(
        structure=structure,
        finding=finding,
        what="reported",
        words=f"{finding.words} Reported by {by}. Open it and tell the State.",
        at=at,
    )
    return finding


def report_proposed(*, inspection: Inspection, kind: str, by: Person, at: datetime) -> CriticalFinding:
    """Report what an inspection itself asks for, with one press; pressed twice it is reported once.

    It was found on the day the field portion was finished; the hour is not on record, so noon of that day counts.
    """
    proposal = next((row for row in proposals_of(inspection) if row.kind == kind), None)
    if proposal is None:
        raise Refused(
            "This inspection does not ask for that critical finding: open it again, or report what you saw on the "
            "structure's page."
        )
    return report_critical(
        structure=inspection.structure,
        identity=identity_from(inspection.identity, f"{kind}:{proposal.turn}" if proposal.turn else kind),
        kind=kind,
        words=proposal.words,
        found_at=min(at, timezone.make_aware(datetime.combine(inspection.field_completed_on, time(12)))),
        by=by,
        at=at,
        photo=proposal.photo,
        inspection=inspection,
    )


def notice_row(finding: CriticalFinding, notice: Mapping, by: Person, at: datetime) -> CriticalNotice:
    """A notice not yet saved; refused where it does not say whom, how and when."""
    whom, how = str(notice.get("whom") or "").strip(), notice.get("how") or "call"
    role = notice.get("role") or ""
    told_at = notice.get("told_at") or at
    if not whom:
        raise Refused("Say who was told: a name or an office.")
    if how not in HOWS:
        raise Refused(f"'{how}' is no way of telling somebody: choose {', '.join(HOWS.values()).lower()}.")
    if role and role not in {known.value for known in ContactRole}:
        raise Refused(f"'{role}' is not on the list of whom to tell: choose one, or leave it empty.")
    return CriticalNotice(
        finding=finding,
        whom=whom[:120],
        role=role,
        how=how,
        told_at=min(told_at, at),
        told_by=by,
        is_status_report=bool(notice.get("is_status_report")),
        note=str(notice.get("note") or "").strip()[:300],
    )


def _same(before: CriticalFinding, structure: Structure) -> CriticalFinding:
    if before.structure_id != structure.pk:
        raise Refused("This report was filed before, at another structure: begin a new one for this structure.")
    return before


def _check(kind: str, words: str, structure: Structure, inspection: Inspection | None) -> None:
    faults = []
    if kind not in {known.value for known in CriticalKind}:
        faults.append("Choose what kind of critical finding it is.")
    if len(words.strip()) > MOST_WORDS:
        faults.append(f"Write at most {MOST_WORDS} characters of what was seen; {len(words.strip())} were written.")
    if inspection is not None and inspection.structure_id != structure.pk:
        faults.append("The inspection named is of another structure.")
    if faults:
        raise Refused(*faults)
