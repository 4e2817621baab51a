"""What pull comes next, what may be logged now, and when a pass is done.

A plan is linear in its order (one pass in a given order is T = A S, A triangular), so a pull out of order makes the
rest of the sheet wrong until it is planned again: it asks for a reason (`model`).
"""

from collections.abc import Collection
from dataclasses import dataclass, replace

from inspections.vocabulary.states import StressingState
from inventory.mechanics.bars import bar_limit_lb
from inventory.mechanics.bars.jacking.limits import force_limits_lb
from inventory.mechanics.bars.jacking.terms import BarPull, PlanCheck, Pull, StressingPlan


@dataclass(frozen=True, kw_only=True, order=True)
class Slot:
    """One bar of one pull."""

    pull_number: int
    bar_index: int

    @property
    def key(self) -> tuple[int, int]:
        return self.pull_number, self.bar_index


def slots(plan: StressingPlan) -> tuple[Slot, ...]:
    """Every bar of every pull, in the order of the plan."""
    return tuple(Slot(pull_number=pull.number, bar_index=bar.bar_index) for pull in plan.pulls for bar in pull.bars)


def slots_left(plan: StressingPlan, logged: Collection[tuple[int, int]]) -> tuple[Slot, ...]:
    """What is still to be logged, in order; `logged` are (pull number, bar index) of entries that stand."""
    return tuple(slot for slot in slots(plan) if slot.key not in logged)


def next_slot(plan: StressingPlan, logged: Collection[tuple[int, int]]) -> Slot | None:
    """What comes next; None once everything is logged."""
    return next(iter(slots_left(plan, logged)), None)


def planned(plan: StressingPlan, slot: Slot) -> tuple[Pull, BarPull] | None:
    """The plan's pull and its bar for a slot; None where the plan has no such pull."""
    for pull in plan.pulls:
        if pull.number == slot.pull_number:
            for bar in pull.bars:
                if bar.bar_index == slot.bar_index:
                    return pull, bar
    return None


def begun_pulls(plan: StressingPlan, logged: Collection[tuple[int, int]]) -> frozenset[int]:
    """Numbers of pulls of which one jack's bar is logged and another's is not yet."""
    left = {slot.pull_number for slot in slots_left(plan, logged)}
    return frozenset(left & {number for number, _ in logged})


def log_refusal(
    plan: StressingPlan,
    logged: Collection[tuple[int, int]],
    slot: Slot,
    *,
    state: str,
    held_reason: str = "",
    order_reason: str = "",
) -> str:
    """Why this bar of this pull may not be logged now, else empty. While held, only the rest of a pull under way."""
    words = {
        StressingState.DRAFTED: "The sheet is a draft: an engineer must release it before a bar is pulled.",
        StressingState.FINISHED: "This day is finished: nothing more is logged on it.",
        StressingState.WITHDRAWN: "This sheet was withdrawn: do not pull from it.",
    }
    if state in words:
        return words[StressingState(state)]
    if planned(plan, slot) is None:
        return (
            f"The plan in use has no pull {slot.pull_number} of that bar: it was planned again after you opened the "
            "page. Open the log again before anybody pulls."
        )
    if state == StressingState.HELD and slot.pull_number not in begun_pulls(plan, logged):
        return f"The day is held for the engineer, so no further pull: {held_reason or 'ask what for.'}"
    coming = next_slot(plan, logged)
    if coming is not None and slot.pull_number != coming.pull_number and not order_reason.strip():
        name = plan.given.bars[coming.bar_index].name
        return (
            f"Out of order: pull {coming.pull_number}, bar {name}, comes next. Each pull changes its neighbours, so "
            "the sheet is right only in its order. Say why this one is made first, or go back to the next."
        )
    return ""


def pass_to_learn(plan: StressingPlan, logged: Collection[tuple[int, int]], learned: Collection[int]) -> int | None:
    """The last pass wholly logged, where the rest has not been planned again after it; None where there is nothing to.

    Also after the last pass: a bar still short may need a repair pull, and what was read serves the next day.
    """
    left = slots_left(plan, logged)
    passes = {pull.number: pull.pass_number for pull in plan.pulls}
    first_open = min((passes[slot.pull_number] for slot in left), default=max(passes.values(), default=0) + 1)
    done = first_open - 1
    return None if done < 1 or done in learned else done


def joined(
    plan: StressingPlan, revised: StressingPlan, logged: Collection[tuple[int, int]], counted: Collection[int]
) -> StressingPlan:
    """The revised plan with the pulls already logged in front of it, stopped ones too, each with its bars as planned.

    `counted` are the pull numbers the revision was told of: a pull stopped and not read is not among them, and the
    revision may use its number again. Pull numbers never change their meaning within a day, so what is to come is
    numbered on. `after_lb` of a pull made is what the revision knows to stand after it; a stopped one changed nothing.
    """
    numbers = {number for number, _ in logged}
    known = {pull.number: pull.after_lb for pull in revised.pulls if pull.number in counted}
    done, now = [], plan.start_lb
    for pull in plan.pulls:
        if pull.number in numbers:
            now = known.get(pull.number, now)
            done.append(replace(pull, after_lb=tuple(now)))
    most = max(numbers, default=0)
    coming = tuple(pull for pull in revised.pulls if pull.number not in counted)
    if coming and min(pull.number for pull in coming) <= most:
        coming = tuple(replace(pull, number=most + place) for place, pull in enumerate(coming, start=1))
    return replace(
        revised,
        pulls=tuple(done) + coming,
        start_lb=plan.start_lb,
        checks=tuple(_worst(plan, each, numbers) for each in revised.checks),
        sentences=revised.sentences if coming else plan.sentences,
    )


def _worst(plan: StressingPlan, check: PlanCheck, made: Collection[int]) -> PlanCheck:
    """The worst moment of the whole day: that of the rest, or of the pulls made where theirs was worse."""
    for before in plan.checks:
        is_past = before.pull_number is not None and (before.pull_number == 0 or before.pull_number in made)
        if before.name == check.name and is_past and before.demand is not None:
            if check.demand is None or before.demand > check.demand:
                return before
    return check


def progress_words(plan: StressingPlan, slot: Slot) -> str:
    """'Pull 5 of 16, pass 1 of 2'."""
    found = planned(plan, slot)
    if found is None:
        return ""
    place = [pull.number for pull in plan.pulls].index(slot.pull_number) + 1
    passes = max(pull.pass_number for pull in plan.pulls)
    return f"Pull {place} of {len(plan.pulls)}, pass {found[0].pass_number} of {passes}"


def should_read_lb(
    plan: StressingPlan, logged: Collection[tuple[int, int]], counted: Collection[tuple[int, int]]
) -> tuple[float, ...]:
    """What the plan says every bar holds now: after the pulls wholly made, in their order.

    `counted` are the entries that moved a bar: a pull stopped and not read left the row as it was.
    """
    now = plan.start_lb
    for pull in plan.pulls:
        keys = {(pull.number, bar.bar_index) for bar in pull.bars}
        if keys <= set(counted):
            now = pull.after_lb
        elif not keys <= set(logged):
            break
    return tuple(now)


def greatest_left_lb(plan: StressingPlan, logged: Collection[tuple[int, int]]) -> float:
    """The greatest pull still to be made, lb; 0 where none is left."""
    left = {slot.key for slot in slots_left(plan, logged)}
    found = [bar.set_lb for pull in plan.pulls for bar in pull.bars if (pull.number, bar.bar_index) in left]
    return max(found, default=0.0)


def wood_limit_lb(plan: StressingPlan, bar_index: int) -> float:
    """The most force the plate and the deck or flange of one bar allow, lb; infinite where neither is on record."""
    limits = force_limits_lb(plan.given)
    return float(min(limits["plate"][bar_index], limits["flange"][bar_index]))


def highest_allowed_lb(plan: StressingPlan) -> tuple[float, str]:
    """The greatest pull no release may go above, lb, and why: bar, plate, flange or jack at their limit with the jack's
    peak. The flange by the bar that serves most of it: what each bar may see is held in the plan and at each pull."""
    limits = [
        (
            bar_limit_lb(net_area_in2=bar.net_area_in2, tensile_psi=bar.tensile_psi),
            f"0.70 of the tensile strength of bar {bar.name}",
        )
        for bar in plan.given.bars
        if bar.is_planned
    ]
    limits += [(jack.capacity_lb, f"the rating of {jack.name}") for jack in plan.given.jacks if jack.capacity_lb]
    planned_bars = [index for index, bar in enumerate(plan.given.bars) if bar.is_planned]
    if planned_bars:
        wood_lb = max(wood_limit_lb(plan, index) for index in planned_bars)
        limits.append((wood_lb, "the limit of the plate, deck or flange"))
    least, why = min(limits, default=(0.0, "no bar is planned"))
    return least / plan.given.lift_off_ratio, f"{why}, with {plan.given.lift_off_ratio:g} for lift-off"
