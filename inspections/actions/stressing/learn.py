"""After a pass: the interaction estimated again from what was read, the rest of the day planned again by the kernel."""

from dataclasses import replace
from datetime import datetime

from inspections.assembly.stressing_log import DayLog
from inspections.models import StressingDay
from inspections.rules.stressing.order import greatest_left_lb, joined, pass_to_learn
from inventory.mechanics.bars import jacking
from inventory.mechanics.errors import OutsideValidity
from inventory.models import Person

from .day_in_hand import put_on_hold, tell


def plan_the_rest(day: StressingDay, log: DayLog, *, by: Person, at: datetime) -> tuple[str, ...]:
    """Plan the rest again where a pass was just completed; the sentences of the revision, empty where none is due.

    A pull above the released greatest holds the day. A revision that cannot be made holds it too: the log is kept, the
    plan stays as it was. The caller holds the day and saves it.
    """
    after = pass_to_learn(log.plan, log.logged, {each["after_pass"] for each in day.learned})
    return () if after is None else plan_again(day, log, after=after, why=f"after pass {after}", by=by, at=at)


def plan_again(
    day: StressingDay,
    log: DayLog,
    *,
    after: int,
    why: str,
    by: Person,
    at: datetime,
    leave_out: tuple[int, ...] = (),
) -> tuple[str, ...]:
    """Plan what is left again from what was logged, `why` in words; the caller saves the day."""
    try:
        revision = jacking.revise(log.plan, log.done, day.released_most_lb, leave_out=leave_out)
    except (OutsideValidity, ValueError) as refusal:
        words = f"The rest could not be planned again {why}: {refusal}"
        put_on_hold(day, (f"{words} The engineer must say how to go on.",), by=by, at=at)
        return (words,)
    counted = {each.pull_number for each in log.done}
    before, plan = day.plan, joined(log.plan, revision.plan, log.logged, counted)
    sentences = tuple(revision.sentences)
    entry = {"after_pass": after, "why": why, "relearned": revision.relearned.as_dict()}
    entry |= {"sentences": list(sentences), "plan_before": before, "entries": [each.pk for each in log.entries]}
    day.learned = [*day.learned, entry]
    day.plan = plan.as_dict()
    told = f"The rest was planned again {why}. {' '.join(sentences)}"
    tell(day, "stressing_revised", told, by=by, at=at, detail={"after_pass": after})
    if revision.needs_release:
        words = (
            f"The rest, planned again {why}, asks for a pull of {greatest_left_lb(plan, log.logged):,.0f} lb, above "
            f"the greatest of the released sheet, {day.released_most_lb:,.0f} lb: no pull until the engineer releases "
            "it."
        )
        put_on_hold(day, (words,), by=by, at=at)
    elif plan.refusals:
        put_on_hold(day, plan.refusals, by=by, at=at)
    return sentences


def learn_for_next_time(day: StressingDay, log: DayLog) -> None:
    """Keep with the finished plan what the whole day taught of the wood: the next plan of the row begins from it."""
    try:
        learned = jacking.relearn(log.plan, log.done)
    except OutsideValidity:
        return
    given = replace(log.plan.given, deck=learned.deck, seating_in=learned.seating_in)
    day.plan = replace(log.plan, given=given).as_dict()
    last = max((entry.pass_number for entry in log.entries), default=0)
    entry = {"after_pass": last, "why": "at the end of the day", "relearned": learned.as_dict()}
    entry |= {"sentences": list(learned.sentences), "plan_before": None, "entries": [one.pk for one in log.entries]}
    day.learned = [*day.learned, entry]
