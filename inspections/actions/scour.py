"""An engineer appraises scour and adopts the plan of action; older ones stay on record."""

from datetime import date, datetime

from django.db import transaction

from inspections.models import ScourAppraisal, ScourPlan
from inspections.rules.refusals import Refused, stale
from inspections.rules.scour import NEEDS_PLAN, appraisal_faults, plan_faults
from inspections.vocabulary.findings import ScourResult
from inventory.actions.tell import tell_event
from inventory.models import Person, Structure
from inventory.vocabulary.roles import Permit

from .lock import day_of, lock_structure, require_permit


@transaction.atomic
def appraise_scour(
    *,
    structure: Structure,
    seen: int | None,
    on: date | None,
    result: str,
    foundation: str,
    basis: str,
    reasons: str,
    by: Person,
    at: datetime,
) -> ScourAppraisal:
    """Record an appraisal. `seen` is the newest appraisal the person read (None: there was none). A plan that is in
    force stays where the new result asks for one, and ends where it does not."""
    structure = lock_structure(structure.pk)
    require_permit(by, structure, Permit.APPRAISE_SCOUR)
    newest = structure.scour_appraisals.first()
    if (newest.pk if newest else None) != seen:
        raise stale("the scour appraisal")
    faults = appraisal_faults(on=on, result=result, basis=basis, reasons=reasons, today=day_of(at))
    if on is not None and newest is not None and on < newest.on:
        faults.append(f"A later appraisal is on record ({newest.on:%Y-%m-%d}); the newest must be the latest by day.")
    if faults:
        raise Refused(*faults)
    appraisal = ScourAppraisal.objects.create(
        structure=structure,
        on=on,
        result=result,
        foundation=foundation.strip(),
        basis=basis.strip(),
        reasons=reasons.strip(),
        by=by,
        at=at,
    )
    ended = 0
    if result not in NEEDS_PLAN:
        ended = structure.scour_plans.filter(ended_on__isnull=True).update(ended_on=day_of(at))
    tell_event(
        verb="appraise_scour",
        sentence=f"Scour appraised: {ScourResult.label_of(result).lower()}."
        + (" The plan of action ended with it." if ended else ""),
        at=at,
        by=by,
        structure=structure,
        detail={"appraisal": appraisal.pk},
    )
    return appraisal


@transaction.atomic
def adopt_scour_plan(
    *,
    structure: Structure,
    seen: int | None,
    watch_when: str,
    watch_how: str,
    close_when: str,
    reopen_when: str,
    countermeasures: str,
    review_on: date | None,
    by: Person,
    at: datetime,
) -> ScourPlan:
    """Adopt a plan of action in place of the one in force. `seen` is the plan in force that the person read."""
    structure = lock_structure(structure.pk)
    require_permit(by, structure, Permit.APPRAISE_SCOUR)
    current = structure.scour_plans.filter(ended_on__isnull=True).first()
    if (current.pk if current else None) != seen:
        raise stale("the plan of action")
    appraisal, today = structure.scour_appraisals.first(), day_of(at)
    faults = plan_faults(
        result=appraisal.result if appraisal else "",
        watch_when=watch_when,
        watch_how=watch_how,
        close_when=close_when,
        review_on=review_on,
        today=today,
    )
    if faults:
        raise Refused(*faults)
    if current is not None:
        current.ended_on = today
        current.save()
    plan = ScourPlan.objects.create(
        structure=structure,
        appraisal=appraisal,
        watch_when=watch_when.strip(),
        watch_how=watch_how.strip(),
        close_when=close_when.strip(),
        reopen_when=reopen_when.strip(),
        countermeasures=countermeasures.strip(),
        review_on=review_on,
        adopted_by=by,
        adopted_on=today,
    )
    tell_event(
        verb="adopt_scour_plan",
        sentence=f"Scour plan of action adopted; closed when: {plan.close_when}"[:500],
        at=at,
        by=by,
        structure=structure,
        detail={"plan": plan.pk},
    )
    return plan
