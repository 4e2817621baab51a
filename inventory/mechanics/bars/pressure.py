"""Pressure between laminations and the force in the bars that makes it.

N = F / (s t). Needed N: the larger of 6 M_T / t2 (no gap at the soffit), 1.5 V_T / (mu t) (no slip) and 40 psi.
Source: EM 7700-8 chapter 9, AASHTO Guide Specification 1991, LRFD 9.9.5.6 (all memory).
"""

from __future__ import annotations

from inventory.mechanics.errors import OutsideValidity, require_range

SOURCE = "EM 7700-8 chapter 9; AASHTO LRFD 9.9.5.6"
FLOOR_PSI = 40.0
FRICTION = {"surfaced": 0.35, "rough": 0.45}
STEEL_RATIO_LIMIT = 0.0016


def _sizes(spacing_in: float, thickness_in: float) -> None:
    require_range(name="bar spacing", value=spacing_in, above=0, most=240, unit="in", source=SOURCE)
    require_range(name="deck thickness", value=thickness_in, above=0, most=60, unit="in", source=SOURCE)


def pressure_psi(*, force_lb: float, spacing_in: float, thickness_in: float) -> float:
    """N = F / (s t), psi."""
    _sizes(spacing_in, thickness_in)
    return (
        require_range(name="bar force", value=force_lb, least=0, unit="lb", source=SOURCE) / spacing_in / thickness_in
    )


def bar_force_lb(*, pressure_psi: float, spacing_in: float, thickness_in: float) -> float:
    """F = N s t, lb."""
    _sizes(spacing_in, thickness_in)
    require_range(name="pressure", value=pressure_psi, least=0, most=500, unit="psi", source=SOURCE)
    return pressure_psi * spacing_in * thickness_in


def steel_ratio(*, bar_area_in2: float, spacing_in: float, thickness_in: float) -> float:
    """rho = A_s / (s t); should not exceed 0.0016 (LRFD 9.9.5.6.2)."""
    _sizes(spacing_in, thickness_in)
    return (
        require_range(name="bar area", value=bar_area_in2, above=0, unit="in2", source=SOURCE)
        / spacing_in
        / thickness_in
    )


def least_bar_spacing_in(*, bar_area_in2: float, thickness_in: float) -> float:
    """Least spacing that keeps rho at 0.0016: s = A_s / (0.0016 t), in."""
    _sizes(1.0, thickness_in)
    require_range(name="bar area", value=bar_area_in2, above=0, unit="in2", source=SOURCE)
    return bar_area_in2 / (STEEL_RATIO_LIMIT * thickness_in)


def needed_pressure_psi(
    *, moment_inlb_in: float, shear_lb_in: float, thickness_in: float, surface: str, floor_psi: float = FLOOR_PSI
) -> float:
    """max(6 M_T/t2, 1.5 V_T/(mu t), floor); M_T in-lb/in and V_T lb/in across the laminations; surfaced or rough."""
    _sizes(1.0, thickness_in)
    if surface not in FRICTION:
        raise OutsideValidity(name="surface of laminations", value=surface, valid="surfaced, rough", source=SOURCE)
    require_range(name="transverse moment", value=moment_inlb_in, least=0, unit="in-lb/in", source=SOURCE)
    require_range(name="transverse shear", value=shear_lb_in, least=0, unit="lb/in", source=SOURCE)
    require_range(name="least pressure", value=floor_psi, least=0, most=500, unit="psi", source=SOURCE)
    gap = 6.0 * moment_inlb_in / thickness_in**2
    slip = 1.5 * shear_lb_in / (FRICTION[surface] * thickness_in)
    return max(gap, slip, floor_psi)


def initial_pressure_psi(*, design_psi: float) -> float:
    """N_initial = 2.5 N_design (60 % of the first force allowed to be lost), psi."""
    return 2.5 * require_range(name="design pressure", value=design_psi, above=0, most=200, unit="psi", source=SOURCE)
