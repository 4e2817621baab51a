"""A rating is owed, and settled: rows become a snapshot, the kernel rates it, the answer is kept for ever.

The row is the queue. Settling is safe to run twice, at once from two workers, and safe to be killed in the middle: an
attempt is counted first in its own transaction, then everything else happens in one.
"""

import logging
from datetime import datetime

from django.db import transaction

from inspections.assembly.snapshot import Snapshot, assemble_snapshot
from inspections.models import Inspection, OwedRating, Rating
from inspections.queries.ratings import structures_of_older_kernel
from inspections.queries.recalculations import version_to_keep
from inspections.reckoning.force_curve import force_curves
from inspections.reckoning.rating import Outcome, rate_snapshot
from inspections.rules.clocks.terms import day
from inspections.vocabulary.states import InspectionState, OwedState
from inventory.actions.tell import tell_event
from inventory.mechanics.rating import KERNEL_VERSION
from inventory.models import Standing, Structure
from inventory.queries.rating import rating_settings_of
from inventory.vocabulary.structures import WITH_BARS

from .forecast import forecast_beside
from .lock import day_of, lock_structure
from .owe import owe_rating
from .recommend import recommend
from .standing import refresh_standing

__all__ = ["owe_for_this_kernel", "owe_rating", "settle_owed_rating"]

log = logging.getLogger(__name__)

ATTEMPTS = 5


def owe_for_this_kernel(*, at: datetime) -> int:
    """Owe a rating wherever the last one was made by an older kernel; how many were. Safe to run at every sweep."""
    cause = f"The calculation changed (kernel {KERNEL_VERSION})"
    waiting = list(structures_of_older_kernel(KERNEL_VERSION, cause))
    for structure in waiting:
        owe_rating(structure=structure, cause=cause, at=at)
    return len(waiting)


def settle_owed_rating(*, owed_id: int, at: datetime) -> OwedRating | None:
    """Rate what is owed; returns the row as it stands afterwards, None where there is no such row.

    A rating that cannot be made for want of inputs is settled: its row says what is missing. Only an unexpected failure
    leaves the row owed, with its problem, until ATTEMPTS are used up; then the row fails and a person must look.
    """
    if not _count_attempt(owed_id, at):
        return OwedRating.objects.filter(pk=owed_id).first()
    structure_id = OwedRating.objects.only("structure_id").get(pk=owed_id).structure_id
    # First, for the pressure the rating counts; afterwards, for the dates that follow from the rating.
    forecast_beside(structure_id=structure_id, at=at)
    curves = _curves_ahead(owed_id, at)
    try:
        with transaction.atomic():
            _settle(owed_id, at, curves)
    except Exception as problem:
        log.exception("rating %s was not settled", owed_id)
        _record_problem(owed_id, problem, at)
    forecast_beside(structure_id=structure_id, at=at)
    return OwedRating.objects.get(pk=owed_id)


@transaction.atomic
def _count_attempt(owed_id: int, at: datetime) -> bool:
    owed = OwedRating.objects.select_for_update().filter(pk=owed_id, state=OwedState.OWED).first()
    if owed is None:
        return False
    if owed.attempts >= ATTEMPTS:
        _fail(owed, at, owed.problem or "The rating stopped without an answer each time it was tried.")
        return False
    owed.attempts += 1
    owed.save(update_fields=["attempts"])
    return True


def _curves_ahead(owed_id: int, at: datetime) -> dict[str, list[dict]]:
    """Curves of bar force by digest, made before anything is locked: on a stressed span they take seconds."""
    structure = Structure.objects.get(owed_ratings=owed_id)
    if not structure.spans.filter(system__in=WITH_BARS).exists():
        return {}
    try:
        snapshot = assemble_snapshot(structure=structure, as_of=day_of(at))
        if Rating.objects.filter(structure=structure, digest=snapshot.digest, kernel_version=KERNEL_VERSION).exists():
            return {}
        return {snapshot.digest: force_curves(snapshot)}
    except Exception:
        # The rating counts, not the drawing beside it.
        log.exception("no curve of bar force for the rating owed %s", owed_id)
        return {}


def _settle(owed_id: int, at: datetime, curves: dict[str, list[dict]]) -> None:
    structure = lock_structure(OwedRating.objects.only("structure_id").get(pk=owed_id).structure_id)
    owed = OwedRating.objects.select_for_update().get(pk=owed_id)
    if owed.state != OwedState.OWED:
        return
    # Read before the snapshot: what is changed meanwhile is then seen by the next sweep.
    settings_seen = rating_settings_of(structure.agency).revision
    snapshot = assemble_snapshot(structure=structure, as_of=day_of(at))
    rating, is_new = _keep_rating(structure, owed, snapshot, at, curves.get(snapshot.digest, []))
    owed.state, owed.settled_at, owed.rating, owed.problem = OwedState.DONE, at, rating, ""
    owed.save()
    _inspection_rated(owed.inspection_id)
    _tell(structure, owed, rating, is_new, at)
    recommend(structure=structure, rating=rating, as_of=day_of(at), at=at)
    _mark_seen(structure, settings_seen)
    refresh_standing(structure=structure, as_of=day_of(at))


def _keep_rating(
    structure: Structure, owed: OwedRating, snapshot: Snapshot, at: datetime, curves: list[dict]
) -> tuple[Rating, bool]:
    """The row for this snapshot: the one that stands already where the same inputs met the same kernel and tables."""
    outcome = rate_snapshot(snapshot)
    version = version_to_keep(
        structure=structure,
        digest=snapshot.digest,
        kernel_version=outcome.kernel_version,
        table_versions=outcome.table_versions,
    )
    return Rating.objects.get_or_create(
        structure=structure,
        digest=snapshot.digest,
        kernel_version=version,
        defaults=_row_values(owed, snapshot, outcome, at)
        | ({"results": {**outcome.results, "force_curve": curves}} if curves else {}),
    )


def _row_values(owed: OwedRating, snapshot: Snapshot, outcome: Outcome, at: datetime) -> dict:
    return {
        "inspection": owed.inspection,
        "cause": owed.cause,
        "as_of": snapshot.as_of,
        "made_at": at,
        "snapshot": snapshot.as_dict(),
        "table_versions": outcome.table_versions,
        "is_rated": outcome.is_rated,
        "results": outcome.results,
        "reasons": outcome.reasons,
        "flags": outcome.flags,
        "trace": outcome.trace,
        "least_factor": outcome.least_factor,
        "governing": outcome.governing[:160],
    }


def _inspection_rated(inspection_id: int | None) -> None:
    if inspection_id is None:
        return
    inspection = Inspection.objects.select_for_update().get(pk=inspection_id)
    if inspection.state == InspectionState.SUBMITTED:
        inspection.state = InspectionState.RATED
        inspection.revision += 1
        inspection.save(update_fields=["state", "revision"])


def _tell(structure: Structure, owed: OwedRating, rating: Rating, is_new: bool, at: datetime) -> None:
    if not rating.is_rated:
        sentence = f"Not rated ({owed.cause}): {' '.join(rating.reasons)}"
    elif is_new:
        sentence = f"Rated ({owed.cause}): least legal factor {rating.least_factor:.3f}, {rating.governing}."
    else:
        sentence = f"Rated ({owed.cause}): the same inputs as on {day(rating.as_of)}, so the same rating stands."
    detail = {"rating": rating.pk, "owed": owed.pk}
    tell_event(verb="rate", sentence=sentence, at=at, by=None, structure=structure, detail=detail)


def _mark_seen(structure: Structure, settings_seen: int) -> None:
    Standing.objects.get_or_create(structure=structure)
    Standing.objects.filter(structure=structure).update(
        rated_revision=structure.revision, rated_settings_revision=settings_seen
    )


@transaction.atomic
def _record_problem(owed_id: int, problem: Exception, at: datetime) -> None:
    owed = OwedRating.objects.select_for_update().get(pk=owed_id)
    if owed.state != OwedState.OWED:
        return
    owed.problem = f"{type(problem).__name__}: {problem}"[:500]
    owed.save(update_fields=["problem"])
    if owed.attempts >= ATTEMPTS:
        _fail(owed, at, owed.problem)


def _fail(owed: OwedRating, at: datetime, problem: str) -> None:
    """Give up where a person can see it; the inspection goes on to the engineer, who must judge it by hand."""
    owed.state, owed.settled_at, owed.problem = OwedState.FAILED, at, problem[:500]
    owed.save()
    _inspection_rated(owed.inspection_id)
    _mark_seen(owed.structure, rating_settings_of(owed.structure.agency).revision)
    tell_event(
        verb="rating_failed",
        sentence=f"The rating ({owed.cause}) failed {ATTEMPTS} times and was given up: an engineer must rate by hand, "
        "and whoever runs this site must look at its log.",
        at=at,
        by=None,
        structure=owed.structure,
        detail={"owed": owed.pk, "problem": problem[:300]},
    )
