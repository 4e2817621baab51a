"""Gross and net sections of members that have lost wood."""

from .composite import CompositeSection, Flange, composite_section, effective_side_in
from .rectangle import NetSection, SurfaceLoss, Void, rectangle_section, sound_shell_in
from .round import SEAT_RATIO, round_section, round_shell_in

__all__ = [
    "SEAT_RATIO",
    "CompositeSection",
    "Flange",
    "NetSection",
    "SurfaceLoss",
    "Void",
    "composite_section",
    "effective_side_in",
    "rectangle_section",
    "round_section",
    "round_shell_in",
    "sound_shell_in",
]
