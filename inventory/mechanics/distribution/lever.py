"""Reactions of wheel lines on a deck taken as simply supported between stringers (the lever rule).

Source: AASHTO Standard Specifications 3.23.2.3 and Table 3.23.1 footnote (memory); statics.
"""

from __future__ import annotations

from collections.abc import Mapping

from inventory.mechanics.errors import require_range
from inventory.mechanics.tables import wheel_lines as table
from inventory.mechanics.vehicle.trains import GAUGE_FT

from .share import Share

SOURCE = "AASHTO Standard Specifications 3.23.2.3, Table 3.23.1 footnote"


def wheel_places(lanes: int) -> list[float]:
    """Wheel lines of ``lanes`` vehicles side by side as close as lanes allow, ft from the first."""
    step = GAUGE_FT + table.NEXT_LANE_WHEEL_FT
    return [lane * step + side for lane in range(lanes) for side in (0.0, GAUGE_FT)]


def reduction(lanes: int, presence: Mapping[int, float] | None = None) -> float:
    """Factor on ``lanes`` loaded together: Standard Specifications, or ``presence`` by lanes (its last for more)."""
    if presence is not None:
        return presence.get(lanes, presence[max(presence)])
    return table.LANE_REDUCTION.get(lanes, table.LANE_REDUCTION_MORE)


def _presence_words(presence: Mapping[int, float] | None) -> str:
    return "" if presence is None else ", presence factors of LRFD 3.6.1.1.2"


def interior_lever(*, spacing_ft: float, lanes: int, presence: Mapping[int, float] | None = None) -> Share:
    """Largest reaction of an interior stringer, wheel lines: a wheel line stands over it, the rest left and right.

    1 at the stringer, falling to 0 at its neighbours. Range: spacing above 0 to 20 ft, lanes 1 and more.
    """
    require_range(name="stringer spacing", value=spacing_ft, above=0, most=20, unit="ft", source=SOURCE)
    require_range(name="loaded lanes", value=lanes, least=1, most=8, source=SOURCE)
    best = 0.0
    for count in range(1, lanes + 1):
        places = wheel_places(count)
        for over in places:
            total = sum(max(0.0, 1.0 - abs(place - over) / spacing_ft) for place in places)
            best = max(best, total * reduction(count, presence))
    rule = f"simple-beam reaction, S = {spacing_ft:g} ft{_presence_words(presence)}"
    return Share(wheel_lines=best, rule=rule, source=SOURCE, mark="memory")


def exterior_lever(
    *, spacing_ft: float, curb_offset_ft: float, lanes: int, presence: Mapping[int, float] | None = None
) -> Share:
    """Reaction of the outside stringer with the first wheel line 2 ft from the curb, wheel lines.

    ``curb_offset_ft`` from the stringer out to the face of the curb, negative where the curb stands inside it. The
    deck is a lever on the first two stringers: (S - u)/S for a wheel u ft inside the outside stringer.
    """
    require_range(name="stringer spacing", value=spacing_ft, above=0, most=20, unit="ft", source=SOURCE)
    require_range(name="curb offset", value=curb_offset_ft, least=-20, most=10, unit="ft", source=SOURCE)
    require_range(name="loaded lanes", value=lanes, least=1, most=8, source=SOURCE)
    first = table.WHEEL_TO_CURB_FT - curb_offset_ft
    best = 0.0
    for count in range(1, lanes + 1):
        total = sum(max(0.0, (spacing_ft - first - place) / spacing_ft) for place in wheel_places(count))
        best = max(best, total * reduction(count, presence))
    return Share(
        wheel_lines=best,
        rule=f"lever rule, S = {spacing_ft:g} ft, first wheel {first:g} ft inside the stringer"
        + _presence_words(presence),
        source=SOURCE,
        mark="memory",
    )
