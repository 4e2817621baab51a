"""A row of stringers with some broken: equilibrium and the lever geometry of the outside one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.stringer_row import gaps_beside, stringer_places


# Tributary width in spacings: half the gap on either side; out to a lost edge the whole of it (statics of a deck on
# stringers as simple spans, model).
@pytest.mark.parametrize(
    ("number", "broken", "expected"),
    [
        (5, set(), (1.0, False)),
        (1, set(), (1.0, True)),
        (5, {6}, (1.5, False)),
        (5, {4, 6}, (2.0, False)),
        (5, {6, 7}, (2.0, False)),
        (2, {1}, (1.5, True)),
        (3, {1, 2}, (2.5, True)),
        (1, {2}, (2.0, True)),
    ],
)
def test_neighbours_of_a_broken_stringer_carry_its_share(number, broken, expected):
    assert gaps_beside(number, frozenset(broken), 10) == expected


@given(st.sets(st.integers(1, 12), max_size=11))
def test_standing_stringers_carry_the_whole_deck(broken):
    """Equilibrium: the shares of the standing stringers add up to no less than the deck's 11 spaces between 12."""
    standing = [n for n in range(1, 13) if n not in broken]
    assert sum(gaps_beside(n, frozenset(broken), 12)[0] for n in standing) >= 11


def places(roadway_width_ft, broken=(), count=10, spacing_ft=2.0, whole_width=True):
    return stringer_places(
        count=count,
        spacing_ft=spacing_ft,
        roadway_width_ft=roadway_width_ft,
        broken=frozenset(broken),
        whole_width=whole_width,
    )


def test_the_outside_stringer_stays_the_outside_one_however_far_the_wheels_keep():
    """Ten at 2 ft span 18 ft, a roadway of 16 ft: the curb stands 1 ft inside it, and the railing still on it."""
    for roadway_ft in (12.0, 16.0, 18.0, 18.2):
        row = places(roadway_ft)
        assert row[1].outer and row[10].outer and row[1].curb_offset_ft == pytest.approx((roadway_ft - 18.0) / 2)
        assert not row[2].outer and row[2].curb_offset_ft is None


def test_beyond_a_lost_edge_the_lever_over_the_next_gap_still_counts():
    """Roadway 22 ft, number 1 gone: the curb stands 2 + 2 ft beyond number 2, the first wheel 2 ft beyond it.

    Lever about number 3, 2 ft inside: (2 + 2)/2 = 2 wheel lines. On the spacing carried, 1.5 x 2 = 3 ft, the same must
    come out of (3 - first)/3 with first = 2 - offset.
    """
    place = places(22.0, broken={1})[2]
    assert (3.0 - (2.0 - place.curb_offset_ft)) / 3.0 == pytest.approx(2.0)


def test_the_overhang_beyond_a_lost_edge_is_carried():
    """Deck 21 ft wide on 18 ft of stringers: 1.5 ft of overhang, 0.75 of a spacing more on number 2."""
    row = stringer_places(
        count=10, spacing_ft=2.0, roadway_width_ft=18.0, broken=frozenset({1}), whole_width=True, deck_width_ft=21.0
    )
    assert row[2].reach == pytest.approx(1.5 + 0.75) and row[3].reach == 1.0


def test_when_the_outside_stringer_breaks_the_next_becomes_the_outside_one():
    """Roadway 18 ft: the curb stood over stringer 1, so it stands 2 ft outside number 2, a wheel right over it."""
    row = places(18.0, broken={1})
    assert row[2].outer and row[2].curb_offset_ft == pytest.approx(2.0) and row[2].reach == 1.5
    assert 1 not in row and not row[3].outer


def test_rows_beside_other_rows_are_taken_as_outer_at_both_ends():
    row = places(18.0, whole_width=False)
    assert row[1].outer and row[10].outer and row[1].curb_offset_ft is None and not row[5].outer
