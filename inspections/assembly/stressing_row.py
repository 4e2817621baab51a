"""A row of bars as the record has it: what may be pulled, and the force standing in each bar as best known.

The best estimate counts, not the lower of two: a plan reckons with how much each pull takes from its neighbours, and an
estimate low or high by habit would shift every figure. The rating keeps the lower.
"""

from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from inspections.models import BarForecast, StressingDay
from inspections.queries.bars import bars_set_aside
from inspections.queries.forecasts import bar_estimates
from inspections.queries.stressing import (
    ForceRead,
    bars_of_row,
    forecast_of_row,
    last_finished_day,
    last_pulled_on,
    standing_reads,
)
from inspections.rules.clocks.terms import day
from inspections.vocabulary.findings import ForceMethod
from inventory.mechanics.bars.jacking.terms import Relearned, Squeezed
from inventory.models import Bar, StressingSystem
from inventory.queries.bars import bar_policy_of

from .stored_plan import PlanUnreadable, stored_learned
from .stressed_wood import OnRecord, wood_numbers

PSI_PER_KSI = 1000.0
ABOVE_READING = 1.2
"""A forecast more than a fifth above a bar's own last reading is not believed: no bar gains force by itself [model]."""


@dataclass(frozen=True, kw_only=True)
class BarOnRecord:
    """A bar: force standing, lb, and where it is known from (None: nothing is known); why it is left out."""

    pk: int
    number: int
    station_ft: float
    standing_lb: float | None
    standing_words: str
    left_out: str = ""


@dataclass(frozen=True, kw_only=True)
class RowOnRecord:
    """A row of bars as the record has it. ``values`` by name (``rules.stressing.asked.VALUES``)."""

    system: StressingSystem
    level: str
    as_of: date
    length_ft: float
    bars: tuple[BarOnRecord, ...]
    values: dict[str, OnRecord]
    learned: Squeezed | None = None
    learned_words: str = ""

    @property
    def net_area_in2(self) -> float:
        return self.system.bar_area_in2

    @property
    def tensile_psi(self) -> float:
        return self.system.fpu_ksi * PSI_PER_KSI

    @property
    def left_out(self) -> dict[int, str]:
        """Bar number to the reason."""
        return {bar.number: bar.left_out for bar in self.bars if bar.left_out}


def row_on_record(*, system: StressingSystem, level: str, as_of: date) -> RowOnRecord:
    """The row as the record has it on a day."""
    bars = bars_of_row(system, level)
    length_ft = max([system.span.length_ft, *(bar.station_ft for bar in bars)])
    policy = bar_policy_of(system.span.structure.agency)
    values = wood_numbers(system=system, policy=policy, as_of=as_of, row_length_ft=length_ft)
    last = last_finished_day(system, level)
    learned, words = _learned(last)
    if learned is not None:
        values["seating_in"] = OnRecord(value=learned.seating_in, source=words)
    return RowOnRecord(
        system=system,
        level=level,
        as_of=as_of,
        length_ft=length_ft,
        bars=tuple(_bars(system, level, bars, as_of, last)),
        values=values,
        learned=None if learned is None else learned.deck,
        learned_words=words,
    )


def _learned(last: StressingDay | None) -> tuple[Relearned | None, str]:
    """What the last finished day of this row taught of the wood, if anything was read beside its pulls."""
    if last is None or not last.learned:
        return None, ""
    try:
        learned = stored_learned(last.learned[-1]["relearned"])
    except PlanUnreadable:  # kept by another version: the wood is taken as the model has it
        return None, ""
    return (learned, f"learned on the stressing day of {day(_done_on(last))}") if learned.readings_used else (None, "")


def _bars(system: StressingSystem, level: str, bars: list[Bar], as_of: date, last: StressingDay | None):
    aside = bars_set_aside(system)
    pulled = last_pulled_on(system, level, as_of)
    reads = standing_reads(bars, since=pulled, as_of=as_of)
    forecast = _estimates(forecast_of_row(system, level), reads, pulled)
    final = {} if last is None else {row["bar"]: row["force_lb"] for row in last.final}
    for bar in bars:
        force, words = _standing(bar.pk, forecast, reads, final, last, pulled)
        yield BarOnRecord(
            pk=bar.pk, number=bar.number, station_ft=bar.station_ft, standing_lb=force, standing_words=words,
            left_out=aside.get(bar.pk, ""),
        )  # fmt: skip


def _estimates(
    row: BarForecast | None, reads: dict[int, ForceRead], pulled: date | None
) -> dict[int, tuple[float, str]]:
    """Bar id to the forecast's middle and its words, where the forecast knows of the last reading and stressing."""
    if row is None or (pulled is not None and row.made_on < pulled):
        return {}
    if any(read.on > row.made_on for read in reads.values()):
        return {}
    made = f"forecast of {day(row.made_on)}"
    return {
        pk: (max(0.0, told.middle_lb), f"{made}, {'own reading' if told.is_read else 'not read: its neighbours'}")
        for pk, told in bar_estimates(row).items()
    }


def _standing(
    pk: int, forecast: dict, reads: dict[int, ForceRead], final: dict, last: StressingDay | None, pulled: date | None
) -> tuple[float | None, str]:
    """A bar found broken or loose holds nothing, whatever a forecast says; then forecast, reading, the last day."""
    read = reads.get(pk)
    if read is not None and read.force_lb == 0:
        return 0.0, f"loose or broken, {day(read.on)}"
    if pk in forecast and (read is None or forecast[pk][0] <= ABOVE_READING * read.force_lb):
        return forecast[pk]
    if pk in forecast:
        return read.force_lb, f"{_method(read.method)}, {day(read.on)}; the forecast says more, which no bar gains"
    if read is not None:
        return read.force_lb, f"{_method(read.method)}, {day(read.on)}"
    if final.get(pk) is not None and last is not None and pulled == _done_on(last):
        return final[pk], f"end of the stressing day of {day(pulled)}, not read since"
    return None, "nothing known since it was last pulled" if pulled else "nothing known"


def _method(method: str) -> str:
    return ForceMethod.label_of(method).lower() if method in {m.value for m in ForceMethod} else method


def _done_on(last: StressingDay) -> date:
    """The day of its work on record."""
    return last.work.done_on if last.work is not None else timezone.localdate(last.finished_at)
