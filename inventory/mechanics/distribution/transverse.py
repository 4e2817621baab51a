"""Transverse dowelled glulam deck panels on stringers: moment and shear per inch under one wheel.

M_x = P (0.51 log10 s - K) in-lb/in, R_x = 0.034 P lb/in. Source: AASHTO Standard Specifications 3.25.1 (memory), from
FPL Research Paper 210 (existence and scope checked).
"""

from __future__ import annotations

from math import log10

from inventory.mechanics.errors import require_range

SOURCE = "AASHTO Standard Specifications 3.25.1"


def dowelled_panel_moment(*, wheel_lb: float, span_in: float, k: float) -> float:
    """Primary bending moment, in-lb/in; ``span_in`` effective deck span, ``k`` 0.47 for H15 and 0.51 for H20, HS20."""
    require_range(name="wheel load", value=wheel_lb, above=0, most=60000, unit="lb", source=SOURCE)
    require_range(name="deck span", value=span_in, least=20, most=144, unit="in", source=SOURCE)
    require_range(name="K", value=k, least=0.47, most=0.51, source=SOURCE)
    return wheel_lb * (0.51 * log10(span_in) - k)


def dowelled_panel_shear(*, wheel_lb: float) -> float:
    """Primary shear, lb/in."""
    require_range(name="wheel load", value=wheel_lb, above=0, most=60000, unit="lb", source=SOURCE)
    return 0.034 * wheel_lb
