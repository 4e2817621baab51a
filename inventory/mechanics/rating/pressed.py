"""Limit states of a stressed span that its bars, plates and pressure must hold, each as demand against limit.

No gap at the soffit N >= 6 M_T/t2, no slip N >= 1.5 V_T/(mu t), the floor, web against flange, bar stress on the net
area (0.70 f_pu while a jack is on it and standing), plate bearing on the edge lamination, plate thickness, steel ratio.
Sources: EM 7700-8 chapter 9; AASHTO Guide Specification for stress-laminated decks 1991; AASHTO LRFD 9.9.5.6 (memory).
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.bars import (
    FRICTION,
    PressureWorth,
    bar_force_lb,
    bar_limit_lb,
    initial_pressure_psi,
    steel_ratio,
)
from inventory.mechanics.bars.pressure import STEEL_RATIO_LIMIT
from inventory.mechanics.errors import require_range

from .anchored import anchorage_checks
from .cases import SpanCase
from .hardware import BarHardware
from .policy import RatingPolicy
from .pressed_check import PressedCheck, check

EM = "EM 7700-8 chapter 9"


@dataclass(frozen=True, kw_only=True)
class TransverseDemand:
    """M_T (in-lb/in) and V_T (lb/in) across laminations ``thickness_in`` deep under a vehicle, with their source."""

    moment_inlb_in: float
    shear_lb_in: float
    thickness_in: float
    vehicle: str
    source: str
    mark: str = "model"


def pressed_checks(
    *,
    case: SpanCase,
    policy: RatingPolicy,
    worth: PressureWorth,
    demand: TransverseDemand | None = None,
    interface: tuple[PressedCheck, ...] = (),
) -> tuple[PressedCheck, ...]:
    """Every check of a stressed span, in the order pressure, web and flange, bars, anchorage.

    ``interface`` are the web-to-flange checks of T and box webs (``interface_check``). Without ``demand`` the needed
    pressure is the engineer's or the floor. Raises ``OutsideValidity`` for bars of no area, no spacing and the like.
    """
    hardware = case.bars.hardware
    found = [*_pressure_checks(case, policy, worth, demand), *interface]
    if hardware is None:
        return tuple(found)
    force = standing_and_stressing_lb(hardware=hardware, worth=worth, policy=policy)
    return tuple(found) + _bar_checks(hardware, force) + anchorage_checks(case, hardware, max(force))


def standing_and_stressing_lb(
    *, hardware: BarHardware, worth: PressureWorth, policy: RatingPolicy
) -> tuple[float, float]:
    """Force per bar now (N s t) and at stressing: the design force, else 2.5 x the larger of need and floor.

    Bars in pairs share the stressing force; the pressure read is that of either level alone, so N s t stays whole.
    """
    require_range(name="bars in one line", value=hardware.bars_in_line, least=1, most=4, source=EM)
    sizes = {"spacing_in": hardware.spacing_in, "thickness_in": hardware.thickness_in}
    standing = bar_force_lb(pressure_psi=worth.pressure_psi, **sizes)
    if hardware.design_force_lb is not None:
        name = "design force of a bar"
        return standing, require_range(name=name, value=hardware.design_force_lb, above=0, unit="lb", source=EM)
    initial = initial_pressure_psi(design_psi=max(worth.needed_psi, policy.pressure_floor_psi))
    return standing, bar_force_lb(pressure_psi=initial, **sizes) / hardware.bars_in_line


def interface_check(
    *, member: str, shears_lb: dict[str, float], slip_lb: float, probe_psi: float, standing_psi: float
) -> PressedCheck:
    """Pressure at which friction on a web's side carries the worst vehicle's whole shear, against the standing one.

    ``slip_lb`` = mu N t_f I/Q_side at ``probe_psi`` is in proportion to N, so the need is probe x V/V slip (model).
    ``shears_lb`` by vehicle, dead load included.
    """
    source = "interface of web and flange"
    require_range(name="pressure", value=probe_psi, above=0, unit="psi", source=source)
    require_range(name="shear at slip", value=slip_lb, above=0, unit="lb", source=source)
    needs = {vehicle: probe_psi * shear / slip_lb for vehicle, shear in shears_lb.items()}
    worst = max(needs, key=needs.get)
    short = ", ".join(vehicle for vehicle, need in needs.items() if need > standing_psi)
    return check(
        name=f"No slip of web and flange, {member}, {worst}",
        unit="psi",
        demand=needs[worst],
        limit=standing_psi,
        formula="V Q_side/(I mu t_f) <= N, V dead and live at the support",
        source=source,
        mark="model",
        told=f"{member}: friction does not carry the whole shear of {short}; the web then works alone.",
    )


def _pressure_checks(case, policy, worth, demand: TransverseDemand | None) -> list[PressedCheck]:
    """Gap and slip where the demand is known, the need as it stands, and the floor."""
    pressure, found = worth.pressure_psi, []
    if demand is not None:
        thickness = demand.thickness_in
        friction = FRICTION[case.bars.surface]
        told = f"Laminations {{}} under {demand.vehicle} below {{:.0f}} psi."
        gap = 6.0 * demand.moment_inlb_in / thickness**2
        slip = 1.5 * demand.shear_lb_in / (friction * thickness)
        for name, need, formula, verb in (
            ("No gap at the soffit", gap, "6 M_T/t2 <= N", "open at the soffit"),
            ("No slip between laminations", slip, f"1.5 V_T/(mu t) <= N, mu = {friction}", "slip"),
        ):
            found.append(
                check(
                    name=f"{name}, {demand.vehicle}",
                    unit="psi",
                    demand=need,
                    limit=pressure,
                    formula=formula,
                    source=f"{EM}; {demand.source}",
                    mark=demand.mark,
                    told=told.format(verb, need),
                )
            )
    told = f"The least local pressure is {pressure:.0f} psi, below"
    floor, need = policy.pressure_floor_psi, worth.needed_psi
    found.append(
        check(
            name="Pressure needed",
            unit="psi",
            demand=need,
            limit=pressure,
            formula="larger of gap, slip and the engineer's value; the floor where none is given",
            source=EM,
            mark="memory",
            told=f"{told} the {need:.0f} psi needed.",
        )
    )
    found.append(
        check(
            name="Least pressure in service",
            unit="psi",
            demand=floor,
            limit=pressure,
            formula=f"{floor:g} psi <= N, least mean over three bars or 10 ft",
            source="AASHTO LRFD 9.9.5.6 commentary; owner policy",
            mark="memory",
            told=f"{told} the floor of {floor:g} psi: re-tension.",
        )
    )
    return found


def _bar_checks(hardware: BarHardware, force: tuple[float, float]) -> tuple[PressedCheck, ...]:
    most = bar_limit_lb(net_area_in2=hardware.net_area_in2, tensile_psi=hardware.tensile_psi)
    limit_psi = most / hardware.net_area_in2
    ratio = steel_ratio(
        bar_area_in2=hardware.net_area_in2 * hardware.bars_in_line,
        spacing_in=hardware.spacing_in,
        thickness_in=hardware.thickness_in,
    )
    stressing = "design force" if hardware.design_force_lb is not None else "2.5 x N needed x s t"
    told = "A bar is above 0.70 f_pu {}: nobody in line with it, and the engineer decides before a jack is set."
    common = {"unit": "psi", "limit": limit_psi, "source": f"{EM}; ASTM A722", "mark": "memory"}
    return (
        check(
            name="Bar stress while stressing",
            demand=force[1] / hardware.net_area_in2,
            formula=f"F/A_net <= 0.70 f_pu, F = {stressing} = {force[1]:,.0f} lb; lift-off and jack's peak included",
            told=told.format("at the stressing force"),
            **common,
        ),
        check(
            name="Bar stress standing",
            demand=force[0] / hardware.net_area_in2,
            formula=f"N s t/A_net <= 0.70 f_pu, N s t = {force[0]:,.0f} lb",
            told=told.format("as it stands"),
            **common,
        ),
        check(
            name="Steel to wood",
            unit="",
            demand=ratio,
            limit=STEEL_RATIO_LIMIT,
            formula="A_s/(s t) <= 0.0016",
            source="AASHTO LRFD 9.9.5.6.2",
            mark="memory",
            told="More steel than 0.0016 of the wood: the force falls faster as the wood shrinks.",
        ),
    )
