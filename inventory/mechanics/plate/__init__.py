"""Decks as orthotropic plates: load sharing, deflection and the demand on the joints between laminations.

A deck simply supported at two ends with free (or stiffened) long edges. Start with ``slab_stiffness`` or
``ribbed_stiffness``, make a ``Deck``, place wheels with ``stand_vehicle`` and ``lane_patches``, then ``analyse_deck``
or ``sweep_roadway``; ``WheelLines`` answers for many vehicles on one deck from one solution. The pressure that the
joints need follows from ``Sweep.joint_moment_lbin_per_in`` and ``joint_shear_lb_per_in`` through
``bars.needed_pressure_psi``.
"""

from .deck import Deck, DeckResponse, Peak, SectionPeaks, analyse_deck
from .fineness import Fineness
from .joints import JointDemand, joint_demand
from .loads import Axle, Patch, first_wheel_range_in, lane_patches, spread_patch, stand_vehicle, standings
from .stiffness import (
    EdgeBeam,
    PlateStiffness,
    TransverseRatios,
    butt_joint_factor,
    ribbed_stiffness,
    slab_stiffness,
    transverse_ratios,
)
from .sweep import Placement, Sweep, sweep_roadway
from .wheel_lines import Roadway, WheelLines

__all__ = [
    "Axle",
    "Deck",
    "DeckResponse",
    "EdgeBeam",
    "Fineness",
    "JointDemand",
    "Patch",
    "Peak",
    "Placement",
    "PlateStiffness",
    "Roadway",
    "SectionPeaks",
    "Sweep",
    "TransverseRatios",
    "WheelLines",
    "analyse_deck",
    "butt_joint_factor",
    "first_wheel_range_in",
    "joint_demand",
    "lane_patches",
    "ribbed_stiffness",
    "slab_stiffness",
    "spread_patch",
    "stand_vehicle",
    "standings",
    "sweep_roadway",
    "transverse_ratios",
]
