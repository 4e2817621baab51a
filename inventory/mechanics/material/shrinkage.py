"""Shrinkage of sawn softwood lumber across the grain as it dries from green.

S_w = 6.031 - 0.215 M across the wide face, S_t = 5.062 - 0.181 M across the narrow one, percent of the green size, M
the moisture content in percent. Source: FPL-RP-489 (checked), for nominal 2 in lumber, M from 8 to 19 %. Drier than
that it is not known here, and wood in a bridge is seldom so dry.
"""

from __future__ import annotations

from inventory.mechanics.errors import require_range

SOURCE = "FPL-RP-489, 2 in softwood lumber"
LEAST_MOISTURE_PCT, MOST_MOISTURE_PCT = 8.0, 19.0


def _moisture(moisture_pct: float) -> float:
    return require_range(
        name="moisture content",
        value=moisture_pct,
        least=LEAST_MOISTURE_PCT,
        most=MOST_MOISTURE_PCT,
        unit="%",
        source=SOURCE,
    )


def width_shrinkage_pct(*, moisture_pct: float) -> float:
    """S_w = 6.031 - 0.215 M, percent of the green width, from green to M (8 to 19 %). Source: FPL-RP-489 (checked)."""
    return 6.031 - 0.215 * _moisture(moisture_pct)


def thickness_shrinkage_pct(*, moisture_pct: float) -> float:
    """S_t = 5.062 - 0.181 M, percent of the green thickness, M 8 to 19 %. Source: FPL-RP-489 (checked)."""
    return 5.062 - 0.181 * _moisture(moisture_pct)


def drying_strain_ratio(*, from_moisture_pct: float, to_moisture_pct: float) -> float:
    """Strain across the thickness of laminations between two moisture contents, of the earlier size; drying positive.

    (S_t(to) - S_t(from)) / (100 - S_t(from)): what a stressed deck loses across its laminations before creep. Range:
    both 8 to 19 %. Source: FPL-RP-489 (checked), arithmetic.
    """
    before = thickness_shrinkage_pct(moisture_pct=from_moisture_pct)
    return (thickness_shrinkage_pct(moisture_pct=to_moisture_pct) - before) / (100.0 - before)
