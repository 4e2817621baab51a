"""A stressing day looked back upon: forces by pass, planned and done; the interaction before and after it was read."""

from dataclasses import dataclass

from inspections.models import StressingDay
from inspections.queries.stressing_log import entries_of
from inspections.vocabulary.states import PullState
from inventory.mechanics.bars import bar_limit_lb
from inventory.mechanics.bars.jacking import compatibility_matrix, interaction_ratios
from inventory.mechanics.bars.jacking.relearn import known_after
from inventory.mechanics.bars.jacking.terms import Squeezed, StressingPlan
from inventory.mechanics.errors import OutsideValidity

from .stored_plan import stored_plan
from .stressing_log import last_learned, pulls_done

NEIGHBOURS = 3


@dataclass(frozen=True, kw_only=True)
class PassOfBar:
    """A bar in one pass: its force before and after, lb, and the numbers of its pulls."""

    name: str
    station_ft: float
    before_lb: float
    after_lb: float
    target_lb: float
    limit_lb: float
    pulls: tuple[int, ...]
    is_planned: bool
    is_stopped: bool = False


@dataclass(frozen=True, kw_only=True)
class PassOfRow:
    number: int
    bars: tuple[PassOfBar, ...]


def released_plan(day: StressingDay) -> StressingPlan:
    """The plan the engineer released first; the plan in use where none is kept."""
    return stored_plan(day.released_plan or day.plan)


def planned_passes(plan: StressingPlan) -> tuple[PassOfRow, ...]:
    """What a plan says of every pass."""
    after = {pull.number: pull.after_lb for pull in plan.pulls}
    pulls = {pull.number: (pull.pass_number, tuple(bar.bar_index for bar in pull.bars)) for pull in plan.pulls}
    return _passes(plan, pulls, after, stopped=frozenset())


def done_passes(day: StressingDay) -> tuple[PassOfRow, ...]:
    """What is known to have stood after every pass: read where it was read, else by the interaction as learned."""
    plan, entries = stored_plan(day.plan), tuple(entries_of(day))
    try:
        known = known_after(plan, pulls_done(entries), last_learned(day, plan))
    except OutsideValidity:
        return ()
    pulls, now, after = {}, tuple(plan.start_lb), {}
    for entry in sorted(entries, key=lambda each: (each.pull_number, each.pk)):
        bars = pulls.get(entry.pull_number, (entry.pass_number, ()))[1]
        pulls[entry.pull_number] = (entry.pass_number, (*bars, entry.bar_index))
        now = tuple(float(force) for force in known[entry.pull_number]) if entry.pull_number in known else now
        after[entry.pull_number] = now
    stopped = frozenset((entry.pass_number, entry.bar_index) for entry in entries if entry.state == PullState.STOPPED)
    return _passes(plan, pulls, after, stopped)


def _passes(
    plan: StressingPlan,
    pulls: dict[int, tuple[int, tuple[int, ...]]],
    after: dict[int, tuple[float, ...]],
    stopped: frozenset[tuple[int, int]],
) -> tuple[PassOfRow, ...]:
    found, now = [], tuple(plan.start_lb)
    for number in sorted({pass_number for pass_number, _bars in pulls.values()}):
        own = sorted(pull for pull, (pass_number, _bars) in pulls.items() if pass_number == number)
        end = tuple(after[own[-1]])
        bars = tuple(
            PassOfBar(
                name=bar.name,
                station_ft=bar.station_in / 12.0,
                before_lb=now[index],
                after_lb=end[index],
                target_lb=bar.target_lb,
                limit_lb=bar_limit_lb(net_area_in2=bar.net_area_in2, tensile_psi=bar.tensile_psi),
                pulls=tuple(pull for pull in own if index in pulls[pull][1]),
                is_planned=bar.is_planned,
                is_stopped=(number, index) in stopped,
            )
            for index, bar in enumerate(plan.given.bars)
        )
        found.append(PassOfRow(number=number, bars=bars))
        now = end
    return tuple(found)


@dataclass(frozen=True, kw_only=True)
class LossBeside:
    """What a neighbour loses, lb, for each 1,000 lb a bar gains, other nuts locked: as planned with, as learned."""

    place: str
    planned_lb: float
    learned_lb: float


def losses_beside(day: StressingDay) -> tuple[str, tuple[LossBeside, ...]]:
    """(bar pulled, losses of its first, second and third neighbour) at the middle of the row; empty where not known."""
    plan = released_plan(day)
    bars = plan.given.bars
    middle = len(bars) // 2
    learned = last_learned(day, stored_plan(day.plan)).deck
    try:
        before, after = _ratios(plan, plan.given.deck, middle), _ratios(plan, learned, middle)
    except OutsideValidity:
        return bars[middle].name, ()
    rows = [
        LossBeside(
            place=f"{word} neighbour, bar {bars[middle + step].name}",
            planned_lb=1000.0 * before[middle + step],
            learned_lb=1000.0 * after[middle + step],
        )
        for step, word in zip(range(1, NEIGHBOURS + 1), ("First", "Second", "Third"), strict=True)
        if middle + step < len(bars)
    ]
    return bars[middle].name, tuple(rows)


def _ratios(plan: StressingPlan, deck: Squeezed, pulled: int) -> list[float]:
    matrix = compatibility_matrix(deck=deck, bars=plan.given.bars)
    losses = interaction_ratios(matrix=matrix, pulled=(pulled,), engaged=tuple(range(len(plan.given.bars))))
    return [float(ratio) for ratio in losses[:, 0]]
