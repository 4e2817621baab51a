"""The levels at which each method rates a vehicle: RF = (ratio x C - dc DC - dw DW) / (live x L).

Allowable stress: inventory with the allowable stress for vehicle load, operating with 1.33 times it (Manual for Bridge
Evaluation 6B.4.1, 6B.5.2.7, memory). Load and resistance factor: HL-93 at design inventory and operating; legal,
specialised hauling, emergency and the county's own vehicles at legal; a vehicle entered for one trip at permit
(6A.4.2.1 to 6A.4.5, memory). No dynamic allowance on wood (6A.7.5, memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from inventory.mechanics.material import OPERATING
from inventory.mechanics.tables import load_factors as table
from inventory.mechanics.vehicle import Vehicle

from .cases import SpanCase
from .policy import RatingPolicy

LEGAL_CLASSES = ("legal", "shv", "screen", "emergency", "county")
MBE = "Manual for Bridge Evaluation"


@dataclass(frozen=True, kw_only=True)
class Level:
    """One method and level: ``ratio`` on the strength, factors on DC, DW and the vehicle, the limit state's group.

    ``strength`` names the time effect of LRFD ("strength I" or "strength II"), "" in allowable stress.
    """

    method: str
    name: str
    ratio: float
    dc: float
    dw: float
    live: float
    strength: str
    source: str

    def factor(self, *, capacity: float, dc_effect: float, dw_effect: float, live_effect: float) -> float:
        """RF, below zero where dead load alone is too much; ``capacity`` before ``ratio``, effects unfactored."""
        room = capacity * self.ratio - self.dc * dc_effect - self.dw * dw_effect
        return room / (self.live * live_effect)


ASR_LEVELS = tuple(
    Level(method="ASR", name=name, ratio=ratio, dc=1.0, dw=1.0, live=1.0, strength="", source=f"{MBE} 6B.4.1, 6B.5.2.7")
    for name, ratio in (("inventory", 1.0), ("operating", OPERATING))
)


def levels_of(
    *, vehicle: Vehicle, case: SpanCase, policy: RatingPolicy, method: str, girders: int | None = None
) -> tuple[Level, ...]:
    """The levels of one method for one vehicle; empty where the method does not rate it (design trucks in LRFR)."""
    if method == "ASR":
        return () if vehicle.id == "HL93" else ASR_LEVELS
    ratio = resistance_ratio(case=case, policy=policy, girders=girders)
    dw = wearing_factor(case)
    return tuple(
        Level(
            method="LRFR",
            name=name,
            ratio=ratio,
            dc=table.DC,
            dw=dw,
            live=live,
            strength="strength II" if name == "permit" else "strength I",
            source=f"{MBE} 6A.4",
        )
        for name, live in _live_factors(vehicle, case, policy)
    )


def wearing_factor(case: SpanCase) -> float:
    """gamma_DW: 1.25 where every layer was measured, else 1.50 (Table 6A.4.2.2-1, memory)."""
    return table.DW_MEASURED if all(layer.measured for layer in case.surfacing) else table.DW


def _live_factors(vehicle: Vehicle, case: SpanCase, policy: RatingPolicy) -> tuple[tuple[str, float], ...]:
    if vehicle.id == "HL93":
        return (("design inventory", table.DESIGN_INVENTORY), ("design operating", table.DESIGN_OPERATING))
    if vehicle.vehicle_class == "permit":
        return (("permit", policy.permit_live_factor),)
    if vehicle.vehicle_class == "emergency":
        return (("legal", table.EMERGENCY),)
    if vehicle.vehicle_class in LEGAL_CLASSES:
        hauling = vehicle.vehicle_class in ("shv", "screen")
        return (("legal", legal_factor(adtt=case.adtt, edition=policy.load_factor_table, hauling=hauling)),)
    return ()


def legal_factor(*, adtt: int | None, edition: str, hauling: bool = False) -> float:
    """gamma_LL of legal loads for ``adtt`` trucks a day one way, linear between the rows; not known is the greatest.

    ``edition`` "2013" or "2008" (``hauling``: the 2008 row of specialised hauling vehicles). Marks: memory.
    """
    rows = table.LEGAL_HAULING_2008 if hauling and edition == "2008" else table.LEGAL[edition]
    if adtt is None or adtt >= rows[-1][0]:
        return rows[-1][1]
    if adtt <= rows[0][0]:
        return rows[0][1]
    for (low, first), (high, second) in pairwise(rows):
        if adtt <= high:
            return first + (second - first) * (adtt - low) / (high - low)
    return rows[-1][1]


def condition_factor(*, case: SpanCase, policy: RatingPolicy) -> float:
    """phi_c by the component rating; not known counts as poor. Measured loss may raise it by 0.05 (policy)."""
    rating = case.condition_rating
    factor = table.CONDITION[-1][1]
    if rating is not None:
        factor = next(value for least, value in table.CONDITION if rating >= least)
    measured = any(loss.measured_by for member in case.members for loss in member.losses)
    if policy.raise_condition_where_measured and measured:
        factor = min(1.0, factor + table.CONDITION_RISE_MEASURED)
    return factor


def system_factor(*, case: SpanCase, girders: int | None) -> float:
    """phi_s: 1.00 for stringers and slabs; three girders or fewer 0.85, four at 4 ft and less 0.95 (6A.4.2.4)."""
    if case.system not in ("stringer", "stress_laminated_t", "stress_laminated_box") or girders is None:
        return table.SYSTEM
    if girders <= 3:
        return table.SYSTEM_THREE_GIRDERS
    spacings = [member.spacing_ft for member in case.members if member.spacing_ft]
    if girders == 4 and spacings and max(spacings) <= table.FOUR_CLOSE_FT:
        return table.SYSTEM_FOUR_CLOSE
    return table.SYSTEM


def resistance_ratio(*, case: SpanCase, policy: RatingPolicy, girders: int | None = None) -> float:
    """phi_c phi_s, not below 0.85."""
    product = condition_factor(case=case, policy=policy) * system_factor(case=case, girders=girders)
    return max(table.LEAST_PRODUCT, product)
