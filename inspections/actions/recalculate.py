"""Standing ratings looked at again under newer formulas and tables; on a person's word they are owed anew.

The rows are the queue: a look is asked for, the worker finds what is touched, computes a few at a time and may be
killed at any moment. Nothing is rated and no posting changes before somebody has read the result and says so.
"""

import logging
from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import F

from inspections.models import RecalculatedRating, Recalculation
from inspections.queries.recalculations import (
    rated_anew,
    ratings_as_values,
    standing_rating_ids,
    under_way,
)
from inspections.reckoning.recalculation import causes_of, change_made, present_versions, rate_all_again
from inspections.rules.recalculation import is_changed
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import OwedState, RecalculationState
from inventory.actions.tell import tell_event
from inventory.models import Agency, Person, Structure
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import ALLOWED, Permit

from .rate import owe_rating

log = logging.getLogger(__name__)

ATTEMPTS = 3
KILLED = "The calculation stopped without an answer each time it was tried."


@transaction.atomic
def ask_recalculation(*, agency: Agency, by: Person, at: datetime) -> Recalculation:
    """Ask the worker to look at every standing rating of an agency; one under way already is enough."""
    _require(by, agency)
    Agency.objects.select_for_update().get(pk=agency.pk)
    waiting = under_way(agency)
    if waiting is not None:
        return waiting
    kernel, tables = present_versions()
    asked = Recalculation.objects.create(
        agency=agency, kernel_version=kernel, table_versions=tables, asked_by=by, asked_at=at, worked_at=at
    )
    tell_event(
        verb="ask_recalculation",
        sentence=f"Asked what kernel {kernel} and its tables would change.",
        at=at,
        by=by,
        agency=agency,
        detail={"recalculation": asked.pk},
    )
    return asked


def work_on_recalculation(*, recalculation_id: int, at: datetime, most: int) -> bool:
    """Find what is touched, or compute up to `most` lines; True while work is left. Safe to run twice at once."""
    found = Recalculation.objects.filter(pk=recalculation_id).first()
    if found is None or found.state not in (RecalculationState.ASKED, RecalculationState.RUNNING):
        return False
    if found.state == RecalculationState.ASKED:
        _find_touched(found, at)
        return True
    lines = list(found.lines.filter(state=OwedState.OWED)[:most])
    for line in lines:
        _work_on(line)
    Recalculation.objects.filter(pk=found.pk).update(worked_at=at)
    if found.lines.filter(state=OwedState.OWED).exists():
        return True
    Recalculation.objects.filter(pk=found.pk, state=RecalculationState.RUNNING).update(
        state=RecalculationState.READY, finished_at=at
    )
    return False


def _find_touched(recalculation: Recalculation, at: datetime) -> None:
    """Read every standing rating outside the transaction, then write the lines in one."""
    ids = standing_rating_ids(recalculation.agency)
    touched = {row["pk"]: causes for row in ratings_as_values(ids) if (causes := causes_of(row))}
    anew = [
        RecalculatedRating(
            recalculation=recalculation,
            rating_id=new["pk"],
            causes=causes,
            state=OwedState.DONE,
            change=change,
            is_changed=is_changed(change),
        )
        for old, new in rated_anew([pk for pk in ids if pk not in touched])
        for causes, change in (change_made(old, new),)
        if causes
    ]
    with transaction.atomic():
        held = Recalculation.objects.select_for_update().get(pk=recalculation.pk)
        if held.state != RecalculationState.ASKED:
            return
        RecalculatedRating.objects.bulk_create(
            RecalculatedRating(recalculation=held, rating_id=pk, causes=causes) for pk, causes in touched.items()
        )
        RecalculatedRating.objects.bulk_create(anew)
        held.state, held.standing_count, held.worked_at = RecalculationState.RUNNING, len(ids), at
        held.save(update_fields=["state", "standing_count", "worked_at"])


def _work_on(line: RecalculatedRating) -> None:
    """One line: the attempt is counted before the calculation, so that one that kills its worker is given up."""
    mine = RecalculatedRating.objects.filter(pk=line.pk, state=OwedState.OWED)
    if line.attempts >= ATTEMPTS:
        mine.update(state=OwedState.FAILED, problem=KILLED)
        return
    mine.update(attempts=F("attempts") + 1)
    (rating,) = ratings_as_values([line.rating_id])
    ((_rating, change),) = rate_all_again([rating])
    if isinstance(change, str):
        log.error("rating %s could not be computed again: %s", line.rating_id, change)
        mine.update(state=OwedState.FAILED, problem=change)
    else:
        mine.update(state=OwedState.DONE, change=change, is_changed=is_changed(change))


@transaction.atomic
def decide_recalculation(*, recalculation: Recalculation, is_taken: bool, by: Person, at: datetime) -> int:
    """Owe every changed structure a rating (and each that failed), or set the look aside; how many were owed.

    What follows is a new rating of each structure as it stands today, and a recommendation: the posting in force stays
    until an engineer adopts another.
    """
    _require(by, recalculation.agency)
    held = Recalculation.objects.select_for_update().get(pk=recalculation.pk)
    if held.state != RecalculationState.READY:
        state = RecalculationState.label_of(held.state).lower()
        raise Refused(f"This recalculation is '{state}', so nothing can be decided on it now.")
    held.state = RecalculationState.OWED if is_taken else RecalculationState.SET_ASIDE
    held.decided_by, held.decided_at = by, at
    held.save(update_fields=["state", "decided_by", "decided_at"])
    wanted = held.lines.exclude(state=OwedState.DONE, is_changed=False).exclude(change__has_key="rated_anew")
    lines = wanted if is_taken else held.lines.none()
    owed = owe_recalculated(
        ratings=[(line.rating.structure, line.causes) for line in lines.select_related("rating__structure")], at=at
    )
    done = f"{owed} structures are owed a rating" if is_taken else "it was set aside, nothing follows"
    tell_event(
        verb="decide_recalculation",
        sentence=f"Recalculation by kernel {held.kernel_version}: {done}.",
        at=at,
        by=by,
        agency=held.agency,
        detail={"recalculation": held.pk, "owed": owed},
    )
    return owed


def owe_recalculated(*, ratings: Sequence[tuple[Structure, list[str]]], at: datetime) -> int:
    """Owe a rating to each structure, with why; how many."""
    for structure, causes in ratings:
        owe_rating(structure=structure, cause=f"Recalculated: {' '.join(causes)}", at=at)
    return len(ratings)


def _require(by: Person, agency: Agency) -> None:
    if Permit.RECALCULATE not in permits_of(by, agency):
        roles = " or ".join(sorted(role.label.lower() for role in ALLOWED[Permit.RECALCULATE]))
        raise Refused(f"You may not {Permit.RECALCULATE.label} here: that needs the role {roles}.")
