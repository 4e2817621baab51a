"""Quality assurance: a sample is drawn, each inspection of it done again by another, every difference closed."""

import secrets
from datetime import date, datetime

from django.db import transaction

from inspections.models import Inspection, QualityCheck, QualityDifference, QualitySample
from inspections.queries.inspections import RELIED_ON, authors_of
from inspections.queries.quality import could_repeat, draw_names, inspections_to_draw, visit_of
from inspections.rules import lifecycle
from inspections.rules.clocks.terms import count
from inspections.rules.clocks.terms import day as day_words
from inspections.rules.quality import SEEDS, compare, drawn, period_fault, repeat_refusal
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import QualityState
from inventory.actions.tell import tell_event
from inventory.models import Agency, Person
from inventory.queries.inspection_policy import policy_of
from inventory.vocabulary.roles import Permit

from .lock import day_of, lock_row, lock_structure, require_agency_permit, require_move, require_permit
from .receive import open_inspection

WORDS_NEEDED = "Say what came of it: the words stay on record."


@transaction.atomic
def draw_sample(
    *, agency: Agency, period_from: date | None, period_to: date | None, by: Person, at: datetime,
    seed: int | None = None,
) -> QualitySample:  # fmt: skip
    """Draw the county's share of the accepted full inspections of a period, at least one."""
    require_agency_permit(by, agency, Permit.CHECK_QUALITY)
    if fault := period_fault(period_from, period_to, today=day_of(at)):
        raise Refused(fault)
    rows = draw_names(inspections_to_draw(agency, period_from, period_to))
    if not rows:
        raise Refused(
            f"No initial, routine or in-depth inspection between {day_words(period_from)} and {day_words(period_to)} "
            "is accepted yet: there is nothing to draw from. Choose a longer period."
        )
    seed = secrets.randbelow(SEEDS) if seed is None else seed
    share = policy_of(agency).qa_sample_pct
    sample = QualitySample.objects.create(
        agency=agency, period_from=period_from, period_to=period_to, seed=seed, share_pct=share, drawn_by=by,
        drawn_at=at,
    )  # fmt: skip
    chosen = drawn(rows, share_pct=share, seed=seed)
    QualityCheck.objects.bulk_create([QualityCheck(sample=sample, inspection_id=pk) for pk in chosen])
    sentence = (
        f"Quality sample drawn: {count(len(chosen), 'inspection')} of {len(rows)} between {day_words(period_from)} and "
        f"{day_words(period_to)}, seed {seed}."
    )
    tell_event(verb="draw_quality_sample", sentence=sentence, at=at, by=by, agency=agency, detail={"sample": sample.pk})
    return sample


@transaction.atomic
def start_repeat(*, check: QualityCheck, revision: int, by: Person, at: datetime) -> Inspection:
    """Open the inspection that repeats the first, by somebody who entered no part of the first."""
    structure = lock_structure(check.inspection.structure_id)
    require_permit(by, structure, Permit.ENTER_INSPECTION)
    check = _open_check(check, revision)
    if check.repeated_id is not None:
        raise Refused("It is being done again already: open that inspection.")
    if sentence := repeat_refusal(by=[by.pk], authors=authors_of(check.inspection)):
        raise Refused(sentence)
    inspection = open_inspection(structure=structure, kind=check.inspection.kind, by=by, at=at)
    _link(check, inspection, by, at, "started again")
    return inspection


@transaction.atomic
def link_repeat(
    *, check: QualityCheck, revision: int, inspection: Inspection, by: Person, at: datetime
) -> QualityCheck:
    """Name an inspection that another made since as the one that repeats the first."""
    structure = lock_structure(check.inspection.structure_id)
    require_permit(by, structure, Permit.CHECK_QUALITY)
    check = _open_check(check, revision)
    if inspection.pk not in {row.pk for row in could_repeat(check)}:
        raise Refused("Choose one of the inspections listed: of the same kind and structure, later, and by another.")
    _link(check, inspection, by, at, f"repeated by the one of {day_words(inspection.field_completed_on)}")
    return check


@transaction.atomic
def compare_check(*, check: QualityCheck, revision: int, by: Person, at: datetime) -> QualityCheck:
    """Set the two side by side and keep every difference; once, when the second is handed in."""
    structure = lock_structure(check.inspection.structure_id)
    permits = require_permit(by, structure, Permit.CHECK_QUALITY)
    check = lock_row(check, revision, "this quality check")
    require_move(lifecycle.QUALITY, check.state, QualityState.COMPARED, permits)
    second = check.repeated
    if second is None or second.state not in RELIED_ON:
        raise Refused("The second inspection is not handed in yet: compare them when it is.")
    if sentence := repeat_refusal(by=authors_of(second), authors=authors_of(check.inspection)):
        raise Refused(sentence)
    policy = policy_of(structure.agency)
    found = compare(visit_of(check.inspection), visit_of(second), rating_differs=policy.qa_rating_differs)
    QualityDifference.objects.bulk_create(
        [
            QualityDifference(
                check_of=check, what=each.what[:120], first=each.first[:200], second=each.second[:200],
                counts=each.counts,
            )
            for each in found
        ]
    )  # fmt: skip
    check.state = QualityState.COMPARED
    _save(check)
    larger = sum(1 for each in found if each.counts)
    _tell(
        check, "compare_quality", f"compared: {count(len(found), 'difference')}, {larger} larger than policy.", by, at
    )
    return check


@transaction.atomic
def close_difference(*, difference: QualityDifference, words: str, by: Person, at: datetime) -> QualityCheck:
    """Close one difference with what came of it; with the last one the check is closed."""
    check = difference.check_of
    structure = lock_structure(check.inspection.structure_id)
    permits = require_permit(by, structure, Permit.CHECK_QUALITY)
    check = lock_row(check, None, "this quality check")
    _refuse_author(check, by)
    fresh = QualityDifference.objects.select_for_update().get(pk=difference.pk)
    if fresh.closed_at is not None:
        raise Refused(f"'{fresh.what}' is closed already, by {fresh.closed_by}: {fresh.closed_words}")
    if not words.strip():
        raise Refused(WORDS_NEEDED)
    fresh.closed_words, fresh.closed_by, fresh.closed_at = words.strip()[:300], by, at
    fresh.save()
    _tell(check, "close_quality_difference", f"{fresh.what}: {fresh.closed_words}", by, at)
    if not check.differences.filter(closed_at__isnull=True).exists():
        _close(check, "Every difference is closed.", permits, by, at)
    return check


@transaction.atomic
def close_check(*, check: QualityCheck, revision: int, words: str, by: Person, at: datetime) -> QualityCheck:
    """Close a check without open differences, or one that cannot be done, with the reason."""
    structure = lock_structure(check.inspection.structure_id)
    permits = require_permit(by, structure, Permit.CHECK_QUALITY)
    check = lock_row(check, revision, "this quality check")
    _refuse_author(check, by)
    if open_count := check.differences.filter(closed_at__isnull=True).count():
        raise Refused(f"{count(open_count, 'difference')} still open: close each with what came of it first.")
    if not words.strip():
        raise Refused(WORDS_NEEDED)
    _close(check, words.strip()[:300], permits, by, at)
    return check


def _close(check: QualityCheck, words: str, permits, by: Person, at: datetime) -> None:
    require_move(lifecycle.QUALITY, check.state, QualityState.CLOSED, permits)
    check.state, check.closed_words, check.closed_by, check.closed_at = QualityState.CLOSED, words, by, at
    _save(check)
    _tell(check, "close_quality_check", f"closed: {words}", by, at)


def _open_check(check: QualityCheck, revision: int) -> QualityCheck:
    fresh = lock_row(check, revision, "this quality check")
    if fresh.state != QualityState.DRAWN:
        raise Refused("The two are compared already: what was compared stays as it was.")
    return fresh


def _refuse_author(check: QualityCheck, by: Person) -> None:
    """Nobody closes what is held against their own work, unless the agency lifted that rule with its reason."""
    agency = check.inspection.structure.agency
    lifted = agency.reviewer_may_be_inspector and agency.reviewer_override_reason.strip()
    if not lifted and by.pk in authors_of(check.inspection):
        raise Refused("You entered part of the first inspection, so another closes what is held against it.")


def _link(check: QualityCheck, inspection: Inspection, by: Person, at: datetime, words: str) -> None:
    check.repeated = inspection
    _save(check)
    _tell(check, "repeat_inspection", f"{words}.", by, at)


def _save(check: QualityCheck) -> None:
    check.revision += 1
    check.save()


def _tell(check: QualityCheck, verb: str, words: str, by: Person, at: datetime) -> None:
    first = check.inspection
    tell_event(
        verb=verb, at=at, by=by, structure=first.structure,
        sentence=f"Quality check of the inspection of {day_words(first.field_completed_on)}: {words}",
        detail={"quality_check": check.pk, "inspection": first.pk, "repeated": check.repeated_id},
    )  # fmt: skip
