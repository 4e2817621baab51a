"""One load against one structure as it stands: rated from the standing snapshot, kept nowhere."""

from dataclasses import dataclass, replace

from inspections.assembly.snapshot import Snapshot
from inspections.rules.proposal import place_of
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import NotRated, rate_structure
from inventory.mechanics.vehicle import Vehicle

ALONE, AMONG_TRAFFIC = "alone", "traffic"
LIVE_FACTORS = {ALONE: 1.10, AMONG_TRAFFIC: 1.40}
"""Permit load factors: one trip, escorted and no other vehicle on the span; one trip among other traffic (Manual for
Bridge Evaluation Table 6A.4.5.4.2a-1 [memory])."""
SOURCE = "Manual for Bridge Evaluation 6A.4.5, 6B.8 [memory]"
CAUTIONS = (
    "This is a screening, not a permit: the engineer of record decides, and the State's permit office where its law "
    "says so.",
    "Only what is on record was rated. What nobody measured, or found after the last inspection, is not in it.",
    "Axle weights are those typed. A load that is not weighed is often heavier than its papers say.",
    "It holds for a slow crossing in its lane, without braking or stopping on the span.",
)


@dataclass(frozen=True, kw_only=True)
class FactorLine:
    """One factor of the load: method, level, factor (1 and more passes), and what governs."""

    method: str
    level: str
    rating_factor: float
    live_factor: float
    governs: str

    @property
    def passes(self) -> bool:
        return self.rating_factor >= 1.0


@dataclass(frozen=True, kw_only=True)
class Crossing:
    """The answer for one load: factors of both methods, or the reasons why there are none."""

    gross_tons: float
    lines: tuple[FactorLine, ...] = ()
    reasons: tuple[str, ...] = ()
    flags: tuple[str, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def permit(self) -> FactorLine | None:
        return next((line for line in self.lines if line.level == "permit"), None)

    @property
    def passes(self) -> bool:
        """True where the permit factor and the operating factor both reach 1, and nothing calls for the engineer."""
        needed = [line for line in self.lines if line.level in ("permit", "operating")]
        return len(needed) == 2 and all(line.passes for line in needed) and not self.flags


def crossing_of(snapshot: Snapshot, *, vehicle: Vehicle, circumstance: str) -> Crossing:
    """The load's factors; `circumstance` is "alone" or "traffic". Never raises for what cannot be rated."""
    load = replace(vehicle, vehicle_class="permit")
    policy = replace(snapshot.policy, permit_live_factor=LIVE_FACTORS[circumstance])
    if snapshot.missing or snapshot.closing:
        return Crossing(gross_tons=load.gross_tons, reasons=(*snapshot.missing, *snapshot.closing))
    try:
        answer = rate_structure(snapshot.cases, (load,), policy, snapshot.caps)
    except OutsideValidity as refusal:
        return Crossing(gross_tons=load.gross_tons, reasons=(str(refusal),))
    flags = tuple(dict.fromkeys([*snapshot.critical, *answer.flags]))
    if isinstance(answer, NotRated):
        return Crossing(gross_tons=load.gross_tons, reasons=tuple(answer.reasons), flags=flags)
    return Crossing(gross_tons=load.gross_tons, lines=_lines(answer, load), flags=flags)


def _lines(answer, load: Vehicle) -> tuple[FactorLine, ...]:
    lines = [
        FactorLine(
            method="Load and resistance factor",
            level=row.level,
            rating_factor=row.rating_factor,
            live_factor=row.live_factor,
            governs=place_of(row.as_dict()),
        )
        for row in answer.load_factor
        if row.vehicle == load.id
    ]
    for row in answer.governing:
        if row.vehicle == load.id:
            for level, factor in (("inventory", row.inventory_factor), ("operating", row.operating_factor)):
                lines.append(
                    FactorLine(
                        method="Allowable stress",
                        level=level,
                        rating_factor=factor,
                        live_factor=1.0,
                        governs=place_of(row.as_dict()),
                    )
                )
    return tuple(lines)
