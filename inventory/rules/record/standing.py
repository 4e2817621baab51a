"""What the record says of condition, restriction and rating, in the register's words.

Classes: the lowest of items 58, 59, 60 (62 for a culvert): 7 and over good, 5 and 6 fair, 4 and under poor
(23 CFR 490.409(b) [memory]; the shares of the yearly files follow it). N and blanks are left out; none at all is
"not rated", never poor.
"""

from collections.abc import Iterable
from functools import lru_cache

from inventory.units import short_tons
from inventory.vocabulary.record_1995.rating import (
    CEILING_METRIC_TON,
    FACTOR_BELOW,
    FACTOR_METHODS,
    MS18_METRIC_TON,
    NO_RATING_METHOD,
)
from inventory.vocabulary.structures import ConditionClass, Restriction, SurfaceMaterial

# Item 41 (guide p. 23). New and not yet open (G) counts as closed: nobody may be sent over it.
_RESTRICTION = {
    "A": Restriction.OPEN,
    "B": Restriction.OPEN,
    "D": Restriction.OPEN,
    "E": Restriction.OPEN,
    "G": Restriction.CLOSED,
    "K": Restriction.CLOSED,
    "P": Restriction.POSTED,
    "R": Restriction.POSTED,
}
RESTRICTION_REASON = {
    "G": "new and not yet open on the federal record",
    "K": "closed to all traffic on the federal record",
    "P": "posted for load on the federal record, which does not hold the limit: read it from the sign",
    "R": "posted for speed, number of vehicles or the like on the federal record, which does not hold the limit",
}
_SEVERITY = {Restriction.UNKNOWN: 0, Restriction.OPEN: 0, Restriction.POSTED: 1, Restriction.CLOSED: 2}

# Item 108A (guide p. 71).
_SURFACE = {
    "1": SurfaceMaterial.CONCRETE,
    "2": SurfaceMaterial.CONCRETE,
    "3": SurfaceMaterial.CONCRETE,
    "4": SurfaceMaterial.CONCRETE,
    "5": SurfaceMaterial.OTHER,
    "6": SurfaceMaterial.ASPHALT,
    "7": SurfaceMaterial.PLANK,
    "8": SurfaceMaterial.GRAVEL,
    "9": SurfaceMaterial.OTHER,
}


def lowest_of(codes: Iterable[str | None]) -> int | None:
    """The lowest condition code, N and blanks left out; None where nothing is rated."""
    rated = [int(code) for code in codes if code and code.isdecimal()]
    return min(rated, default=None)


def condition_class_of(lowest: int | None) -> ConditionClass:
    """Good, fair or poor by the lowest code; see the head of this file for the source."""
    if lowest is None:
        return ConditionClass.NOT_RATED
    if lowest >= 7:
        return ConditionClass.GOOD
    return ConditionClass.FAIR if lowest >= 5 else ConditionClass.POOR


def restriction_of(code: str | None) -> Restriction:
    """The restriction item 41 reports; unknown where it is blank or no code."""
    return _RESTRICTION.get(code or "", Restriction.UNKNOWN)


def surface_of(code: str | None) -> str:
    """The material of item 108A in the register's words; empty where there is none."""
    surface = _SURFACE.get(code or "")
    return surface.value if surface else ""


def loosens(now: str, then: str) -> bool:
    """Whether going from `now` to `then` lets more over the bridge: a file may never do that by itself."""
    return _SEVERITY[Restriction(then)] < _SEVERITY[Restriction(now)]


def reported_metric_ton(value: float | None, method: str | None) -> float | None:
    """Item 64 or 66 in metric tons (guide pp. 43-44): a small number under a factor method is the factor on MS18."""
    if value is None:
        return None
    if method in FACTOR_METHODS and 0 < value < FACTOR_BELOW:
        return round(value * MS18_METRIC_TON, 1)
    return value


def reported_short_ton(value: float | None, method: str | None) -> float | None:
    """Item 64 or 66 in short tons of 2,000 lb; None where it is not given."""
    metric_ton = reported_metric_ton(value, method)
    return None if metric_ton is None else short_tons(metric_ton)


@lru_cache(maxsize=4096)
def rating_notes(
    operating: float | None, inventory: float | None, operating_method: str | None, inventory_method: str | None
) -> tuple[str, ...]:
    """Sentences on the reported ratings that a reader must know before trusting them."""
    notes = []
    for name, value, method in (
        ("operating", operating, operating_method),
        ("inventory", inventory, inventory_method),
    ):
        if value is None:
            continue
        if reported_metric_ton(value, method) != value:
            notes.append(f"the {name} rating {value:g} is a factor on MS18: {reported_metric_ton(value, method):g} t")
        if value >= CEILING_METRIC_TON:
            notes.append(f"the {name} rating 99.9 t is the most the field holds, or the structure lies under fill")
        if value > 0 and method == NO_RATING_METHOD:
            notes.append(f"an {name} rating of {value:g} t is given though no analysis was performed (method 5)")
    both = reported_metric_ton(operating, operating_method), reported_metric_ton(inventory, inventory_method)
    if None not in both and both[0] < both[1]:
        notes.append(f"the operating rating {both[0]:g} t is below the inventory rating {both[1]:g} t")
    return tuple(notes)
