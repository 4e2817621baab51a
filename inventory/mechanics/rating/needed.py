"""The pressure a stressed span needs under the vehicles rated: no gap, no slip, and the floor.

N = max(6 M_T/t2, 1.5 V_T/(mu t), floor), M_T and V_T from the plate of the span with the wheels spread at 45 degrees
to mid-depth (``model``: thin-plate shear hangs on how a wheel is spread; so taken the floor governs ordinary decks, as
in practice); the values under bare tire prints stand beside them in the trace. Surfacing is not counted: it wears and
is milled off, and an overlay would otherwise let a slack deck rate higher.
Transverse stiffness at the measured pressure, not below that of 40 psi: a stiffer deck asks for a little more. The
worst of the vehicles counts. Two flanges of a box share M_T by their stiffness; V_T is on the upper one, where the
wheel stands. Sources: EM 7700-8 chapter 9, AASHTO Guide Specification 1991 (memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from inventory.mechanics.bars import FRICTION, needed_pressure_psi
from inventory.mechanics.distribution.plate_joints import joint_peaks
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.plate import Roadway, TransverseRatios, transverse_ratios
from inventory.mechanics.plate.stiffness import LEAST_PRESSURE_PSI
from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle, find_vehicle

from .cases import SpanCase
from .plates import roadway_on, slab_deck
from .policy import RatingPolicy
from .ribbed_plates import ribbed_deck

EM = "EM 7700-8 chapter 9"
MOST_KNOWN_PSI = 500.0


@dataclass(frozen=True, kw_only=True)
class VehicleNeed:
    """What one vehicle asks: M_T (lb-in per in), V_T (lb per in) and the pressures (psi) against gap and slip."""

    vehicle: str
    moment_lbin_per_in: float
    shear_lb_per_in: float
    gap_psi: float
    slip_psi: float

    @property
    def psi(self) -> float:
        return max(self.gap_psi, self.slip_psi)


@dataclass(frozen=True, kw_only=True)
class NeededPressure:
    """The need of every vehicle; ``psi`` the worst, not below ``floor_psi``; ``bare``: the worst under tire prints."""

    needs: tuple[VehicleNeed, ...]
    bare: VehicleNeed
    floor_psi: float
    thickness_in: float
    mu: float

    @property
    def worst(self) -> VehicleNeed:
        return max(self.needs, key=lambda need: need.psi)

    @property
    def psi(self) -> float:
        return max(self.worst.psi, self.floor_psi)


def needed_pressure(
    *, case: SpanCase, policy: RatingPolicy, vehicles: Iterable[str | Vehicle]
) -> NeededPressure | None:
    """The needed pressure of a stressed span; None without vehicles, or where no plate can be made of the record."""
    train = tuple(find_vehicle(v) if isinstance(v, str) else v for v in vehicles)
    if case.bars is None or not train or case.bars.surface not in FRICTION:
        return None
    try:
        found = _plate(case)
        if found is None:
            return None
        ask = _Asked(case, *found)
        needs = tuple(ask.need(vehicle, spread=True) for vehicle in train)
        worst = max(zip(needs, train, strict=True), key=lambda pair: pair[0].psi)[1]
        return NeededPressure(
            needs=needs,
            bare=ask.need(worst, spread=False),
            floor_psi=policy.pressure_floor_psi,
            thickness_in=ask.thickness_in,
            mu=FRICTION[case.bars.surface],
        )
    except OutsideValidity:
        return None


def _ratios(case: SpanCase) -> TransverseRatios:
    pressure = case.bars.least_local_pressure_psi or 0.0
    return transverse_ratios(pressure_psi=min(max(pressure, LEAST_PRESSURE_PSI), MOST_KNOWN_PSI))


def _plate(case: SpanCase) -> tuple[Roadway, float, float] | None:
    """Roadway with tire prints, depth of the slab or upper flange, and that flange's part of M_T."""
    ratios = _ratios(case)
    if case.system == "stress_laminated_deck":
        deck = slab_deck(case=case, member=case.members[0], ratios=ratios)
        return roadway_on(case, deck), case.members[0].depth_in, 1.0
    if case.system not in ("stress_laminated_t", "stress_laminated_box"):
        return None
    whole = replace(case, members=tuple(_counted(case, member) for member in case.members))
    found = ribbed_deck(case=whole, ratios=ratios)
    if isinstance(found, str):
        return None
    inner = next((member for member in case.members if not member.exterior), case.members[0])
    upper, lower = inner.flange_depth_in, inner.bottom_flange_depth_in or 0.0
    shared = upper**3 / (upper**3 + lower**3) if case.system == "stress_laminated_box" else 1.0
    return roadway_on(case, found.deck), upper, shared


def _counted(case: SpanCase, member):
    """Webs whose number is not on record: as many as the deck is wide."""
    if member.count or not member.spacing_ft:
        return member
    return replace(member, count=max(1, round(case.deck_width_ft / member.spacing_ft)))


@dataclass(frozen=True)
class _Asked:
    """The joints of one span, to be asked for one vehicle after another."""

    case: SpanCase
    roadway: Roadway
    thickness_in: float
    shared: float

    def need(self, vehicle: Vehicle, *, spread: bool) -> VehicleNeed:
        """``spread`` at 45 degrees from the top of the wood to mid-depth, else the bare tire print."""
        grown = self.thickness_in if spread else 0.0
        pressed = replace(
            self.roadway, length_in=self.roadway.length_in + grown, width_in=self.roadway.width_in + grown
        )
        moment, shear = joint_peaks(roadway=pressed, vehicle=vehicle, lanes=self.case.lanes_loaded)
        return VehicleNeed(
            vehicle=vehicle.id,
            moment_lbin_per_in=moment,
            shear_lb_per_in=shear,
            gap_psi=self._pressure(self.shared * moment, 0.0),
            slip_psi=self._pressure(0.0, shear),
        )

    def _pressure(self, moment: float, shear: float) -> float:
        return needed_pressure_psi(
            moment_inlb_in=moment,
            shear_lb_in=shear,
            thickness_in=self.thickness_in,
            surface=self.case.bars.surface,
            floor_psi=0.0,
        )


def trace_needed(trace: Trace, needed: NeededPressure) -> None:
    """M_T, V_T and the pressures of the worst vehicle, bare tire prints beside them, and the need of each vehicle."""
    worst, print_only, mu, t = needed.worst, needed.bare, needed.mu, needed.thickness_in
    spread, bare = "spread at 45 degrees to mid-depth", "bare tire print, for comparison"
    plate = f"plate, {EM}"
    trace.heading(f"Needed pressure, worst under {worst.vehicle}")
    rows = (
        ("M_T", worst.moment_lbin_per_in, "in-lb/in", spread, plate, "model"),
        ("V_T", worst.shear_lb_per_in, "lb/in", spread, plate, "model"),
        ("N gap", worst.gap_psi, "psi", f"6 M_T/t2, t = {t:g} in", EM, "memory"),
        ("N slip", worst.slip_psi, "psi", f"1.5 V_T/(mu t), mu = {mu:g}", EM, "memory"),
        ("M_T print", print_only.moment_lbin_per_in, "in-lb/in", bare, plate, "model"),
        ("V_T print", print_only.shear_lb_per_in, "lb/in", bare, plate, "model"),
        ("N gap print", print_only.gap_psi, "psi", "6 M_T/t2 of the bare print, not used", EM, "model"),
        ("N slip print", print_only.slip_psi, "psi", "1.5 V_T/(mu t) of the bare print, not used", EM, "model"),
    )
    for row in rows:
        trace.add(*row)
    for need in needed.needs:
        trace.add(f"N for {need.vehicle}", need.psi, "psi", "larger of gap and slip", EM, "model")
