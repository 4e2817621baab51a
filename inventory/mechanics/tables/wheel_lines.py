"""Wheel lines per stringer, S / D: AASHTO Standard Specifications Table 3.23.1 (memory).

A wheel line is half a lane of load; S is stringer spacing in ft. Above the limit on S the stringer takes the reaction
of wheels on a deck that spans simply between stringers.
"""

from __future__ import annotations

VERSION = "wheel-lines 1.0"
SOURCE = "AASHTO Standard Specifications Table 3.23.1"

# floor: (D one lane, D two or more lanes, greatest S one lane, greatest S two or more); None: no limit in the table
STRINGER_DIVISORS = {
    "plank": (4.0, 3.75, None, None),
    "nail_laminated_4": (4.5, 4.0, None, None),
    "nail_laminated_6": (5.0, 4.25, 5.0, 6.5),
    "glulam_panel_4": (4.5, 4.0, None, None),
    "glulam_panel_6": (6.0, 5.0, 6.0, 7.5),
    "stress_laminated": (4.6, 4.5, 6.0, 6.0),
}
"""Floors on timber or glulam stringers. The stress-laminated row is half the lane divisors 9.2 and 9.0 of AASHTO LRFD
Table 4.6.2.2.2a-1 (memory), which hold several-presence factors already; using it with allowable stress is a model."""

NAIL_LAMINATED_6_FROM_IN = 5.5
GLULAM_6_FROM_IN = 5.0
"""Actual thickness from which a floor counts as 6 in nominal."""

LANE_REDUCTION = {1: 1.0, 2: 1.0, 3: 0.90}
LANE_REDUCTION_MORE = 0.75
"""Reduction of load intensity where lanes are loaded together: AASHTO Standard Specifications 3.12 (memory)."""

WHEEL_TO_CURB_FT = 2.0
"""Least distance from a wheel line to the curb for the design of members (memory)."""
NEXT_LANE_WHEEL_FT = 4.0
"""Least distance between wheel lines of vehicles side by side: 12 ft lanes, 10 ft load width, 6 ft gauge (memory)."""
