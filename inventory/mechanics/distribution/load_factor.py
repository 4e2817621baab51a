"""Shares of a lane under load and resistance factor rules, given in wheel lines (half lanes) as everywhere here.

Stringers: AASHTO LRFD Table 4.6.2.2.2a-1, lanes per stringer S/D, several presence included; the lever rule with
presence factors beyond the limit on S and for outside stringers (4.6.2.2.2d). Slab decks: equivalent strip of a lane
(4.6.2.3), its edge (4.6.2.1.4). Marks: memory.
"""

from __future__ import annotations

from inventory.mechanics.errors import OutsideValidity, require_range
from inventory.mechanics.tables import lane_shares as table

from .decks import lane_strip_width_in, loose_deck_width_in
from .lever import exterior_lever, interior_lever
from .share import Share


def _counts(lanes: int, one_lane_too: bool) -> tuple[int, ...]:
    return (1, lanes) if one_lane_too and lanes > 1 else (lanes,)


def lane_share(*, deck_kind: str, spacing_ft: float, lanes: int, one_lane_too: bool, on_steel: bool = False) -> Share:
    """Interior stringer: 2 S/D wheel lines, the larger of one lane and several where ``one_lane_too``; else by lanes.

    Above the limit on S the lever rule with presence factors. Range: spacing above 0 to 20 ft; lanes 1 to 8.
    """
    require_range(name="stringer spacing", value=spacing_ft, above=0, most=20, unit="ft", source=table.SOURCE)
    require_range(name="loaded lanes", value=lanes, least=1, most=8, source=table.SOURCE)
    row = "glulam_panel_on_steel" if on_steel and deck_kind == "glulam_panel" else deck_kind
    if row not in table.LANE_DIVISORS:
        known = ", ".join(table.LANE_DIVISORS)
        raise OutsideValidity(
            name="deck on stringers", value=deck_kind or "not given", valid=known, source=table.SOURCE
        )
    one, more, limit = table.LANE_DIVISORS[row]
    if spacing_ft > limit:
        return interior_lever(spacing_ft=spacing_ft, lanes=lanes, presence=table.PRESENCE)
    count, divisor = min(((n, one if n == 1 else more) for n in _counts(lanes, one_lane_too)), key=lambda pair: pair[1])
    words = "one lane" if count == 1 else "two or more lanes"
    return Share(
        wheel_lines=2.0 * spacing_ft / divisor,
        rule=f"S/{divisor:g} lanes, {row.replace('_', ' ')} deck, {words}",
        source=table.SOURCE,
        mark="memory",
    )


def outside_lane_share(*, interior: Share, spacing_ft: float, curb_offset_ft: float, lanes: int) -> Share:
    """Outside stringer: lever rule with presence factors, never less than the interior value (as 3.23.2.3 asks)."""
    lever = exterior_lever(spacing_ft=spacing_ft, curb_offset_ft=curb_offset_ft, lanes=lanes, presence=table.PRESENCE)
    if lever.wheel_lines >= interior.wheel_lines:
        return lever
    return Share(
        wheel_lines=interior.wheel_lines,
        rule=f"interior value {interior.rule} (lever gives {lever.wheel_lines:.3f} wheel lines)",
        source=interior.source,
        mark=interior.mark,
    )


def strip_share(*, wide_in: float, span_ft: float, deck_width_ft: float, lanes: int, one_lane_too: bool) -> Share:
    """``wide_in`` of a slab-type deck: 2 x width/E wheel lines, E of one lane or several, whichever asks more."""
    require_range(name="width of deck", value=wide_in, above=0, unit="in", source="AASHTO LRFD 4.6.2.3")
    count, strip = min(
        (
            (n, lane_strip_width_in(span_ft=span_ft, width_ft=deck_width_ft, lanes=n))
            for n in _counts(lanes, one_lane_too)
        ),
        key=lambda pair: pair[1],
    )
    form = "10.0 + 5.0 sqrt(L1 W1)" if count == 1 else "84.0 + 1.44 sqrt(L1 W1), not above 12 W/N_L"
    return Share(
        wheel_lines=2.0 * wide_in / strip,
        rule=f"2 x {wide_in:g}/E, E = {form} = {strip:.2f} in",
        source="AASHTO LRFD 4.6.2.3",
        mark="memory",
    )


def edge_strip_share(*, wide_in: float, strip_in: float, edge_to_barrier_in: float) -> Share:
    """Edge of a slab: one wheel line on edge to barrier + 12 in + E/4, not above E/2 or 72 in, one lane loaded.

    ``strip_in`` is E of one lane. The presence factor 1.20 is applied. Source: AASHTO LRFD 4.6.2.1.4 (memory).
    """
    require_range(
        name="edge to barrier", value=edge_to_barrier_in, least=0, most=120, unit="in", source="AASHTO LRFD 4.6.2.1.4"
    )
    for name, number in (("width of deck", wide_in), ("strip of one lane", strip_in)):
        require_range(name=name, value=number, above=0, unit="in", source="AASHTO LRFD 4.6.2.1.4")
    width = min(edge_to_barrier_in + 12.0 + strip_in / 4.0, strip_in / 2.0, 72.0)
    return Share(
        wheel_lines=table.PRESENCE[1] * wide_in / width,
        rule=f"edge strip {width:.2f} in carries one wheel line, presence {table.PRESENCE[1]:g}",
        source="AASHTO LRFD 4.6.2.1.4",
        mark="memory",
    )


def loose_strip_share(*, wide_in: float, wheel_lb: float, thickness_in: float, panel_in: float | None = None) -> Share:
    """Laminations or panels not interconnected: one wheel line over b_t + t, presence 1.20 of one lane (``model``)."""
    require_range(name="width of deck", value=wide_in, above=0, unit="in", source="Std Spec 3.25.2")
    width = loose_deck_width_in(wheel_lb=wheel_lb, thickness_in=thickness_in, panel_in=panel_in)
    return Share(
        wheel_lines=table.PRESENCE[1] * wide_in / width,
        rule=f"{wide_in:g}/D_w, D_w = b_t + t = {width:.2f} in, presence {table.PRESENCE[1]:g}",
        source="AASHTO Standard Specifications 3.25.2 with LRFD 3.6.1.1.2",
        mark="model",
    )
