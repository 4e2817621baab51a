"""Transverse decks on stringers under one wheel: effective span, the width that carries, moment and shear.

Across the roadway a wheel stands on b_t = sqrt(0.025 P); along the bridge it is spread over a strip. Dowelled glulam
panels have formulas of their own: M_x = P (0.51 log10 s - K) in-lb/in and R_x = 0.034 P lb/in. Source: AASHTO Standard
Specifications 3.25.1 (memory), from FPL Research Paper 210 (existence and scope checked); AASHTO LRFD 4.6.2.1.3 and
9.9.3.2 (memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log10

from inventory.mechanics.errors import OutsideValidity, require_range
from inventory.mechanics.tables import deck_strips as table

SOURCE = table.STANDARD


@dataclass(frozen=True, kw_only=True)
class Strip:
    """Width along the bridge (in) that carries one wheel, the rule in words, its source and mark."""

    width_in: float
    rule: str
    source: str
    mark: str


def deck_span_in(*, spacing_in: float, support_width_in: float, thickness_in: float) -> float:
    """Effective span, in: clear distance and half a support's width, not above clear distance and deck thickness.

    Range: spacing above 0 to 240 in, support narrower than the spacing. Source: Standard Specifications 3.25.1.2
    (memory).
    """
    require_range(name="spacing of the deck's supports", value=spacing_in, above=0, most=240, unit="in", source=SOURCE)
    require_range(name="deck thickness", value=thickness_in, above=0, most=48, unit="in", source=SOURCE)
    require_range(name="width of a support's top", value=support_width_in, above=0, unit="in", source=SOURCE)
    clear = spacing_in - support_width_in
    require_range(name="clear distance between supports of the deck", value=clear, above=0, unit="in", source=SOURCE)
    return min(clear + support_width_in / 2.0, clear + thickness_in)


def standard_strip(*, kind: str, interconnected: bool, thickness_in: float, width_in: float) -> Strip:
    """Plank: its own width. Nailed, and panels not interconnected: 15 in + t; interconnected panels 15 in + 2 t.

    Never wider than one panel (a nailed deck runs on without end). Standard Specifications 3.25.1.1 (memory).
    """
    spread = table.TIRE_LENGTH_IN + thickness_in
    if kind == "plank":
        return Strip(width_in=width_in, rule="width of a plank", source=SOURCE, mark="memory")
    if kind == "nail_laminated":
        return Strip(width_in=spread, rule="15 in + t", source=SOURCE, mark="memory")
    if kind == "glulam_panel":
        rule = "15 in + t"
        if interconnected:
            spread, rule = spread + thickness_in, "15 in + 2 t"
        words = f"{rule}, not above the panel"
        return Strip(width_in=min(spread, width_in), rule=words, source=SOURCE, mark="memory")
    raise _unknown(kind)


def lrfd_strip(*, kind: str, interconnected: bool, thickness_in: float, width_in: float, axle_gap_in: float) -> Strip:
    """Strip of one axle, in: 2.0 h + 40 (glulam, spike-laminated), interconnected 4.0 h + 30 or 40; plank its width.

    Panels that are not interconnected carry no more than their width (model, as the Standard Specifications say);
    where the next axle stands nearer than the strip is wide, each has only the distance between them (model).
    """
    if kind == "plank":
        return Strip(width_in=width_in, rule="width of a plank", source="AASHTO LRFD 4.6.2.1.3", mark="memory")
    row = f"{kind}_interconnected" if interconnected else kind
    if row not in table.LRFD_STRIPS:
        raise _unknown(kind)
    factor, added = table.LRFD_STRIPS[row]
    strip, rule = factor * thickness_in + added, f"{factor:g} h + {added:g}"
    if kind == "glulam_panel" and not interconnected and strip > width_in:
        strip, rule = width_in, f"{rule}, not above the panel (model)"
    if strip > axle_gap_in:
        strip, rule = axle_gap_in, f"{rule}, not above the {axle_gap_in:g} in between axles (model)"
    return Strip(width_in=strip, rule=rule, source=table.LRFD, mark="memory")


def _unknown(kind: str) -> OutsideValidity:
    return OutsideValidity(
        name="transverse deck", value=kind or "not given", valid="plank, nail_laminated, glulam_panel", source=SOURCE
    )


def wheel_moment_inlb(*, wheel_lb: float, span_in: float, tire_in: float) -> float:
    """One wheel on ``tire_in`` at the middle of a simple span: P (s/4 - b_t/8), or P s2/(8 b_t) where b_t > s; in-lb.

    Range: wheel above 0 to 60,000 lb, span above 0 to 82 in (beyond it two wheels do more). Source: mechanics.
    """
    _check_wheel(wheel_lb, span_in)
    require_range(name="tire width", value=tire_in, least=0, unit="in", source=SOURCE)
    if tire_in > span_in:
        return wheel_lb * span_in**2 / (8.0 * tire_in)
    return wheel_lb * (span_in / 4.0 - tire_in / 8.0)


def deck_shear_station_in(*, span_in: float, thickness_in: float) -> float:
    """Section at which shear is taken, in from the end of the effective span: t, not beyond a quarter of the span.

    AASHTO LRFD 9.9.3.2 (memory): shear at the depth of the deck from the support; the quarter is the safer of two
    practices for thick decks on short spans (common practice, no source).
    """
    return min(thickness_in, span_in / 4.0)


def wheel_shear_lb(*, wheel_lb: float, span_in: float, tire_in: float, station_in: float) -> float:
    """Shear at a section with the tire just beyond it: P (s - x - b_t/2)/s; only what stands on the span counts; lb.

    The deck is taken as simply supported. Source: AASHTO LRFD 9.9.3.2 (memory) for the place of the tire; mechanics.
    """
    _check_wheel(wheel_lb, span_in)
    require_range(name="section of shear", value=station_in, least=0, most=span_in, unit="in", source=SOURCE)
    room = span_in - station_in
    if tire_in <= room:
        return wheel_lb * (room - tire_in / 2.0) / span_in
    return wheel_lb / tire_in * room**2 / (2.0 * span_in)


def _check_wheel(wheel_lb: float, span_in: float) -> None:
    require_range(name="wheel load", value=wheel_lb, above=0, most=60000, unit="lb", source=SOURCE)
    require_range(
        name="deck span", value=span_in, above=0, most=table.ONE_WHEEL_SPAN_IN, unit="in", source="one wheel on a deck"
    )


def dowelled_panel_moment(*, wheel_lb: float, span_in: float, k: float) -> float:
    """Primary bending moment, in-lb/in; ``span_in`` effective deck span, ``k`` 0.47 for H15 and 0.51 for H20, HS20."""
    require_range(name="wheel load", value=wheel_lb, above=0, most=60000, unit="lb", source=SOURCE)
    least, most = table.PANEL_SPAN_IN
    require_range(name="deck span", value=span_in, least=least, most=most, unit="in", source=SOURCE)
    require_range(name="K", value=k, least=0.47, most=0.51, source=SOURCE)
    return wheel_lb * (0.51 * log10(span_in) - k)


def dowelled_panel_shear(*, wheel_lb: float) -> float:
    """Primary shear, lb/in."""
    require_range(name="wheel load", value=wheel_lb, above=0, most=60000, unit="lb", source=SOURCE)
    return 0.034 * wheel_lb


def dowel_demand(*, wheel_lb: float, span_in: float) -> tuple[float, float]:
    """(shear lb, moment in-lb) that the dowels across one joint must pass under a wheel.

    s up to 50 in: R_y = 6 P s/1000, M_y = P s (s - 10)/1600; above: R_y = P (s - 20)/(2 s), M_y = P s (s - 30) /
    (20 (s - 10)); below 0 is given as 0. Information only: the strength of dowels is not rated. Range: deck span above
    0 to 82 in. Source: Standard Specifications 3.25.1.4 (memory); the branches meet at 50 in, at 0.30 P and 1.25 P, and
    at no other span (computed).
    """
    _check_wheel(wheel_lb, span_in)
    if span_in <= table.DOWEL_BRANCH_IN:
        shear = 6.0 * wheel_lb * span_in / 1000.0
        moment = wheel_lb * span_in * (span_in - 10.0) / 1600.0
    else:
        shear = wheel_lb * (span_in - 20.0) / (2.0 * span_in)
        moment = wheel_lb * span_in * (span_in - 30.0) / (20.0 * (span_in - 10.0))
    return max(0.0, shear), max(0.0, moment)
