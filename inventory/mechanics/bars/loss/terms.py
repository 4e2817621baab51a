"""What a forecast of bar force is made from, and what it says: frozen values that go to JSON and back.

One row of bars (one span, one level) at a time. Days are whole-day numbers from any one origin (the site passes
``date.toordinal()``). Bars in the order of their stations; a tuple "per bar" is in that order.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.plain import Plain

FORMS = ("logarithmic", "exponential")


@dataclass(frozen=True, kw_only=True)
class LossPolicy(Plain):
    """Owner policy of the forecast, all `model` (stress-laminated decks, loss in time); the engineer may change it.

    ``log_slope_ratio`` a of R = 1 - a log10(1 + t/1 day): mean over bridges, how sure of that mean, and how far one
    bridge lies from another (all standard deviations). ``floor_ratio`` and ``settle_days`` of the exponential form
    likewise (the scatter of ``settle_days`` as a factor). Scatter of a reading, of a day (moisture, temperature), of a
    bar against its neighbours and of the force a stressing leaves are parts of the force.
    """

    log_slope_ratio: float = 0.13
    log_slope_sd_ratio: float = 0.03
    log_slope_spread_ratio: float = 0.025
    floor_ratio: float = 0.50
    floor_sd_ratio: float = 0.06
    floor_spread_ratio: float = 0.05
    settle_days: float = 180.0
    settle_spread_factor: float = 1.6
    reading_sd_ratio: float = 0.05
    day_sd_ratio: float = 0.04
    bar_sd_ratio: float = 0.10
    stressing_sd_ratio: float = 0.05
    band_ratio: float = 0.80
    frost_below_f: float = 32.0
    wet_above_pct: float = 20.0


@dataclass(frozen=True, kw_only=True)
class Stressed(Plain):
    """A day the bars were pulled: the force left in each bar, lb; empty where only the target is known."""

    on_day: float
    forces_lb: tuple[float | None, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ForceRead(Plain):
    """One standing force. ``left_out``: the reason it does not enter the fit (frost and wet wood); "" where it does."""

    on_day: float
    bar_index: int
    force_lb: float
    repeats: int = 1
    left_out: str = ""


@dataclass(frozen=True, kw_only=True)
class BarRow(Plain):
    """A row of bars and its history. ``kind`` names what it may be pooled with (system and level)."""

    label: str
    kind: str
    stations_ft: tuple[float, ...]
    length_ft: float
    thickness_in: float
    target_lb: float | None
    stressed: tuple[Stressed, ...]
    readings: tuple[ForceRead, ...]


@dataclass(frozen=True, kw_only=True)
class FormFit(Plain):
    """One published form fitted to a row: its weight beside the other, its parameters: name to
    {"mean", "sd"}."""

    form: str
    weight_ratio: float
    parameters: dict[str, dict]


@dataclass(frozen=True, kw_only=True)
class BandPoint(Plain):
    """A day of the forecast: least local pressure and mean bar force at the lower edge, the middle and the upper."""

    on_day: float
    least_lower_psi: float
    least_middle_psi: float
    least_upper_psi: float
    mean_lower_lb: float
    mean_middle_lb: float
    mean_upper_lb: float


@dataclass(frozen=True, kw_only=True)
class Reaching(Plain):
    """When the least local pressure falls to ``psi``: chance that it has by the first day of the forecast, the day at
    the lower edge of the band and at the middle. None: not within the horizon, which may be never."""

    psi: float
    chance_already_ratio: float
    early_day: float | None
    middle_day: float | None


@dataclass(frozen=True, kw_only=True)
class BarEstimate(Plain):
    """A bar on the forecast's first day: middle and standard deviation, lb; whether a reading of its own counts."""

    bar_index: int
    middle_lb: float
    sd_lb: float
    is_read: bool


@dataclass(frozen=True, kw_only=True)
class ForceForecast(Plain):
    """``points`` from ``from_day``; ``pooled_with`` other rows lent losses; ``sentences`` say what was assumed."""

    label: str
    from_day: float
    fits: tuple[FormFit, ...]
    points: tuple[BandPoint, ...]
    reachings: tuple[Reaching, ...]
    bars: tuple[BarEstimate, ...]
    readings_used: int
    readings_left_out: int
    pooled_with: int
    band_ratio: float
    sentences: tuple[str, ...]
    mark: str = "model"
