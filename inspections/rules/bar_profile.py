"""Bar force along a span, each bar held against the floor of 40 psi.

Floor: 40 psi least pressure between laminations in service (AASHTO Guide Specification for stress-laminated decks 1991
[memory]); force per bar at the floor F = N s t, statics.
"""

from dataclasses import dataclass
from datetime import date

from inventory.mechanics.bars import bar_force_lb, pressure_psi

from .clocks import intervals
from .clocks.bars import BarsFacts, standing_forces


@dataclass(frozen=True, kw_only=True)
class BarPlace:
    """One bar: force (lb), pressure (psi) and day of the reading that stands; None where none does, which is low."""

    number: int
    level: str
    station_ft: float
    force_lb: float | None
    pressure_psi: float | None
    read_on: date | None
    is_low: bool


def bar_places(facts: BarsFacts) -> list[BarPlace]:
    """Every bar of a span in the order of its place, with the reading since the last stressing."""
    standing = standing_forces(facts)
    places = []
    for bar in sorted(facts.bars, key=lambda item: (item.level, item.station_ft, item.number)):
        read_on, force = standing.get(bar, (None, None))
        psi = None
        if force is not None:
            psi = pressure_psi(force_lb=force, spacing_in=facts.spacing_in, thickness_in=facts.thickness_in)
        places.append(
            BarPlace(
                number=bar.number,
                level=bar.level,
                station_ft=bar.station_ft,
                force_lb=force,
                pressure_psi=psi,
                read_on=read_on,
                is_low=psi is None or psi < intervals.BAR_FLOOR_PSI,
            )
        )
    return places


def floor_force_lb(facts: BarsFacts) -> float:
    """Force in one bar at the floor pressure, lb."""
    return bar_force_lb(
        pressure_psi=intervals.BAR_FLOOR_PSI, spacing_in=facts.spacing_in, thickness_in=facts.thickness_in
    )
