"""A vehicle as a train of axles, with the lane load that may take its place."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.errors import OutsideValidity, require_range
from inventory.mechanics.tables import vehicles as table

GAUGE_FT = 6.0
"""Distance between the two wheel lines, ft (AASHTO Standard Specifications 3.7, memory)."""
CLASSES = ("design", "legal", "shv", "screen", "emergency", "county", "permit")
SIGN_CLASSES = ("single_unit", "combination", "two_trailers")


@dataclass(frozen=True, kw_only=True)
class LaneLoad:
    """Uniform load kip/ft with one concentrated load, kip: one for moment, one for shear."""

    uniform_klf: float
    moment_kip: float
    shear_kip: float


@dataclass(frozen=True, kw_only=True)
class Vehicle:
    """Axle weights (kip) front to rear and the spacings (ft) between them; one spacing may vary from least to most.

    ``spacings_ft`` holds (least, most) for each gap. ``relieving_axles_dropped``: axles that would reduce the effect
    sought are left out (notional load, design trucks). ``together_plf`` is a uniform load of the lane, lb/ft, standing
    with the axles on the parts that add; ``instead_kip``, ``instead_spacings_ft`` other axles that may take the place
    of its own (HL-93: lane and tandem). ``sign_class`` says on which line of a sign of three classes its limit counts.
    Raises ``OutsideValidity`` for weights not above zero, more than 20 axles, or spacings that do not fit.
    """

    id: str
    name: str
    vehicle_class: str = "county"
    axles_kip: tuple[float, ...]
    spacings_ft: tuple[tuple[float, float], ...]
    lane: LaneLoad | None = None
    relieving_axles_dropped: bool = False
    together_plf: float = 0.0
    instead_kip: tuple[float, ...] = ()
    instead_spacings_ft: tuple[tuple[float, float], ...] = ()
    sign_class: str = "single_unit"
    source: str = "county record"
    mark: str = "input"

    def __post_init__(self) -> None:
        source = f"axle train {self.id}"
        for name, value, valid in (
            ("class", self.vehicle_class, CLASSES),
            ("sign class", self.sign_class, SIGN_CLASSES),
        ):
            if value not in valid:
                raise OutsideValidity(name=name, value=value, valid=", ".join(valid), source=source)
        require_range(name="load of the lane", value=self.together_plf, least=0, most=5000, unit="lb/ft", source=source)
        _check_train(self.axles_kip, self.spacings_ft, source)
        if self.instead_kip or self.instead_spacings_ft:
            _check_train(self.instead_kip, self.instead_spacings_ft, f"{source}, axles in place of its own")

    @property
    def gross_kip(self) -> float:
        return sum(self.axles_kip)

    @property
    def gross_tons(self) -> float:
        """Gross weight in short tons of 2,000 lb."""
        return self.gross_kip / 2.0

    @property
    def heaviest_wheel_lb(self) -> float:
        """Half the heaviest axle, lb."""
        return max(self.axles_kip) * 500.0


def _check_train(axles_kip: tuple[float, ...], spacings_ft: tuple[tuple[float, float], ...], source: str) -> None:
    require_range(name="number of axles", value=len(axles_kip), least=1, most=20, source=source)
    if len(spacings_ft) != len(axles_kip) - 1:
        raise OutsideValidity(
            name="number of axle spacings",
            value=len(spacings_ft),
            valid=f"one less than the {len(axles_kip)} axles",
            source=source,
        )
    if sum(1 for least, most in spacings_ft if most != least) > 1:
        raise OutsideValidity(name="variable spacings", value="more than one", valid="at most one", source=source)
    for axle in axles_kip:
        require_range(name="axle weight", value=axle, above=0, most=200, unit="kip", source=source)
    for least, most in spacings_ft:
        require_range(name="axle spacing", value=least, above=0, most=200, unit="ft", source=source)
        require_range(name="longest axle spacing", value=most, least=least, most=200, unit="ft", source=source)


def _standard() -> dict[str, Vehicle]:
    found = {"HL93": _hl93()}
    for key, (name, kind, axles, gaps, lane, dropped, source, mark) in table.ROWS.items():
        found[key] = Vehicle(
            id=key,
            name=name,
            vehicle_class=kind,
            axles_kip=tuple(float(axle) for axle in axles),
            spacings_ft=tuple(
                (float(g[0]), float(g[1])) if isinstance(g, tuple) else (float(g), float(g)) for g in gaps
            ),
            lane=None if lane is None else LaneLoad(uniform_klf=lane[0], moment_kip=lane[1], shear_kip=lane[2]),
            relieving_axles_dropped=dropped,
            sign_class=table.SIGN_CLASS.get(key, "single_unit"),
            source=source,
            mark=mark,
        )
    return found


def _hl93() -> Vehicle:
    name, _kind, axles, gaps, _lane, dropped, source, mark = table.ROWS["HL93-TRUCK"]
    tandem = table.ROWS["HL93-TANDEM"]
    return Vehicle(
        id="HL93",
        name="HL-93 design load",
        vehicle_class="design",
        axles_kip=tuple(float(axle) for axle in axles),
        spacings_ft=((float(gaps[0]),) * 2, tuple(float(gap) for gap in gaps[1])),
        relieving_axles_dropped=dropped,
        together_plf=table.HL93_LANE_PLF,
        instead_kip=tuple(float(axle) for axle in tandem[2]),
        instead_spacings_ft=tuple((float(gap), float(gap)) for gap in tandem[3]),
        source=source,
        mark=mark,
    )


STANDARD_VEHICLES: dict[str, Vehicle] = _standard()


def find_vehicle(key: str) -> Vehicle:
    """A standard vehicle by its id; ``KeyError`` with the ids known."""
    if key not in STANDARD_VEHICLES:
        raise KeyError(f"No rating vehicle {key}; known are {', '.join(STANDARD_VEHICLES)}.")
    return STANDARD_VEHICLES[key]
