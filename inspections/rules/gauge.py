"""From what the gauge or the load cell showed to the force of a bar, and what must be asked about it.

F = p A_ram eff (EM 7700-8 chapter 9 [memory]); efficiency from the calibration of jack and gauge together. Repeats are
taken as agreeing within 5 percent (common practice, no source; the county's policy). A bar is not loaded above 0.70 of
its strength (EM 7700-8 chapter 9, LRFD 9.9.5.6 [memory]) and cannot carry more than its strength. What is only unlikely
is asked about and kept as read; what cannot be is refused. The limits of "unlikely" are a model.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import isfinite

from inspections.vocabulary.findings import ForceMethod
from inventory.mechanics.bars import bar_limit_lb
from inventory.mechanics.bars.anchorage import STRESSING_LIMIT

from .force_or_pressure import is_little, is_near, looks_like_pressure

NOT_STANDING = "pressure at lock-off, not a standing force"
JUMP_RATIO = 0.5
USUAL_GAUGE_PSI = (500.0, 10_000.0)
"""Where jacks for bars usually work (common practice, no source): taken where no jack is on record."""


@dataclass(frozen=True, kw_only=True)
class Gauge:
    """A jack with its gauge, as far as a reading needs it."""

    name: str
    ram_area_in2: float
    efficiency: float
    capacity_lb: float | None = None
    gauge_most_psi: float | None = None

    def force_lb(self, pressure_psi: float) -> float:
        """F = p A_ram eff, lb."""
        return pressure_psi * self.ram_area_in2 * self.efficiency


@dataclass(frozen=True, kw_only=True)
class BarKnown:
    """What is known of a bar before it is read: its steel, and the force it held when last read (lb, day).

    ``design_lb`` the design force; ``pulled_since`` that it was pulled after that reading, so that a rise is expected.
    """

    net_area_in2: float
    tensile_psi: float
    last_lb: float | None = None
    last_on: date | None = None
    design_lb: float | None = None
    pulled_since: bool = False
    spacing_in: float | None = None
    thickness_in: float | None = None

    @property
    def limit_lb(self) -> float:
        """0.70 f_pu A, lb."""
        return bar_limit_lb(net_area_in2=self.net_area_in2, tensile_psi=self.tensile_psi)

    @property
    def strength_lb(self) -> float:
        """f_pu A, lb."""
        return self.limit_lb / STRESSING_LIMIT

    @property
    def expected_lb(self) -> float:
        """What it may be expected to hold: the last reading, else the design force, else half its limit."""
        return self.last_lb or self.design_lb or self.limit_lb / 2.0


@dataclass(frozen=True, kw_only=True)
class Repeats:
    """One to three readings of one bar, lb, in the order taken: all are kept, the mean is the reading."""

    forces_lb: tuple[float, ...]

    @property
    def mean_lb(self) -> float:
        return sum(self.forces_lb) / len(self.forces_lb)

    @property
    def least_lb(self) -> float:
        return min(self.forces_lb)

    @property
    def spread_pct(self) -> float:
        """Greatest less least in percent of the mean; 0 for one reading."""
        mean = self.mean_lb
        return (max(self.forces_lb) - self.least_lb) / mean * 100.0 if mean > 0 else 0.0

    @property
    def words(self) -> str:
        """All of them, the mean, the lowest and the spread; "" for one reading."""
        if len(self.forces_lb) < 2:
            return ""
        said = ", ".join(f"{force:,.0f}" for force in self.forces_lb)
        return (
            f"read {len(self.forces_lb)} times: {said} lb; mean {self.mean_lb:,.0f}, lowest {self.least_lb:,.0f}, "
            f"spread {self.spread_pct:.1f} %"
        )


def impossible(read: Repeats, bar: BarKnown) -> str:
    """Why a reading cannot be, or ""."""
    if any(not isfinite(force) or force < 0 for force in read.forces_lb):
        return "A bar force below zero cannot be: a bar only pulls. Read it again."
    most = max(read.forces_lb)
    if most > bar.strength_lb:
        return (
            f"{most:,.0f} lb is above what the bar can carry at all ({bar.strength_lb:,.0f} lb, strength times net "
            "area): read it again, or correct the bar's area in the register."
        )
    return ""


def beyond_gauge(pressures_psi: Sequence[float], jack: Gauge) -> str:
    """Why a pressure cannot have been read on this gauge, or ""."""
    end, most = jack.gauge_most_psi, max(pressures_psi, default=0.0)
    if end is not None and most > end:
        return (
            f"{most:,.0f} psi is beyond the end of the gauge of {jack.name} ({end:,.0f} psi): if it is the force, "
            "choose lb; otherwise read it again."
        )
    return ""


def questions(
    read: Repeats,
    bar: BarKnown,
    *,
    method: str,
    in_psi: bool,
    jack: Gauge | None,
    jacks: Sequence[Gauge] = (),
    repeat_within_pct: float = 5.0,
) -> list[str]:
    """What is unlikely in a reading, each a sentence that ends in what to do; an answer "as read" keeps it."""
    if method == ForceMethod.HAND_LOOSE:
        return []
    asked = []
    most = max(read.forces_lb)
    if not in_psi and method != ForceMethod.LOAD_CELL:
        asked += _pressure_for_force(read.mean_lb, bar, [jack] if jack else list(jacks))
    if most > bar.limit_lb:
        asked.append(
            f"{most:,.0f} lb is above the bar's limit of {bar.limit_lb:,.0f} lb (0.70 of its strength): stop jacking "
            "it and call the engineer."
        )
    if jack is not None and jack.capacity_lb is not None and most > jack.capacity_lb:
        asked.append(f"{most:,.0f} lb is above the rated capacity of {jack.name} ({jack.capacity_lb:,.0f} lb).")
    if read.spread_pct > repeat_within_pct:
        asked.append(
            f"The readings lie {read.spread_pct:.1f} percent apart, more than {repeat_within_pct:g}: read once more if "
            "you can."
        )
    return asked or _jump(read.mean_lb, bar)


def _pressure_for_force(value: float, bar: BarKnown, jacks: Sequence[Gauge]) -> list[str]:
    """A number far too small for this bar's force that would be just right as a pressure: of a jack, or in the wood."""
    expected = bar.expected_lb
    if value <= 0 or not is_little(value, expected):
        return []
    for jack in jacks:
        # A bar pulled since it was last read may hold far more than then: up to its strength.
        if is_near(jack.force_lb(value), expected, bar.strength_lb) and not beyond_gauge([value], jack):
            return [
                f"{value:,.0f} lb is little for this bar (about {expected:,.0f} lb expected), but {value:,.0f} psi on "
                f"{jack.name} would be {jack.force_lb(value):,.0f} lb: is it a pressure? Then choose psi."
            ]
    if not jacks and USUAL_GAUGE_PSI[0] <= value <= USUAL_GAUGE_PSI[1]:
        return [
            f"{value:,.0f} lb is little for this bar (about {expected:,.0f} lb expected) and looks like a gauge "
            "pressure: if it is one, choose psi and the jack."
        ]
    between = looks_like_pressure(
        force_lb=value, expected_lb=expected, spacing_in=bar.spacing_in, thickness_in=bar.thickness_in
    )
    return [between] if between else []


def _jump(value: float, bar: BarKnown) -> list[str]:
    """More than half up or down against the last reading; a rise after a pull is what it was pulled for."""
    last = bar.last_lb
    if not last or abs(value - last) <= JUMP_RATIO * last or (bar.pulled_since and value > last):
        return []
    when = f" of {bar.last_on.day} {bar.last_on:%b %Y}" if bar.last_on else ""
    way = "more" if value > last else "less"
    return [f"{value:,.0f} lb is {abs(value - last) / last:.0%} {way} than the last reading{when} ({last:,.0f} lb)."]
