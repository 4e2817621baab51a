"""Adjustment factors for wood, allowable stress basis.

Duration: AASHTO Standard Specifications Table 13.5.5A (memory). Wet service, size, flat use, incising, temperature:
NDS Supplement tables 4A, 4D, 5A and NDS 2.3.3, 4.3.8 (checked-2nd: second-hand copies). Stressed deck: AASHTO Guide
Specification 1991 (memory).
"""

from __future__ import annotations

VERSION = "adjustment 1.0"
SOURCE = "NDS 2018 and Supplement; AASHTO Standard Specifications 13.5"

DURATION = {"permanent": 0.90, "vehicle": 1.15}
"""C_D on bending and shear, not on compression across the grain or E."""

WET = {
    "dimension": {"fb": 0.85, "fv": 0.97, "fc_perp": 0.67, "e": 0.90},
    "timber": {"fb": 1.0, "fv": 1.0, "fc_perp": 0.67, "e": 1.0},
    "glulam_x": {"fb": 0.80, "fv": 0.875, "fc_perp": 0.53, "e": 0.833},
    "glulam_y": {"fb": 0.80, "fv": 0.875, "fc_perp": 0.53, "e": 0.833},
}
"""C_M by kind of product; composites only from their maker."""
WET_BENDING_FREE_PSI = 1150.0
"""Dimension lumber: C_M = 1.0 on F_b where F_b C_F is not above this (NDS Supplement 4A)."""
WET_SOURCE = {
    "dimension": "NDS Supplement 4A",
    "timber": "NDS Supplement 4D",
    "glulam_x": "NDS Supplement 5A",
    "glulam_y": "NDS Supplement 5B",
}

TEMPERATURE = ((100.0, 1.0, 1.0, 1.0), (125.0, 0.8, 0.7, 0.9), (150.0, 0.7, 0.5, 0.9))
"""Up to deg F: factor on stresses dry, wet, and on E (NDS 2.3.3)."""

SIZE_BENDING = (
    (4.0, 1.5, 1.5),
    (5.0, 1.4, 1.4),
    (6.0, 1.3, 1.3),
    (8.0, 1.2, 1.3),
    (10.0, 1.1, 1.2),
    (12.0, 1.0, 1.1),
)
"""C_F on F_b, dimension lumber: up to nominal width in, for 2 and 3 in thick, for 4 in thick (NDS Supplement 4A)."""
SIZE_BENDING_WIDER = (0.9, 1.0)

INCISED = {"fb": 0.80, "fv": 0.80, "fc_perp": 1.0, "e": 0.95}
REPETITIVE = 1.15
STRESSED_DECK = {"Select Structural": 1.30, "No.1": 1.50, "No.2": 1.50, "No.1 & Btr": 1.30, "No.1/No.2": 1.50}
"""C_LS by grade; No.1 & Btr is not in the rule and takes the lower value (model)."""
COMPOSITE_DEPTH_EXPONENT = {"psl": 0.111, "lvl": 0.136}
OPERATING = 1.33
"""Operating allowable stress over inventory (Manual for Bridge Evaluation 6B.5.2.7, memory)."""
GLULAM_SIDEWAYS_E_MIN = 0.75
"""E_y,min over the tabulated E_x,min of glulam beams for lateral stability: a low estimate (model), as the table used
here does not hold the y-y value."""
