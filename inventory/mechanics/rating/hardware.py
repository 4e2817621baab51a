"""Bars, plates and edge laminations of a stressed span, for the limit states that do not depend on a vehicle."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.plain import Plain
from inventory.mechanics.tables.design_values import DesignValue


@dataclass(frozen=True, kw_only=True)
class BarHardware(Plain):
    """One kind of bar at a regular spacing with its anchorage; None always means "not on record".

    ``thickness_in`` depth of deck or flange the bars squeeze; ``net_area_in2`` of one bar at its root;
    ``bars_in_line`` 2 where they run in pairs above and below; ``tensile_psi`` f_pu; ``design_force_lb`` force of one
    bar at stressing. Plate ``plate_width_in`` along the deck edge by ``plate_height_in``, ``plate_thickness_in`` thick
    of steel ``yield_psi``; ``nut_plate_in`` the side of the smaller plate under the nut. A steel channel along the
    edge: ``channel_height_in`` and ``channel_length_in``, the length of it that serves one bar. ``edge_material`` of
    the outermost lamination. ``crushed_in`` the deepest crushing found under a plate.
    """

    spacing_in: float
    thickness_in: float
    net_area_in2: float
    bars_in_line: int = 1
    tensile_psi: float = 150000.0
    design_force_lb: float | None = None
    plate_width_in: float | None = None
    plate_height_in: float | None = None
    plate_thickness_in: float | None = None
    nut_plate_in: float | None = None
    yield_psi: float | None = None
    channel_height_in: float | None = None
    channel_length_in: float | None = None
    edge_material: DesignValue | None = None
    crushed_in: float | None = None
