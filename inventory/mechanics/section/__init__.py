"""Gross and net sections of members that have lost wood."""

from .composite import CompositeSection, Flange, composite_section, effective_side_in
from .rectangle import NetSection, SurfaceLoss, Void, rectangle_section, sound_shell_in
from .round import round_section

__all__ = [
    "CompositeSection",
    "Flange",
    "NetSection",
    "SurfaceLoss",
    "Void",
    "composite_section",
    "effective_side_in",
    "rectangle_section",
    "round_section",
    "sound_shell_in",
]
