"""A stressing day: how one pull relaxes its neighbours, and the loads that leave every bar at its target."""

from .flexibility import compatibility_matrix
from .interaction import RowState, SqueezedRow, forces_after_pull, interaction_ratios
from .orders import pull_groups
from .plan import plan_stressing
from .relearn import relearn, standing_after
from .revise import revise
from .terms import (
    METHODS,
    ORDERS,
    BarPull,
    BarRead,
    JackKit,
    PlanCheck,
    PlanInput,
    PlannedBar,
    Pull,
    PullDone,
    Relearned,
    Revision,
    Squeezed,
    StressingPlan,
)

__all__ = [
    "METHODS",
    "ORDERS",
    "BarPull",
    "BarRead",
    "JackKit",
    "PlanCheck",
    "PlanInput",
    "PlannedBar",
    "Pull",
    "PullDone",
    "Relearned",
    "Revision",
    "RowState",
    "Squeezed",
    "SqueezedRow",
    "StressingPlan",
    "compatibility_matrix",
    "forces_after_pull",
    "interaction_ratios",
    "plan_stressing",
    "pull_groups",
    "relearn",
    "revise",
    "standing_after",
]
