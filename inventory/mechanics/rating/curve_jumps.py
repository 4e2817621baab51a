"""Where the factors of a curve of bar force jump: announced by a rule, or found by halving."""

from __future__ import annotations

from .pressure_ratings import PressureRatings, factor_rows
from .results import NotRated, StructureRating

SIDE = 1e-9
"""Left and right of a jump: this part of the pressure away from it."""
LEAST_JUMP = 0.01
"""A change of a factor by less than this is not looked into where no rule announces it."""
SHOWN_JUMP = 1e-5
NEW_POINT = 0.05
"""Where a factor changes by more than this over one step of the grid, the middle is computed too."""


def sides_of(psi: float) -> tuple[float, float]:
    """The pressures just left and just right of one, psi."""
    away = SIDE * max(1.0, psi)
    return psi - away, psi + away


def changes_between(low: StructureRating, high: StructureRating) -> dict:
    """How much each factor changes between two ratings."""
    before, after = factor_rows(low), factor_rows(high)
    return {key: abs(after[key] - before[key]) for key in after}


def jumps_of(rated: PressureRatings, grid: list[float], known: dict[float, str]) -> dict[float, bool]:
    """Every known break, whether a factor jumps there, and any other jump found between them where there may be one."""
    found = {}
    for psi in known:
        sides = sides_of(psi)
        found[psi] = rated.rates(*sides) and max(changes_between(*map(rated.at, sides)).values()) > SHOWN_JUMP
    if rated.jumps_are_known:
        return found
    ends = sorted({*grid, *known})
    for start, end in zip(ends, ends[1:], strict=False):
        low = sides_of(start)[1] if start in known else start
        high = sides_of(end)[0] if end in known else end
        for psi in _hidden_jumps(rated, low, high):
            found[psi] = True
    return found


def _hidden_jumps(rated: PressureRatings, low: float, high: float) -> list[float]:
    """Jumps no rule announced, vehicle by vehicle; a stretch on which much changes gets its middle as a point too."""
    if not rated.rates(low, high):
        return []
    changes = changes_between(rated.at(low), rated.at(high))
    if max(changes.values()) > NEW_POINT and not rated.rates((low + high) / 2.0):
        return []
    found: list[float] = []
    for vehicle in dict.fromkeys(key[0] for key, change in changes.items() if change > LEAST_JUMP):
        for psi in _vehicle_jumps(rated, vehicle, low, high):
            if all(abs(psi - other) > 1e-5 for other in found):
                found.append(psi)
    return sorted(found)


def _vehicle_jumps(rated: PressureRatings, vehicle: str, low: float, high: float) -> list[float]:
    """Halve the stretch and follow a factor that makes most of its way in one half.

    A factor without a jump soon makes about half of its way in each. A jump hidden in a much steeper slope (below
    half of the change over one step of the grid) is not told apart from the slope.
    """
    ends = [rated.at(psi, vehicle) for psi in (low, high)]
    if any(isinstance(end, NotRated) for end in ends):
        return []
    whole = {key: c for key, c in changes_between(*ends).items() if key[0] == vehicle and c > LEAST_JUMP}
    if not whole:
        return []
    middle = (low + high) / 2.0
    if high - low <= 4.0 * SIDE * max(1.0, high):
        return [middle]
    half, found = rated.at(middle, vehicle), []
    if isinstance(half, NotRated):
        return []
    for pair, start, end in (((ends[0], half), low, middle), ((half, ends[1]), middle, high)):
        part = changes_between(*pair)
        if any(part[key] > 0.75 * change for key, change in whole.items()):
            found += _vehicle_jumps(rated, vehicle, start, end)
    return found


def jump_words(rated: PressureRatings, psi: float) -> str:
    """Whose factor jumps where no rule announced it."""
    changes = changes_between(*map(rated.at, sides_of(psi)))
    names = sorted({vehicle for (vehicle, _series), change in changes.items() if change > SHOWN_JUMP})
    if rated.case.system in ("stress_laminated_t", "stress_laminated_box"):
        return f"Web and flange: about here friction begins to carry the whole shear of {', '.join(names)}."
    return f"Factors jump here (found by halving): {', '.join(names)}."
