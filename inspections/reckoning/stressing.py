"""The plan of a stressing day computed and saved nowhere: for the page that tries it and the action that keeps it."""

from dataclasses import dataclass
from datetime import date

from inspections.assembly.stored_plan import stored_plan
from inspections.assembly.stressing import Assembled, plan_input
from inspections.assembly.stressing_basis import rests_on
from inspections.assembly.stressing_row import RowOnRecord, row_on_record
from inspections.rules.stressing.asked import DayAsked, Fault
from inventory.mechanics.bars import BarReading, bar_limit_lb, least_local_pressure
from inventory.mechanics.bars.jacking import compatibility_matrix, interaction_ratios, plan_stressing
from inventory.mechanics.bars.jacking.terms import PlanInput, StressingPlan
from inventory.mechanics.bars.pressure import FLOOR_PSI
from inventory.mechanics.errors import OutsideValidity
from inventory.models import StressingSystem


@dataclass(frozen=True, kw_only=True)
class Tried:
    """A plan tried: the row, the input with its sources, the plan or the reasons against it, what it rests on."""

    row: RowOnRecord
    assembled: Assembled
    plan: StressingPlan | None
    faults: tuple[Fault, ...]
    rests_on: dict[str, str]


def try_plan(
    *, system: StressingSystem, level: str, asked: DayAsked, as_of: date, row: RowOnRecord | None = None
) -> Tried:
    """Plan the row as asked (``row`` where it was read already). A refusal of the kernel is among the faults."""
    row = row or row_on_record(system=system, level=level, as_of=as_of)
    assembled = plan_input(row=row, asked=asked, today=as_of)
    basis = rests_on(system=system, level=level, jack_ids=asked.jack_ids)
    plan, faults = None, assembled.faults
    if assembled.given is not None:
        try:
            plan = plan_stressing(assembled.given)
        except OutsideValidity as refusal:
            faults = (("", str(refusal)),)
    return Tried(row=row, assembled=assembled, plan=plan, faults=faults, rests_on=basis)


def least_psi(given: PlanInput, forces_lb) -> float | None:
    """Least local pressure, psi, with these forces in the bars; None where the row cannot be read so."""
    bars = tuple(
        BarReading(station_ft=bar.station_in / 12.0, force_lb=max(0.0, force))
        for bar, force in zip(given.bars, forces_lb, strict=True)
    )
    length_ft = given.deck.deck_length_in / 12.0
    try:
        return least_local_pressure(bars=bars, length_ft=length_ft, thickness_in=given.deck.thickness_in).least_psi
    except OutsideValidity:
        return None


def reopen_psi(given: PlanInput) -> float:
    """Least local pressure, psi, at which traffic may return: the need, and never under 40 (common caution [model]; 40
    psi floor in service [memory])."""
    return max(FLOOR_PSI, given.needed_psi or 0.0)


@dataclass(frozen=True, kw_only=True)
class Neighbour:
    """What a bar loses for each lb a pulled bar gains, all others locked."""

    bar: str
    loss_ratio: float


@dataclass(frozen=True, kw_only=True)
class PlanTold:
    """What a plan comes to beside its own figures: least local pressure at the start, after each pass and when traffic
    may return; each bar's limit; the losses of the neighbours of ``pulled``, the bar nearest midspan, and their source.
    """

    start_psi: float | None
    after_pass_psi: tuple[tuple[int, float | None], ...]
    reopen_psi: float
    limits_lb: tuple[float, ...]
    pulled: str
    neighbours: tuple[Neighbour, ...]
    interaction_source: str

    @property
    def final_psi(self) -> float | None:
        return self.after_pass_psi[-1][1] if self.after_pass_psi else self.start_psi

    @property
    def may_reopen(self) -> bool:
        return self.final_psi is not None and self.final_psi >= self.reopen_psi


def tell_plan(plan: StressingPlan) -> PlanTold:
    """Read what the page and the sheet show off a plan."""
    given, last = plan.given, {}
    for pull in plan.pulls:
        last[pull.pass_number] = pull.after_lb
    pulled, neighbours = _neighbours(given)
    return PlanTold(
        start_psi=least_psi(given, plan.start_lb),
        after_pass_psi=tuple((number, least_psi(given, forces)) for number, forces in sorted(last.items())),
        reopen_psi=reopen_psi(given),
        limits_lb=tuple(bar_limit_lb(net_area_in2=b.net_area_in2, tensile_psi=b.tensile_psi) for b in given.bars),
        pulled=pulled,
        neighbours=neighbours,
        interaction_source=_interaction_source(given),
    )


def tell_stored_plan(plan: dict) -> PlanTold:
    """The same of a plan kept as JSON; `PlanUnreadable` where another version kept it otherwise."""
    return tell_plan(stored_plan(plan))


def _neighbours(given: PlanInput) -> tuple[str, tuple[Neighbour, ...]]:
    """Losses beside the planned bar nearest midspan, three to each side, with every bar that will carry engaged."""
    engaged = [at for at, bar in enumerate(given.bars) if bar.is_planned or bar.standing_lb > 0]
    planned = [at for at in engaged if given.bars[at].is_planned]
    if not planned:
        return "", ()
    middle_in = given.deck.deck_length_in / 2.0
    pulled = min(planned, key=lambda at: abs(given.bars[at].station_in - middle_in))
    matrix = compatibility_matrix(deck=given.deck, bars=given.bars)
    losses = interaction_ratios(matrix=matrix, pulled=(pulled,), engaged=tuple(engaged))
    here = engaged.index(pulled)
    near = [at for place, at in enumerate(engaged) if 0 < abs(place - here) <= 3]
    return given.bars[pulled].name, tuple(
        Neighbour(bar=given.bars[at].name, loss_ratio=float(losses[at, 0])) for at in near
    )


def _interaction_source(given: PlanInput) -> str:
    if given.deck.neighbour_losses_ratio:
        return "measured neighbour losses, entered for this plan"
    if given.deck.wood_factor != 1.0 or given.deck.reach_factor != 1.0:
        return "model of the wood between the bars, put right by what was read on the last stressing day"
    return "model of the wood between the bars, from the sizes and moduli below; nothing measured yet"
