"""Federal weight limits held against an axle train: a warning for whoever enters a vehicle, never a bar.

W = 500 (L N/(N - 1) + 12 N + 36), lb to the nearest 500, for every group of N axles L ft from first to last; single
axle 20,000 lb, tandem (more than 40 and not more than 96 in apart) 34,000 lb, gross 80,000 lb; two consecutive tandems
may carry 34,000 lb each where their outer axles are 36 ft or more apart: 23 U.S.C. 127, 23 CFR 658.17 (checked-2nd).
Emergency vehicles: 86,000 lb gross, 24,000 lb steering axle, 33,500 lb single drive axle, 62,000 lb tandem, 23 U.S.C.
127(r) (checked-2nd). They bind the Interstate System and its access; a State's law may be higher or lower (memory).
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.errors import require_range

from .trains import Vehicle

SOURCE = "23 U.S.C. 127, 23 CFR 658.17"
EMERGENCY_SOURCE = "23 U.S.C. 127(r)"
SINGLE_LB, TANDEM_LB, GROSS_LB = 20_000.0, 34_000.0, 80_000.0
STEER_EMERGENCY_LB, SINGLE_EMERGENCY_LB, TANDEM_EMERGENCY_LB = 24_000.0, 33_500.0, 62_000.0
GROSS_EMERGENCY_LB = 86_000.0
SINGLE_UP_TO_FT, TANDEM_UP_TO_FT = 40.0 / 12.0, 96.0 / 12.0
TWO_TANDEMS_FROM_FT = 36.0


@dataclass(frozen=True, kw_only=True)
class WeightExcess:
    """One group of axles (counted from 1) above a limit; ``rule`` is its name in words."""

    first_axle: int
    last_axle: int
    weight_lb: float
    limit_lb: float
    length_ft: float
    rule: str
    source: str

    @property
    def sentence(self) -> str:
        """What is exceeded, with its numbers."""
        one = self.first_axle == self.last_axle
        axles = f"Axle {self.first_axle} weighs" if one else f"Axles {self.first_axle} to {self.last_axle} weigh"
        reach = "" if one else f" within {self.length_ft:g} ft"
        return (
            f"{axles} {self.weight_lb:,.0f} lb{reach}; {self.rule} allows {self.limit_lb:,.0f} lb ({self.source}, "
            "checked-2nd)."
        )


def formula_b_lb(*, length_ft: float, axles: int) -> float:
    """Greatest weight of a group of two or more axles by bridge formula B, lb, to the nearest 500.

    ``length_ft`` between the outer axles, above 0. ``OutsideValidity`` for fewer than two axles.
    """
    require_range(name="axles of a group", value=axles, least=2, source=SOURCE)
    require_range(name="length of a group", value=length_ft, above=0, unit="ft", source=SOURCE)
    weight_lb = 500.0 * (length_ft * axles / (axles - 1) + 12.0 * axles + 36.0)
    return 500.0 * int(weight_lb / 500.0 + 0.5)


def weight_excesses(vehicle: Vehicle) -> tuple[WeightExcess, ...]:
    """The worst excess of each rule; a variable spacing counts at its least. Empty where every limit is kept."""
    emergency = vehicle.vehicle_class == "emergency"
    worst: dict[str, WeightExcess] = {}
    for excess in _groups(vehicle, emergency):
        before = worst.get(excess.rule)
        if before is None or excess.weight_lb - excess.limit_lb > before.weight_lb - before.limit_lb:
            worst[excess.rule] = excess
    return tuple(worst.values())


def _groups(vehicle: Vehicle, emergency: bool):
    places = [0.0]
    for least, _most in vehicle.spacings_ft:
        places.append(places[-1] + least)
    count = len(places)
    for first in range(count):
        for last in range(first, count):
            weight = 1000.0 * sum(vehicle.axles_kip[first : last + 1])
            length = places[last] - places[first]
            for limit, rule in _limits(vehicle, first, last, length, emergency):
                if weight > limit + 0.5:
                    yield WeightExcess(
                        first_axle=first + 1,
                        last_axle=last + 1,
                        weight_lb=weight,
                        limit_lb=limit,
                        length_ft=length,
                        rule=rule,
                        source=EMERGENCY_SOURCE if emergency else SOURCE,
                    )


def _limits(vehicle: Vehicle, first: int, last: int, length: float, emergency: bool):
    """(limit, rule) of one group of axles."""
    axles, whole = last - first + 1, (first, last) == (0, len(vehicle.axles_kip) - 1)
    if axles == 1 or length <= SINGLE_UP_TO_FT:
        steer = emergency and first == 0
        limit = SINGLE_LB if not emergency else STEER_EMERGENCY_LB if steer else SINGLE_EMERGENCY_LB
        yield limit, "the steering-axle limit" if steer else "the single-axle limit"
    elif length <= TANDEM_UP_TO_FT and axles == 2:
        yield (TANDEM_EMERGENCY_LB if emergency else TANDEM_LB), "the tandem limit"
    if whole:
        yield (GROSS_EMERGENCY_LB if emergency else GROSS_LB), "the gross limit"
    # An emergency vehicle within its own limits is not held to the formula.
    formula = axles > 2 or length > TANDEM_UP_TO_FT
    if not emergency and axles > 1 and formula and not _two_tandems(vehicle, first, last, length):
        yield formula_b_lb(length_ft=length, axles=axles), "bridge formula B"


def _two_tandems(vehicle: Vehicle, first: int, last: int, length: float) -> bool:
    """Two consecutive tandems 36 ft or more over their outer axles, each within 34,000 lb, are outside the formula."""
    if last - first != 3 or length < TWO_TANDEMS_FROM_FT:
        return False
    gaps = (vehicle.spacings_ft[first][0], vehicle.spacings_ft[last - 1][0])
    pairs = (sum(vehicle.axles_kip[first : first + 2]), sum(vehicle.axles_kip[last - 1 : last + 1]))
    return max(gaps) <= TANDEM_UP_TO_FT and max(pairs) * 1000.0 <= TANDEM_LB
