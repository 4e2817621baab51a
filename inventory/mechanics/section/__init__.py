"""Gross and net sections of members that have lost wood."""

from .rectangle import NetSection, SurfaceLoss, Void, rectangle_section, sound_shell_in
from .round import round_section

__all__ = ["NetSection", "SurfaceLoss", "Void", "rectangle_section", "round_section", "sound_shell_in"]
