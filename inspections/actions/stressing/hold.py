"""Hold a day for the engineer: a bar of its plan set aside after the release, a jack retired or changed."""

from datetime import datetime

from django.db import transaction

from inspections.actions.lock import day_of, lock_row, lock_structure, require_move
from inspections.assembly.stressing_basis import sheet_faults
from inspections.models import StressingDay
from inspections.rules import lifecycle
from inspections.vocabulary.states import StressingState
from inventory.actions.tell import tell_event
from inventory.models import Person

RUNNING = (StressingState.RELEASED.value, StressingState.UNDER_WAY.value)


@transaction.atomic
def hold_stressing_day(*, day: StressingDay, reason: str, at: datetime, by: Person | None = None) -> StressingDay:
    """Put a released day or one under way on hold with the reason; one that is neither is left as it is."""
    structure = lock_structure(day.structure_id)
    row = lock_row(day, None, "this stressing day")
    if row.state not in RUNNING:
        return row
    require_move(lifecycle.STRESSING, row.state, StressingState.HELD, by_system=True)
    row.state, row.held_reason = StressingState.HELD.value, reason.strip()[:400]
    row.revision += 1
    row.save()
    tell_event(
        verb="hold stressing day",
        sentence=f"Stressing day of span {row.span_index} held for the engineer: {reason.strip()}",
        at=at,
        by=by,
        structure=structure,
        detail={"stressing_day": row.pk},
    )
    return row


def hold_where_the_record_forbids(*, at: datetime) -> int:
    """Hold every day in use whose sheet may no longer be used (`sheet_faults`); safe to run twice. How many it held."""
    held = 0
    for day in StressingDay.objects.filter(state__in=RUNNING).select_related("system").order_by("pk"):
        told = sheet_faults(day, day_of(at))
        if told:
            hold_stressing_day(day=day, reason=" ".join(told), at=at)
            held += 1
    return held
