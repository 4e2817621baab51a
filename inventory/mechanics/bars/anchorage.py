"""Limits of a bar, its bearing plate and the gauge pressure of a jack.

Source: EM 7700-8 chapter 9, ASTM A722, AASHTO LRFD 9.9.5.6.3 (memory). No load above 0.70 f_pu of the net area.
"""

from __future__ import annotations

from math import sqrt

from inventory.mechanics.errors import require_range

SOURCE = "EM 7700-8 chapter 9; ASTM A722"
BAR_TENSILE_PSI = 150000.0
STRESSING_LIMIT = 0.70


def bar_limit_lb(*, net_area_in2: float, tensile_psi: float = BAR_TENSILE_PSI) -> float:
    """0.70 f_pu A, lb: the most a bar may see at any moment, lift-off and the jack's peak included."""
    require_range(name="net bar area", value=net_area_in2, above=0, most=5, unit="in2", source=SOURCE)
    require_range(name="bar tensile strength", value=tensile_psi, above=0, most=200000, unit="psi", source=SOURCE)
    return STRESSING_LIMIT * tensile_psi * net_area_in2


def plate_area_in2(*, force_lb: float, bearing_psi: float) -> float:
    """A_p >= F / F_cp', in2."""
    require_range(name="bearing stress", value=bearing_psi, above=0, unit="psi", source=SOURCE)
    return require_range(name="bar force", value=force_lb, least=0, unit="lb", source=SOURCE) / bearing_psi


def anchor_plate_thickness_in(*, force_lb: float, plate_area_in2: float, overhang_in: float, steel_psi: float) -> float:
    """t_p = sqrt(3 f_bp k2 / F_s), in; f_bp = F/A_p, k the larger overhang beyond the anchor plate, F_s = 0.55 F_y."""
    for name, value, unit in (
        ("plate area", plate_area_in2, "in2"),
        ("steel stress", steel_psi, "psi"),
    ):
        require_range(name=name, value=value, above=0, unit=unit, source=SOURCE)
    require_range(name="overhang", value=overhang_in, least=0, most=24, unit="in", source=SOURCE)
    require_range(name="bar force", value=force_lb, least=0, unit="lb", source=SOURCE)
    return sqrt(3.0 * force_lb / plate_area_in2 * overhang_in**2 / steel_psi)


def jack_pressure_psi(*, force_lb: float, ram_area_in2: float, efficiency: float = 1.0) -> float:
    """p = F / (A_ram eff), psi; efficiency 0.95 to 1.0 from the jack's calibration."""
    require_range(name="ram area", value=ram_area_in2, above=0, most=100, unit="in2", source=SOURCE)
    require_range(name="jack efficiency", value=efficiency, least=0.90, most=1.0, source="jack calibration")
    return require_range(name="bar force", value=force_lb, least=0, unit="lb", source=SOURCE) / (
        ram_area_in2 * efficiency
    )
