"""How every verb on a stressing day begins and ends: the bridge and the day held; state, plan and event written."""

from datetime import datetime

from inspections.actions.lock import lock_structure, require_move, require_permit
from inspections.models import OwedMessage, StressingDay
from inspections.rules import lifecycle
from inspections.rules.refusals import stale
from inspections.rules.stressing.stops import held_words
from inspections.vocabulary.states import StressingState
from inventory.actions.tell import tell_event
from inventory.models import Person, Structure
from inventory.queries.people import people_with
from inventory.vocabulary.roles import Permit, Role

HELD_MOST = 400


def hold_day(
    day: StressingDay, *, by: Person, permit: Permit, revision: int | None = None
) -> tuple[Structure, StressingDay, frozenset[Permit]]:
    """The structure and the day, held until the transaction ends, and the person's permits there."""
    structure = lock_structure(day.structure_id)
    permits = require_permit(by, structure, permit)
    held = StressingDay.objects.select_for_update(of=("self",)).select_related("system__span").get(pk=day.pk)
    if revision is not None and held.revision != revision:
        raise stale("this stressing day")
    held.structure = structure
    return structure, held, permits


def put_on_hold(day: StressingDay, reasons: tuple[str, ...], *, by: Person | None, at: datetime) -> None:
    """The day waits for the engineer; reasons already standing stay in front. The caller saves the day.

    No message goes out where a sheet was only released: no crew stands at the bridge yet.
    """
    is_crew_there = day.state != StressingState.RELEASED
    day.held_reason = held_words(day.held_reason, reasons, HELD_MOST)
    if day.state != StressingState.HELD:
        require_move(lifecycle.STRESSING, day.state, StressingState.HELD, by_system=True)
        day.state = StressingState.HELD.value
    tell(day, "stressing_held", f"Stressing held for the engineer: {' '.join(reasons)}", by=by, at=at)
    if is_crew_there:
        tell_engineers(day, by=by, at=at)


def tell_engineers(day: StressingDay, *, by: Person | None, at: datetime) -> None:
    """A message to every engineer of the agency but the one at work: a crew stands at the bridge and waits."""
    sentence = f"A crew waits at {day.structure.number}, span {day.span_index}: {day.held_reason}"
    OwedMessage.objects.bulk_create(
        [
            OwedMessage(
                person=person,
                structure=day.structure,
                sentence=sentence[:400],
                key=f"stressing-held:{day.pk}:{day.revision}",
                created_at=at,
            )
            for person in people_with(day.structure.agency, Role.ENGINEER)
            if by is None or person.pk != by.pk
        ],
        ignore_conflicts=True,
    )


def tell(day: StressingDay, verb: str, sentence: str, *, by: Person | None, at: datetime, detail=None) -> None:
    """The event of the day's structure, inside the caller's transaction."""
    tell_event(
        verb=verb,
        sentence=sentence,
        at=at,
        by=by,
        structure=day.structure,
        detail={"stressing_day": day.pk} | (detail or {}),
    )


def save_day(day: StressingDay) -> None:
    day.revision += 1
    day.save()
