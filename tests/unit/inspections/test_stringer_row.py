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


def test_wheels_reach_the_outside_stringer_only_within_a_spacing():
    """Ten at 2 ft span 18 ft. A roadway of 18 ft puts a wheel 2 ft inside the outside one, right over the next."""
    assert not places(18.0)[1].outer
    assert places(18.2)[1].outer and places(18.2)[1].curb_offset_ft == pytest.approx(0.1)
    assert not places(18.2)[2].outer and places(18.2)[2].curb_offset_ft is None


def test_when_the_outside_stringer_breaks_the_next_becomes_the_outside_one():
    """Roadway 18 ft: the curb stood over stringer 1, so it stands 2 ft outside number 2, a wheel right over it."""
    row = places(18.0, broken={1})
    assert row[2].outer and row[2].curb_offset_ft == pytest.approx(2.0) and row[2].reach == 1.5
    assert 1 not in row and not row[3].outer


def test_rows_beside_other_rows_are_taken_as_outer_at_both_ends():
    row = places(18.0, whole_width=False)
    assert row[1].outer and row[10].outer and row[1].curb_offset_ft is None and not row[5].outer
