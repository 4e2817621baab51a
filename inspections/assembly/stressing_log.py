"""Rows of a stressing day to the plan in use and what was done of it; kernel calls that only read."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils import timezone

from inspections.models import LoggedPull, StressingDay
from inspections.queries.ratings import current_rating
from inspections.queries.stressing_log import entries_of
from inspections.rules.pressed import needs_of
from inspections.rules.pressure import SpanPressure
from inspections.rules.stressing.finishing import Entry
from inspections.rules.stressing.order import Slot, planned, should_read_lb, wood_limit_lb
from inspections.rules.stressing.reopening import row_least_psi
from inspections.rules.stressing.stops import PullAsked, PullSeen, StopLimits
from inspections.vocabulary.states import PullState
from inventory.mechanics.bars import bar_limit_lb
from inventory.mechanics.bars.jacking.relearn import known_after
from inventory.mechanics.bars.jacking.terms import BarRead, PullDone, Relearned, StressingPlan
from inventory.mechanics.errors import OutsideValidity
from inventory.queries.bars import bar_policy_of

from .bars import bar_pressures
from .stored_plan import stored_learned, stored_plan


@dataclass(frozen=True, kw_only=True)
class DayLog:
    """The plan in use, the entries that stand, and the best knowledge of every bar's force now, lb.

    `problem` says why the model could not follow the log; the forces are then those of the plan.
    """

    plan: StressingPlan
    entries: tuple[LoggedPull, ...]
    done: tuple[PullDone, ...]
    standing_lb: tuple[float, ...]
    limits: StopLimits
    problem: str = ""

    @property
    def logged(self) -> frozenset[tuple[int, int]]:
        return frozenset((entry.pull_number, entry.bar_index) for entry in self.entries)


def day_log(day: StressingDay) -> DayLog:
    """Everything the log is judged by."""
    plan = stored_plan(day.plan)
    entries = tuple(entries_of(day))
    done = pulls_done(entries)
    standing_lb, problem = _standing_lb(plan, entries, done, last_learned(day, plan))
    return DayLog(
        plan=plan,
        entries=entries,
        done=done,
        standing_lb=standing_lb,
        limits=stop_limits(day),
        problem=problem,
    )


def _standing_lb(plan: StressingPlan, entries, done: tuple[PullDone, ...], learned: Relearned):
    """(Force of every bar, why it is only the plan's): a pull that was made is logged whatever the model says of it."""
    try:
        known = known_after(plan, done, learned)
    except OutsideValidity as refusal:
        logged = {(entry.pull_number, entry.bar_index) for entry in entries}
        counted = {(each.pull_number, each.bar_index) for each in done}
        words = (
            f"What stands in the bars could not be worked out from the log, so the plan's forces are shown: {refusal}"
        )
        return should_read_lb(plan, logged, counted), words
    return tuple(float(force) for force in (known[max(known)] if known else plan.start_lb)), ""


def last_learned(day: StressingDay, plan: StressingPlan) -> Relearned:
    """The interaction as last estimated (after a pass), as planned until then: not fitted anew at every page."""
    if day.learned:
        return stored_learned(day.learned[-1]["relearned"])
    return Relearned(
        deck=plan.given.deck,
        seating_in=plan.given.seating_in,
        readings_used=0,
        misfit_before_pct=0.0,
        misfit_after_pct=0.0,
        sentences=(),
    )


def stop_limits(day: StressingDay) -> StopLimits:
    """The county's policy of stop rules."""
    policy = bar_policy_of(day.structure.agency)
    return StopLimits(
        disagree_pct=policy.disagree_pct, sink_most_in=policy.sink_most_in, short_of_pct=policy.short_of_pct
    )


def pulls_done(entries: Sequence[LoggedPull]) -> tuple[PullDone, ...]:
    """What the kernel is told was done.

    A stopped pull whose force was not read after is left out: the jack was let off, so the bar is taken to stand as it
    stood before, the lower of the two things that may be.
    """
    return tuple(
        PullDone(
            pull_number=entry.pull_number,
            bar_index=entry.bar_index,
            before_lb=entry.before_lb or 0.0,
            gauge_psi=entry.gauge_psi,
            locked_lb=entry.locked_lb,
            elongation_in=entry.elongation_in,
            neighbours=tuple(BarRead(**row) for row in entry.neighbours),
        )
        for entry in entries
        if not (entry.state == PullState.STOPPED and entry.locked_lb is None)
    )


def entries_for_rules(entries: Sequence[LoggedPull]) -> tuple[Entry, ...]:
    """The same entries as the rules of finishing read them."""
    return tuple(
        Entry(
            pull_number=entry.pull_number,
            bar_index=entry.bar_index,
            is_stopped=entry.state == PullState.STOPPED,
            locked_lb=entry.locked_lb,
            force_method=entry.force_method,
            neighbours=neighbours_of(entry),
        )
        for entry in entries
    )


def neighbours_of(entry: LoggedPull) -> tuple[tuple[int, float, float], ...]:
    return tuple((row["bar_index"], row["before_lb"], row["after_lb"]) for row in entry.neighbours)


def planned_before_lb(plan: StressingPlan, pull_number: int) -> tuple[float, ...]:
    """The force of every bar just before a pull, by the plan."""
    now = plan.start_lb
    for pull in plan.pulls:
        if pull.number == pull_number:
            break
        now = pull.after_lb
    return tuple(now)


def pull_asked(*, plan: StressingPlan, slot: Slot, released_most_lb: float, before_lb: float | None) -> PullAsked:
    """One bar of one pull as the rules judge it. `before_lb` None: as the plan says."""
    pull, asked = planned(plan, slot)
    bar = plan.given.bars[slot.bar_index]
    jack = next(kit for kit in plan.given.jacks if kit.name == asked.jack)
    by_plan = planned_before_lb(plan, slot.pull_number)[slot.bar_index]
    before = by_plan if before_lb is None else before_lb
    rise = asked.set_lb - by_plan
    # The planned movement belongs to the planned rise; the rise from where the bar really stands is asked for.
    elongation = asked.elongation_in * (asked.set_lb - before) / rise if rise > 0 else asked.elongation_in
    return PullAsked(
        bar=bar.name,
        jack=asked.jack,
        pull_number=pull.number,
        pass_number=pull.pass_number,
        set_lb=asked.set_lb,
        gauge_psi=asked.gauge_psi,
        locked_lb=asked.locked_lb,
        elongation_in=elongation,
        before_lb=before,
        ram_area_in2=jack.ram_area_in2,
        efficiency=jack.efficiency,
        gauge_division_psi=jack.gauge_division_psi,
        gauge_most_psi=jack.gauge_most_psi,
        capacity_lb=jack.capacity_lb,
        wood_limit_lb=wood_limit_lb(plan, slot.bar_index),
        released_most_lb=released_most_lb,
        bar_limit_lb=bar_limit_lb(net_area_in2=bar.net_area_in2, tensile_psi=bar.tensile_psi),
    )


def plan_when_made(day: StressingDay, plan: StressingPlan, entry: LoggedPull) -> StressingPlan:
    """The plan in use when an entry was made: before the first revision that already knew the entry, else `plan`."""
    for each in day.learned:
        if entry.pk in each["entries"] and each["plan_before"]:
            return stored_plan(each["plan_before"])
    return plan


def asked_then(plan: StressingPlan, entry: LoggedPull, released_most_lb: float) -> PullAsked | None:
    """What was asked of a logged pull when it was made: the plan's figures kept with it."""
    slot = Slot(pull_number=entry.pull_number, bar_index=entry.bar_index)
    if planned(plan, slot) is None:
        return None
    return pull_asked(plan=plan, slot=slot, released_most_lb=released_most_lb, before_lb=entry.before_lb)


def seen_then(entry: LoggedPull) -> PullSeen:
    return PullSeen(
        gauge_psi=entry.gauge_psi,
        elongation_in=entry.elongation_in,
        locked_lb=entry.locked_lb,
        force_method=entry.force_method,
        plate_sunk_in=entry.plate_sunk_in,
        neighbours=neighbours_of(entry),
    )


@dataclass(frozen=True, kw_only=True)
class RowPressure:
    """Least local pressure of the span by a day's forces and by the other rows' readings, and what it needs, psi."""

    least_psi: float | None
    need_psi: float | None
    words: str


def pressure_after(day: StressingDay, on) -> RowPressure:
    """What the span is pressed to by the final forces of a finished day, against the greatest need on record.

    Rows at other levels of the same span count with their readings in date; the weaker row counts. A bar read or found
    broken on a later day counts with that where it is lower.
    """
    span, system = day.system.span, day.system
    plan = stored_plan(day.plan)
    stations = [bar.station_in / 12.0 for bar in plan.given.bars]
    sizes = {"span_ft": span.length_ft, "thickness_in": system.stressed_depth_in}
    counted = bar_pressures(structure=day.structure, as_of=on).by_span.get(span.index)
    rows = {day.level: row_least_psi(stations_ft=stations, forces_lb=_forces_now(day, counted), **sizes)}
    others = counted.bars if counted else None
    if others is not None:
        for level in sorted({place.level for place in others.places} - {day.level}):
            pairs = [
                (place.station_ft, force)
                for place, force in zip(others.places, others.forces_lb, strict=True)
                if place.level == level
            ]
            rows[level] = row_least_psi(
                stations_ft=[station for station, _ in pairs], forces_lb=[force for _, force in pairs], **sizes
            )
    rating = current_rating(day.structure)
    needs = [plan.given.needed_psi, system.needed_pressure_psi]
    needs.append(needs_of(rating.results if rating else {}).get(str(span.index)))
    known = [need for need in needs if need is not None]
    values = list(rows.values())
    return RowPressure(
        least_psi=None if None in values else min(values),
        need_psi=max(known) if known else None,
        words=", ".join(
            f"{level} bars {'not known' if psi is None else f'{psi:.0f} psi'}" for level, psi in rows.items()
        )
        + f"; {_how_known(day)}",
    )


def _forces_now(day: StressingDay, counted: SpanPressure | None) -> list[float]:
    """Force of each bar of a finished day, lb, or what was found in it on a later day, if lower."""
    ended_on = day.work.done_on if day.work else timezone.localdate(day.finished_at)
    pairs = zip(counted.bars.places, counted.counted, strict=True) if counted and counted.bars else ()
    later = {place.bar: one.force_lb for place, one in pairs if one is not None and one.on > ended_on}
    return [min(row["force_lb"], later.get(row["bar"], row["force_lb"])) for row in day.final]


def _how_known(day: StressingDay) -> str:
    """What a day's final forces rest on: a pressure by the model alone is no reading, and is never shown as one."""
    read = sum(1 for row in day.final if row.get("is_read"))
    if read == 0:
        return "computed by the model, no bar read after the last pull"
    return f"{read} of {len(day.final)} bars read after the last pull" + (
        ", the rest computed by the model" if read < len(day.final) else ""
    )
