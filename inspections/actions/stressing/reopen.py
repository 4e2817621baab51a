"""Traffic is let back on a span after a stressing day."""

from datetime import datetime

from django.db import transaction

from inspections.actions.lock import day_of
from inspections.assembly.stressing_log import pressure_after
from inspections.models import StressingDay
from inspections.queries.stressing_log import other_days_at_work
from inspections.rules.refusals import Refused, stale
from inspections.rules.stressing.reopening import reopening_faults
from inspections.vocabulary.states import StressingState
from inventory.models import Person
from inventory.vocabulary.roles import Permit

from .day_in_hand import hold_day, save_day, tell


@transaction.atomic
def reopen(*, day: StressingDay, revision: int, by: Person, at: datetime, reason: str = "") -> StressingDay:
    """Record the hour and the person. Refused while a jack may be on a bar, and, unless an engineer gives the reason,
    where no bar was read after the last pull or the least local pressure is under the need or 40 psi. A span reopened
    already is left as it is.
    """
    _structure, held, permits = hold_day(day, by=by, permit=Permit.LOG_STRESSING)
    if held.reopened_at is not None:
        return held
    if held.revision != revision:
        raise stale("this stressing day")
    is_finished = held.state == StressingState.FINISHED
    pressure = pressure_after(held, day_of(at)) if is_finished and held.system else None
    hard, soft = reopening_faults(
        least_psi=pressure.least_psi if pressure else None,
        need_psi=pressure.need_psi if pressure else None,
        other_days=[f"span {other.span_index}" for other in other_days_at_work(held)],
        is_finished=is_finished,
        bars_read=sum(1 for row in held.final if row.get("is_read")) if is_finished else None,
    )
    if hard:
        raise Refused(*hard)
    is_engineer = Permit.RELEASE_STRESSING in permits
    if soft and not (is_engineer and reason.strip()):
        last = "Give the reason why traffic may come back all the same." if is_engineer else ""
        raise Refused(*(sentence for sentence in (*soft, last) if sentence))
    held.reopened_at, held.reopened_by = at, by
    save_day(held)
    least = "pressure not known"
    if pressure and pressure.least_psi is not None:
        least = f"least local pressure {pressure.least_psi:.0f} psi ({pressure.words})"
    said = f"Traffic let back on span {held.span_index}, {least}." + (f" {reason.strip()}" if reason.strip() else "")
    tell(held, "reopen_span", said, by=by, at=at)
    return held
