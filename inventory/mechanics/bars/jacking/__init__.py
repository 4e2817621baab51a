"""A stressing day: how one pull relaxes its neighbours, and the loads that leave every bar at its target."""

from .flexibility import compatibility_matrix
from .interaction import BarRow, RowState, forces_after_pull, interaction_ratios
from .orders import pull_groups
from .plan import plan_stressing

__all__ = [
    "BarRow",
    "RowState",
    "compatibility_matrix",
    "forces_after_pull",
    "interaction_ratios",
    "plan_stressing",
    "pull_groups",
]
