"""Live loads of a lane as data: trucks, uniform and concentrated loads, and where each combination is asked for.

Truck or lane load: AASHTO Standard Specifications 3.7 and 3.11, with a second equal concentrated load in another span
for hogging (memory). HL-93: AASHTO LRFD 3.6.1.2 and 3.6.1.3 (memory). Legal lane-type load: AASHTO Manual for Bridge
Evaluation, 6A.4.4 (memory). All per lane, both wheel lines; wood takes no dynamic allowance.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from inventory.mechanics.tables.vehicles import HL93_LANE_PLF
from inventory.mechanics.vehicle import Vehicle, find_vehicle

from .critical import Arrangement, arrangements, following

HL93_PAIR_SHARE = 0.9
HL93_PAIR_GAP_FT = 50.0
LEGAL_LANE_PLF = 200.0
LEGAL_LANE_SHARE = 0.75
LEGAL_PAIR_GAP_FT = 30.0


@dataclass(frozen=True, kw_only=True)
class Combination:
    """Loads that stand together: trains (lb), a uniform load (lb/ft) and concentrated loads (lb).

    ``interior_only``: asked for hogging moments and the reactions of inner supports only; ``within_contraflexure``:
    hogging only at sections that hog under a uniform load on all spans too. ``second_point``: a second equal
    concentrated load in another span for hogging. ``relieving_dropped``: axles that reduce the effect are left out,
    on one span and on several; see ``vehicle_live`` for whose.
    """

    name: str
    trains: tuple[Arrangement, ...] = ()
    uniform_plf: float = 0.0
    moment_point_lb: float = 0.0
    shear_point_lb: float = 0.0
    second_point: bool = False
    interior_only: bool = False
    within_contraflexure: bool = False
    relieving_dropped: bool = True


@dataclass(frozen=True, kw_only=True)
class LaneLive:
    """A live load of one lane: the combination that does most counts. ``source`` and ``mark`` as everywhere."""

    name: str
    combinations: tuple[Combination, ...]
    source: str
    mark: str


def vehicle_live(*, vehicle: Vehicle) -> LaneLive:
    """The truck, or the lane load in its place where the vehicle has one, whichever does more.

    The lane load: uniform on the parts that add, one concentrated load at the peak (the heavier one for shears and
    reactions), for hogging a second in another span. Source: AASHTO Standard Specifications 3.7, 3.11 (memory).

    Axles that relieve are left out for the design trucks (LRFD 3.6.1.3.1, memory; the Standard Specifications take
    "a truck as a unit", so this is the harsher reading for H and HS) and for the notional load (Manual for Bridge
    Evaluation, D6A, memory). A legal, emergency, county or permit vehicle is one body: all its axles on the beam
    count, on one span and on several. No clause that lets them be left out is known to us (memory).
    """
    if vehicle.id == "HL93":
        return hl93_live()
    dropped = vehicle.relieving_axles_dropped
    parts = [Combination(name="truck", trains=arrangements(vehicle=vehicle), relieving_dropped=dropped)]
    if vehicle.lane is not None:
        parts.append(
            Combination(
                name="lane",
                uniform_plf=vehicle.lane.uniform_klf * 1000.0,
                moment_point_lb=vehicle.lane.moment_kip * 1000.0,
                shear_point_lb=vehicle.lane.shear_kip * 1000.0,
                second_point=True,
            )
        )
    return LaneLive(name=vehicle.name, combinations=tuple(parts), source=vehicle.source, mark=vehicle.mark)


def hl93_live() -> LaneLive:
    """HL-93: truck or tandem with 0.64 kip/ft; for hogging and inner reactions also 90 % of two trucks and that lane.

    Two trucks: rear axles 14 ft apart, at least 50 ft between the last axle of one and the first of the next, for
    hogging between the points of contraflexure under a uniform load on all spans and for inner reactions only.
    Source: AASHTO LRFD 3.6.1.2, 3.6.1.3.1 (memory).
    """
    truck, tandem = find_vehicle("HL93-TRUCK"), find_vehicle("HL93-TANDEM")
    pair = following(vehicle=truck, least_gap_ft=HL93_PAIR_GAP_FT, factor=HL93_PAIR_SHARE)
    return LaneLive(
        name="HL-93",
        combinations=(
            Combination(name="truck and lane", trains=arrangements(vehicle=truck), uniform_plf=HL93_LANE_PLF),
            Combination(name="tandem and lane", trains=arrangements(vehicle=tandem), uniform_plf=HL93_LANE_PLF),
            Combination(
                name="two trucks and lane",
                trains=pair,
                uniform_plf=HL93_PAIR_SHARE * HL93_LANE_PLF,
                interior_only=True,
                within_contraflexure=True,
            ),
        ),
        source="AASHTO LRFD 3.6.1.2 and 3.6.1.3",
        mark="memory",
    )


def load_factor_live(*, vehicle: Vehicle) -> LaneLive:
    """``vehicle_live``, for load and resistance factors: Type 3-3 with the pair and lane of ``legal_lane_live`` too.

    The pair counts for hogging and inner reactions beside the whole vehicle alone. Source: AASHTO Manual for Bridge
    Evaluation 6A.4.4.2.1 (memory).
    """
    live = vehicle_live(vehicle=vehicle)
    if vehicle.id != "TYPE3-3":
        return live
    pair = tuple(one for one in legal_lane_live().combinations if one.interior_only)
    return replace(live, combinations=live.combinations + pair)


def legal_lane_live() -> LaneLive:
    """Legal lane-type load: three quarters of a Type 3-3 with 0.2 kip/ft; two of them 30 ft apart for hogging.

    The single vehicle is asked for on spans over 200 ft only, beyond the range of this kernel, and stands here for
    comparison; two vehicles for hogging and inner reactions are asked for on any continuous span, all their axles
    counted. The relief for roads with few trucks (no lane, whole weight) is not taken. Source: AASHTO Manual for
    Bridge Evaluation 6A.4.4.2.1 (memory).
    """
    vehicle, share = find_vehicle("TYPE3-3"), LEGAL_LANE_SHARE
    pair = following(vehicle=vehicle, least_gap_ft=LEGAL_PAIR_GAP_FT, most_gap_ft=LEGAL_PAIR_GAP_FT, factor=share)
    return LaneLive(
        name="Legal lane-type load",
        combinations=(
            Combination(
                name="truck and lane",
                trains=arrangements(vehicle=vehicle, factor=share),
                uniform_plf=LEGAL_LANE_PLF,
                relieving_dropped=False,
            ),
            Combination(
                name="two trucks and lane",
                trains=pair,
                uniform_plf=LEGAL_LANE_PLF,
                interior_only=True,
                relieving_dropped=False,
            ),
        ),
        source="AASHTO Manual for Bridge Evaluation 6A.4.4",
        mark="memory",
    )
