"""The end of a stressing day: the work on record, the force of every bar, the bar check of what was read, a rating."""

from collections.abc import Mapping
from datetime import date, datetime

from django.db import transaction

from inspections.actions.lock import day_of, require_move
from inspections.actions.rate import owe_rating
from inspections.actions.standing import refresh_standing
from inspections.assembly.stressing_log import DayLog, day_log, entries_for_rules
from inspections.models import StressingDay
from inspections.queries.stressing_log import bars_of_day
from inspections.rules import lifecycle
from inspections.rules.clocks.terms import day as day_words
from inspections.rules.refusals import Refused, stale
from inspections.rules.stressing.finishing import (
    final_forces,
    range_refusals,
    standing_reads,
    unaccounted,
    unknown_bars,
    work_summary,
)
from inspections.vocabulary.findings import ForceMethod
from inspections.vocabulary.states import PullState, StressingState
from inventory.actions.record_history import record_work
from inventory.models import Person, Work
from inventory.rules.refusals import Refused as NotRecorded
from inventory.vocabulary.roles import Permit
from inventory.vocabulary.structures import WorkKind

from .bar_check import Conditions, write_bar_check
from .day_in_hand import hold_day, save_day, tell
from .learn import learn_for_next_time

METHODS = (ForceMethod.LIFT_OFF.value, ForceMethod.LOAD_CELL.value)


@transaction.atomic
def finish(
    *,
    day: StressingDay,
    revision: int,
    by: Person,
    at: datetime,
    readings: Mapping[int, float] | None = None,
    method: str = "lift_off",
    inspector: Person | None = None,
    wood_temp_f: float | None = None,
    moisture_pct: float | None = None,
    reason: str = "",
) -> StressingDay:
    """End the day and write what follows from it, all or nothing.

    `readings`: bar index to force, lb, read by `method` once the last jack was off. `inspector` answers for what was
    read (the person finishing, where they may inspect); `reason` is the engineer's word for bars not done. Raises
    `Refused` with every thing in the way; a finished day is refused and left as it is.
    """
    _structure, held, permits = hold_day(day, by=by, permit=Permit.LOG_STRESSING)
    if held.state == StressingState.FINISHED:
        raise Refused("This day is finished already: its work stands on record, and nothing was written twice.")
    if held.revision != revision:
        raise stale("this stressing day")
    require_move(lifecycle.STRESSING, held.state, StressingState.FINISHED, permits)
    readings, log = dict(readings or {}), day_log(held)
    _refuse_what_is_open(held, log, readings, method, reason, permits)
    entries = entries_for_rules(log.entries)
    reads = standing_reads(entries, readings, method)
    unknown = unknown_bars(entries, reads)
    final = final_forces(log.standing_lb, reads, unknown)
    held.final = [
        {"bar": pk, "force_lb": round(force, 1), "is_read": is_read, "is_unknown": index in unknown}
        for index, (pk, (force, is_read)) in enumerate(zip(held.bar_ids, final, strict=True))
    ]
    done_on = day_of(log.entries[-1].at) if log.entries else day_of(at)
    # No bar was moved: nothing was re-tensioned, so no work may put the clocks back.
    held.work = _record(held, log, final, unknown, done_on, by, at) if log.done else None
    learn_for_next_time(held, log)
    held.state, held.finished_at = StressingState.FINISHED.value, at
    if reason.strip():
        held.note = f"{held.note} Finished as it stood: {reason.strip()}".strip()[:400]
    save_day(held)
    check = write_bar_check(
        held, bars_of_day(held), reads, done_on,
        Conditions(wood_temp_f=wood_temp_f, moisture_pct=moisture_pct), log, inspector, by, at,
    )  # fmt: skip
    if check is None:
        owe_rating(structure=held.structure, cause=f"Bars stressed on {day_words(done_on)}", at=at)
    refresh_standing(structure=held.structure, as_of=day_of(at))
    said = f"Stressing day finished. {held.work.summary if held.work else 'No bar was pulled.'}" + (
        f" As it stood: {reason.strip()}" if reason.strip() else ""
    )
    tell(held, "finish_stressing", said, by=by, at=at, detail={"work": held.work_id, "check": check and check.pk})
    return held


def _refuse_what_is_open(
    day: StressingDay, log: DayLog, readings: dict[int, float], method: str, reason: str, permits: frozenset[Permit]
) -> None:
    if method not in METHODS:
        raise Refused(
            "Say how the forces were read: by lift-off or by load cell. A gauge at lock-off is not a reading."
        )
    hard, doubtful = range_refusals(log.plan, readings)
    if hard:
        raise Refused(*hard)
    open_ = (*filter(None, [log.problem]), *unaccounted(log.plan, entries_for_rules(log.entries), readings), *doubtful)
    is_engineer = Permit.RELEASE_STRESSING in permits
    if open_ and not (is_engineer and reason.strip()):
        last = "Say why the day ends all the same." if is_engineer else "Or the engineer ends it with his reason."
        raise Refused(*open_, last)
    if day.state == StressingState.HELD and not reason.strip():
        raise Refused(f"The day is held ({day.held_reason}) Say why it ends as it stands.")


def _record(
    day: StressingDay,
    log: DayLog,
    final: list[tuple[float, bool]],
    unknown: frozenset[int],
    done_on: date,
    by: Person,
    at: datetime,
) -> Work:
    """The one work of the day; the reminders and the forecast read it."""
    kind = WorkKind.STRESSING if day.purpose == "stressing" else WorkKind.RETENSION
    kits = {kit.name: kit.calibration_words for kit in log.plan.given.jacks}
    used = {entry.jack.name if entry.jack else "a jack no longer on record" for entry in log.entries}
    summary = work_summary(
        span_index=day.span_index,
        level=day.level,
        pass_count=max((entry.pass_number for entry in log.entries), default=0),
        pulled=len({entry.bar_index for entry in log.entries if entry.state == PullState.DONE}),
        planned=sum(1 for bar in log.plan.given.bars if bar.is_planned),
        final=final,
        unknown=[log.plan.given.bars[index].name for index in sorted(unknown)],
        jacks=[f"{name}, {kits.get(name) or 'calibration not on record'}" for name in sorted(used)],
    )
    own = _on_record(day, kind, done_on)
    if own is not None:
        return own
    fields = {"kind": kind.value, "done_on": done_on, "summary": summary, "crew": day.crew[:120]}
    try:
        return record_work(structure=day.structure, fields=fields, by=by, at=at)
    except NotRecorded as refused:
        raise Refused(refused.sentence) from refused


def _on_record(day: StressingDay, kind: WorkKind, done_on: date) -> Work | None:
    """The stressing of that day that the setting record wrote already, where no other stressing day is linked to it."""
    if kind != WorkKind.STRESSING:
        return None
    taken = StressingDay.objects.filter(structure=day.structure, work__isnull=False).values("work")
    works = Work.objects.filter(structure=day.structure, kind=kind.value, done_on=done_on).exclude(pk__in=taken)
    return works.order_by("pk").first()
