"""The crew logs one bar of one pull: judged by the stop rules, kept once whatever the network does."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import IntegrityError, transaction

from inspections.actions.lock import day_of, require_move
from inspections.assembly.stressing_basis import calibration_faults, sheet_faults
from inspections.assembly.stressing_log import DayLog, day_log, pull_asked
from inspections.models import LoggedPull, StressingDay
from inspections.queries.stressing_log import bars_of_day, jacks_of_day
from inspections.rules import lifecycle
from inspections.rules.force_or_pressure import looks_like_pressure
from inspections.rules.refusals import Refused
from inspections.rules.stressing.order import Slot, log_refusal
from inspections.rules.stressing.stops import SAY_SO, PullAsked, PullSeen, entry_refusals, stop_reasons
from inspections.vocabulary.states import PullState, StressingState
from inventory.models import Person
from inventory.vocabulary.roles import Permit

from .day_in_hand import hold_day, put_on_hold, save_day, tell
from .learn import plan_the_rest


@dataclass(frozen=True, kw_only=True)
class Logged:
    """The entry, whether this call made it, the stop rules it met, and what a new plan of the rest says."""

    entry: LoggedPull
    is_new: bool
    stops: tuple[str, ...] = ()
    revision_words: tuple[str, ...] = ()


@transaction.atomic
def log_pull(
    *, day: StressingDay, identity: UUID, pull_number: int, bar_index: int, seen: PullSeen, by: Person, at: datetime
) -> Logged:
    """Keep what was seen at one bar of one pull.

    The same `identity` twice changes nothing and gives the entry back (`is_new` False). The first entry of a released
    day puts it under way; a stop rule holds the day for the engineer with its sentence; a completed pass makes the rest
    planned again. Raises `Refused` with every reason where the entry cannot be taken.
    """
    _structure, held, permits = hold_day(day, by=by, permit=Permit.LOG_STRESSING)
    slot = Slot(pull_number=pull_number, bar_index=bar_index)
    known = LoggedPull.objects.filter(identity=identity).first()
    if known is not None:
        if known.day_id != held.pk or (known.pull_number, known.bar_index) != slot.key:
            raise Refused("This entry was sent before for another pull: open the log again and enter it there.")
        return Logged(entry=known, is_new=False, stops=tuple(known.stop_reasons))
    log = day_log(held)
    _refuse_doubled(log, slot)
    refusal = log_refusal(
        log.plan,
        log.logged,
        slot,
        state=held.state,
        held_reason=held.held_reason,
        order_reason=seen.order_reason,
    )
    if refusal:
        raise Refused(refusal)
    unfit = _sheet_faults(held, at)
    if unfit and held.state == StressingState.RELEASED:
        raise Refused(*unfit)
    asked = pull_asked(
        plan=log.plan, slot=slot, released_most_lb=held.released_most_lb, before_lb=log.standing_lb[bar_index]
    )
    faults = (*entry_refusals(asked, seen), *_neighbour_faults(log, slot, seen))
    if faults:
        raise Refused(*faults)
    stops = stop_reasons(asked, seen, log.limits)
    entry = _write(held, identity, log, slot, asked, seen, stops, by, at)
    if held.state == StressingState.RELEASED:
        require_move(lifecycle.STRESSING, held.state, StressingState.UNDER_WAY, permits)
        held.state = StressingState.UNDER_WAY.value
    _tell(held, entry, asked, stops, by, at)
    if stops or unfit:
        put_on_hold(held, (*stops, *unfit), by=by, at=at)
    words = () if held.state == StressingState.HELD else plan_the_rest(held, day_log(held), by=by, at=at)
    save_day(held)
    return Logged(entry=entry, is_new=True, stops=stops, revision_words=words)


def _refuse_doubled(log: DayLog, slot: Slot) -> None:
    """Two telephones, one pull: the first entry stands."""
    for entry in log.entries:
        if (entry.pull_number, entry.bar_index) == slot.key:
            gauge = "" if entry.gauge_psi is None else f", gauge {entry.gauge_psi:,.0f} psi"
            raise Refused(
                f"Pull {slot.pull_number} of bar {log.plan.given.bars[slot.bar_index].name} is logged already, by "
                f"{entry.by}{gauge}; yours was not saved. If that entry is wrong, have it taken back first."
            )


def _sheet_faults(day: StressingDay, at: datetime) -> tuple[str, ...]:
    """Why the released sheet must not be used today: a bar set aside since, a jack changed, retired or out of date."""
    on = day_of(at)
    return (*sheet_faults(day, on), *calibration_faults(day, on))


def _neighbour_faults(log: DayLog, slot: Slot, seen: PullSeen) -> tuple[str, ...]:
    bars, told = log.plan.given.bars, []
    for index, before, after in seen.neighbours:
        if not 0 <= index < len(bars) or index == slot.bar_index:
            told.append("A neighbour's reading names a bar that is not a neighbour: choose the bar again.")
            continue
        most = 0.8 * bars[index].tensile_psi * bars[index].net_area_in2
        if not 0 <= before <= most or not 0 <= after <= most:
            told.append(
                f"Bar {bars[index].name} beside it: a force must be between 0 and {most:,.0f} lb (0.80 of its tensile "
                "strength); read it again, in lb."
            )
        elif not seen.note.strip():
            told += _pressure_questions(log, slot, index, before, after)
    return tuple(told)


def _pressure_questions(log: DayLog, slot: Slot, index: int, *forces_lb: float) -> list[str]:
    """A neighbour's force typed as a pressure, asked about once."""
    asked = pull_asked(plan=log.plan, slot=slot, released_most_lb=0.0, before_lb=None)
    for force in forces_lb:
        question = looks_like_pressure(
            force_lb=force, expected_lb=log.standing_lb[index], ram_lb_per_psi=asked.force_lb(1.0)
        )
        if question:
            return [f"Bar {log.plan.given.bars[index].name} beside it: {question} {SAY_SO}"]
    return []


def _write(
    day: StressingDay,
    identity: UUID,
    log: DayLog,
    slot: Slot,
    asked: PullAsked,
    seen: PullSeen,
    stops: tuple[str, ...],
    by: Person,
    at: datetime,
) -> LoggedPull:
    bar = bars_of_day(day)[slot.bar_index]
    jacks = dict(zip((kit.name for kit in log.plan.given.jacks), jacks_of_day(day), strict=False))
    notes = [f"Out of order: {seen.order_reason.strip()}."] if seen.order_reason.strip() else []
    notes += [seen.note.strip()] if seen.note.strip() else []
    try:
        with transaction.atomic():
            return LoggedPull.objects.create(
                identity=identity,
                day=day,
                pull_number=slot.pull_number,
                pass_number=asked.pass_number,
                bar_index=slot.bar_index,
                bar=bar,
                jack=jacks.get(asked.jack),
                planned_set_lb=asked.set_lb,
                planned_gauge_psi=asked.gauge_psi,
                planned_locked_lb=asked.locked_lb,
                planned_elongation_in=asked.elongation_in,
                state=(PullState.STOPPED if stops else PullState.DONE).value,
                before_lb=asked.before_lb,
                gauge_psi=seen.gauge_psi,
                set_lb=asked.force_lb(seen.gauge_psi),
                locked_lb=seen.locked_lb,
                force_method=seen.force_method,
                elongation_in=seen.elongation_in,
                plate_sunk_in=seen.plate_sunk_in,
                neighbours=[
                    {"bar_index": index, "before_lb": before, "after_lb": after}
                    for index, before, after in seen.neighbours
                ],
                stop_reasons=list(stops),
                note=" ".join(notes)[:300],
                by=by,
                at=at,
            )
    except IntegrityError as twice:
        raise Refused("This pull was logged at the same moment from another telephone: open the log again.") from twice


def _tell(
    day: StressingDay, entry: LoggedPull, asked: PullAsked, stops: tuple[str, ...], by: Person, at: datetime
) -> None:
    sentence = (
        f"Pull {asked.pull_number}, bar {asked.bar} with {asked.jack}: gauge {entry.gauge_psi:,.0f} psi, "
        f"{entry.set_lb:,.0f} lb of {asked.set_lb:,.0f} lb{', stopped' if stops else ''}."
    )
    tell(day, "log_pull", sentence, by=by, at=at, detail={"pull": entry.pk})
