"""Invented histories of bar force whose truth is known: what the back-test of the forecast is held against.

Written from the standards page alone (loss with time, superposition over stressings), bar by bar and day by day, with
plain random numbers of a seed; nothing of the kernel is used, so that a mistake there cannot repeat itself here. The
truth is per bar: each bar loses by its own law, is left with its own force, is moved by the weather of the day.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import exp

import numpy as np

from inventory.mechanics.bars.loss import BarRow, ForceRead, Stressed

THICKNESS_IN, SPACING_FT, TARGET_PSI = 12.0, 4.0, 100.0
TARGET_LB = TARGET_PSI * THICKNESS_IN * SPACING_FT * 12.0
YEAR = 365.25


@dataclass(frozen=True)
class Truth:
    """How a county's bridges lose force. ``draw`` gives a bridge its parameters, ``kept`` what is left of one pull.

    ``bar_loss_sd`` is of the loss of a bar, a part of it; with how unevenly bars are left it makes their forces scatter
    by about 8 to 13 % in the histories, the policy's 10 % among them.
    """

    draw: object
    kept: object
    bar_loss_sd: float = 0.12
    left_sd: float = 0.05
    jack_sd: float = 0.03
    short_sd: float = 0.05
    day_sd: float = 0.04
    season: float = 0.0
    reading_sd: float = 0.05


def logarithmic(mean: float = 0.13, spread: float = 0.025, **other) -> Truth:
    """R = 1 - a log10(1 + t), a of a bridge about the county's mean."""
    return Truth(
        draw=lambda chance: max(chance.normal(mean, spread), 0.02),
        kept=lambda a, loss, t: np.maximum(1.0 - a * loss * np.log10(1.0 + t), 0.0),
        **other,
    )


def exponential(floor: float = 0.5, spread: float = 0.05, settle: float = 180.0, factor: float = 1.4, **other) -> Truth:
    """R = f + (1 - f) exp(-t/tau)."""
    return Truth(
        draw=lambda chance: (chance.normal(floor, spread), settle * factor ** chance.normal()),
        kept=lambda p, loss, t: 1.0 - np.minimum((1.0 - p[0]) * loss, 1.0) * (1.0 - exp(-t / p[1])),
        **{"bar_loss_sd": 0.10, **other},
    )


def power(mean: float = 0.075, spread: float = 0.012, after: float = 4.0, **other) -> Truth:
    """R = (1 + t/t0)^-b: neither of the two published forms."""
    return Truth(
        draw=lambda chance: max(chance.normal(mean, spread), 0.01),
        kept=lambda b, loss, t: (1.0 + t / after) ** (-b * loss),
        **other,
    )


@dataclass(frozen=True)
class Plan:
    """When a bridge is pulled and read: days of stressing, days of reading, part of the bars read each time."""

    stressed: tuple[float, ...] = (0.0, 7.0, 49.0)
    read: tuple[float, ...] = (180.0, 365.0, 730.0, 1460.0)
    sampled: float = 1.0
    forces_read: bool = True
    bars: tuple[int, int] = (8, 20)


@dataclass
class Bridge:
    """One bridge of a truth: `forces(day)` (bars,) is what stands, whatever anybody reads."""

    truth: Truth
    chance: np.random.Generator
    count: int
    stressed: tuple[float, ...]
    weather: dict = field(default_factory=dict)

    def __post_init__(self):
        chance, truth = self.chance, self.truth
        self.own = truth.draw(chance)
        self.phase = chance.uniform(0, 2 * np.pi)
        self.loss = np.maximum(1.0 + truth.bar_loss_sd * chance.normal(size=self.count), 0.2)
        self.left = [
            TARGET_LB * np.exp(truth.short_sd * chance.normal() + truth.left_sd * chance.normal(size=self.count))
            for _ in self.stressed
        ]

    def steady(self, day: float) -> np.ndarray:
        """Forces on an average day: what each pull added, times what is left of it."""
        added = []
        for pulled, left in zip(self.stressed, self.left, strict=True):
            if pulled <= day:
                added.append((left - self._sum(added, pulled), pulled))
        return self._sum(added, day)

    def _sum(self, added, day: float) -> np.ndarray:
        return sum((gain * self.truth.kept(self.own, self.loss, day - then) for gain, then in added), 0.0)

    def forces(self, day: float) -> np.ndarray:
        if day not in self.weather:
            season = self.truth.season * np.sin(2 * np.pi * day / YEAR + self.phase)
            self.weather[day] = exp(season + self.truth.day_sd * self.chance.normal())
        return self.steady(day) * self.weather[day]

    def least_and_mean(self, day: float) -> tuple[float, float]:
        """Least mean pressure of three neighbouring bars, psi (12 ft, so 10 ft is met), and mean force, lb."""
        forces = self.forces(day)
        area = 3 * SPACING_FT * 12.0 * THICKNESS_IN
        return min(forces[i : i + 3].sum() / area for i in range(self.count - 2)), forces.mean()


def bridge_and_row(truth: Truth, plan: Plan, chance: np.random.Generator, label: str) -> tuple[Bridge, BarRow]:
    """A bridge and what its county has on record of it."""
    count = int(chance.integers(plan.bars[0], plan.bars[1] + 1))
    bridge = Bridge(truth=truth, chance=chance, count=count, stressed=plan.stressed)
    stressed = []
    for day, left in zip(plan.stressed, bridge.left, strict=True):
        jack = truth.jack_sd * chance.normal()
        seen = tuple(force * exp(jack + truth.left_sd * 0.7 * chance.normal()) for force in left)
        stressed.append(Stressed(on_day=day, forces_lb=seen if plan.forces_read else ()))
    readings = []
    for day in plan.read:
        if plan.sampled >= 1.0:
            bars = range(count)
        else:
            bars = sorted(chance.choice(count, max(2, round(plan.sampled * count)), replace=False))
        standing = bridge.forces(day)
        for bar in bars:
            shown = standing[bar] * exp(truth.reading_sd * chance.normal())
            readings.append(ForceRead(on_day=day, bar_index=int(bar), force_lb=float(shown)))
    row = BarRow(
        label=label, kind="invented deck, mid", stations_ft=tuple(SPACING_FT * (i + 0.5) for i in range(count)),
        length_ft=SPACING_FT * count, thickness_in=THICKNESS_IN, target_lb=TARGET_LB, stressed=tuple(stressed),
        readings=tuple(readings),
    )  # fmt: skip
    return bridge, row
