"""How much of a vehicle one member carries, in wheel lines (half lanes)."""

from .decks import lane_strip_width_in, loose_deck_width_in, stressed_deck_width_in, tire_width_in
from .lever import exterior_lever, interior_lever
from .load_factor import (
    edge_strip_share,
    lane_share,
    loose_strip_share,
    outside_lane_share,
    strip_share,
)
from .panels import panel_bending_share, panel_shear_share
from .plate_shares import PlateShare, foot_share, member_share, wheel_lines_on
from .share import Share
from .stringers import exterior_share, interior_share, wood_shear_lb
from .transverse import dowelled_panel_moment, dowelled_panel_shear

__all__ = [
    "PlateShare",
    "Share",
    "dowelled_panel_moment",
    "dowelled_panel_shear",
    "exterior_lever",
    "exterior_share",
    "edge_strip_share",
    "foot_share",
    "interior_lever",
    "interior_share",
    "lane_share",
    "lane_strip_width_in",
    "loose_deck_width_in",
    "loose_strip_share",
    "member_share",
    "outside_lane_share",
    "panel_bending_share",
    "panel_shear_share",
    "stressed_deck_width_in",
    "strip_share",
    "tire_width_in",
    "wheel_lines_on",
    "wood_shear_lb",
]
