"""The invented truth of a row of bars: loss that adds up over its stressings, and the noise of those who read it.

Each stressing adds what was missing, and each such part fades with the logarithm of its own time (`model`, the form the
site forecasts with): force = sum of rises x (1 - slope log10(1 + days)). Every row has a slope of its own.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from random import Random

from inspections.models import Finding, Inspection
from inventory.models import Bar, Jack, Span

SLOPE, SLOPE_SPREAD = 0.125, 0.02
BAR_SPREAD, DAY_SPREAD, READING_SPREAD = 0.04, 0.025, 0.02
FROST_SHARE = 0.8  # wet wood below freezing: force down until it warms (its sign is published, its size a model)
# What the bars about midspan lose beside the rest: share left, and from how many years ago to how many it went.
MIDDLE = {"slack": (0.2, 5, 2), "low_bars": (0.5, 6, 0)}
CREEPING_SLOPE = 0.155


def share_left(day: date, stressed: Iterable[date], slope: float) -> float:
    """Share of the target left on a day after stressings to the full target, each adding what was missing."""
    rises: list[tuple[date, float]] = []

    def left(on: date) -> float:
        return sum(rise * (1 - slope * math.log10(1 + (on - when).days)) for when, rise in rises)

    for when in sorted(stressed):
        if when <= day:
            rises.append((when, 1.0 - left(when)))
    return left(day)


@dataclass
class BarRow:
    """One span's bars: slope of the loss, each bar's own share of the target, and a chance of its own."""

    span: Span
    bars: list[Bar]
    target_lb: float
    stressed: list[date]
    story: str
    seed: str
    today: date
    random: Random = field(init=False)
    slope: float = field(init=False)
    own: dict[int, float] = field(init=False)

    def __post_init__(self):
        # A chance of its own: what is read of these bars leaves the rest of the county as it is.
        self.random = Random(self.seed)
        self.slope = min(max(self.random.gauss(SLOPE, SLOPE_SPREAD), 0.09), 0.15)
        if self.story == "creeping":
            self.slope = CREEPING_SLOPE
        self.own = {bar.number: self.random.gauss(1, BAR_SPREAD) for bar in self.bars}

    def forces(self, day: date, *, frost: bool = False) -> dict[Bar, float]:
        """Force of each bar on a day, lb, with what the story says of the bars about midspan."""
        share = share_left(day, self.stressed, self.slope) * self.random.gauss(1, DAY_SPREAD)
        share *= FROST_SHARE if frost else 1.0
        found = {}
        for position, bar in enumerate(self.bars):
            middle = abs(position - (len(self.bars) - 1) / 2) <= 1.5
            own = self.own[bar.number] * (self._middle_share(day) if middle else 1.0)
            found[bar] = self.target_lb * share * own * self.random.gauss(1, READING_SPREAD)
        return found

    def _middle_share(self, day: date) -> float:
        left, began, ended = MIDDLE.get(self.story, (1.0, 1, 0))
        gone = (began - (self.today - day).days / 365.25) / (began - ended)
        return 1 - (1 - left) * min(max(gone, 0.0), 1.0)


def bar_row(span: Span, stressed: list[date], story: str, seed: int, today: date) -> BarRow:
    system = span.stressing
    bars = sorted(system.bars.all(), key=lambda bar: bar.number)
    name = f"{seed} {span.structure.number} {span.index}"
    return BarRow(span, bars, system.design_force_lb, stressed, story, name, today)


def lift_off(row: BarRow, forces: dict[Bar, float], *, jack: Jack | None, repeats: int = 1, moisture_pct: float = 16.5,
             wood_temp_f: float = 61.0, method: str = "lift_off") -> list[dict]:  # fmt: skip
    """Rows of a form: what the gauge showed, to its division, and the force it stands for; repeats near each other."""
    found = []
    for bar, force in forces.items():
        read = [round(force, -2)]
        gauge = None
        if jack is not None:
            per_psi, step = jack.ram_area_in2 * jack.efficiency, jack.gauge_division_psi / 2
            seen = [force * (1 if number == 0 else row.random.gauss(1, 0.012)) for number in range(repeats)]
            gauges = [round(each / per_psi / step) * step for each in seen]
            read = [round(psi * per_psi, 1) for psi in gauges]
            gauge = round(sum(gauges) / len(gauges), 1)
        found.append(
            {
                "kind": "bar_force",
                "span_index": row.span.index,
                "bar": bar,
                "station_ft": bar.station_ft,
                "force_lb": round(sum(read) / len(read), 1),
                "force_method": method,
                "jack": jack,
                "gauge_psi": gauge,
                "repeats_lb": read if len(read) > 1 else [],
                "wood_temp_f": wood_temp_f,
                "moisture_pct": moisture_pct,
            }
        )
    return found


def keep_check(row: BarRow, day: date, readings: list[dict], inspector, *, air_temp_f: float, notes: str = "") -> None:
    """An accepted bar check of the past."""
    check = Inspection.objects.create(
        structure=row.span.structure,
        kind="bar_check",
        state="accepted",
        field_completed_on=day,
        inspector=inspector,
        team="Sorrel",
        air_temp_f=air_temp_f,
        notes=notes,
    )
    Finding.objects.bulk_create([Finding(inspection=check, **reading) for reading in readings])


def sampled(bars: list[Bar], every: int = 3) -> set[int]:
    """Numbers of every third bar and the last."""
    return {bar.number for bar in bars[::every]} | {bars[-1].number}
