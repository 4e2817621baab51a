"""Whose word stands when a record is read again (the client's rule: what the county entered is never overwritten)."""

from hypothesis import given
from hypothesis import strategies as st

from inventory.rules.record import merge_fields

VALUES = st.one_of(st.none(), st.just(""), st.integers(0, 3), st.sampled_from(["A", "B"]))
ROWS = st.dictionaries(st.sampled_from(["x", "y", "z"]), VALUES)


def merge(county, before, record, hand=()):
    return merge_fields(county=county, before=before, record=record, hand_entered=hand)


def test_a_change_in_the_record_replaces_what_came_from_the_record():
    assert merge({"adt": 85}, {"adt": 85}, {"adt": 90}).taken == {"adt": 90}


def test_a_change_in_the_record_is_held_where_the_county_entered_its_own():
    result = merge({"adt": 100}, {"adt": 85}, {"adt": 90}, {"adt"})
    assert result.held == {"adt": 90} and not result.taken


def test_an_unchanged_record_never_raises_the_question_again():
    result = merge({"adt": 100}, {"adt": 85}, {"adt": 85}, {"adt"})
    assert not result.held and not result.taken


def test_a_blank_erases_nothing():
    result = merge({"adt": 85}, {"adt": 85}, {"adt": None})
    assert not result.taken and result.given == {"adt": 85}


def test_a_blank_of_the_county_is_filled_though_the_field_is_marked():
    assert merge({"adt": None}, None, {"adt": 85}, {"adt"}).taken == {"adt": 85}


def test_agreement_is_no_change():
    assert not merge({"length_ft": 32.15}, {"length_ft": 30.0}, {"length_ft": 32.152}, {"length_ft"}).held


@given(county=ROWS, before=st.one_of(st.none(), ROWS), record=ROWS, hand=st.sets(st.sampled_from(["x", "y", "z"])))
def test_laws(county, before, record, hand):
    """Nothing entered by hand is taken over; nothing is both taken and held; a second reading changes nothing."""
    first = merge(county, before, record, hand)
    assert not [name for name in first.taken if name in hand and county.get(name) not in (None, "")]
    assert not first.taken.keys() & first.held.keys()
    assert all(value not in (None, "") for value in (*first.taken.values(), *first.held.values()))
    second = merge(county | first.taken, first.given, record, hand)
    assert not second.taken and not second.held
