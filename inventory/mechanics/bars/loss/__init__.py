"""Bar force in time: the two published forms of loss, fitted to readings, and an honest band ahead."""

from .fit import RowFit, fit_row
from .forecast import forecast
from .forms import days_to_ratio, remaining_ratio
from .pool import Pool, joined, pool
from .terms import (
    FORMS,
    BandPoint,
    BarEstimate,
    BarRow,
    ForceForecast,
    ForceRead,
    FormFit,
    LossPolicy,
    Reaching,
    Stressed,
)

__all__ = [
    "FORMS",
    "BandPoint",
    "BarEstimate",
    "BarRow",
    "ForceForecast",
    "ForceRead",
    "FormFit",
    "LossPolicy",
    "Pool",
    "Reaching",
    "RowFit",
    "Stressed",
    "days_to_ratio",
    "fit_row",
    "forecast",
    "joined",
    "pool",
    "remaining_ratio",
]
