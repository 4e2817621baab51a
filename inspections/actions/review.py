"""The engineer judges an inspection: accepts it, or sends it back with the reason."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from inspections.models import Inspection
from inspections.queries.critical_proposals import proposals_of
from inspections.queries.inspections import authors_of, open_proposal
from inspections.rules import lifecycle
from inspections.rules.clocks.terms import day
from inspections.rules.refusals import Refused, stale
from inspections.vocabulary.findings import InspectionKind
from inspections.vocabulary.states import InspectionState
from inventory.actions.tell import tell_event
from inventory.models import Person, Structure
from inventory.vocabulary.roles import Permit

from .adopt import adopt_recommendation
from .asked import keep_asked
from .lock import day_of, lock_row, lock_structure, require_move, require_permit
from .standing import refresh_standing


@transaction.atomic
def accept_inspection(*, inspection: Inspection, by: Person, at: datetime, revision: int | None = None) -> Inspection:
    """Accept a rated inspection; the reviewer is none of those who entered it, unless the agency lifts that rule."""
    structure, inspection = _judge(inspection, InspectionState.ACCEPTED, by, revision)
    label = InspectionKind.label_of(inspection.kind)
    own = by.pk in authors_of(inspection)
    reason = f" Reviewed by its own inspector: {structure.agency.reviewer_override_reason}" if own else ""
    _save(inspection, InspectionState.ACCEPTED, by, at, "")
    sentence = f"{label} inspection of {day(inspection.field_completed_on)} accepted.{reason}"
    _tell("accept_inspection", sentence, structure, inspection, by, at)
    refresh_standing(structure=structure, as_of=day_of(at))
    return inspection


@transaction.atomic
def adopt_inspection(
    *,
    inspection: Inspection,
    revision: int,
    proposal: tuple[int, int] | None,
    by: Person,
    at: datetime,
    order_number: str = "",
    reason: str = "",
    no_danger: str = "",
) -> Inspection:
    """Accept the inspection and adopt the recommendation that stands beside it, both or neither.

    `proposal` is (id, revision) of the open recommendation as the engineer read it, None where there was none; where it
    is another by now, nothing is done. Each is an event of its own. A danger the inspection shows and nobody reported
    stops both, unless the engineer says in `no_danger` why it is none.
    """
    inspection = accept_inspection(inspection=inspection, by=by, at=at, revision=revision)
    _answer_dangers(inspection, no_danger.strip(), by, at)
    standing = open_proposal(inspection.structure)
    if (standing.pk if standing else None) != (proposal[0] if proposal else None):
        raise stale("the recommendation of this structure")
    if proposal:
        adopt_recommendation(
            recommendation=standing, revision=proposal[1], by=by, at=at, order_number=order_number, reason=reason
        )
    return inspection


def _answer_dangers(inspection: Inspection, no_danger: str, by: Person, at: datetime) -> None:
    unreported = [row.label for row in proposals_of(inspection) if row.open_already is None]
    if not unreported:
        return
    if not no_danger:
        raise Refused(
            f"This inspection shows what must be reported at once and nobody has ({'; '.join(unreported).lower()}): "
            "report it above, or say why it is no danger."
        )
    sentence = f"Accepted without a report of: {'; '.join(unreported).lower()}. {no_danger}"
    _tell("no_danger", sentence, inspection.structure, inspection, by, at)


@transaction.atomic
def send_back(
    *,
    inspection: Inspection,
    reason: str,
    by: Person,
    at: datetime,
    revision: int | None = None,
    asked: Sequence[dict] = (),
) -> Inspection:
    """Send a rated inspection back to the inspector, who reads the reason and submits again.

    `asked` names the missing evidence: [{"finding": identity or "", "field": column, "photo" or "", "words"}]. With it
    the reason may be empty; each row is wanted before the inspection is handed in again.
    """
    structure, inspection = _judge(inspection, InspectionState.SENT_BACK, by, revision)
    keep_asked(inspection, asked)
    count = len(inspection.asked)
    reason = reason.strip() or (f"{count} thing{'s are' if count > 1 else ' is'} asked for." if count else "")
    if not reason:
        raise Refused("Say what the inspector must put right: an inspection is not sent back without a reason.")
    label = InspectionKind.label_of(inspection.kind)
    _save(inspection, InspectionState.SENT_BACK, by, at, reason)
    sentence = f"{label} inspection of {day(inspection.field_completed_on)} sent back: {reason}"
    words = [row["words"] for row in inspection.asked]
    _tell("send_back", sentence, structure, inspection, by, at, {"asked": words} if words else {})
    refresh_standing(structure=structure, as_of=day_of(at))
    return inspection


def _judge(inspection: Inspection, to: str, by: Person, revision: int | None) -> tuple[Structure, Inspection]:
    structure = lock_structure(inspection.structure_id)
    permits = require_permit(by, structure, Permit.REVIEW_INSPECTION)
    inspection = lock_row(inspection, revision, "this inspection")
    require_move(lifecycle.INSPECTION, inspection.state, to, permits)
    agency = structure.agency
    if sentence := lifecycle.may_review(
        reviewer=by.pk,
        authors=authors_of(inspection),
        override=agency.reviewer_may_be_inspector,
        override_reason=agency.reviewer_override_reason,
    ):
        raise Refused(sentence)
    return structure, inspection


def _save(inspection: Inspection, state: str, by: Person, at: datetime, reason: str) -> None:
    inspection.state = state
    inspection.reviewed_by, inspection.reviewed_at = by, at
    inspection.review_reason = reason[:500]
    inspection.revision += 1
    inspection.save()


def _tell(
    verb: str,
    sentence: str,
    structure: Structure,
    inspection: Inspection,
    by: Person,
    at: datetime,
    more: dict | None = None,
) -> None:
    detail = {"inspection": inspection.pk} | (more or {})
    tell_event(verb=verb, sentence=sentence, at=at, by=by, structure=structure, detail=detail)
