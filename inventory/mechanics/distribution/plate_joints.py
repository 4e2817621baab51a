"""What vehicles ask of the joints between laminations, from the solved wheel lines of a roadway.

M_T and V_T, the largest |M_y| and |Q_y| of every place across the roadway, one lane loaded and more (no presence
factor: a joint opens under whatever stands there), at midspan and beside the heaviest axle. The same quantities as
``plate.joint_demand`` finds one place at a time. Mark ``model``.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from inventory.mechanics.plate import Roadway, standings
from inventory.mechanics.vehicle import Vehicle

from .plate_shares import NEAR_THE_LARGEST, wheel_lines_on


@lru_cache(maxsize=1024)
def joint_peaks(*, roadway: Roadway, vehicle: Vehicle, lanes: int) -> tuple[float, float]:
    """(M_T lb-in per in, V_T lb per in) of a vehicle on a roadway whose patches are as spread as the roadway says."""
    lines, middle = wheel_lines_on(roadway), roadway.deck.span_in / 2.0
    ordered = standings(vehicle=vehicle, span_in=roadway.deck.span_in)
    moment = shear = 0.0
    for near, axles in ordered:
        if near < NEAR_THE_LARGEST * ordered[0][0]:
            continue
        heaviest = min(axles, key=lambda axle: (-axle.wheel_lb, abs(axle.x_in - middle)))
        for station in {middle, heaviest.x_in}:
            bent = lines.joint_moments_lbin_per_in(axles=axles, x_in=station)
            sheared = lines.joint_shears_lb_per_in(axles=axles, x_in=station)
            for count in range(1, min(lanes, roadway.most_lanes) + 1):
                moment = max(moment, float(np.max(np.abs(lines.whole_vehicles(bent, count)))))
                shear = max(shear, float(np.max(np.abs(lines.whole_vehicles(sheared, count)))))
    return moment, shear
