"""What was read of a row of bars, day by day, for people to see: nothing fitted, nothing saved."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from inspections.assembly.bar_policy import loss_policy_of
from inspections.assembly.loss_history import RowHistory, loss_histories
from inspections.rules.forecast_band import day_of_ordinal
from inspections.rules.pressure import BarPlace, SpanBars
from inventory.mechanics.errors import OutsideValidity
from inventory.models import Structure
from inventory.queries.bars import bar_policy_of


@dataclass(frozen=True, kw_only=True)
class ReadDay:
    """One day's readings: bars read, their mean (lb), the least local pressure (psi, None where bars no neighbour can
    stand for were not read), and why the day does not enter the fit."""

    on: date
    bars_read: int
    mean_lb: float
    least_psi: float | None
    left_out: str


def row_histories(structure: Structure, as_of: date) -> list[RowHistory]:
    """Every row of bars of a structure as known on a day."""
    policy = loss_policy_of(bar_policy_of(structure.agency))
    return loss_histories([structure], {structure.agency_id: policy}, as_of)[structure.pk]


def read_days(history: RowHistory) -> list[ReadDay]:
    """The days of standing readings, oldest first; the forces read at a stressing are among them."""
    row = history.row
    days: dict[float, dict[int, float]] = defaultdict(dict)
    left_out: dict[float, str] = {}
    for stressed in row.stressed:
        if not any(stressed.forces_lb):
            continue  # broken bars only: nothing was read that day
        days[stressed.on_day] |= {place: force for place, force in enumerate(stressed.forces_lb) if force is not None}
    for read in row.readings:
        days[read.on_day][read.bar_index] = read.force_lb
        if read.left_out:
            left_out[read.on_day] = read.left_out
    return [
        ReadDay(
            on=day_of_ordinal(day),
            bars_read=len(forces),
            mean_lb=sum(forces.values()) / len(forces),
            least_psi=_least(history, forces),
            left_out=left_out.get(day, ""),
        )
        for day, forces in sorted(days.items())
        if forces
    ]


def _least(history: RowHistory, forces: dict[int, float]) -> float | None:
    row = history.row
    bars = SpanBars(
        places=tuple(
            BarPlace(bar=place, number=number, level=history.level, station_ft=station)
            for place, (number, station) in enumerate(zip(history.numbers, row.stations_ft, strict=True))
        ),
        forces_lb=tuple(forces.get(place) for place in range(len(row.stations_ft))),
        span_ft=row.length_ft,
        stressed_depth_in=row.thickness_in,
    )
    try:
        absent, _filled = bars.without_reading()
        return None if absent else bars.least_psi()
    except OutsideValidity:
        return None
