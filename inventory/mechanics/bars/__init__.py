"""Bars of stress-laminated spans: pressure and force, anchorage, the least local pressure and what it is worth."""

from .anchorage import anchor_plate_thickness_in, bar_limit_lb, jack_pressure_psi, plate_area_in2
from .jacking import (
    JackKit,
    PlanInput,
    PlannedBar,
    PullDone,
    Squeezed,
    StressingPlan,
    plan_stressing,
    relearn,
    revise,
    standing_after,
)
from .local import BarReading, LocalPressure, least_local_pressure
from .pressure import (
    FRICTION,
    bar_force_lb,
    initial_pressure_psi,
    least_bar_spacing_in,
    needed_pressure_psi,
    pressure_psi,
    steel_ratio,
)
from .worth import PressureWorth, pressure_worth

__all__ = [
    "FRICTION",
    "BarReading",
    "JackKit",
    "LocalPressure",
    "PlanInput",
    "PlannedBar",
    "PressureWorth",
    "PullDone",
    "Squeezed",
    "StressingPlan",
    "anchor_plate_thickness_in",
    "bar_force_lb",
    "bar_limit_lb",
    "initial_pressure_psi",
    "jack_pressure_psi",
    "least_bar_spacing_in",
    "least_local_pressure",
    "needed_pressure_psi",
    "plan_stressing",
    "plate_area_in2",
    "pressure_psi",
    "pressure_worth",
    "relearn",
    "revise",
    "standing_after",
    "steel_ratio",
]
