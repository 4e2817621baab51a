"""Width of a longitudinal laminated deck that carries one wheel line, inches."""

from __future__ import annotations

from math import sqrt

from inventory.mechanics.errors import require_range

STANDARD = "AASHTO Standard Specifications 3.25.2"
LRFD = "AASHTO LRFD 4.6.2.3"


def tire_width_in(*, wheel_lb: float) -> float:
    """b_t = sqrt(0.025 P), in: contact area 0.01 P in2, width to length 2.5 to 1 (Std Spec 3.30; form checked-2nd)."""
    require_range(name="wheel load", value=wheel_lb, above=0, most=60000, unit="lb", source="Std Spec 3.30")
    return sqrt(0.025 * wheel_lb)


def stressed_deck_width_in(*, wheel_lb: float, thickness_in: float) -> float:
    """D_w = b_t + 2 t: interconnected or continuous nail-laminated (checked-2nd), stress-laminated slab (memory)."""
    require_range(name="deck thickness", value=thickness_in, above=0, most=60, unit="in", source=STANDARD)
    return tire_width_in(wheel_lb=wheel_lb) + 2.0 * thickness_in


def loose_deck_width_in(*, wheel_lb: float, thickness_in: float, panel_in: float | None = None) -> float:
    """D_w = b_t + t, not wider than the panel: laminated panels not interconnected (memory)."""
    require_range(name="deck thickness", value=thickness_in, above=0, most=60, unit="in", source=STANDARD)
    if panel_in is not None:
        require_range(name="panel width", value=panel_in, above=0, unit="in", source=STANDARD)
    width = tire_width_in(wheel_lb=wheel_lb) + thickness_in
    return width if panel_in is None else min(width, panel_in)


def lane_strip_width_in(*, span_ft: float, width_ft: float, lanes: int) -> float:
    """Equivalent strip of one lane (two wheel lines), in: AASHTO LRFD 4.6.2.3 (memory), for comparison.

    One lane 10.0 + 5.0 sqrt(L1 W1), W1 up to 30 ft; more lanes 84.0 + 1.44 sqrt(L1 W1), W1 up to 60 ft, not above
    12 W / N_L; L1 up to 60 ft. The one-lane form already holds the presence factor 1.20.
    """
    require_range(name="span", value=span_ft, above=0, unit="ft", source=LRFD)
    require_range(name="deck width", value=width_ft, above=0, unit="ft", source=LRFD)
    require_range(name="loaded lanes", value=lanes, least=1, most=8, source=LRFD)
    span = min(span_ft, 60.0)
    if lanes == 1:
        return 10.0 + 5.0 * sqrt(span * min(width_ft, 30.0))
    return min(84.0 + 1.44 * sqrt(span * min(width_ft, 60.0)), 12.0 * width_ft / lanes)
