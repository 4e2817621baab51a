"""Round timber, whole or hollowed to a sound shell.

S = pi (D^4 - d^4) / (32 D), I b / Q at the neutral axis with Q = (D^3 - d^3) / 12 and b = D - d, d = D - 2 t.
Source: mechanics of materials.
"""

from __future__ import annotations

from math import pi

from inventory.mechanics.errors import require_range

from .rectangle import NetSection


def round_section(*, diameter_in: float, shell_in: float | None = None) -> NetSection:
    """Net section of a round member; ``shell_in`` None or half the diameter and more means sound throughout."""
    require_range(name="diameter", value=diameter_in, above=0, most=60, unit="in", source="round section")
    inner = 0.0
    if shell_in is not None:
        require_range(name="sound shell", value=shell_in, least=0, unit="in", source="round section")
        inner = max(0.0, diameter_in - 2.0 * shell_in)
    inertia = pi * (diameter_in**4 - inner**4) / 64.0
    wall = diameter_in - inner
    first = (diameter_in**3 - inner**3) / 12.0
    return NetSection(
        area_in2=pi * (diameter_in**2 - inner**2) / 4.0,
        centroid_in=diameter_in / 2.0,
        inertia_in4=inertia,
        modulus_in3=inertia / (diameter_in / 2.0),
        shear_in2=inertia * wall / first if first > 0 else 0.0,
        width_in=diameter_in,
        depth_in=diameter_in,
        least_width_in=wall,
    )
