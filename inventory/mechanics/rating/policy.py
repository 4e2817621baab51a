"""Settings the county's engineer may change; each is a ``model`` value without a published number behind it."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.plain import Plain

METHODS = ("ASR", "LRFR")
"""Allowable stress rating; load and resistance factor rating."""
LOAD_FACTOR_TABLES = ("2013", "2008")
ROUNDINGS = ("down", "down_by_5_above_30", "nearest")


@dataclass(frozen=True, kw_only=True)
class RatingPolicy(Plain):
    """Owner policy of a rating, printed with it.

    ``posting_level`` 0 posts at inventory, 1 at operating, between them in proportion (never above operating);
    ``rounding`` of posted tons; ``close_below_tons`` the smallest posting (3 tons: Manual for Bridge Evaluation
    6A.8.1, 23 CFR 650.313, memory); ``transition_in`` is taken off behind surface decay besides its measured depth;
    a sound shell at a support thinner than ``least_shell_in`` or ``least_shell_ratio`` of the side carries no shear;
    ``pressure_floor_psi`` and ``closing_pressure_psi`` for stressed spans; ``deflection_ratio`` L over this is flagged.

    ``posting_method`` the method whose factors post (``METHODS``); ``load_factor_table`` edition of the live-load
    factors of legal loads; ``raise_condition_where_measured`` lets phi_c rise by 0.05 where measured section loss is
    in the strength; ``one_lane_case_too`` takes the worse of one lane and several in LRFD distribution;
    ``emergency_in_one_lane`` gives emergency vehicles the one-lane fraction (FHWA questions and answers 2018, memory);
    ``rate_edge_strip`` rates the edge strip of slab decks by LRFD 4.6.2.1.4. Drilled wood below
    ``drilled_void_below`` of sound resistance counts as void, up to ``drilled_sound_from`` half for bending and
    nothing for shear. ``permit_live_factor`` for a vehicle entered for one trip: 1.40 among other traffic, down to 1.10
    escorted and alone (MBE Table 6A.4.5.4.2a-1, memory).
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
    posting_method: str = "ASR"
    load_factor_table: str = "2013"
    raise_condition_where_measured: bool = False
    one_lane_case_too: bool = True
    emergency_in_one_lane: bool = False
    rate_edge_strip: bool = False
    drilled_void_below: float = 0.50
    drilled_sound_from: float = 0.75
    permit_live_factor: float = 1.40
