"""What the crew's telephone shows of a stressing day: one pull, its figures, what every bar should hold now."""

from dataclasses import dataclass

from inspections.assembly.stressing_log import (
    DayLog,
    asked_then,
    entries_for_rules,
    plan_when_made,
    planned_before_lb,
    pull_asked,
    seen_then,
)
from inspections.models import LoggedPull, StressingDay
from inspections.queries.stressing_log import all_entries_of
from inspections.rules.stressing.compare import Deviation, compared, deviation_pct, side_words
from inspections.rules.stressing.finishing import standing_reads, unknown_bars
from inspections.rules.stressing.order import (
    Slot,
    begun_pulls,
    next_slot,
    planned,
    progress_words,
    should_read_lb,
    slots_left,
)
from inspections.rules.stressing.stops import WHAT_TO_DO, PullAsked, what_happened
from inspections.vocabulary.states import PullState, StressingState

CAUTIONS = (
    "Nobody in line with a bar under load.",
    "Jack and gauge calibrated together.",
    "No load above the sheet.",
    "No traffic on the span while a jack is on a bar.",
)
BESIDE = 2


@dataclass(frozen=True, kw_only=True)
class BarNow:
    """One line of the table: what the plan says the bar holds now, what is best known, lb."""

    name: str
    plan_lb: float
    known_lb: float
    how: str
    words: str
    is_next: bool


@dataclass(frozen=True, kw_only=True)
class Shown:
    """The pull on the page. `most_psi`: the gauge that no pull on this jack goes above."""

    slot: Slot
    progress: str
    asked: PullAsked
    most_psi: float
    together: tuple[PullAsked, ...]
    coming: PullAsked | None
    is_next: bool


def slot_to_show(log: DayLog, state: str, wanted: tuple[int, int] | None) -> Slot | None:
    """The pull asked for where it is still to be made, else the next; while held only the rest of a pull under way."""
    left = slots_left(log.plan, log.logged)
    if state == StressingState.HELD:
        begun = begun_pulls(log.plan, log.logged)
        left = tuple(slot for slot in left if slot.pull_number in begun)
    if wanted is not None:
        for slot in left:
            if slot.key == wanted:
                return slot
    return left[0] if left else None


def shown_pull(day: StressingDay, log: DayLog, slot: Slot) -> Shown:
    """The figures of one pull, in the order a crew needs them."""
    most = day.released_most_lb or 0.0

    def asked(one: Slot) -> PullAsked:
        return pull_asked(plan=log.plan, slot=one, released_most_lb=most, before_lb=log.standing_lb[one.bar_index])

    pull, _bar = planned(log.plan, slot)
    own = asked(slot)
    rest = [one for one in slots_left(log.plan, log.logged) if one != slot]
    together = [Slot(pull_number=pull.number, bar_index=bar.bar_index) for bar in pull.bars]
    first = next_slot(log.plan, log.logged)
    top_lb = min(limit for limit in (own.released_most_lb, own.bar_limit_lb, own.capacity_lb) if limit is not None)
    division = own.gauge_division_psi
    top_psi = (top_lb + own.half_division_lb) / own.force_lb(1.0)
    return Shown(
        slot=slot,
        progress=progress_words(log.plan, slot),
        asked=own,
        most_psi=min(top_psi // division * division, own.gauge_most_psi or top_psi),
        together=tuple(asked(one) for one in together if one != slot),
        coming=asked(rest[0]) if rest else None,
        is_next=first is not None and first.pull_number == slot.pull_number,
    )


def bars_beside(log: DayLog, bar_index: int) -> list[tuple[int, str]]:
    """Up to two bars on each side that may be read again, nearest first."""
    bars = log.plan.given.bars
    steps = [sign * step for step in range(1, BESIDE + 1) for sign in (-1, 1)]
    return [(index, bars[index].name) for index in (bar_index + step for step in steps) if 0 <= index < len(bars)]


def bars_now(log: DayLog, shown: Slot | None) -> list[BarNow]:
    """Every bar of the row: the plan's force now beside what was read or what the model makes of the log."""
    counted = {(each.pull_number, each.bar_index) for each in log.done}
    should = should_read_lb(log.plan, log.logged, counted)
    entries = entries_for_rules(log.entries)
    reads, unknown = standing_reads(entries, {}, ""), unknown_bars(entries, ())
    pulled = {entry.bar_index for entry in log.entries}
    rows = []
    for index, bar in enumerate(log.plan.given.bars):
        known = reads[index][0] if index in reads else log.standing_lb[index]
        how = "read" if index in reads else "computed" if log.entries else "as before"
        if index in unknown:
            how = "▲ stopped and not read, not known"
        elif not bar.is_planned:
            how = f"not pulled: {bar.why_not}" if bar.why_not else "not pulled"
        pct = deviation_pct(should[index], known)
        words = "" if pct is None or not pulled or not bar.is_planned or index in unknown else side_words(pct)
        rows.append(
            BarNow(
                name=bar.name,
                plan_lb=should[index],
                known_lb=known,
                how=how,
                words=words,
                is_next=shown is not None and shown.bar_index == index,
            )
        )
    return rows


@dataclass(frozen=True, kw_only=True)
class EntryLine:
    """An entry of the log with its comparison with the plan it was made from."""

    entry: LoggedPull
    bar: str
    rows: tuple[Deviation, ...]
    may_be_taken_back: bool = False

    @property
    def is_taken_back(self) -> bool:
        return self.entry.state == PullState.TAKEN_BACK

    @property
    def is_stopped(self) -> bool:
        return self.entry.state == PullState.STOPPED


def entry_lines(day: StressingDay, log: DayLog, *, person_pk: int, may_all: bool) -> list[EntryLine]:
    """The log, newest entry first; only the newest that stands is held beside the plan."""
    is_open = day.state in (StressingState.UNDER_WAY, StressingState.HELD)
    newest = log.entries[-1].pk if log.entries else None
    lines = [
        EntryLine(
            entry=entry,
            bar=log.plan.given.bars[entry.bar_index].name,
            rows=_compared(day, log, entry) if entry.pk == newest else (),
            may_be_taken_back=is_open and entry.state != PullState.TAKEN_BACK and (may_all or entry.by_id == person_pk),
        )
        for entry in all_entries_of(day)
    ]
    return lines[::-1]


def _compared(day: StressingDay, log: DayLog, entry: LoggedPull) -> tuple[Deviation, ...]:
    plan = plan_when_made(day, log.plan, entry)
    asked = asked_then(plan, entry, day.released_most_lb or 0.0)
    if asked is None:
        return ()
    pull, _bar = planned(plan, Slot(pull_number=entry.pull_number, bar_index=entry.bar_index))
    before, bars = planned_before_lb(plan, entry.pull_number), plan.given.bars
    beside = {index: (bars[index].name, before[index], pull.after_lb[index]) for index in range(len(bars))}
    rows = compared(asked, seen_then(entry), log.limits, beside)
    return tuple(row for row in rows if row.seen is not None)


def stopped_bars(log: DayLog) -> list[tuple[int, str]]:
    """(index, name) of bars whose entry that stands was stopped, for the engineer to leave out."""
    stopped = {entry.bar_index for entry in log.entries if entry.state == PullState.STOPPED}
    return [(index, log.plan.given.bars[index].name) for index in sorted(stopped)]


def hold_words(day: StressingDay, last: EntryLine | None) -> list[str]:
    """Why a held day is held, each reason by itself: of the last entry where it was stopped, and what else stands."""
    stopped = last.entry.stop_reasons if last is not None and last.is_stopped else []
    told = [what_happened(reason) for reason in stopped]
    rest = day.held_reason.replace(WHAT_TO_DO, "")
    for words in told:
        rest = rest.replace(words, "")
    rest = rest.strip()
    if rest and not any(words.startswith(rest.removesuffix("...")) for words in told):
        told.append(rest)
    return [WHAT_TO_DO, *told] if stopped or WHAT_TO_DO in day.held_reason else told
