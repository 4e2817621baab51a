"""Somebody was told of a critical finding: whom, how, when. Notices are only added, never changed."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from django.db import transaction

from inspections.actions.lock import lock_row, lock_structure, require_permit
from inspections.models import CriticalFinding, CriticalNotice
from inspections.rules.refusals import Refused
from inspections.vocabulary.findings import CriticalKind
from inventory.actions.tell import tell_event
from inventory.models import Person
from inventory.vocabulary.people import ContactRole
from inventory.vocabulary.roles import Permit

from .report import HOWS, notice_row

CALLED_FIRST = timedelta(days=1)
"""People call first and record after, so a call may be older than the record."""


@transaction.atomic
def tell_of_critical(*, finding: CriticalFinding, notice: Mapping, by: Person, at: datetime) -> CriticalNotice:
    """Record whom was told; `notice` is {"whom", "role", "how", "told_at", "note", "is_status_report"}.

    Whoever may report a critical finding may say whom they told. A status report is a notice that says so, and goes to
    the State. The same person told the same way at the same minute is recorded once.
    """
    structure = lock_structure(finding.structure_id)
    require_permit(by, structure, Permit.REPORT_CRITICAL)
    finding = lock_row(finding, None, "this critical finding")
    row = notice_row(finding, notice, by, at)
    if row.told_at < finding.found_at - CALLED_FIRST:
        raise Refused("It was told more than a day before it was found: correct the time of telling.")
    if row.is_status_report and row.role != ContactRole.STATE:
        raise Refused("A status report goes to the State: choose the State bridge office, or untick the report.")
    before = finding.notices.filter(
        whom=row.whom, how=row.how, told_at=row.told_at, is_status_report=row.is_status_report
    ).first()
    if before is not None:
        return before
    row.save()
    what = "Status report sent to" if row.is_status_report else "Told"
    label = CriticalKind.label_of(finding.kind)
    tell_event(
        verb="tell_critical",
        sentence=f"{what} {row.whom}, {HOWS[row.how].lower()}: critical finding, {label}.",
        at=at,
        by=by,
        structure=structure,
        detail={"critical": finding.pk, "notice": row.pk},
    )
    return row
