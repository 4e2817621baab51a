"""The log of a stressing day played back: the force every bar has by all that was read, the rest by the model."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.mechanics.errors import OutsideValidity, require_range

from .interaction import SqueezedRow
from .limits import ram_lb_per_psi
from .terms import JackKit, PullDone, StressingPlan

SOURCE = "log of the stressing day"


@dataclass(frozen=True, eq=False)
class LoggedPull:
    """One pull of the log: its bars, and the force by the gauge of each, lb."""

    number: int
    done: tuple[PullDone, ...]
    set_lb: np.ndarray

    @property
    def held(self) -> np.ndarray:
        return np.array([each.bar_index for each in self.done], dtype=int)

    @property
    def before_lb(self) -> np.ndarray:
        return np.array([each.before_lb for each in self.done])


def logged_pulls(plan: StressingPlan, done: tuple[PullDone, ...]) -> tuple[LoggedPull, ...]:
    """The log by pull, in order. ``OutsideValidity`` for a bar not in the row, one logged twice, a force no bar has."""
    by_number: dict[int, list[PullDone]] = {}
    for each in done:
        _check_line(plan, each)
        if each.bar_index in [other.bar_index for other in by_number.get(each.pull_number, ())]:
            raise OutsideValidity(
                name=f"pull {each.pull_number} of bar {plan.given.bars[each.bar_index].name}",
                value="logged twice",
                valid="one line for each pull and bar: take one of them back",
                source=SOURCE,
            )
        by_number.setdefault(each.pull_number, []).append(each)
    return tuple(
        LoggedPull(
            number=number,
            done=tuple(lines),
            set_lb=np.array([each.gauge_psi * ram_lb_per_psi(jack_of(plan, each)) for each in lines]),
        )
        for number, lines in sorted(by_number.items())
    )


def jack_of(plan: StressingPlan, each: PullDone) -> JackKit:
    """The jack the plan put on that bar at that pull; the first jack for a pull the plan has not."""
    kits = {jack.name: jack for jack in plan.given.jacks}
    for pull in plan.pulls:
        if pull.number == each.pull_number:
            for bar in pull.bars:
                if bar.bar_index == each.bar_index:
                    return kits[bar.jack]
    return plan.given.jacks[0]


def _check_line(plan: StressingPlan, each: PullDone) -> None:
    where = f"at pull {each.pull_number}"
    _check_index(plan, each.bar_index, where)
    require_range(name="pull number", value=each.pull_number, least=1, source=SOURCE)
    name = plan.given.bars[each.bar_index].name
    amounts = [(f"force of bar {name} before the pull {where}", each.before_lb, 1e6, "lb")]
    amounts.append((f"gauge on bar {name} {where}", each.gauge_psi, 20000, "psi"))
    if each.locked_lb is not None:
        amounts.append((f"force of bar {name} after lock-off {where}", each.locked_lb, 1e6, "lb"))
    if each.elongation_in is not None:
        amounts.append((f"elongation of bar {name} {where}", each.elongation_in, 60, "in"))
    for read in each.neighbours:
        _check_index(plan, read.bar_index, where)
        beside = plan.given.bars[read.bar_index].name
        amounts.append((f"force of bar {beside} before {where[3:]}", read.before_lb, 1e6, "lb"))
        amounts.append((f"force of bar {beside} after {where[3:]}", read.after_lb, 1e6, "lb"))
    for words, value, most, unit in amounts:
        require_range(name=words, value=value, least=0, most=most, unit=unit, source=SOURCE)


def _check_index(plan: StressingPlan, bar_index: int, where: str) -> None:
    if not 0 <= bar_index < len(plan.given.bars):
        raise OutsideValidity(
            name=f"bar {bar_index + 1} {where}", value="not in the row", valid=f"1 to {len(plan.given.bars)}",
            source=SOURCE,
        )  # fmt: skip


def played_back(
    *, row: SqueezedRow, seating_in: float, start_lb: tuple[float, ...], pulls: tuple[LoggedPull, ...]
) -> dict[int, np.ndarray]:
    """Force of every bar, lb, (n,), after each pull of the log: read where it was read, else by the model."""
    force_lb, after = np.array(start_lb, dtype=float), {}
    for pull in pulls:
        force_lb = force_lb.copy()
        force_lb[pull.held] = pull.before_lb
        for read in read_beside(pull):
            force_lb[read.bar_index] = read.before_lb
        force_lb = _after(row, seating_in, force_lb, pull)
        for read in read_beside(pull):
            force_lb[read.bar_index] = read.after_lb
        after[pull.number] = force_lb
    return after


def _after(row: SqueezedRow, seating_in: float, force_lb: np.ndarray, pull: LoggedPull) -> np.ndarray:
    """A bar whose jack did not lift it (no more than it had) was not moved, and did not seat anew."""
    moved = pull.set_lb > pull.before_lb
    read_lb = np.array([np.nan if each.locked_lb is None else each.locked_lb for each in pull.done])
    state = row.standing(force_lb)
    if moved.any():
        held = pull.held[moved]
        at_set = row.pulled(state, held, pull.set_lb[moved])
        state = row.locked_off(at_set, held, seating_in)
    known = ~np.isnan(read_lb)
    if known.any():
        state = row.pulled(state, pull.held[known], read_lb[known])
    return state.force_lb


def read_beside(pull: LoggedPull):
    """Neighbours read at a pull that were not themselves pulled."""
    held = {each.bar_index for each in pull.done}
    return [read for each in pull.done for read in each.neighbours if read.bar_index not in held]
