"""From rating factors to a posting suggestion (Manual for Bridge Evaluation 6A.8, 6B.7; rounding, level are policy).

Allowable stress: tons = RF x weight of the vehicle at the level chosen between inventory and operating; load and
resistance factor: the safe posting load. Whole tons, never above operating (RF x weight in LRFR), never above the
vehicle's own weight; a vehicle with RF of 1 and more needs no limit. Below 3 tons: close (MBE 6A.8.1, 23 CFR 650.313,
memory).
"""

from __future__ import annotations

from math import floor

from .policy import RatingPolicy
from .results import EmergencyLimits, PostingSuggestion, VehicleRating

CLOSING_FACTOR = 0.3
GENERAL = ("legal", "shv", "county")
EMERGENCY_SINGLE_AXLE_TONS = 33.5 / 2.0
EMERGENCY_TANDEM_TONS = 62.0 / 2.0


def rounded_tons(*, tons: float, ceiling_tons: float, rounding: str) -> float:
    """Whole tons by the policy, never above ``ceiling_tons`` (operating, and the vehicle's weight)."""
    tons = min(tons, ceiling_tons)
    eased = tons + 1e-9
    whole = floor(eased)
    if rounding == "down_by_5_above_30" and whole > 30:
        whole = 5 * (whole // 5)
    elif rounding == "nearest":
        whole = min(floor(eased + 0.5), floor(ceiling_tons + 1e-9))
    return float(max(0, whole))


def vehicle_limit(*, rating: VehicleRating, policy: RatingPolicy) -> float | None:
    """Whole tons for a vehicle whose factor at the posting level is below 1; None where it needs no limit."""
    if rating.posting_factor >= 1.0:
        return None
    highest = rating.operating_tons if rating.ceiling_tons is None else rating.ceiling_tons
    ceiling = min(highest, rating.gross_tons)
    return rounded_tons(tons=rating.posting_tons, ceiling_tons=ceiling, rounding=policy.rounding)


def posting_suggestion(
    *, governing: tuple[VehicleRating, ...], policy: RatingPolicy, close_reasons: tuple[str, ...] = ()
) -> PostingSuggestion:
    """Open, post or close, with the values; ``close_reasons`` (bars) call for closing whatever the factors."""
    general = [rating for rating in governing if rating.vehicle_class in GENERAL]
    emergency = [rating for rating in governing if rating.vehicle_class == "emergency"]
    limits = {r.vehicle: vehicle_limit(rating=r, policy=policy) for r in general}
    limits = {vehicle: tons for vehicle, tons in limits.items() if tons is not None}
    single = min(limits.values(), default=None)
    emergency_limits = _emergency(emergency, policy)
    sentences = list(close_reasons)
    least = min((r for r in general if r.vehicle in limits), key=lambda r: r.posting_tons, default=None)
    # What the vehicle may weigh decides, not what the owner's rounding makes of it: 2.6 tons are not 3.
    if least is not None and min(single, least.posting_tons) < policy.close_below_tons - 1e-9:
        sentences.append(
            f"{least.name} may weigh {least.posting_tons:.1f} tons, below the smallest posting of "
            f"{policy.close_below_tons:g} tons: closing is recommended."
        )
    elif general and all(rating.posting_factor < CLOSING_FACTOR for rating in general):
        sentences.append("All legal vehicles have factors below 0.3: closing is recommended.")
    if sentences:
        action = "close"
    elif not general:
        action = "undetermined"
        sentences = ["No legal vehicle was rated, so no posting can be suggested."]
    elif limits or emergency_limits is not None:
        action, sentences = "post", _post_sentences(general, limits)
    else:
        action = "open"
        sentences = ["Every legal vehicle rated has a factor of 1 or more at the posting level."]
    return PostingSuggestion(
        action=action,
        single_tons=single,
        single_unit_tons=_least(limits, general, "single_unit"),
        combination_tons=_least(limits, general, "combination"),
        two_trailer_tons=_least(limits, general, "two_trailers"),
        emergency=emergency_limits,
        vehicle_tons=limits,
        sentences=tuple(sentences),
    )


def _least(limits: dict[str, float], general: list[VehicleRating], sign_class: str) -> float | None:
    classed = (rating.vehicle for rating in general if rating.sign_class == sign_class)
    return min((limits[vehicle] for vehicle in classed if vehicle in limits), default=None)


def _post_sentences(general: list[VehicleRating], limits: dict[str, float]) -> list[str]:
    """One for each truck that needs a limit; the limits of emergency vehicles stand in ``emergency``."""
    told = [
        f"{rating.name} ({rating.gross_tons:g} tons) has a factor of {rating.posting_factor:.2f}: "
        f"{limits[rating.vehicle]:g} tons."
        for rating in general
        if rating.vehicle in limits
    ]
    return told or [
        "Every legal vehicle rated has a factor of 1 or more at the posting level; emergency vehicles do not."
    ]


def _emergency(ratings: list[VehicleRating], policy: RatingPolicy) -> EmergencyLimits | None:
    """Single axle from EV2, tandem from EV3, gross the least; axle tons = RF x axle weight (memory)."""
    short = [rating for rating in ratings if rating.posting_factor < 1.0]
    if not short:
        return None

    def axle(vehicle: str, tons: float) -> float | None:
        for rating in short:
            if rating.vehicle == vehicle:
                # In proportion to what the whole vehicle may weigh.
                share = tons / rating.gross_tons
                highest = rating.operating_tons if rating.ceiling_tons is None else rating.ceiling_tons
                most = min(rating.gross_tons, highest) * share
                return rounded_tons(tons=rating.posting_tons * share, ceiling_tons=most, rounding=policy.rounding)
        return None

    gross = min(vehicle_limit(rating=rating, policy=policy) for rating in short)
    return EmergencyLimits(
        single_axle_tons=axle("EV2", EMERGENCY_SINGLE_AXLE_TONS),
        tandem_tons=axle("EV3", EMERGENCY_TANDEM_TONS),
        gross_tons=gross,
    )
