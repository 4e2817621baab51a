"""What a forecast is made under, what is kept of it, and how short it is cut for keeping."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date
from math import ceil, floor

from inventory.mechanics.bars.loss import BarRow, ForceForecast, LossPolicy
from inventory.mechanics.bars.pressure import FLOOR_PSI

from .bar_pool import Member
from .known_of_rating import Known

EDGE_DECIMALS = 2
WHOLE_DAYS = 731.0
"""Every point of the first two years is kept, every third after that."""
READ_OF_INPUTS = ("bar_ids", "limit_psi", "lead_days")
READ_OF_RESULTS = ("member_row", "member_pool", "limit_day")


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


def is_readable(inputs: Mapping, results: Mapping) -> bool:
    """Whether a kept forecast holds all this version reads of it; one that was refused holds no results, and does.

    One kept by another version is made anew as if none were kept; until then its page says so.
    """
    try:
        if inputs.get("known"):
            Known.from_dict(inputs["known"])
        if not results:
            return True
        _ = [inputs[name] for name in READ_OF_INPUTS] + [results[name] for name in READ_OF_RESULTS]
        own = {name: results["own"][name] for name in ("on", "why", "governs")}
        ForceForecast.from_dict(results["forecast"])
        BarRow.from_dict(inputs["row"])
        if results["member"]:
            Member.from_dict(results["member"])
        date.fromisoformat(results["made_anew_on"])
        date.fromisoformat(own["on"] or results["made_anew_on"])
    except (KeyError, TypeError, ValueError):
        return False
    return True


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
