"""Uniform dead load on a simple span (statics)."""

from __future__ import annotations


def dead_moment_lbft(*, load_plf: float, span_ft: float, station_ft: float) -> float:
    """M(x) = w x (L - x) / 2, lb-ft; x between 0 and L."""
    return load_plf * station_ft * (span_ft - station_ft) / 2.0


def dead_shear_lb(*, load_plf: float, span_ft: float, station_ft: float) -> float:
    """V(x) = w (L/2 - x), lb, as a size: 0 at midspan."""
    return load_plf * abs(span_ft / 2.0 - station_ft)


def dead_reaction_lb(*, load_plf: float, span_ft: float) -> float:
    """R = w L / 2, lb."""
    return load_plf * span_ft / 2.0
