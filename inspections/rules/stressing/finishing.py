"""Ending a stressing day: what is not accounted for, which forces stand as read, and the words of the work.

A force read after one pull is lowered by the next pulls beside it, so only what was
read after the last pull of another bar stands at the end; the rest is computed by the model. A gauge at lock-off is
never a standing force.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from inspections.rules.force_or_pressure import looks_like_pressure
from inventory.mechanics.bars.jacking.terms import StressingPlan

from .order import slots_left


@dataclass(frozen=True, kw_only=True)
class Entry:
    """An entry of the log that stands, in the order it was made."""

    pull_number: int
    bar_index: int
    is_stopped: bool = False
    locked_lb: float | None = None
    force_method: str = ""
    neighbours: tuple[tuple[int, float, float], ...] = ()


def unaccounted(plan: StressingPlan, entries: Sequence[Entry], read_now: Mapping[int, float]) -> tuple[str, ...]:
    """Sentences for every planned bar that was not pulled as planned and not read after; empty where all is done."""
    left = slots_left(plan, {(entry.pull_number, entry.bar_index) for entry in entries})
    told, unknown = [], unknown_bars(entries, read_now)
    for index, bar in enumerate(plan.given.bars):
        open_pulls = [str(slot.pull_number) for slot in left if slot.bar_index == index]
        if open_pulls:
            told.append(f"Bar {bar.name}: pull {' and '.join(open_pulls)} not logged.")
        elif index in unknown:
            told.append(f"Bar {bar.name}: its last pull was stopped, and its force was not read after.")
    return tuple(told)


def unknown_bars(entries: Sequence[Entry], read_now: Collection[int]) -> frozenset[int]:
    """Bars (indexes) whose last pull was stopped and whose force was not read after: nobody knows what they hold."""
    last = {entry.bar_index: entry for entry in entries}
    found = {index for index, entry in last.items() if entry.is_stopped and entry.locked_lb is None}
    return frozenset(found - set(read_now))


def standing_reads(
    entries: Sequence[Entry], read_now: Mapping[int, float], method: str
) -> dict[int, tuple[float, str]]:
    """Bar index to (force lb, method) of the forces read after which no other bar was pulled.

    `read_now` are those read once the last jack was off. A bar of one movement of several jacks counts as read after
    the whole movement.
    """
    found: dict[int, tuple[float, str]] = {}
    if entries:
        last = entries[-1].pull_number
        for entry in entries:
            if entry.pull_number != last:
                continue
            for index, _before, after in entry.neighbours:
                found[index] = (after, entry.force_method or method)
        for entry in entries:
            if entry.pull_number == last and entry.locked_lb is not None:
                found[entry.bar_index] = (entry.locked_lb, entry.force_method or method)
    found.update({index: (force, method) for index, force in read_now.items()})
    return found


def final_forces(
    computed_lb: Sequence[float], reads: Mapping[int, tuple[float, str]], unknown: Collection[int] = ()
) -> list[tuple[float, bool]]:
    """Per bar (force lb, is it read): read where read last, else as the model leaves it; not known counts as nothing.

    That an unknown bar counts as absent is the county's rule for every pressure (`model`, owner policy).
    """
    return [
        (reads[index][0], True) if index in reads else (0.0 if index in unknown else max(0.0, force), False)
        for index, force in enumerate(computed_lb)
    ]


def work_summary(
    *,
    span_index: int,
    level: str,
    pass_count: int,
    pulled: int,
    planned: int,
    final: Sequence[tuple[float, bool]],
    jacks: Iterable[str],
    unknown: Sequence[str] = (),
) -> str:
    """The line of the works record, at most 300 characters."""
    forces = [force for force, _ in final]
    read = sum(1 for _, is_read in final if is_read)
    known = f"{read} read, {len(final) - read} computed" if read else "all computed, none read"
    known += f"; bar {', '.join(unknown)} stopped and not read, counted as nothing" if unknown else ""
    row = f"Span {span_index}" + ("" if level == "mid" else f", {level} bars")
    line = (
        f"{row}: {pulled} of {planned} bars pulled in {pass_count} pass{'' if pass_count == 1 else 'es'}; least "
        f"{min(forces):,.0f} lb, mean {sum(forces) / len(forces):,.0f} lb ({known}). {'; '.join(jacks)}."
    )
    return line if len(line) <= 300 else line[:297].rstrip() + "..."


def range_refusals(plan: StressingPlan, read_now: Mapping[int, float]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Sentences for forces read at the end: (what cannot be, what looks like a gauge pressure and may be true)."""
    hard, doubtful = [], []
    for index, force in read_now.items():
        if not 0 <= index < len(plan.given.bars):
            hard.append("A force was given for a bar that is not in this row: open the page again.")
            continue
        bar = plan.given.bars[index]
        most = 0.8 * bar.tensile_psi * bar.net_area_in2
        if force < 0:
            hard.append(f"Bar {bar.name}: {force:,.0f} lb is below zero; read it again.")
        elif force > most:
            hard.append(
                f"Bar {bar.name}: {force:,.0f} lb is more than the bar can carry at rest ({most:,.0f} lb, 0.80 of its "
                "tensile strength); read it again."
            )
        elif question := _pressure_question(plan, index, force):
            doubtful.append(f"Bar {bar.name}: {question} Call the engineer where it is.")
    return tuple(hard), tuple(doubtful)


def _pressure_question(plan: StressingPlan, index: int, force_lb: float) -> str:
    deck, jack = plan.given.deck, plan.given.jacks[0]
    return looks_like_pressure(
        force_lb=force_lb,
        expected_lb=plan.given.bars[index].target_lb,
        spacing_in=deck.deck_length_in / len(plan.given.bars),
        thickness_in=deck.thickness_in,
        ram_lb_per_psi=jack.ram_area_in2 * jack.efficiency,
    )
