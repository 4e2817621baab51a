"""Anchorage of the bars: bearing on the edge lamination, size and thickness of the plate, a channel, crushing found.

A_p >= F/F_cp', longer side at most twice the shorter, t_p = sqrt(3 f_bp k2/F_s): EM 7700-8 chapter 9 (memory).
"""

from __future__ import annotations

from inventory.mechanics.bars import anchor_plate_thickness_in
from inventory.mechanics.errors import require_range
from inventory.mechanics.material import Service, bearing_stress

from .cases import SpanCase
from .hardware import BarHardware
from .pressed_check import PressedCheck, check

EM = "EM 7700-8 chapter 9"
CRUSHED_LIMIT_IN = 0.125
"""Crushing under a plate deeper than this is recorded and the bearing computed anew (``model``)."""
ASPECT = (0.5, 2.0)
STEEL_WORKING = 0.55
"""F_s = 0.55 F_y of an anchor plate (EM 7700-8 chapter 9, memory)."""
FULL_BEARING_IN = 6.0
"""A plate bears near the end of the bar's reach: no increase for a short bearing (C_b 1)."""


def anchorage_checks(case: SpanCase, hardware: BarHardware, force_lb: float) -> tuple[PressedCheck, ...]:
    """Every check of the anchorage under ``force_lb``, the greater of the standing and the stressing force."""
    allowed, why, mark = _edge_bearing(case, hardware)
    area, formula = _bearing_area(hardware)
    stress = force_lb / area if area else None
    found = [
        check(
            name="Anchorage bearing on the edge",
            unit="psi",
            demand=stress,
            limit=allowed,
            formula=f"F/A_p <= F_cp', {formula}, F = {force_lb:,.0f} lb; {why}",
            source=f"{EM}; NDS 3.10",
            mark=mark,
            told="Plate size or edge lamination is not on record: the bearing is not checked."
            if stress is None or allowed is None
            else f"The edge lamination crushes under the anchorage: {stress:.0f} psi on {allowed:.0f} psi.",
        )
    ]
    found += _plate_checks(hardware, force_lb, stress)
    if hardware.crushed_in is not None:
        found.append(_crushing_check(hardware.crushed_in))
    return tuple(found)


def _crushing_check(depth_in: float) -> PressedCheck:
    require_range(name="crushing under a plate", value=depth_in, least=0, most=12, unit="in", source=EM)
    return check(
        name="Crushing under a plate",
        unit="in",
        demand=depth_in,
        limit=CRUSHED_LIMIT_IN,
        formula="depth found <= 1/8 in",
        source="stress-laminated decks, anchorage",
        mark="model",
        told=f"A plate has crushed the edge by {depth_in:g} in: expect lost force, read its bar, and give it a larger "
        "plate or a harder edge.",
    )


def _edge_bearing(case: SpanCase, hardware: BarHardware) -> tuple[float | None, str, str]:
    """F_cp' of the edge lamination; where it is not on record the softest member of the span stands for it."""
    value = hardware.edge_material
    if value is None:
        woods = [member.flange_material or member.material for member in case.members]
        value = min(woods, key=lambda wood: wood.fc_perp_psi, default=None)
    if value is None:
        return None, "edge lamination not on record", "memory"
    taken = "" if hardware.edge_material else ", edge lamination not on record: that of the span"
    service = Service(wet=case.wet_service, temperature_f=case.service_temperature_f)
    allowed = bearing_stress(value=value, service=service, length_in=FULL_BEARING_IN)
    factors = " x ".join(f"{factor.value:g}" for factor in allowed.factors)
    return allowed.stress_psi, f"F_cp' = {allowed.reference_psi:g} x {factors}, {value.species}{taken}", value.mark


def _bearing_area(hardware: BarHardware) -> tuple[float | None, str]:
    """Plate area, or the channel's height by the length that serves one bar."""
    if hardware.channel_height_in and hardware.channel_length_in:
        area = hardware.channel_height_in * hardware.channel_length_in
        return area, f"A_p = {hardware.channel_height_in:g} x {hardware.channel_length_in:g} in of channel"
    if hardware.plate_width_in and hardware.plate_height_in:
        return hardware.plate_width_in * hardware.plate_height_in, (
            f"A_p = {hardware.plate_width_in:g} x {hardware.plate_height_in:g} in"
        )
    return None, "A_p not on record"


def _plate_checks(hardware: BarHardware, force_lb: float, stress_psi: float | None) -> list[PressedCheck]:
    found = []
    width, height = hardware.plate_width_in, hardware.plate_height_in
    if hardware.channel_length_in:
        found.append(
            check(
                name="Channel length for one bar",
                unit="in",
                demand=hardware.channel_length_in,
                limit=hardware.spacing_in,
                formula="effective length <= s",
                source=EM,
                mark="memory",
                told="Two bars cannot count on the same length of channel.",
            )
        )
    if not (width and height):
        return found
    aspect = max(width / height, height / width)
    found.append(
        check(
            name="Plate aspect",
            unit="",
            demand=aspect,
            limit=ASPECT[1],
            formula="longer over shorter side <= 2 (0.5 to 2.0)",
            source=EM,
            mark="memory",
            told="The plate is more than twice as long as wide: its ends press less than the area says.",
        )
    )
    if stress_psi is not None and hardware.nut_plate_in and hardware.yield_psi:
        overhang = max(0.0, max(width, height) - hardware.nut_plate_in) / 2.0
        needed = anchor_plate_thickness_in(
            force_lb=force_lb,
            plate_area_in2=width * height,
            overhang_in=overhang,
            steel_psi=STEEL_WORKING * hardware.yield_psi,
        )
        found.append(
            check(
                name="Plate thickness",
                unit="in",
                demand=needed,
                limit=hardware.plate_thickness_in,
                formula=f"sqrt(3 f_bp k2/F_s) <= t_p, k = {overhang:g} in, F_s = 0.55 F_y",
                source=EM,
                mark="memory",
                told=f"The plate bends: it needs {needed:.2f} in."
                if hardware.plate_thickness_in
                else f"The plate's thickness is not on record; it needs {needed:.2f} in.",
            )
        )
    return found
