"""Simple spans under axle trains and lane loads: exact critical positions, no stepping."""

from .dead import dead_moment_lbft, dead_reaction_lb, dead_shear_lb
from .deflection import truck_deflection_in
from .moving import (
    Effect,
    absolute_moment,
    end_reaction_parts,
    moment_at,
    reactions_lb,
    shear_at,
)

__all__ = [
    "Effect",
    "absolute_moment",
    "dead_moment_lbft",
    "dead_reaction_lb",
    "dead_shear_lb",
    "end_reaction_parts",
    "moment_at",
    "reactions_lb",
    "shear_at",
    "truck_deflection_in",
]
