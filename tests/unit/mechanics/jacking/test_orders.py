"""Stressing orders: every planned bar once, two and four jacks symmetric about the middle of the row."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.mechanics.bars.jacking import ORDERS, pull_groups
from inventory.mechanics.errors import OutsideValidity


def groups(order, count, jacks=1, planned=None, stations=None, **others):
    stations = stations or tuple(48.0 * (i + 0.5) for i in range(count))
    planned = tuple(range(count)) if planned is None else planned
    return pull_groups(
        order=order, stations_in=stations, planned=planned, middle_in=24.0 * count, jack_count=jacks, **others
    )


def flat(found):
    return [bar for group in found for bar in group]


@pytest.mark.parametrize(
    "order, count, jacks, expected",
    [
        ("end_to_end", 5, 1, [(0,), (1,), (2,), (3,), (4,)]),
        ("every_second", 5, 1, [(0,), (2,), (4,), (1,), (3,)]),
        ("midspan_outward", 5, 1, [(2,), (3,), (1,), (4,), (0,)]),
        ("midspan_outward", 6, 1, [(2,), (3,), (1,), (4,), (0,), (5,)]),
        ("midspan_outward", 6, 2, [(2, 3), (1, 4), (0, 5)]),
        ("midspan_outward", 5, 2, [(2,), (1, 3), (0, 4)]),
        ("end_to_end", 6, 2, [(0, 5), (1, 4), (2, 3)]),
        ("every_second", 8, 2, [(0, 7), (2, 5), (1, 6), (3, 4)]),
        ("midspan_outward", 8, 4, [(3, 4, 2, 5), (1, 6, 0, 7)]),
        ("end_to_end", 8, 4, [(0, 7, 1, 6), (2, 5, 3, 4)]),
        ("end_to_end", 8, 3, [(0, 1, 2), (3, 4, 5), (6, 7)]),
        ("midspan_outward", 1, 4, [(0,)]),
    ],
)
def test_orders_by_hand(order, count, jacks, expected):
    """Written out by hand from the words of the order; common practice, no source."""
    assert list(groups(order, count, jacks)) == expected


def test_midspan_goes_by_station_and_takes_turns():
    """Bars at 10, 20, 30, 200, 300 in a deck of 240: the middle is 120, the nearest 200 first, then 30, 300, 20, 10."""
    found = groups("midspan_outward", 5, stations=(10.0, 20.0, 30.0, 200.0, 300.0))
    assert flat(found) == [3, 2, 4, 1, 0]


@given(st.sampled_from(ORDERS[:3]), st.integers(1, 30), st.integers(1, 4), st.data())
def test_every_planned_bar_once_and_symmetric(order, count, jacks, data):
    planned = tuple(sorted(data.draw(st.sets(st.integers(0, count - 1), min_size=1))))
    found = groups(order, count, jacks, planned=planned)
    assert sorted(flat(found)) == list(planned)
    assert all(1 <= len(group) <= jacks for group in found)
    if jacks in (2, 4):
        for group in found:
            assert {count - 1 - bar for bar in group} & set(planned) <= set(group)


def test_a_bar_set_aside_leaves_its_mirror_alone():
    """Eight bars, the second set aside, two jacks: the seventh has no partner; the others keep theirs."""
    found = groups("midspan_outward", 8, 2, planned=(0, 2, 3, 4, 5, 6, 7))
    assert list(found) == [(3, 4), (2, 5), (6,), (0, 7)]


def test_a_given_order_is_kept():
    assert list(groups("given", 4, 2, given_order=(3, 0, 2, 1))) == [(3, 0), (2, 1)]
    assert list(groups("given", 4, planned=(0, 2), given_order=(2, 0))) == [(2,), (0,)]


@pytest.mark.parametrize("order", [(0, 1, 2), (0, 1, 2, 2), (0, 1, 2, 3, 4), (), (0, 1, 2, 9)])
def test_a_given_order_that_is_none_is_refused(order):
    with pytest.raises(OutsideValidity, match="every planned bar once: 1, 2, 3, 4"):
        groups("given", 4, given_order=order)


@pytest.mark.parametrize("order, jacks", [("sideways", 1), ("end_to_end", 0), ("end_to_end", 5)])
def test_unknown_orders_and_too_many_jacks_are_refused(order, jacks):
    with pytest.raises(OutsideValidity):
        groups(order, 4, jacks)
