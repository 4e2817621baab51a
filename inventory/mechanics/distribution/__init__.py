"""How much of a vehicle one member carries, in wheel lines (half lanes)."""

from .decks import lane_strip_width_in, loose_deck_width_in, stressed_deck_width_in, tire_width_in
from .lever import exterior_lever, interior_lever
from .panels import panel_bending_share, panel_shear_share
from .share import Share
from .stringers import exterior_share, interior_share, wood_shear_lb
from .transverse import dowelled_panel_moment, dowelled_panel_shear

__all__ = [
    "Share",
    "dowelled_panel_moment",
    "dowelled_panel_shear",
    "exterior_lever",
    "exterior_share",
    "interior_lever",
    "interior_share",
    "lane_strip_width_in",
    "loose_deck_width_in",
    "panel_bending_share",
    "panel_shear_share",
    "stressed_deck_width_in",
    "tire_width_in",
    "wood_shear_lb",
]
