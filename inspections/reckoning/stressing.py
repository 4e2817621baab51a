"""The plan of a stressing day computed and saved nowhere: for the page that tries it and the action that keeps it."""

from dataclasses import dataclass
from datetime import date

from inspections.assembly.stressing import Assembled, plan_input
from inspections.assembly.stressing_basis import rests_on
from inspections.assembly.stressing_row import RowOnRecord, row_on_record
from inspections.rules.stressing.asked import DayAsked, Fault
from inventory.mechanics.bars import BarReading, least_local_pressure
from inventory.mechanics.bars.jacking import plan_stressing
from inventory.mechanics.bars.jacking.terms import PlanInput, StressingPlan
from inventory.mechanics.errors import OutsideValidity
from inventory.models import StressingSystem

FLOOR_PSI = 40.0
"""Traffic returns at the need and never under this (common caution [model]; 40 psi floor in service [memory])."""


@dataclass(frozen=True, kw_only=True)
class Tried:
    """A plan tried: the row, the input with its sources, the plan or the reasons against it, what it rests on."""

    row: RowOnRecord
    assembled: Assembled
    plan: StressingPlan | None
    faults: tuple[Fault, ...]
    rests_on: dict[str, str]


def try_plan(*, system: StressingSystem, level: str, asked: DayAsked, as_of: date) -> Tried:
    """Plan the row as asked. A refusal of the kernel comes back among the faults, at no field of its own."""
    row = row_on_record(system=system, level=level, as_of=as_of)
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
    """Least local pressure, psi, at which traffic may return: the need, and never under 40."""
    return max(FLOOR_PSI, given.needed_psi or 0.0)
