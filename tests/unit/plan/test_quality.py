"""Samples and differences: counts by arithmetic, the draw by the published hash, comparing by laws."""

from datetime import date
from hashlib import sha256

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.rules.quality import (
    Element,
    Seen,
    Visit,
    compare,
    drawn,
    period_fault,
    repeat_refusal,
    sample_size,
)


@pytest.mark.parametrize(
    ("population", "share", "size"),
    [(0, 5, 0), (1, 5, 1), (20, 5, 1), (21, 5, 2), (100, 5, 5), (101, 5, 6), (3, 100, 3), (7, 0, 1)],
)
def test_the_share_is_rounded_up_and_at_least_one(population, share, size):
    """20 x 5 % = 1; 21 x 5 % = 1.05, so 2; 101 x 5 % = 5.05, so 6."""
    assert sample_size(population, share) == size


def test_anyone_with_a_hash_program_draws_the_same():
    """printf '7:Q-1 2026-06-14 routine' | sha256sum, and so on: the lowest digest is drawn (SHA-256, FIPS 180-4)."""
    names = {10: "Q-1 2026-06-14 routine", 11: "Q-2 2026-06-14 routine", 12: "Q-3 2026-05-02 initial"}
    lowest = min(names, key=lambda number: sha256(f"7:{names[number]}".encode()).hexdigest())
    assert drawn(names, share_pct=5, seed=7) == [lowest]


NAMES = st.dictionaries(st.integers(1, 10**6), st.text(max_size=12), max_size=60)


@given(NAMES, st.integers(0, 100), st.integers(0, 2**31 - 1))
def test_laws_of_the_draw(names, share, seed):
    found = drawn(names, share_pct=share, seed=seed)
    assert set(found) <= set(names) and len(set(found)) == sample_size(len(names), share)
    assert found == drawn(dict(reversed(names.items())), share_pct=share, seed=seed)
    assert set(found) <= set(drawn(names, share_pct=min(100, share + 20), seed=seed)), "a larger share only adds"


def test_over_many_seeds_everyone_is_drawn_about_as_often():
    """2,000 seeds, one of ten: 200 expected, standard deviation sqrt(2000 x 0.1 x 0.9) = 13.4; five of them is 67."""
    names = {number: f"Q-{number} 2026-06-14 routine" for number in range(1, 11)}
    times = dict.fromkeys(names, 0)
    for seed in range(2000):
        times[drawn(names, share_pct=10, seed=seed)[0]] += 1
    assert all(abs(count - 200) < 67 for count in times.values()), times


def visit(ratings=None, elements=None, findings=()) -> Visit:
    return Visit(ratings=ratings or {}, elements=elements or {}, findings=list(findings))


def check(station=8.0, **changed) -> Seen:
    values = {"identity": "a", "kind": "check", "words": "Check or shake", "place": (1, 5, 4, None, "bottom")}
    return Seen(station_ft=station, **(values | changed))


@pytest.mark.parametrize(
    ("one", "other", "counts"),
    [("6", "7", False), ("6", "5", False), ("6", "4", True), ("3", "6", True), ("N", "6", True), ("", "6", True)],
)
def test_ratings_more_than_one_apart_count(one, other, counts):
    (found,) = compare(visit({"Deck": one}), visit({"Deck": other}), rating_differs=1)
    assert found.counts is counts and found.what == "Deck rating"
    assert compare(visit({"Deck": one}), visit({"Deck": one}), rating_differs=1) == []


def test_the_policy_moves_the_line():
    two_apart = (visit({"Deck": "7"}), visit({"Deck": "5"}))
    assert [compare(*two_apart, rating_differs=number)[0].counts for number in (0, 1, 2)] == [True, True, False]


def element(*states, total=None, unit="ft") -> dict:
    total = sum(states) if total is None else total
    return {117: Element(name="117 Stringer", unit=unit, total=total, states=tuple(states))}


@pytest.mark.parametrize(
    ("one", "other", "counts"),
    [
        # 100 ft each; the share in state 3 is 10 and 15 percent: 5 apart.
        (element(80, 10, 10, 0), element(75, 10, 15, 0), False),
        # State 3: 5 and 16 percent, 11 apart.
        (element(80, 15, 5, 0), element(69, 15, 16, 0), True),
        # Totals 100 and 89: 11 of 100 is 11 percent.
        (element(100, 0, 0, 0), element(89, 0, 0, 0), True),
        (element(100, 0, 0, 0), element(91, 0, 0, 0), False),
        (element(100, 0, 0, 0), element(100, 0, 0, 0, unit="each"), True),
    ],
)
def test_element_quantities(one, other, counts):
    (found,) = compare(visit(elements=one), visit(elements=other), rating_differs=1)
    assert found.counts is counts and found.what == "Element 117 Stringer"


def test_an_element_only_one_entered_counts():
    (found,) = compare(visit(elements=element(5, 0, 0, 0)), visit(), rating_differs=1)
    assert found.counts and found.second == "not entered" and found.first == "5 ft: 5 / 0 / 0 / 0"


def test_findings_present_in_one_only():
    found = compare(visit(findings=[check()]), visit(findings=[check(kind="split", words="Split")]), rating_differs=1)
    assert [(each.what, each.first, each.second) for each in found] == [
        ("Check or shake", "found", "nothing"),
        ("Split", "nothing", "found"),
    ]


@pytest.mark.parametrize(("station", "same"), [(8.0, True), (10.0, True), (6.0, True), (10.1, False), (None, True)])
def test_the_same_place_is_two_feet_to_either_side(station, same):
    found = compare(visit(findings=[check(8.0)]), visit(findings=[check(station, identity="b")]), rating_differs=1)
    assert (found == []) is same


def test_each_finding_is_matched_once_and_the_nearest_first():
    """At 8 and 9.5 ft against one at 9: 0.5 ft is nearer than 1 ft, so the one at 8 is left."""
    first = [check(8.0, words="at 8"), check(9.5, words="at 9.5")]
    found = compare(visit(findings=first), visit(findings=[check(9.0, identity="b")]), rating_differs=1)
    assert [each.what for each in found] == ["at 8"]


def test_a_finding_that_says_what_it_follows_is_the_same_wherever_it_lies():
    later = check(20.0, identity="b", carries_on="a")
    assert compare(visit(findings=[check(1.0)]), visit(findings=[later]), rating_differs=1) == []
    gone = check(1.0, identity="b", carries_on="a", change="gone")
    assert len(compare(visit(findings=[check(1.0)]), visit(findings=[gone]), rating_differs=1)) == 1


@pytest.mark.parametrize("kind", ["bar_force", "moisture", "drilling", "stress_wave"])
def test_readings_are_not_missed_by_the_other(kind):
    assert compare(visit(findings=[check(kind=kind)]), visit(), rating_differs=1) == []


SEEN = st.lists(
    st.builds(
        Seen, identity=st.uuids().map(str), kind=st.sampled_from(["check", "split", "decay"]),
        words=st.just("w"), place=st.tuples(st.integers(1, 2)), station_ft=st.none() | st.floats(0, 20),
    ),
    max_size=6,
)  # fmt: skip


@settings(max_examples=60)
@given(SEEN, SEEN)
def test_turned_round_the_same_number_differ_and_nothing_differs_from_itself(one, other):
    assert compare(visit(findings=one), visit(findings=one), rating_differs=1) == []
    there = compare(visit(findings=one), visit(findings=other), rating_differs=1)
    back = compare(visit(findings=other), visit(findings=one), rating_differs=1)
    assert sum(each.first == "found" for each in there) == sum(each.second == "found" for each in back)


def test_by_another():
    assert repeat_refusal(by=[1, 2], authors=[3]) == ""
    assert "by another" in repeat_refusal(by=[1, 2], authors=[2])


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (None, date(2026, 1, 1), "Give the first"),
        (date(2026, 1, 2), date(2026, 1, 1), "ends before it begins"),
        (date(2026, 1, 1), date(2026, 6, 16), "in the future"),
        (date(2026, 1, 1), date(2026, 6, 15), ""),
    ],
)
def test_periods(first, last, said):
    fault = period_fault(first, last, today=date(2026, 6, 15))
    assert said in fault and bool(fault) is bool(said)
