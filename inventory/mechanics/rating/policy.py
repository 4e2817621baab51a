"""Settings the county's engineer may change; each is a ``model`` value without a published number behind it."""

from __future__ import annotations

from dataclasses import dataclass

from .plain import Plain

ROUNDINGS = ("down", "down_by_5_above_30", "nearest")


@dataclass(frozen=True, kw_only=True)
class RatingPolicy(Plain):
    """Owner policy of a rating, printed with it.

    ``posting_level`` 0 posts at inventory, 1 at operating, between them in proportion (never above operating);
    ``rounding`` of posted tons; ``close_below_tons`` the smallest posting (3 tons: Manual for Bridge Evaluation
    6A.8.1, 23 CFR 650.313, memory); ``transition_in`` is taken off behind surface decay besides its measured depth;
    a sound shell at a support thinner than ``least_shell_in`` or ``least_shell_ratio`` of the side carries no shear;
    ``pressure_floor_psi`` and ``closing_pressure_psi`` for stressed spans; ``deflection_ratio`` L over this is flagged.
    """

    posting_level: float = 0.5
    rounding: str = "down"
    close_below_tons: float = 3.0
    transition_in: float = 0.25
    pressure_floor_psi: float = 40.0
    closing_pressure_psi: float = 20.0
    deflection_ratio: float = 425.0
    least_shell_in: float = 2.0
    least_shell_ratio: float = 0.25
