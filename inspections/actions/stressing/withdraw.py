"""Withdraw a draft or a released sheet that no pull has been made from."""

from datetime import datetime

from django.db import transaction

from inspections.actions.lock import lock_row, lock_structure, require_move, require_permit
from inspections.assembly.stored_plan import plan_faults
from inspections.models import StressingDay
from inspections.rules import lifecycle
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import PullState, StressingState
from inventory.actions.tell import tell_event
from inventory.models import Person
from inventory.vocabulary.roles import Permit


@transaction.atomic
def withdraw_stressing_day(*, day: StressingDay, revision: int, reason: str, by: Person, at: datetime) -> StressingDay:
    """Put a day aside with the reason: a draft by whoever plans, a released sheet by the engineer."""
    structure = lock_structure(day.structure_id)
    permits = require_permit(by, structure, Permit.PLAN_STRESSING)
    row = lock_row(day, revision, "this stressing day")
    require_move(lifecycle.STRESSING, row.state, StressingState.WITHDRAWN, permits)
    if not reason.strip():
        raise Refused("Say why the day is withdrawn: the reason is kept with it.")
    # A plan this version cannot read can never be ended; its log stays, and the work is entered by hand.
    if row.pulls.exclude(state=PullState.TAKEN_BACK.value).exists() and not plan_faults(row):
        raise Refused("Bars were pulled from this sheet already: end the day as it stands, so that its log is kept.")
    was = row.state
    row.state, row.held_reason = StressingState.WITHDRAWN.value, reason.strip()[:400]
    row.revision += 1
    row.save()
    what = "Stressing draft" if was == StressingState.DRAFTED else "Released stressing sheet"
    tell_event(
        verb="withdraw stressing day",
        sentence=f"{what} for span {row.span_index} withdrawn: {reason.strip()}",
        at=at,
        by=by,
        structure=structure,
        detail={"stressing_day": row.pk},
    )
    return row
