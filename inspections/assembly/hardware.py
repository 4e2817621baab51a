"""Bars, plates and edge laminations of a span from their rows, for the checks of a stressed span."""

from collections.abc import Iterable

from inspections.models import Finding
from inspections.vocabulary.findings import FindingKind
from inventory.mechanics.rating import DESIGN_VALUES, DesignValue
from inventory.mechanics.rating.hardware import BarHardware
from inventory.models import Bar, StressingSystem

PSI_PER_KSI = 1000.0


def bar_hardware(*, system: StressingSystem, bars: Iterable[Bar], findings: Iterable[Finding]) -> BarHardware:
    """The kernel's view of one stressing system; crushing is the deepest found under any of its plates."""
    levels = {bar.level for bar in bars}
    crushed = [
        finding.depth_in
        for finding in findings
        if finding.kind == FindingKind.CRUSHING
        and finding.bar is not None
        and finding.bar.system_id == system.pk
        and finding.depth_in is not None
    ]
    return BarHardware(
        spacing_in=system.spacing_in,
        thickness_in=system.stressed_depth_in,
        net_area_in2=system.bar_area_in2,
        bars_in_line=max(1, len(levels)),
        tensile_psi=system.fpu_ksi * PSI_PER_KSI,
        design_force_lb=system.design_force_lb,
        plate_width_in=system.plate_width_in,
        plate_height_in=system.plate_height_in,
        plate_thickness_in=system.plate_thickness_in,
        nut_plate_in=system.nut_plate_in,
        yield_psi=None if system.plate_yield_ksi is None else system.plate_yield_ksi * PSI_PER_KSI,
        channel_height_in=system.channel_height_in,
        channel_length_in=system.channel_length_in,
        edge_material=edge_material(system.edge_species),
        crushed_in=max(crushed, default=None),
    )


def edge_material(species: str) -> DesignValue | None:
    """The softest published value of a species named on the record; None where the name is on no table.

    "Oak" finds red oak: a name matches where one holds the other. Bearing values do not hang on the grade.
    """
    name = species.strip().casefold()
    if not name:
        return None
    found = [
        value
        for value in DESIGN_VALUES
        if value.kind in ("dimension", "timber")
        and (name in value.species.casefold() or value.species.casefold() in name)
    ]
    return min(found, key=lambda value: value.fc_perp_psi, default=None)
