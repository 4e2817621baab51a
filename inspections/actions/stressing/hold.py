"""Hold a day for the engineer: a bar of its plan set aside after the release, a jack retired or changed."""

from datetime import datetime

from django.db import transaction

from inspections.actions.lock import day_of, lock_row, lock_structure
from inspections.assembly.stressing_basis import sheet_faults
from inspections.models import StressingDay
from inspections.vocabulary.states import StressingState
from inventory.models import Person

from .day_in_hand import put_on_hold, save_day

RUNNING = (StressingState.RELEASED.value, StressingState.UNDER_WAY.value)


@transaction.atomic
def hold_stressing_day(*, day: StressingDay, reason: str, at: datetime, by: Person | None = None) -> StressingDay:
    """Put a released day or one under way on hold with the reason; one that is neither is left as it is.

    Engineers are told where the crew is at work.
    """
    structure = lock_structure(day.structure_id)
    row = lock_row(day, None, "this stressing day")
    if row.state in RUNNING:
        row.structure = structure
        put_on_hold(row, (reason.strip(),), by=by, at=at)
        save_day(row)
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
