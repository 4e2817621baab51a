"""In which order bars are pulled, and which are pulled at once by 1 to 4 jacks.

Common practice, no source: outward from midspan with sides taking turns, or from end to end, or every second bar and
then the rest; the same order in every pass. Two and four jacks stand symmetric about the middle of the row (by place
among all its bars), so the deck is squeezed evenly: end to end then runs from both ends inward, and every second bar
counts from both ends.
"""

from __future__ import annotations

from inventory.mechanics.errors import OutsideValidity, require_range

from .terms import ORDERS

SOURCE = "stressing order"
JACKS_MOST = 4


def pull_groups(
    *,
    order: str,
    stations_in: tuple[float, ...],
    planned: tuple[int, ...],
    middle_in: float,
    jack_count: int,
    given_order: tuple[int, ...] = (),
) -> tuple[tuple[int, ...], ...]:
    """Bars (indexes) pulled together, in order, each group no larger than the number of jacks.

    ``planned`` in the order of their stations. Order "given": the ``given_order`` taken as many at a time as there are
    jacks. ``OutsideValidity`` for an unknown order, no jack or more than 4, or a given order that names a bar twice,
    leaves one out or names one that is not planned.
    """
    require_range(name="number of jacks", value=jack_count, least=1, most=JACKS_MOST, source=SOURCE)
    if order not in ORDERS:
        raise OutsideValidity(name="stressing order", value=order, valid=", ".join(ORDERS), source=SOURCE)
    if order == "given":
        return _chunks(_checked(given_order, planned), jack_count)
    if jack_count in (2, 4):
        return _symmetric(order, planned, len(stations_in), jack_count)
    return _chunks(_sequence(order, stations_in, planned, middle_in), jack_count)


def _checked(given_order: tuple[int, ...], planned: tuple[int, ...]) -> tuple[int, ...]:
    if sorted(given_order) != sorted(planned):
        asked = ", ".join(str(index + 1) for index in planned)
        got = ", ".join(str(index + 1) for index in given_order) or "nothing"
        raise OutsideValidity(
            name="given order (bars counted from 1)",
            value=got,
            valid=f"every planned bar once: {asked}",
            source=SOURCE,
        )
    return tuple(given_order)


def _sequence(order: str, stations_in, planned: tuple[int, ...], middle_in: float) -> tuple[int, ...]:
    if order == "end_to_end":
        return tuple(planned)
    if order == "every_second":
        return (*planned[::2], *planned[1::2])
    left = [bar for bar in reversed(planned) if stations_in[bar] <= middle_in]
    right = [bar for bar in planned if stations_in[bar] > middle_in]
    sides = [left, right]
    if left and right and stations_in[right[0]] - middle_in < middle_in - stations_in[left[0]]:
        sides.reverse()
    turns = []
    for place in range(max(len(left), len(right))):
        turns += [side[place] for side in sides if place < len(side)]
    return tuple(turns)


def _symmetric(order: str, planned: tuple[int, ...], count: int, jack_count: int) -> tuple[tuple[int, ...], ...]:
    """Pairs that mirror each other in the whole row, from its ends inward; two pairs at a time with four jacks.

    A bar in the middle, or one whose mirror is not planned, is pulled alone.
    """
    mirrored = [sorted({k, count - 1 - k} & set(planned)) for k in range((count + 1) // 2)]
    pairs = [tuple(pair) for pair in mirrored if pair]
    if order == "midspan_outward":
        pairs.reverse()
    if order == "every_second":
        pairs = pairs[::2] + pairs[1::2]
    at_once = jack_count // 2
    return tuple(
        tuple(bar for pair in pairs[first : first + at_once] for bar in pair) for first in range(0, len(pairs), at_once)
    )


def _chunks(sequence: tuple[int, ...], jack_count: int) -> tuple[tuple[int, ...], ...]:
    return tuple(sequence[first : first + jack_count] for first in range(0, len(sequence), jack_count))
