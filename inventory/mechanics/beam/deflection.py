"""Midspan deflection of a simple span under a truck, for the serviceability flag."""

from __future__ import annotations

from functools import lru_cache

from scipy.optimize import minimize_scalar

from inventory.mechanics.errors import require_range
from inventory.mechanics.vehicle import Vehicle

from .moving import Train, _check, trains


def _midspan_lbft3(train: Train, first_ft: float, span: float) -> float:
    """Sum of P a (3 L2 - 4 a2) / 48 over the axles on the span, lb-ft3; a from the nearer support."""
    total = 0.0
    for offset, weight in train:
        place = first_ft + offset
        if 0.0 < place < span:
            a = min(place, span - place)
            total += weight * a * (3.0 * span**2 - 4.0 * a**2) / 48.0
    return total


@lru_cache(maxsize=8192)
def _largest_lbft3(vehicle: Vehicle, span: float) -> float:
    best = 0.0
    for train in trains(vehicle):
        length = train[-1][0]
        edges = {-length, span}
        for offset, _weight in train:
            edges |= {-offset, span - offset, span / 2.0 - offset}
        marks = sorted(edge for edge in edges if -length <= edge <= span)
        for low, high in zip(marks, marks[1:], strict=False):
            if high - low < 1e-9:
                continue
            found = minimize_scalar(
                lambda x, t=train: -_midspan_lbft3(t, x, span), bounds=(low, high), method="bounded"
            )
            best = max(best, -found.fun, _midspan_lbft3(train, low, span))
    return best


def truck_deflection_in(*, vehicle: Vehicle, span_ft: float, e_psi: float, inertia_in4: float, share: float) -> float:
    """Largest midspan deflection, in, of a member carrying ``share`` of a lane: sum P a (3 L2 - 4 a2) / (48 E I).

    The truck only, not the lane load; between axle crossings of midspan and the supports the curve is smooth and its
    top is found by a bounded search. Source: mechanics.
    """
    _check(span_ft)
    for name, number, unit in (("modulus", e_psi, "psi"), ("moment of inertia", inertia_in4, "in4")):
        require_range(name=name, value=number, above=0, unit=unit, source="deflection of a beam")
    require_range(name="share of a lane", value=share, least=0, source="deflection of a beam")
    return _largest_lbft3(vehicle, span_ft) * 1728.0 * share / (e_psi * inertia_in4)
