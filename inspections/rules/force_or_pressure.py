"""A force that looks like a pressure: a slip of units is asked about before it counts (plausibility only, `model`).

Two pressures stand beside every bar: between the laminations (F = N s t, 40 to 200 psi usual) and on the gauge of the
jack (F = p A_ram eff, thousands of psi). Either, typed as a force, is far too little for a bar; the same figure taken
as the pressure gives about what the bar should hold. Asked, never decided: a slack bar is real too.
"""

from math import isfinite

LAMINATION_PSI = (5.0, 400.0)
"""Pressures between laminations that are met on a deck; more would crush most woods across the grain."""
GAUGE_PSI = (400.0, 15_000.0)
LITTLE_RATIO = 0.35
"""Below this part of what is expected a force is little enough to ask about."""
NEAR_RATIOS = (0.4, 1.6)
"""The force the pressure would give is about what is expected within these parts of it."""
USUAL_FORCE_LB = (3_000.0, 150_000.0)
"""What one bar may hold where nothing is expected (25,000 to 80,000 lb usual: Ritter, Wacker, Duwadi 1995, checked)."""


def looks_like_pressure(
    *,
    force_lb: float,
    expected_lb: float | None,
    spacing_in: float | None = None,
    thickness_in: float | None = None,
    ram_lb_per_psi: float | None = None,
) -> str:
    """A sentence that asks, or "". ``expected_lb``: target, or the middle of the other bars; None where not known.

    ``ram_lb_per_psi``: ram area times efficiency of the jack. What is not known is not held against the force; a force
    of 0 is a slack bar and no question.
    """
    if not isfinite(force_lb) or force_lb <= 0.0:
        return ""
    if expected_lb and not is_little(force_lb, expected_lb):
        return ""
    candidates = []
    if spacing_in and thickness_in and LAMINATION_PSI[0] <= force_lb <= LAMINATION_PSI[1]:
        candidates.append((force_lb * spacing_in * thickness_in, "between laminations"))
    if ram_lb_per_psi and expected_lb and GAUGE_PSI[0] <= force_lb <= GAUGE_PSI[1]:
        candidates.append((force_lb * ram_lb_per_psi, "on the gauge"))
    for meant_lb, where in candidates:
        if is_near(meant_lb, expected_lb):
            return (
                f"{force_lb:,.10g} lb is very little in this bar; as a pressure of {force_lb:,.10g} psi {where} it "
                f"would be {meant_lb:,.0f} lb. Enter the force in lb, or say that it is right."
            )
    return ""


def is_little(force_lb: float, expected_lb: float) -> bool:
    """Whether a force, lb, is little enough against what is expected, lb, to be asked about."""
    return force_lb < LITTLE_RATIO * expected_lb


def is_near(meant_lb: float, expected_lb: float | None, most_lb: float | None = None) -> bool:
    """Whether the force a pressure would give, lb, is about what is expected; `most_lb` where more than that may be."""
    if not expected_lb:
        return USUAL_FORCE_LB[0] <= meant_lb <= USUAL_FORCE_LB[1]
    return NEAR_RATIOS[0] * expected_lb <= meant_lb <= (most_lb or NEAR_RATIOS[1] * expected_lb)
