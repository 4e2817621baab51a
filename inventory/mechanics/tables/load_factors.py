"""Load, resistance, condition and system factors of load and resistance factor rating.

Source: AASHTO Manual for Bridge Evaluation 6A.4.2, tables 6A.4.2.2-1, 6A.4.4.2.3a-1, 6A.4.4.2.3b-1 (memory) and the
2013 interims; AASHTO LRFD 3.4.1, 8.4.4, 8.5.2.2 (memory); emergency vehicles: FHWA questions and answers of 16 March
2018 (memory). The reliability targets behind the design factors, 3.5 and 2.5, were read in FHWA seminar slides.
"""

from __future__ import annotations

VERSION = "load-factors 1.0"
SOURCE = "AASHTO Manual for Bridge Evaluation 6A.4; AASHTO LRFD 3.4.1, 8.4.4, 8.5.2.2"

DC = 1.25
DW = 1.50
DW_MEASURED = 1.25
"""Where the thickness of the surfacing was measured in the field."""
DESIGN_INVENTORY = 1.75
DESIGN_OPERATING = 1.35
EMERGENCY = 1.30
PERMIT = 1.40
"""A permit vehicle among other traffic, the heaviest row of Table 6A.4.5.4.2a-1 (memory). The table goes down to 1.10
for a single trip, escorted and alone on the bridge: the engineer's to choose, as a setting."""
PERMIT_LEAST = 1.10

LEGAL = {"2013": ((1000.0, 1.30), (5000.0, 1.45)), "2008": ((100.0, 1.40), (1000.0, 1.65), (5000.0, 1.80))}
"""Edition: (trucks a day one way, factor), linear between, constant outside, the last where traffic is not known."""
LEGAL_HAULING_2008 = ((100.0, 1.15), (1000.0, 1.40), (5000.0, 1.60))
"""Specialised hauling vehicles in the first edition of 2008; since 2013 they take the legal factors."""

CONDITION = ((6, 1.00), (5, 0.95), (0, 0.85))
"""Component rating at least: phi_c (good or satisfactory, fair, poor)."""
CONDITION_RISE_MEASURED = 0.05
SYSTEM = 1.00
SYSTEM_THREE_GIRDERS = 0.85
SYSTEM_FOUR_CLOSE = 0.95
FOUR_CLOSE_FT = 4.0
LEAST_PRODUCT = 0.85
"""phi_c phi_s is not taken below this (6A.4.2.1)."""

PHI = {"bending": 0.85, "shear": 0.75, "bearing": 0.90}
FORMAT_OVER_PHI = {"bending": 2.5, "shear": 2.5, "bearing": 2.1}
"""C_KF = this over phi (LRFD 8.4.4.2)."""
TIME_EFFECT = {"strength I": 0.8, "strength II": 1.0, "strength IV": 0.6}
"""C_lambda (LRFD 8.4.4.9); strength IV for dead load alone."""
DECK_FACTOR_STRESSED = {"Select Structural": 1.30, "No.1": 1.50, "No.2": 1.50, "No.1 & Btr": 1.30, "No.1/No.2": 1.50}
DECK_FACTOR_NAILED = 1.15
PLANK_DECK_FACTOR = ((6.0, 1.10), (8.0, 1.15), (10.0, 1.25), (12.0, 1.50))
"""C_d of planks 4 in nominal: up to nominal width, factor (LRFD 8.4.4.8)."""
STABILITY_K = {"visual": 0.76, "glulam": 1.10}
"""K_bE in F_bE = K_bE E'/R_B^2 (LRFD 8.6.2): visually graded; glulam and structural composite lumber."""
