"""Wheel lines on one longitudinal glulam deck panel with transverse stiffeners.

Source: AASHTO Standard Specifications 3.25.3 (memory). Range: panels 42 to 54 in wide, stiffeners at most 10 ft apart
with EI of at least 80,000 kip-in2.
"""

from __future__ import annotations

from inventory.mechanics.errors import require_range

from .share import Share

SOURCE = "AASHTO Standard Specifications 3.25.3"


def _width_ft(panel_in: float) -> float:
    return require_range(name="glulam panel width", value=panel_in, least=42, most=54, unit="in", source=SOURCE) / 12.0


def panel_bending_share(*, panel_in: float, span_ft: float, lanes: int) -> Share:
    """One lane max[W/(4.25 + L/28), W/5.50]; two or more lanes max[W/(3.75 + L/28), W/5.00]; W, L in ft."""
    width = _width_ft(panel_in)
    require_range(name="span", value=span_ft, above=0, most=60, unit="ft", source=SOURCE)
    require_range(name="loaded lanes", value=lanes, least=1, most=8, source=SOURCE)
    base, least = (4.25, 5.50) if lanes == 1 else (3.75, 5.00)
    return Share(
        wheel_lines=max(width / (base + span_ft / 28.0), width / least),
        rule=f"max[W/({base} + L/28), W/{least}], {'one lane' if lanes == 1 else 'two or more lanes'}",
        source=SOURCE,
        mark="memory",
    )


def panel_shear_share(*, panel_in: float) -> Share:
    """W/4, at least 1 wheel line."""
    width = _width_ft(panel_in)
    return Share(wheel_lines=max(width / 4.0, 1.0), rule="W/4, at least 1", source=SOURCE, mark="memory")
