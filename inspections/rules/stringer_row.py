"""A row of stringers with some of them broken: what each standing one serves, and where the wheels come near it.

A broken stringer carries nothing; its neighbours carry the deck to the middle of the gap [model: tributary width]. A
wheel line keeps 2 ft from the curb (AASHTO Standard Specifications 3.7 and 3.23.2.3 [memory]).
"""

from dataclasses import dataclass
from itertools import pairwise

WHEEL_TO_CURB_FT = 2.0


@dataclass(frozen=True, kw_only=True)
class StringerPlace:
    """`reach` in spacings carried; `outer` where it is the outside one: it carries the railing and the overhang even
    where no wheel line comes near; then `curb_offset_ft` from it out to the curb, None where the row is not the only
    one of the span."""

    reach: float
    outer: bool
    curb_offset_ft: float | None = None


def gaps_beside(number: int, broken: frozenset[int], count: int) -> tuple[float, bool]:
    """Spacings a standing stringer now serves, and whether it has become the outer one.

    A broken stringer carries nothing; its neighbours carry the deck to the middle of the gap, and all of it out to a
    broken outer stringer [model: tributary width]. Numbers run from 1 at the left edge to `count`.
    """
    left, right = number - 1, number + 1
    while left >= 1 and left in broken:
        left -= 1
    while right <= count and right in broken:
        right += 1
    reach_left = (number - left) / 2.0 if left >= 1 else float(number - 1)
    reach_right = (right - number) / 2.0 if right <= count else float(count - number)
    is_outer = left < 1 or right > count
    if is_outer and (left < 1) != (right > count):
        edge = reach_left if left < 1 else reach_right
        inner = reach_right if left < 1 else reach_left
        return (edge + inner, True) if edge > 0 else (max(1.0, 2.0 * inner), True)
    return max(1.0, reach_left + reach_right), is_outer


def widest_gap(broken: frozenset[int], count: int) -> int:
    """Spacings between the two standing stringers farthest apart next to each other: 1 where none between is broken."""
    standing = [number for number in range(1, count + 1) if number not in broken]
    return max((right - left for left, right in pairwise(standing)), default=1)


def stringer_places(
    *,
    count: int,
    spacing_ft: float | None,
    roadway_width_ft: float,
    broken: frozenset[int],
    whole_width: bool,
    deck_width_ft: float = 0.0,
) -> dict[int, StringerPlace]:
    """The place of every standing stringer, by its number from the left edge.

    `whole_width`: the row is the only one of the span, so the curbs stand evenly about it.
    """
    found = {}
    for number in range(1, count + 1):
        if number in broken:
            continue
        reach, outer = gaps_beside(number, broken, count)
        if not whole_width or not spacing_ft:
            found[number] = StringerPlace(reach=reach, outer=outer or number in (1, count))
            continue
        if not outer:
            found[number] = StringerPlace(reach=reach, outer=False)
            continue
        lost = _lost_outside(number, broken, count)
        offset = (roadway_width_ft - (count - 1) * spacing_ft) / 2.0 + spacing_ft * lost
        if lost:
            # The deck beyond the lost edge hangs on this one too.
            reach += max(0.0, deck_width_ft - (count - 1) * spacing_ft) / 2.0 / spacing_ft
            offset = _same_lever(offset, reach, _gap_inside(number, broken, count))
        found[number] = StringerPlace(reach=reach, outer=True, curb_offset_ft=offset)
    return found


def _same_lever(offset_ft: float, reach: float, gap: float | None) -> float:
    """The curb offset that gives, on the wider spacing carried, no less than the lever over the next stringer's gap.

    A wheel u beyond the stringer turns the deck about the next one inside: (gap + u)/gap, not (reach + u)/reach.
    """
    beyond = offset_ft - WHEEL_TO_CURB_FT
    if beyond <= 0 or not gap or gap >= reach:
        return offset_ft
    return WHEEL_TO_CURB_FT + beyond * reach / gap


def _gap_inside(number: int, broken: frozenset[int], count: int) -> float | None:
    """Spacings from an outside stringer to the next one standing; None where it stands alone."""
    gaps = [abs(other - number) for other in range(1, count + 1) if other != number and other not in broken]
    return float(min(gaps)) if gaps else None


def _lost_outside(number: int, broken: frozenset[int], count: int) -> int:
    """How many stringers between this one and the nearest edge are gone, where all of them are."""
    left, right = range(1, number), range(number + 1, count + 1)
    sides = [len(side) for side in (left, right) if all(other in broken for other in side)]
    return max(sides, default=0)
