"""What became of findings: each sort of change made by hand, and a law: nothing is lost or told twice."""

from datetime import date
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.finding_change import changes_between, compared, trails

A, B, C = (UUID(int=n) for n in (1, 2, 3))


def row(identity=None, carries_on=None, **sizes):
    return {"kind": "surface_decay", "span_index": 1, "member": 7, "member_number": 4, "station_ft": 8.0,
            "face": "bottom", "depth_in": 1.0, "extent_ft": 2.0, "identity": identity, "carries_on": carries_on,
            } | sizes  # fmt: skip


def kinds(steps):
    return [step.change.value for step in steps]


def test_grown_less_same_new_and_gone():
    assert kinds(changes_between([row(B, A, depth_in=1.5)], [row(A)])) == ["grown"]
    assert kinds(changes_between([row(B, A, depth_in=0.5)], [row(A)])) == ["less"]
    assert kinds(changes_between([row(B, A)], [row(A)])) == ["same"]
    assert kinds(changes_between([row(B)], [])) == ["new"]
    assert kinds(changes_between([], [row(A)])) == ["gone"]
    assert kinds(changes_between([], [row(A)], replaces=False)) == []


def test_one_size_worse_and_one_better_is_grown():
    change, words = compared(row(depth_in=0.5, extent_ft=4.0), row())
    assert change == "grown" and words == "depth 1 to 0.5 in, length 2 to 4 ft"


def test_more_sag_is_worse_and_less_resistance_too():
    sag = {"kind": "camber", "span_index": 1}
    assert compared(sag | {"value_in": -1.0}, sag | {"value_in": -0.5})[0] == "grown"
    assert compared(sag | {"value_in": 0.5}, sag | {"value_in": -0.5})[0] == "less"
    assert compared(row(resistance_pct=40.0), row(resistance_pct=60.0))[0] == "grown"


def test_the_inspectors_word_goes_before_the_sizes():
    assert kinds(changes_between([row(B, A, change="same", depth_in=1.1)], [row(A)])) == ["same"]
    assert kinds(changes_between([row(B, A, change="gone")], [row(A)])) == ["gone"]


def test_without_a_link_the_place_tells():
    near, far = row(B, station_ft=8.9), row(B, station_ft=9.1)
    assert kinds(changes_between([near], [row(A)])) == ["same"]
    assert kinds(changes_between([far], [row(A)])) == ["new", "gone"]
    assert kinds(changes_between([row(B, face="top")], [row(A)])) == ["new", "gone"]


def test_a_link_goes_before_a_nearer_place():
    linked, unlinked = row(B, A, station_ft=8.5), row(C, station_ft=8.0)
    steps = changes_between([unlinked, linked], [row(A)])
    assert {step.row["identity"]: step.change.value for step in steps} == {B: "same", C: "new"}


def test_a_trail_runs_through_the_years():
    seen = [
        (date(2020, 5, 1), [row(A, depth_in=0.5)]),
        (date(2022, 5, 1), [row(B, A, depth_in=1.0), row(C, station_ft=2.0)]),
        (date(2024, 5, 1), [row(UUID(int=9), B, depth_in=1.75)]),
    ]
    (trail,) = trails(seen)
    assert [each["depth_in"] for each in trail.rows] == [0.5, 1.0, 1.75]
    assert trail.days == (date(2020, 5, 1), date(2022, 5, 1), date(2024, 5, 1))


place = st.builds(row, station_ft=st.floats(0, 10), member_number=st.integers(1, 3), depth_in=st.floats(0, 5))


@given(st.lists(place, max_size=8), st.lists(place, max_size=8))
def test_every_finding_is_told_once(now, before):
    steps = changes_between(now, before)
    told_now = [id(step.row) for step in steps if step.row is not None]
    told_before = [id(step.before) for step in steps if step.before is not None]
    assert sorted(told_now) == sorted(map(id, now)) and sorted(told_before) == sorted(map(id, before))
