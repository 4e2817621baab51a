"""The checks of a stressed span put together from its case: the need by the plate, friction on the webs, the bars."""

from __future__ import annotations

from dataclasses import replace

from inventory.mechanics.bars import PressureWorth
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle, find_vehicle

from .beams import build_beam
from .build import Build, span_pressure_worth
from .cases import SpanCase
from .needed import needed_pressure
from .policy import RatingPolicy
from .pressed import TransverseDemand, interface_check, pressed_checks
from .pressed_check import PressedCheck

PROBE_PSI = 100.0
WEBS = ("stress_laminated_t", "stress_laminated_box")


def span_pressed_checks(
    *, case: SpanCase, policy: RatingPolicy, vehicles: tuple[str | Vehicle, ...]
) -> tuple[PressedCheck, ...]:
    """Every check of a span with bars under the worst of the vehicles; empty for a span without bars.

    Raises ``OutsideValidity`` where the case lies outside the range of a rule, as the rating does.
    """
    if case.bars is None or not case.members or not vehicles:
        return ()
    train = tuple(find_vehicle(v) if isinstance(v, str) else v for v in vehicles)
    worth = span_pressure_worth(case, policy, Trace(), train)
    return pressed_checks(
        case=case,
        policy=policy,
        worth=worth,
        demand=_demand(case, policy, train),
        interface=_interface(case, policy, worth, train),
    )


def _demand(case: SpanCase, policy: RatingPolicy, train: tuple[Vehicle, ...]) -> TransverseDemand | None:
    """M_T and V_T of the vehicle that needs the most pressure, by the plate; M_T is what the pressed flange takes."""
    needed = needed_pressure(case=case, policy=policy, vehicles=train)
    if needed is None:
        return None
    worst, depth = needed.worst, needed.thickness_in
    return TransverseDemand(
        moment_inlb_in=worst.gap_psi * depth**2 / 6.0,
        shear_lb_in=worst.shear_lb_per_in,
        thickness_in=depth,
        vehicle=worst.vehicle,
        source="plate, wheels spread at 45 degrees to mid-depth",
    )


def _interface(
    case: SpanCase, policy: RatingPolicy, worth: PressureWorth, train: tuple[Vehicle, ...]
) -> tuple[PressedCheck, ...]:
    """For each web the pressure at which friction carries the worst vehicle (``interface_check``)."""
    if case.system not in WEBS:
        return ()
    pressed = replace(worth, treatment="stressed", pressure_psi=PROBE_PSI)
    build, found = Build(case=case, policy=policy, worth=pressed), []
    for member in case.members:
        beam, shears = build_beam(build, member, Trace()), {}
        for vehicle in train:
            _factor, dead, _lane, live, _share = beam.interface_factor(vehicle)
            shears[vehicle.id] = dead + live
        found.append(
            interface_check(
                member=member.label,
                shears_lb=shears,
                slip_lb=beam.slip_lb,
                probe_psi=PROBE_PSI,
                standing_psi=worth.pressure_psi,
            )
        )
    return tuple(found)
