"""The least factor of each vehicle, the HS quotation, and the results as steps of the calculation."""

from __future__ import annotations

from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle

from .policy import RatingPolicy
from .results import LEVELS, LimitStateResult, VehicleRating


def governing_ratings(
    *, results: tuple[LimitStateResult, ...], vehicles: tuple[Vehicle, ...], policy: RatingPolicy, span: str
) -> tuple[VehicleRating, ...]:
    """Per vehicle the least over members and limit states; the posting factor lies between the two levels.

    The place named is that of the inventory factor (of the operating factor where posting is at operating).
    """
    found = []
    for vehicle in vehicles:
        least = {
            level: min(
                (r for r in results if (r.vehicle, r.level) == (vehicle.id, level)), key=lambda r: r.rating_factor
            )
            for level in LEVELS
        }
        inventory, operating = (least[level].rating_factor for level in LEVELS)
        factor = inventory + policy.posting_level * (operating - inventory)
        at = least["operating" if policy.posting_level == 1.0 else "inventory"]
        found.append(
            VehicleRating(
                vehicle=vehicle.id,
                name=vehicle.name,
                vehicle_class=vehicle.vehicle_class,
                gross_tons=vehicle.gross_tons,
                inventory_factor=inventory,
                operating_factor=operating,
                inventory_tons=inventory * vehicle.gross_tons,
                operating_tons=operating * vehicle.gross_tons,
                posting_factor=factor,
                posting_tons=factor * vehicle.gross_tons,
                span=span,
                member=at.member,
                limit_state=at.limit_state,
                station_ft=at.station_ft,
            )
        )
    return tuple(found)


def hs_value(governing: tuple[VehicleRating, ...], level: str) -> float | None:
    """HS(20 RF): the number after HS, None where HS20 was not rated."""
    for rating in governing:
        if rating.vehicle == "HS20":
            return 20.0 * getattr(rating, level)
    return None


def policy_notes(policy: RatingPolicy) -> list[str]:
    """The settings that shaped the posting, in words."""
    if policy.posting_level == 0:
        level = "inventory"
    elif policy.posting_level == 1:
        level = "operating"
    else:
        level = f"{policy.posting_level:.0%} of the way from inventory to operating"
    rounding = policy.rounding.replace("_", " ")
    return [
        f"Posting level: {level}; tons rounded {rounding}; closed below {policy.close_below_tons:g} tons (settings)."
    ]


_FORMULA = {
    "bending": ("F_b' S/12", "w x (L - x)/2", "M lane x g/2"),
    "shear": ("F_v' I b/Q", "w (L/2 - d)", "0.50 (0.60 V_LU + V_LD), or V_LU x g on decks"),
    "bearing": ("F_cp' A", "w L/2", "over bearing x g/2 + rest x g/2"),
    "interface": ("mu N t_f I / Q_side", "w L/2", "end shear x g/2"),
}


def trace_results(trace: Trace, results: tuple[LimitStateResult, ...]) -> None:
    """Record every result: lane effect, share, live, dead, capacity and factor, grouped by member and limit state."""
    begun = set()
    for result in results:
        capacity, dead, live = _FORMULA[result.limit_state]
        trace.heading(f"{result.limit_state.capitalize()}: {result.member}, {result.vehicle}")
        where = f"at {result.station_ft:.2f} ft"
        key = (result.member, result.limit_state, result.vehicle, result.station_ft)
        if key not in begun:
            begun.add(key)
            share, source = result.distribution_rule, result.distribution_source
            trace.add("lane effect", result.lane_effect, result.unit, where, "simple-span statics", "computed")
            trace.add("g", result.distribution_factor, "wheel lines", share, source, _mark(source))
            trace.add("L", result.live_effect, result.unit, live, "distribution", "computed")
            trace.add("D", result.dead_effect, result.unit, dead, "statics", "computed")
        level = result.level
        slip = result.limit_state == "interface"
        words = capacity if level == "inventory" or slip else f"1.33 x {capacity}"
        source, mark = ("interface of web and flange", "model") if slip else ("MBE 6B.5.2.7", "memory")
        trace.add(f"C {level}", result.capacity, result.unit, f"{words} {where}", source, mark)
        trace.add(f"RF {level}", result.rating_factor, "", "(C - D)/L, not below 0", "MBE 6B.4.1", "memory")


def _mark(source: str) -> str:
    return source.rsplit("(", 1)[-1].rstrip(")")
