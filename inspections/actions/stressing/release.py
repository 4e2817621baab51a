"""The engineer releases a sheet for use: from then on it is what the crew holds, and its greatest pull is the limit."""

from datetime import datetime

from django.db import transaction

from inspections.actions.lock import day_of, lock_row, lock_structure, require_move, require_permit
from inspections.assembly.stored_plan import plan_faults
from inspections.assembly.stressing_basis import calibrations, changes_since, sheet_faults
from inspections.models import StressingDay
from inspections.rules import lifecycle
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import StressingState
from inventory.actions.tell import tell_event
from inventory.models import Person
from inventory.vocabulary.roles import Permit

NOTE_MOST = 400
IN_USE = [state.value for state in (StressingState.RELEASED, StressingState.UNDER_WAY, StressingState.HELD)]


@transaction.atomic
def release_stressing_day(
    *, day: StressingDay, revision: int, note: str = "", by: Person, at: datetime
) -> StressingDay:
    """Release a draft; its plan and greatest pull are frozen.

    Refused: a plan the kernel refuses, a draft whose bars, readings, jacks or sizes changed since, a bar of it set
    aside, a jack out of calibration unless the note gives the reason, a planned day that is past.
    """
    structure = lock_structure(day.structure_id)
    permits = require_permit(by, structure, Permit.RELEASE_STRESSING)
    row = lock_row(day, revision, "this stressing day")
    require_move(lifecycle.STRESSING, row.state, StressingState.RELEASED, permits)
    reasons = release_refusals(row, at=at, note=note)
    if reasons:
        raise Refused(*reasons)
    row.state = StressingState.RELEASED.value
    row.released_plan, row.released_most_lb = row.plan, row.plan["greatest_set_lb"]
    row.released_by, row.released_at, row.release_note = by, at, note.strip()[:NOTE_MOST]
    row.revision += 1
    row.save()
    words = f"Stressing sheet released for span {row.span_index}, greatest pull {row.released_most_lb:,.0f} lb."
    if row.release_note:
        words += f" {row.release_note}"
    tell_event(
        verb="release stressing day", sentence=words, at=at, by=by, structure=structure,
        detail={"stressing_day": row.pk, "most_lb": row.released_most_lb},
    )  # fmt: skip
    return row


def release_refusals(day: StressingDay, *, at: datetime, note: str) -> list[str]:
    """Why a draft may not be released now, in sentences; empty where it may."""
    if unreadable := plan_faults(day):
        return list(unreadable)
    told = [f"The plan may not be used: {reason}" for reason in day.plan["refusals"]]
    changed = changes_since(day)
    if changed:
        told.append(f"Since this plan was made, {' and '.join(changed)}: plan again, then release.")
    today = day_of(at)
    told += sheet_faults(day, today)
    told += _beside(day)
    if day.planned_for is not None and day.planned_for < today:
        told.append(f"The planned day, {day.planned_for:%-d %b %Y}, is past: plan again for another day.")
    due = day.planned_for or today
    expired = [f"{name}: {words}" for name, words, warns in calibrations(day, due) if warns]
    if expired and not note.strip():
        told.append(
            f"On the day, {'; '.join(expired)}. Have it calibrated, or give in the release note the reason why the "
            "sheet may be used all the same; it is printed on the sheet."
        )
    return told


def _beside(day: StressingDay) -> list[str]:
    """Another sheet of the same row in use: two would pull the same bars from different plans."""
    others = StressingDay.objects.filter(system=day.system, level=day.level, state__in=IN_USE).exclude(pk=day.pk)
    return [
        f"Another sheet of these bars is '{StressingState.label_of(other.state).lower()}': finish or withdraw it first."
        for other in others
    ]
