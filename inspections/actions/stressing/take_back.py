"""An entry of the log was wrong: taken back with its reason, and kept."""

from datetime import datetime

from django.db import transaction

from inspections.models import LoggedPull
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import PullState, StressingState
from inventory.models import Person
from inventory.vocabulary.roles import Permit

from .day_in_hand import hold_day, save_day, tell

OPEN = (StressingState.UNDER_WAY, StressingState.HELD)


@transaction.atomic
def take_back(*, entry: LoggedPull, reason: str, by: Person, at: datetime) -> LoggedPull:
    """Take an entry back: its pull is then to be logged again. For its writer, a supervisor or an engineer.

    An entry taken back already is given back unchanged. What was planned again after its pass is looked at again once
    the pass is complete once more.
    """
    _structure, day, permits = hold_day(entry.day, by=by, permit=Permit.LOG_STRESSING)
    entry = LoggedPull.objects.select_for_update().get(pk=entry.pk)
    if entry.state == PullState.TAKEN_BACK:
        return entry
    if day.state not in OPEN:
        raise Refused("This day is no longer open: its log stays as it is. Write a note on the bridge instead.")
    if entry.by_id != by.pk and Permit.PLAN_STRESSING not in permits:
        raise Refused(f"This entry is {entry.by}'s: only its writer, a supervisor or an engineer takes it back.")
    if not reason.strip():
        raise Refused("Say why the entry is taken back; it stays in the log with the reason.")
    entry.state = PullState.TAKEN_BACK.value
    entry.note = f"{entry.note} Taken back by {by}: {reason.strip()}".strip()[:300]
    entry.save(update_fields=["state", "note"])
    day.learned = [each for each in day.learned if each["after_pass"] < entry.pass_number]
    save_day(day)
    name = day.plan["given"]["bars"][entry.bar_index]["name"]
    sentence = f"Entry of pull {entry.pull_number}, bar {name}, taken back: {reason.strip()}"
    tell(day, "take_back_pull", sentence, by=by, at=at, detail={"pull": entry.pk})
    return entry
