"""A second derivation of load and resistance factor ratings of timber spans, in plain Python, apart from the kernel.

Written from the rules alone, each named where used: LRFD section 8 for strength, LRFD 4.6.2 for shares, the Manual for
Bridge Evaluation 6A.4 for factors (all memory; forms of the factors C_M, C_F, C_V checked-2nd). It walks the span where
the kernel may be clever, and knows the plainest cases only: one member standing for all, loss over the whole length,
one layer of surfacing, no skew. Axle trains and statics are those of `second_derivation`.
"""

from __future__ import annotations

from math import sqrt

from tests.published.second_derivation import TRUCKS, nominal

ROUTINE, HAULING, EMERGENCY = ("TYPE3", "TYPE3S2", "TYPE3-3"), ("SU4", "SU5", "SU6", "SU7"), ("EV2", "EV3")
TRAINS = {**TRUCKS, "TANDEM": ((25, 25), ((4,),)), "CRANE": ((14, 14, 21, 21, 21), ((5, 12, 4.5, 4.5),))}
"""The design tandem (LRFD 3.6.1.2.3) and a permit vehicle of our own invention beside the vehicles of the first."""
PRESENCE = {1: 1.20, 2: 1.00, 3: 0.85}
"""LRFD 3.6.1.1.2, memory; four lanes and more 0.65."""


# --- effects of one lane, kip and ft --------------------------------------------------------------------------


def stands(vehicle, x):
    """Every stand with an axle at x, both ways, every spacing: (kip, ft) of each axle."""
    loads, spacings = TRAINS[vehicle]
    for gaps in spacings:
        places = [sum(gaps[:index]) for index in range(len(loads))]
        for pivot in places:
            yield [(float(load), x + (place - pivot)) for load, place in zip(loads, places, strict=True)]
            yield [(float(load), x - (place - pivot)) for load, place in zip(loads, places, strict=True)]


def moment(vehicle, span, x):
    """Moment at x, kip-ft a lane. HL-93: the worse of truck and tandem, and 0.64 kip/ft over the span (3.6.1.2)."""
    if vehicle == "HL93":
        return max(moment("HS20", span, x), moment("TANDEM", span, x)) + 0.64 * x * (span - x) / 2
    best = 0.0
    for stand in stands(vehicle, x):
        total = 0.0
        for load, place in stand:
            if 0 <= place <= span:
                total += load * (place * (span - x) if place < x else x * (span - place)) / span
        best = max(best, total)
    return best


def shear(vehicle, span, x):
    """Shear just right of x, kip a lane; the design load leaves out what relieves it, the lane stands from x on."""
    if vehicle == "HL93":
        return max(shear("HS20", span, x), shear("TANDEM", span, x)) + 0.64 * (span - x) ** 2 / (2 * span)
    relieved = vehicle not in ("HS20", "TANDEM")
    best = 0.0
    for stand in stands(vehicle, x):
        total = sum(load * (span - place) for load, place in stand if x <= place <= span)
        if relieved:
            total -= sum(load * place for load, place in stand if 0 <= place < x)
        best = max(best, total / span)
    return best


# --- strength --------------------------------------------------------------------------------------------------

FORMAT = 2.5
"""phi x C_KF = phi x 2.5/phi of bending and shear (LRFD 8.4.4.2, memory)."""
TIME_EFFECT = {"strength I": 0.8, "strength II": 1.0}
"""C_lambda (LRFD 8.4.4.9, memory)."""
TWO_INCH = {4: 1.5, 5: 1.4, 6: 1.3, 8: 1.2, 10: 1.1, 12: 1.0, 14: 0.9}
"""C_F on F_b of lumber 2 and 3 in thick by nominal width (NDS-S 4A, checked-2nd)."""


def factored(*, kind, fb, fv, thick, deep, span_ft, wet, incised=False, deck=1.0, exponent=10, limit="strength I"):
    """phi F_b and phi F_v, psi: reference x 2.5 x C_lambda x C_M x (C_F or C_V or C_fu) x C_i x C_d (LRFD 8.4.4.1)."""
    bending, across = FORMAT * TIME_EFFECT[limit] * fb, FORMAT * TIME_EFFECT[limit] * fv
    if incised:
        bending, across = 0.80 * bending, 0.80 * across
    if kind == "dimension":
        size = TWO_INCH[nominal(deep)]
        if wet:
            bending *= 0.85 if fb * size > 1150 else 1.0
            across *= 0.97
        return bending * size * deck, across
    if kind == "timber":
        return bending * min(1.0, (12 / deep) ** (1 / 9)), across
    if kind == "glulam_x":
        bending *= min(1.0, ((12 / deep) * (5.125 / min(thick, 10.75)) * (21 / span_ft)) ** (1 / exponent))
    else:
        bending *= max(1.0, (12 / deep) ** (1 / 9))
    return (bending * 0.80, across * 0.875) if wet else (bending, across)


# --- factors ---------------------------------------------------------------------------------------------------


def condition_factor(rating, *, raised=False):
    """phi_c: 6 and better 1.00, 5 0.95, 4 and less 0.85; up 0.05 where measured loss is in the strength (6A.4.2.3).

    No printed rule for a rating not on record: the least is taken (model).
    """
    factor = 0.85 if rating is None or rating <= 4 else (0.95 if rating == 5 else 1.00)
    return min(1.0, factor + 0.05) if raised else factor


LEGAL_2013 = ((1000, 1.30), (5000, 1.45))
ROUTINE_2008 = ((100, 1.40), (1000, 1.65), (5000, 1.80))
HAULING_2008 = ((100, 1.15), (1000, 1.40), (5000, 1.60))


def live_factor(vehicle, level, *, edition, adtt):
    """gamma_LL by vehicle, level, trucks a day one way and edition (MBE 6A.4.3, 6A.4.4; emergency: FHWA 2018)."""
    if vehicle == "HL93":
        return {"design inventory": 1.75, "design operating": 1.35}[level]
    if level == "permit":
        return 1.40
    if vehicle in EMERGENCY:
        return 1.30
    points = LEGAL_2013 if edition == "2013" else (HAULING_2008 if vehicle in HAULING else ROUTINE_2008)
    if adtt is None:
        return points[-1][1]
    for (low, below), (high, above) in zip(points, points[1:], strict=False):
        if adtt <= low:
            return below
        if adtt <= high:
            return below + (above - below) * (adtt - low) / (high - low)
    return points[-1][1]


def safe_tons(factor, gross):
    """(W/0.7)(RF - 0.3), nothing below 0.3, never above W (MBE 6A.8.3)."""
    return 0.0 if factor < 0.3 else min(gross, gross / 0.7 * (factor - 0.3))


# --- shares, in lanes ------------------------------------------------------------------------------------------

FLOORS = {
    "plank": (6.7, 7.5, 5.0),
    "stress_laminated": (9.2, 9.0, 6.0),
    "nail_laminated": (8.3, 8.5, 6.0),
    "glulam_panel": (10.0, 10.0, 6.0),
}
"""S/D one lane, several, and the largest S, ft, under each floor (LRFD Table 4.6.2.2.2a-1, memory)."""


def counts(lanes, one_too):
    """Numbers of lanes loaded that are looked at."""
    return range(1, lanes + 1) if one_too or lanes == 1 else range(2, lanes + 1)


def inner_lanes(*, floor, spacing_ft, lanes, one_too):
    one, several, limit = FLOORS[floor]
    if spacing_ft <= limit:
        return max(spacing_ft / (one if count == 1 else several) for count in counts(lanes, one_too))
    best = 0.0
    for count in counts(lanes, one_too):
        wheels = [10 * lane + side for lane in range(count) for side in (0, 6)]
        for step in range(8 * wheels[-1] + 1):  # pushed sideways over the stringer: peaks lie under a wheel
            lines = sum(max(0.0, 1 - abs(wheel - step / 8) / spacing_ft) for wheel in wheels)
            best = max(best, lines / 2 * PRESENCE[count])
    return best


def outer_lanes(*, floor, spacing_ft, curb_ft, lanes, one_too):
    """Lever rule from the curb (wheels 2, 8, 12, 18 ft) with multiple presence, not below the inner share."""
    best = inner_lanes(floor=floor, spacing_ft=spacing_ft, lanes=lanes, one_too=one_too)
    for count in counts(lanes, one_too):
        wheels = [2 + 10 * lane + side - curb_ft for lane in range(count) for side in (0, 6)]
        lines = sum(max(0.0, 1 - wheel / spacing_ft) for wheel in wheels)
        best = max(best, lines / 2 * PRESENCE[count])
    return best


def slab_lanes_per_ft(*, span_ft, width_ft, lanes, one_too):
    """Lanes on a foot: 12/E, E one lane 10 + 5 sqrt(L1 W1), several 84 + 1.44 sqrt(L1 W1) <= 12 W/N (LRFD 4.6.2.3)."""
    long = min(span_ft, 60)
    found = []
    for count in counts(lanes, one_too):
        if count == 1:
            strip = 10 + 5 * sqrt(long * min(width_ft, 30))
        else:
            strip = min(84 + 1.44 * sqrt(long * min(width_ft, 60)), 12 * width_ft / lanes)
        found.append(12 / strip)
    return max(found)


def apart_lanes_per_ft(*, vehicle, deep_in):
    """A wheel line (half a lane) over b_t + t, presence of one lane (model); b_t = sqrt(0.025 P), 20 in for 16 kip."""
    axles = TRAINS["HS20" if vehicle == "HL93" else vehicle][0]
    return 0.5 * 1.20 * 12 / (sqrt(0.025 * float(max(axles)) * 500) + deep_in)


# --- factors of one member -------------------------------------------------------------------------------------


def rating_factors(*, vehicle, span_ft, wide_in, deep_in, strengths, lanes, full_in, dead, gammas, cut, stringer):
    """Bending (least of a walk over the half span) and shear at x_v = min(3 d, L/4).

    ``strengths`` psi; ``dead`` (DC, DW) plf with ``gammas`` (DC, DW, LL); ``cut`` is phi_c phi_s; ``full_in`` depth
    before loss. Stringers: V_LL = 0.50 (0.60 V_LU + V_LD); decks V_LD alone. Dead shear at d (Std Spec 13.6.5).
    """
    bending, across = strengths
    resistance = cut * bending * wide_in * deep_in**2 / 6 / 12
    uniform = gammas[0] * dead[0] + gammas[1] * dead[1]
    least = None
    for step in range(1, 121):
        x = span_ft * step / 240
        live = gammas[2] * lanes * moment(vehicle, span_ft, x) * 1000
        factor = (resistance - uniform * x * (span_ft - x) / 2) / live
        least = factor if least is None else min(least, factor)
    line = shear(vehicle, span_ft, min(3 * full_in / 12, span_ft / 4)) * 500
    live = 0.5 * (0.6 * line + line * 2 * lanes) if stringer else line * 2 * lanes
    resistance = cut * across * wide_in * deep_in / 1.5
    return max(0.0, least), max(0.0, (resistance - uniform * (span_ft / 2 - full_in / 12)) / (gammas[2] * live))
