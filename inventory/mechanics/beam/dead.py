"""Uniform dead load on a simple span (statics)."""

from __future__ import annotations

from inventory.mechanics.errors import require_range

MOST_PLF = 1e9
"""Beyond it (and beyond as many feet) the checks by name take over."""
SOURCE = "uniform dead load on a simple span"


def _check(load_plf: float, span_ft: float, station_ft: float = 0.0) -> None:
    if 0.0 <= load_plf < MOST_PLF and 0.0 < span_ft < MOST_PLF and -1e-6 <= station_ft <= span_ft + 1e-6:
        return  # asked for at every station of every search: the common case costs nothing more
    require_range(name="dead load", value=load_plf, least=0, unit="lb/ft", source=SOURCE)
    require_range(name="span", value=span_ft, above=0, unit="ft", source=SOURCE)
    require_range(name="station", value=station_ft, least=-1e-6, most=span_ft + 1e-6, unit="ft", source=SOURCE)


def dead_moment_lbft(*, load_plf: float, span_ft: float, station_ft: float) -> float:
    """M(x) = w x (L - x) / 2, lb-ft; x between 0 and L."""
    _check(load_plf, span_ft, station_ft)
    return load_plf * station_ft * (span_ft - station_ft) / 2.0


def dead_shear_lb(*, load_plf: float, span_ft: float, station_ft: float) -> float:
    """V(x) = w (L/2 - x), lb, as a size: 0 at midspan."""
    _check(load_plf, span_ft, station_ft)
    return load_plf * abs(span_ft / 2.0 - station_ft)


def dead_reaction_lb(*, load_plf: float, span_ft: float) -> float:
    """R = w L / 2, lb."""
    _check(load_plf, span_ft)
    return load_plf * span_ft / 2.0
