"""What a forecast is made under, what is kept of it, and how short it is cut for keeping."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from math import ceil, floor

from inventory.mechanics.bars.loss import ForceForecast, LossPolicy
from inventory.mechanics.bars.pressure import FLOOR_PSI

EDGE_DECIMALS = 2
WHOLE_DAYS = 731.0
"""Every point of the first two years is kept, every third after that."""


@dataclass(frozen=True, kw_only=True)
class Owner:
    """What of the county's policy bears on the dates; `loss` goes to the kernel."""

    loss: LossPolicy
    retension_below_factor: float
    lead_days: int
    revision: int

    @property
    def limit_psi(self) -> float:
        return self.retension_below_factor * FLOOR_PSI


@dataclass(frozen=True, kw_only=True)
class Kept:
    """The forecast that stands so far, as columns and JSON."""

    digest: str
    inputs: Mapping
    results: Mapping
    columns: Mapping


@dataclass(frozen=True, kw_only=True)
class Made:
    """Columns of a `BarForecast` but the row's own; as they are to be written."""

    digest: str
    columns: dict
    inputs: dict
    results: dict


def short_forecast(told: ForceForecast) -> dict:
    """Points thinned after two years and cut to what a page shows; a lower edge is cut downwards."""
    plain = replace(told, points=()).as_dict()
    early = told.from_day + WHOLE_DAYS
    kept = [
        point
        for place, point in enumerate(told.points)
        if point.on_day <= early or place % 3 == 0 or place == len(told.points) - 1
    ]
    plain["points"] = [{name: _cut(name, value) for name, value in asdict(point).items()} for point in kept]
    return plain


def _cut(name: str, value: float) -> float:
    if name.endswith("_lb"):
        return round(value)
    scale = 10**EDGE_DECIMALS
    if "lower" in name:
        return floor(value * scale) / scale
    return ceil(value * scale) / scale if "upper" in name else round(value, EDGE_DECIMALS)
