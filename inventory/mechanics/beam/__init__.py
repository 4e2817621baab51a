"""Beams under axle trains, lane and dead loads, simple and continuous: exact critical positions, no stepping."""

from .along import kept_reaction_parts, live_moments_along, live_shears_along, live_uplift_lb
from .bearing import ReactionPart, reaction_parts
from .combinations import Combination, LaneLive, hl93_live, legal_lane_live, load_factor_live, vehicle_live
from .continuous import (
    ContinuousBeam,
    continuous_dead_moment_lbft,
    continuous_dead_reactions_lb,
    continuous_dead_shear_lb,
    continuous_dead_support_moments_lbft,
)
from .dead import dead_moment_lbft, dead_reaction_lb, dead_shear_lb
from .deflection import truck_deflection_in
from .envelope import Envelope, Extreme, SectionExtremes, live_at, live_envelope, live_reaction
from .hl93 import hl93_absolute_moment, hl93_moment_at, hl93_shear_at
from .influence import InfluenceLine, moment_line, reaction_line, shear_line
from .moving import (
    Effect,
    absolute_moment,
    end_reaction_parts,
    moment_at,
    reactions_lb,
    shear_at,
)
from .span_envelope import SpanEnvelope, span_envelope

__all__ = [
    "Combination",
    "ContinuousBeam",
    "Effect",
    "Envelope",
    "Extreme",
    "InfluenceLine",
    "LaneLive",
    "ReactionPart",
    "SectionExtremes",
    "SpanEnvelope",
    "absolute_moment",
    "continuous_dead_moment_lbft",
    "continuous_dead_reactions_lb",
    "continuous_dead_shear_lb",
    "continuous_dead_support_moments_lbft",
    "dead_moment_lbft",
    "dead_reaction_lb",
    "dead_shear_lb",
    "end_reaction_parts",
    "hl93_absolute_moment",
    "hl93_moment_at",
    "hl93_shear_at",
    "hl93_live",
    "kept_reaction_parts",
    "legal_lane_live",
    "live_at",
    "live_envelope",
    "live_moments_along",
    "live_reaction",
    "live_shears_along",
    "live_uplift_lb",
    "load_factor_live",
    "moment_at",
    "moment_line",
    "reaction_line",
    "reaction_parts",
    "reactions_lb",
    "shear_at",
    "shear_line",
    "span_envelope",
    "truck_deflection_in",
    "vehicle_live",
]
