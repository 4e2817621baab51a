"""Lanes per stringer, S / D: AASHTO LRFD Table 4.6.2.2.2a-1 (memory), and presence factors of Table 3.6.1.1.2-1.

S is stringer spacing in ft. The divisors hold the presence factors already. Above the limit on S: the lever rule.
"""

from __future__ import annotations

VERSION = "lane-shares 1.0"
SOURCE = "AASHTO LRFD Table 4.6.2.2.2a-1"

# deck: (D one lane, D two or more lanes, greatest S)
LANE_DIVISORS = {
    "plank": (6.7, 7.5, 5.0),
    "stress_laminated": (9.2, 9.0, 6.0),
    "nail_laminated": (8.3, 8.5, 6.0),
    "glulam_panel": (10.0, 10.0, 6.0),
    "glulam_panel_on_steel": (8.8, 9.0, 6.0),
}
"""The table's spike-laminated row stands for nail-laminated decks too (model)."""

PRESENCE = {1: 1.20, 2: 1.00, 3: 0.85, 4: 0.65}
"""Several-presence factors by loaded lanes; four stands for more (AASHTO LRFD Table 3.6.1.1.2-1, memory)."""
