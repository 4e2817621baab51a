"""The least factor of each vehicle by each method, the HS quotation, and the results as steps of the calculation."""

from __future__ import annotations

from inventory.mechanics.trace import Trace
from inventory.mechanics.vehicle import Vehicle

from .policy import RatingPolicy
from .results import LEVELS, LOAD_FACTOR_LEVELS, LimitStateResult, LoadFactorRating, VehicleRating

ZERO_POSTING_FACTOR = 0.3


def _least(results, vehicle: str, method: str, level: str) -> LimitStateResult | None:
    found = (r for r in results if (r.vehicle, r.method, r.level) == (vehicle, method, level))
    return min(found, key=lambda result: result.rating_factor, default=None)


def safe_tons(*, factor: float, gross_tons: float) -> float:
    """Safe posting load (W/0.7)(RF - 0.3), tons: 0 at RF 0.3 and below, never above W (MBE 6A.8.3, memory)."""
    return min(gross_tons, max(0.0, gross_tons / 0.7 * (factor - ZERO_POSTING_FACTOR)))


def load_factor_ratings(
    *, results: tuple[LimitStateResult, ...], vehicles: tuple[Vehicle, ...], span: str
) -> tuple[LoadFactorRating, ...]:
    """Per vehicle and LRFR level the least over members and limit states."""
    found = []
    for vehicle in vehicles:
        for level in LOAD_FACTOR_LEVELS:
            least = _least(results, vehicle.id, "LRFR", level)
            if least is None:
                continue
            legal = level == "legal" and vehicle.vehicle_class != "screen"
            tons = safe_tons(factor=least.rating_factor, gross_tons=vehicle.gross_tons) if legal else None
            found.append(
                LoadFactorRating(
                    vehicle=vehicle.id,
                    name=vehicle.name,
                    vehicle_class=vehicle.vehicle_class,
                    gross_tons=vehicle.gross_tons,
                    level=level,
                    live_factor=least.live_factor,
                    rating_factor=least.rating_factor,
                    safe_tons=tons,
                    span=span,
                    member=least.member,
                    limit_state=least.limit_state,
                    station_ft=least.station_ft,
                )
            )
    return tuple(found)


def governing_ratings(
    *,
    results: tuple[LimitStateResult, ...],
    vehicles: tuple[Vehicle, ...],
    policy: RatingPolicy,
    span: str,
    load_factor: tuple[LoadFactorRating, ...] = (),
) -> tuple[VehicleRating, ...]:
    """Per vehicle the least allowable stress factors, and the factor and tons that post.

    Posting by allowable stress: between the two levels by policy. By load and resistance factor: the legal factor with
    its safe posting load where the vehicle has one. The place named is that of the factor that posts.
    """
    legal = {rating.vehicle: rating for rating in load_factor if rating.level == "legal"}
    found = []
    for vehicle in vehicles:
        least = [_least(results, vehicle.id, "ASR", level) for level in LEVELS]
        if None in least:
            continue
        inventory, operating = (result.rating_factor for result in least)
        factor = inventory + policy.posting_level * (operating - inventory)
        posting = {"posting_factor": factor, "posting_tons": factor * vehicle.gross_tons}
        at = least[1 if policy.posting_level == 1.0 else 0]
        if policy.posting_method == "LRFR" and vehicle.id in legal:
            at = legal[vehicle.id]
            ceiling = at.rating_factor * vehicle.gross_tons
            tons = ceiling if at.safe_tons is None or at.rating_factor >= 1.0 else at.safe_tons
            posting = {"posting_factor": at.rating_factor, "posting_tons": tons}
            posting |= {"posting_method": "LRFR", "ceiling_tons": ceiling}
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
                span=span,
                member=at.member,
                limit_state=at.limit_state,
                station_ft=at.station_ft,
                sign_class=vehicle.sign_class,
                **posting,
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
    rounding = policy.rounding.replace("_", " ")
    closed = f"closed below {policy.close_below_tons:g} tons (settings)."
    if policy.posting_method == "LRFR":
        return [
            f"Posting by load and resistance factor, legal loads of the {policy.load_factor_table} table; tons rounded "
            f"{rounding}; {closed}"
        ]
    if policy.posting_level == 0:
        level = "inventory"
    elif policy.posting_level == 1:
        level = "operating"
    else:
        level = f"{policy.posting_level:.0%} of the way from inventory to operating"
    return [f"Posting by allowable stress, level: {level}; tons rounded {rounding}; {closed}"]


def screen_notes(load_factor: tuple[LoadFactorRating, ...]) -> list[str]:
    """What the notional rating load says of specialised hauling vehicles (MBE 6A.8.2, memory)."""
    for rating in load_factor:
        if rating.vehicle_class == "screen":
            told = "no posting for specialised hauling vehicles is called for"
            if rating.rating_factor < 1.0:
                told = "specialised hauling vehicles are rated one by one"
            return [f"LRFR: the notional rating load has a factor of {rating.rating_factor:.2f}: {told}."]
    return []


_FORMULA = {
    "bending": ("S/12", "w x (L - x)/2", "M lane x g/2"),
    "hogging": ("S/12", "", "M lane x g/2"),
    "shear": ("I b/Q", "w (L/2 - d)", "0.50 (0.60 V_LU + V_LD), or V_LU x g on decks"),
    "bearing": ("A", "w L/2", "over bearing x g/2 + rest x g/2"),
    "interface": ("mu N t_f I / Q_side", "w L/2", "end shear x g/2"),
}
_STRESS = {
    "ASR": {"bending": "F_b' ", "hogging": "F_b' hogging ", "shear": "F_v' ", "bearing": "F_cp' "},
    "LRFR": {"bending": "phi F_b ", "hogging": "phi F_b hogging ", "shear": "phi F_v ", "bearing": "phi F_cp "},
}


def trace_results(trace: Trace, results: tuple[LimitStateResult, ...], *, continuous: bool = False) -> None:
    """Record every result: lane effect, share, live, dead, capacity and factor, grouped by member and limit state.

    ``continuous`` where the effects are those of a line over piers.
    """
    begun = set()
    for result in results:
        _capacity, dead, live = _FORMULA.get(result.limit_state, ("", "w", "by the share"))
        statics = "simple-span statics"
        if result.as_simple:
            statics = "simple-span statics: a bearing would lift"
        elif continuous and result.limit_state in _FORMULA:
            dead, statics = "continuous line, what adds", "influence lines of the unit"
        trace.heading(f"{result.limit_state.capitalize()}, {result.method}: {result.member}, {result.vehicle}")
        where = f"at {result.station_ft:.2f} ft"
        key = (result.member, result.limit_state, result.vehicle, result.method, result.station_ft)
        if key not in begun:
            begun.add(key)
            share, source = result.distribution_rule, result.distribution_source
            trace.add("lane effect", result.lane_effect, result.unit, where, statics, "computed")
            trace.add("g", result.distribution_factor, "wheel lines", share, source, _mark(source))
            trace.add("L", result.live_effect, result.unit, live, "distribution", "computed")
            trace.add("D", result.dead_effect, result.unit, dead, "statics", "computed")
            if result.method == "LRFR":
                dw = result.wearing_effect
                trace.add("DW", dw, result.unit, "surfacing's part of D; DC = D - DW", "statics", "computed")
        _trace_level(trace, result, where)


def _trace_level(trace: Trace, result: LimitStateResult, where: str) -> None:
    level, state = result.level, result.limit_state
    words = _STRESS[result.method].get(state, "") + _FORMULA.get(state, ("strength",))[0]
    source, mark = "MBE 6B.5.2.7", "memory"
    formula, clause = "(C - D)/L, not below 0", "MBE 6B.4.1"
    if result.method == "LRFR":
        words = f"{result.resistance_factor:.3f} x {words}"
        source, clause = "MBE 6A.4.2.1: phi_c phi_s, not below 0.85", "MBE 6A.4.2.1"
        formula = f"(C - {result.dc_factor:g} DC - {result.dw_factor:g} DW)/({result.live_factor:.3g} L), not below 0"
    elif level == "operating" and state != "interface":
        words = f"1.33 x {words}"
    if state == "interface":
        source, mark = "interface of web and flange", "model"
    trace.add(f"C {level}", result.capacity, result.unit, f"{words} {where}", source, mark)
    trace.add(f"RF {level}", result.rating_factor, "", formula, clause, "memory")


def _mark(source: str) -> str:
    return source.rsplit("(", 1)[-1].rstrip(")")
