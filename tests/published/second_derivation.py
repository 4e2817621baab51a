"""A second derivation of allowable stress ratings of timber spans, in plain Python, apart from the kernel.

Written from the rules alone (each named where used; marks as everywhere: checked-2nd for the factors of the National
Design Specification, memory for the Standard Specifications and the Manual for Bridge Evaluation, model where no
published rule exists). It searches by brute force where the kernel may be clever, and knows only the plainest cases:
one member standing for all, loss over the whole length. Inches, pounds and pound-inches inside, feet at the door.
"""

from __future__ import annotations

from fractions import Fraction
from math import pi, sqrt, tanh

# kip, ft. Vehicles as printed in the Manual for Bridge Evaluation and the Standard Specifications (memory).
TRUCKS = {
    "H15": ((6, 24), ((14,),)),
    "H20": ((8, 32), ((14,),)),
    "HS20": ((8, 32, 32), tuple((14, rear) for rear in range(14, 31))),
    "TYPE3": ((16, 17, 17), ((15, 4),)),
    "TYPE3S2": ((10, Fraction(31, 2), Fraction(31, 2), Fraction(31, 2), Fraction(31, 2)), ((11, 4, 22, 4),)),
    "TYPE3-3": ((12, 12, 12, 16, 14, 14), ((15, 4, 15, 16, 4),)),
    "SU4": ((12, 8, 17, 17), ((10, 4, 4),)),
    "SU5": ((12, 8, 8, 17, 17), ((10, 4, 4, 4),)),
    "SU6": ((Fraction(23, 2), 8, 8, 17, 17, 8), ((10, 4, 4, 4, 4),)),
    "SU7": ((Fraction(23, 2), 8, 8, 17, 17, 8, 8), ((10, 4, 4, 4, 4, 4),)),
    "EV2": ((24, Fraction(67, 2)), ((15,),)),
    "EV3": ((24, 31, 31), ((15, 4),)),
}
LANES = {
    "H15": (Fraction(12, 25), Fraction(27, 2), Fraction(39, 2)),
    "H20": (Fraction(16, 25), 18, 26),
    "HS20": (Fraction(16, 25), 18, 26),
}
"""kip/ft, kip with moment, kip with shear (Std Spec 3.7.6; 0.64 with 18 and 26 checked)."""


def gross_tons(vehicle):
    return float(sum(TRUCKS[vehicle][0])) / 2


def heaviest_wheel_lb(vehicle):
    return float(max(TRUCKS[vehicle][0])) * 500


def trains(vehicle):
    """(kip, ft from the first axle) of every axle, both directions of travel, every spacing."""
    loads, spacings = TRUCKS[vehicle]
    for gaps in spacings:
        places = [0]
        for gap in gaps:
            places.append(places[-1] + gap)
        yield tuple(zip(loads, places, strict=True))
        yield tuple(zip(reversed(loads), (places[-1] - place for place in reversed(places)), strict=True))


def stands(vehicle, x):
    """Every stand of the vehicle with an axle at x: the influence lines of a simple span peak or jump there."""
    for train in trains(vehicle):
        for _, pivot in train:
            yield tuple((load, place - pivot + x) for load, place in train)


def lane_moment(vehicle, span, x):
    """Largest moment (kip-ft per lane) at x ft: M = R_A x - sum of P (x - a) left of x (statics)."""
    best = 0
    for stand in stands(vehicle, x):
        on = [(load, place) for load, place in stand if 0 <= place <= span]
        left = sum(load * (span - place) for load, place in on) / span
        best = max(best, left * x - sum(load * (x - place) for load, place in on if place < x))
    if vehicle in LANES:
        uniform, point, _ = LANES[vehicle]
        best = max(best, uniform * x * (span - x) / 2 + point * x * (span - x) / span)
    return best


def lane_shear(vehicle, span, x, relief=True):
    """Largest shear (kip per lane) just right of x ft; axles left of x relieve it, and stay unless told otherwise."""
    best = 0
    for stand in stands(vehicle, x):
        shear = sum(load * (span - place) for load, place in stand if x <= place <= span) / span
        if relief:
            shear -= sum(load * place for load, place in stand if 0 <= place < x) / span
        best = max(best, shear)
    if vehicle in LANES:
        uniform, _, point = LANES[vehicle]
        best = max(best, uniform * (span - x) * (span - x) / (2 * span) + point * (span - x) / span)
    return best


# --- design values --------------------------------------------------------------------------------------------

SIZE = ((4, 1.5, 1.5), (5, 1.4, 1.4), (6, 1.3, 1.3), (8, 1.2, 1.3), (10, 1.1, 1.2), (12, 1.0, 1.1), (14, 0.9, 1.0))
"""NDS-S 4A C_F on F_b: nominal width, 2 and 3 in thick, 4 in thick (checked-2nd)."""


def nominal(width_in):
    """The printed size that an actual one falls under: dressed 11.25 and rough 12 are both a nominal 12."""
    return next((row[0] for row in SIZE if width_in <= row[0]), 14)


def stresses(*, kind, fb, fv, fcp, thick, deep, span_ft, wet, incised, exponent=10, repetitive=1.0, hold=False):
    """Allowable inventory stresses (psi) F_b', F_v', F_cp' with C_D 1.15 on the first two (Std Spec 13.5, memory)."""
    size, moist_b, moist_v, moist_c = 1.0, 1.0, 1.0, 1.0
    cut = 0.80 if incised else 1.0
    if kind == "dimension":
        size = next(row[2 if thick >= 3.5 else 1] for row in SIZE if row[0] == nominal(deep))
        if wet:
            moist_b, moist_v, moist_c = (0.85 if fb * size > 1150 else 1.0), 0.97, 0.67
    elif kind == "timber":
        size = min(1.0, (12 / deep) ** (1 / 9))
        if wet and not hold:
            moist_c = 0.67
    else:
        if kind == "glulam_x":
            size = min(1.0, (21 / span_ft * 12 / deep * 5.125 / min(thick, 10.75)) ** (1 / exponent))
        else:
            size = (12 / deep) ** (1 / 9)
        if wet:
            moist_b, moist_v, moist_c = 0.80, 0.875, 0.53
    return (fb * 1.15 * size * moist_b * cut * repetitive, fv * 1.15 * moist_v * cut, fcp * moist_c)


# --- ratings --------------------------------------------------------------------------------------------------


def least_bending(*, vehicle, span_ft, capacity_lbft, dead_plf, wheel_lines, steps=400):
    """Least (C - D)/L over the length, dead and live moment at the same section, by walking the whole span."""
    least = None
    for step in range(1, steps):
        x = span_ft * step / steps
        live = float(lane_moment(vehicle, span_ft, x)) * 500 * wheel_lines
        factor = (capacity_lbft - dead_plf * x * (span_ft - x) / 2) / live
        least = factor if least is None else min(least, factor)
    return least


def stringer_shear_live(*, vehicle, span_ft, deep_in, wheel_lines, relief=True):
    """V_LL = 0.50 (0.60 V_LU + V_LD), lb, at x_v = min(3 d, L/4) (Std Spec 13.6.5, memory)."""
    x = min(3 * deep_in / 12, span_ft / 4)
    one = float(lane_shear(vehicle, span_ft, x, relief)) * 500
    return 0.5 * (0.6 * one + one * wheel_lines)


def stringer(*, vehicle, span_ft, wide, deep, loss, dead_plf, wheel_lines, allowed, level=1.0, relief=True):
    """Bending and shear factors of a rectangular stringer; ``loss`` = (top, bottom, left, right) inches gone."""
    fb, fv, _ = allowed
    width, depth = wide - loss[2] - loss[3], deep - loss[0] - loss[1]
    bend = least_bending(
        vehicle=vehicle,
        span_ft=span_ft,
        capacity_lbft=level * fb * width * depth**2 / 6 / 12,
        dead_plf=dead_plf,
        wheel_lines=wheel_lines,
    )
    dead = dead_plf * (span_ft / 2 - deep / 12)
    live = stringer_shear_live(vehicle=vehicle, span_ft=span_ft, deep_in=deep, wheel_lines=wheel_lines, relief=relief)
    return bend, (level * fv * width * depth / 1.5 - dead) / live


def widest_reaction(*, spacing_ft, lanes):
    """Largest simple-beam reaction of an inner stringer, wheel lines, by pushing the vehicles sideways in 1/8 ft."""
    best = 0.0
    for count in range(1, lanes + 1):
        wheels = [10 * lane + side for lane in range(count) for side in (0, 6)]
        for step in range(8 * (wheels[-1] + 1)):
            total = sum(max(0.0, 1 - abs(wheel - step / 8) / spacing_ft) for wheel in wheels)
            best = max(best, total * {1: 1.0, 2: 1.0, 3: 0.9}.get(count, 0.75))
    return best


def end_bearing(*, vehicle, span_ft, wide, length_in, dead_plf, over, rest, fcp, level=1.0):
    """Bearing: the axle over the support shared by the deck alone, the others as for moment (Std Spec 3.23.1, memory).

    ``over`` and ``rest`` in wheel lines; F_cp' b l_b against w L/2 and that reaction.
    """
    live = 0.0
    for stand in stands(vehicle, 0):
        at_end = sum(load for load, place in stand if place == 0)
        others = sum(load * (span_ft - place) for load, place in stand if 0 < place <= span_ft) / span_ft
        live = max(live, float(at_end) * over + float(others) * rest)
    if vehicle in LANES:
        uniform, _, point = LANES[vehicle]
        live = max(live, float(point) * over + float(uniform) * span_ft / 2 * rest)
    return (level * fcp * wide * length_in - dead_plf * span_ft / 2) / (live * 500)


DIVISORS = {
    ("plank", 3.0): (4.0, 3.75),
    ("nail_laminated", 3.5): (4.5, 4.0),
    ("nail_laminated", 5.5): (5.0, 4.25),
    ("glulam_panel", 3.125): (4.5, 4.0),
    ("glulam_panel", 5.125): (6.0, 5.0),
}
"""Wheel lines S/D by floor, one lane and more (Std Spec Table 3.23.1, memory)."""


def outside_share(*, spacing_ft, curb_ft, lanes):
    """Simple-beam reaction at an outside stringer, wheel lines: wheels 2 ft from the curb, 6 ft gauge, 10 ft lanes."""
    wheels = [2 - curb_ft, 8 - curb_ft] + ([12 - curb_ft, 18 - curb_ft] if lanes > 1 else [])
    return sum(max(0.0, (spacing_ft - wheel) / spacing_ft) for wheel in wheels)


def strip_ft(*, vehicle, deep, interconnected):
    """Width carrying one wheel line: b_t + 2 t, or b_t + t where the laminations do not act together (3.25.2)."""
    tire = sqrt(0.025 * heaviest_wheel_lb(vehicle))
    return (tire + (2 if interconnected else 1) * deep) / 12


def lamination_deck(*, vehicle, span_ft, deep, dead_psf, interconnected, allowed, level=1.0, relief=True):
    """Bending and shear per foot of a longitudinal laminated deck; shear at x_v shared over the same strip."""
    fb, fv, _ = allowed
    share = 1 / strip_ft(vehicle=vehicle, deep=deep, interconnected=interconnected)
    bend = least_bending(
        vehicle=vehicle,
        span_ft=span_ft,
        capacity_lbft=level * fb * 12 * deep**2 / 6 / 12,
        dead_plf=dead_psf,
        wheel_lines=share,
    )
    x = min(3 * deep / 12, span_ft / 4)
    live = float(lane_shear(vehicle, span_ft, x, relief)) * 500 * share
    return bend, (level * fv * 12 * deep / 1.5 - dead_psf * (span_ft / 2 - deep / 12)) / live


def panel(*, vehicle, span_ft, wide_in, deep, dead_psf, lanes, allowed, level=1.0, relief=True):
    """Bending and shear of one longitudinal glulam panel with stiffeners (Std Spec 3.25.3, memory)."""
    fb, fv, _ = allowed
    wide = wide_in / 12
    first, second = (4.25, 5.5) if lanes == 1 else (3.75, 5.0)
    bend = least_bending(
        vehicle=vehicle,
        span_ft=span_ft,
        capacity_lbft=level * fb * wide_in * deep**2 / 6 / 12,
        dead_plf=dead_psf * wide,
        wheel_lines=max(wide / (first + span_ft / 28), wide / second),
    )
    x = min(3 * deep / 12, span_ft / 4)
    live = float(lane_shear(vehicle, span_ft, x, relief)) * 500 * max(1.0, wide / 4)
    return bend, (level * fv * wide_in * deep / 1.5 - dead_psf * wide * (span_ft / 2 - deep / 12)) / live


def tee_section(*, span_ft, web_in, deep, spacing_in, flange_in, e_web, e_flange):
    """Transformed section (web material) of a web with its flange between webs, top flush (model: shear lag)."""
    length, clear = span_ft * 12, (spacing_in - web_in) / 2
    k = pi / length * sqrt(1 / 0.03) * clear
    wing = min(2 * clear * tanh(k) / k, spacing_in - web_in, length / 4 - web_in)
    n = e_flange / e_web
    web, flange = web_in * deep, n * wing * flange_in
    middle = (web * deep / 2 + flange * (deep - flange_in / 2)) / (web + flange)
    inertia = web_in * deep**3 / 12 + web * (deep / 2 - middle) ** 2
    inertia += n * wing * flange_in**3 / 12 + flange * (deep - flange_in / 2 - middle) ** 2
    return {
        "width": web_in + wing,
        "middle": middle,
        "inertia": inertia,
        "bottom_modulus": inertia / middle,
        "top_modulus": inertia / (deep - middle),
        "side": flange / 2 * (deep - flange_in / 2 - middle),
    }


def interface_capacity_lb(*, section, pressure_psi, flange_in, friction):
    """V at which the shear flow V Q/I on one side of a web reaches mu N t_f (mechanics)."""
    return friction * pressure_psi * flange_in * section["inertia"] / section["side"]


def asr_posting_tons(*, inventory, operating, gross, level):
    """Whole tons, down, never above the vehicle's own weight; RF x W between the two levels (MBE 6B.7, memory)."""
    between = inventory + level * (operating - inventory)
    return None if between >= 1 else int(max(0.0, between) * gross)
