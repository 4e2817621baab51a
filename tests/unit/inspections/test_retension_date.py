"""When bars should be pulled again: arithmetic on given days, and laws (earlier never later, nothing moves by itself).

The rules are owner policy (`model`); the numbers here are arithmetic on invented curves, shown beside each check.
"""

from dataclasses import dataclass
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.forecast_band import Days, day_of_ordinal, read_off
from inspections.rules.frost import FROST, FROST_UNKNOWN, frost_reason
from inspections.rules.retension_date import (
    Change,
    Reached,
    Recommended,
    kept_or_new,
    moved_noticeably,
    next_change,
    posting_changes,
    rating_owed_why,
    recommend,
    whole_sentences,
)

TODAY = date(2026, 6, 15)


@dataclass(frozen=True)
class Point:
    on_day: float
    least_lower_psi: float
    least_middle_psi: float


def points(*rows):
    return [Point(TODAY.toordinal() + after, lower, middle) for after, lower, middle in rows]


def asked(*, limit=None, need=None, horizon=None, lead=60):
    marks = [
        ("limit", Reached(psi=50.0, words="the re-tension limit", on=limit)),
        ("need", Reached(psi=57.0, words="the need on record", on=need)),
    ]
    told = None if horizon is None else (horizon, "")
    return recommend(as_of=TODAY, marks=marks, horizon=told, lead_days=lead, band_ratio=0.8)


def test_the_lower_edge_is_read_between_points_and_the_middle_is_another_day():
    """Lower 60 to 50 psi in 100 days: 57 psi after 30 days; middle 70 to 60: 65 psi after 50; 40 psi never."""
    days = Days(points=points((0, 60.0, 70.0), (100, 50.0, 60.0)))
    assert days.lower(57.0) == TODAY + timedelta(days=30)
    assert days.middle(65.0) == TODAY + timedelta(days=50)
    assert days.lower(40.0) is None
    assert days.lower(60.0) == TODAY


def test_readings_below_the_band_lower_every_edge():
    """Nine tenths of 60 to 50 psi are 54 to 45: 49.5 psi after half of 100 days; 54 and above today."""
    days = Days(points=points((0, 60.0, 70.0), (100, 50.0, 60.0)), ratio=0.9)
    assert days.lower(49.5) == TODAY + timedelta(days=50)
    assert days.lower(54.0) == TODAY


def test_read_off_between_points_and_beyond_the_ends():
    kept = [{"on_day": 10.0, "v": 60.0}, {"on_day": 20.0, "v": 50.0}]
    assert read_off(kept, date.fromordinal(15), "v") == 55.0
    assert read_off(kept, date.fromordinal(5), "v") == 60.0 and read_off(kept, date.fromordinal(25), "v") == 50.0
    assert read_off([], TODAY, "v") is None and day_of_ordinal(None) is None


def test_the_earliest_governs_and_the_sign_keeps_its_lead():
    """Need 1 Mar 2028; a posting that would change 1 Apr 2028 less 60 days is 1 Feb 2028 and governs."""
    found = asked(need=date(2028, 3, 1), horizon=date(2028, 4, 1))
    assert (found.on, found.governs) == (date(2028, 2, 1), "posting")
    assert "1 Apr 2028" in found.why and "60 days" in found.why
    found = asked(need=date(2028, 1, 31), horizon=date(2028, 4, 1))
    assert (found.on, found.governs) == (date(2028, 1, 31), "need") and "57 psi" in found.why
    assert asked() == Recommended()


def test_a_lead_that_has_passed_is_today_never_before():
    assert asked(horizon=TODAY + timedelta(days=10)).on == TODAY


def test_reached_already_says_so_and_since_when_it_is_known():
    found = asked(limit=TODAY)
    assert found.on == TODAY and "already, seen 15 Jun 2026" in found.why


def test_a_date_that_came_stays_and_a_pull_or_a_better_reading_moves_it():
    kept = Recommended(on=date(2026, 3, 1), why="first", governs="limit")
    again = Recommended(on=TODAY, why="again", governs="limit")
    later = Recommended(on=date(2028, 1, 1), why="read higher", governs="limit")
    assert kept_or_new(kept=kept, new=again, as_of=TODAY, pulled_since=False) == kept
    assert kept_or_new(kept=kept, new=later, as_of=TODAY, pulled_since=False) == later
    assert kept_or_new(kept=kept, new=again, as_of=TODAY, pulled_since=True) == again
    assert kept_or_new(kept=Recommended(), new=again, as_of=TODAY, pulled_since=False) == again


@pytest.mark.parametrize(("moved", "stays"), [(7, True), (-7, True), (8, False), (-8, False)])
def test_a_few_days_on_new_knowledge_move_nothing(moved, stays):
    kept = Recommended(on=date(2028, 1, 1), why="first", governs="limit")
    new = Recommended(on=kept.on + timedelta(days=moved), why="new", governs="limit")
    assert kept_or_new(kept=kept, new=new, as_of=TODAY, pulled_since=False) == (kept if stays else new)


def test_steadiness_never_keeps_a_date_beyond_the_posting_horizon_or_the_need():
    """Kept 1 Jan 2028, now asked 28 Dec 2027 with the horizon on that day: the earlier date; with the horizon a month
    later (60 days' lead) the kept one stays."""
    kept = Recommended(on=date(2028, 1, 1), why="first", governs="posting")
    new = Recommended(on=date(2027, 12, 28), why="new", governs="posting")
    told = {"kept": kept, "new": new, "as_of": TODAY, "pulled_since": False}
    assert kept_or_new(**told, latest=date(2027, 12, 28)) == new
    assert kept_or_new(**told, latest=date(2028, 1, 28)) == kept


def test_a_move_is_told_from_a_month_on():
    on = date(2028, 1, 1)
    assert not moved_noticeably(on, on + timedelta(days=29)) and moved_noticeably(on, on + timedelta(days=30))
    assert moved_noticeably(on, None) and moved_noticeably(None, on) and not moved_noticeably(None, None)


VEHICLES = [
    {"vehicle": "SU5", "name": "Single unit SU5", "vehicle_class": "shv"},
    {"vehicle": "EV3", "name": "Emergency vehicle EV3", "vehicle_class": "emergency"},
    {"vehicle": "HS20", "name": "HS 20", "vehicle_class": "design"},
]


def threshold(psi, kind="tons", vehicle="", below=("post", 12.0), above=("post", 15.0), words="12 below, 15 above."):
    return {
        "pressure_psi": psi, "kind": kind, "vehicle": vehicle, "words": words, "action_below": below[0],
        "below_tons": below[1], "action_above": above[0], "above_tons": above[1],
    }  # fmt: skip


def test_only_what_changes_a_sign_counts():
    """A design vehicle, a factor of 0.3 and a jump that leaves the posting as it is are no change."""
    same = {"below": ("post", 12.0), "above": ("post", 12.0)}
    rows = [
        threshold(43.2),
        threshold(56.3, "factor 1", "SU5", **same),
        threshold(56.3, "factor 1", "EV3", **same),
        threshold(60.0, "factor 1", "HS20", **same),
        threshold(61.0, "factor 0.3", "SU5", **same),
        threshold(62.0, "jump", **same),
    ]
    changes = posting_changes(rows, VEHICLES)
    assert [change.psi for change in changes] == [56.3, 43.2]
    assert changes[0].words == "Below it a limit is needed for Single unit SU5, Emergency vehicle EV3."


def test_the_next_change_below_what_counts_and_the_whole_psi_it_is_lost_at():
    """Counted in whole psi, 43.2 is lost below 44; 40.0 is lost below 40."""
    changes = [Change(psi=43.2, words="a"), Change(psi=40.0, words="b")]
    assert next_change(changes, 52.0).from_whole_psi == 44.0
    assert next_change(changes, 43.0).psi == 40.0 and next_change(changes, 40.0).from_whole_psi == 40.0
    assert next_change(changes, 39.0) is None and next_change(changes, None) is None


def owed(edge, rated=50.0, step=2.0):
    return rating_owed_why(
        span="1", rated_psi=rated, edge_psi=edge, step_psi=step, changes=[Change(psi=49.4, words="x")]
    )


def test_a_rating_is_owed_by_a_step_or_a_crossing_and_not_before():
    """Rated at 50: 49 psi is below the 49.4 of the curve; without the crossing a step of 2 psi is needed."""
    assert "49.4 psi" in owed(49) and not owed(50) and not owed(55)
    assert not rating_owed_why(span="1", rated_psi=50.0, edge_psi=49, step_psi=2.0, changes=[])
    assert "fell to 48 psi, 50 psi when last rated" in rating_owed_why(
        span="1", rated_psi=50.0, edge_psi=48, step_psi=2.0, changes=[]
    )
    assert not owed(30, rated=None) and not owed(None)


@given(st.integers(0, 80), st.integers(0, 80))
def test_less_pressure_never_owes_less(first, second):
    low, high = sorted((first, second))
    assert owed(low) or not owed(high)


@pytest.mark.parametrize(
    ("temp_f", "moisture", "reason"),
    [(31.9, 20.1, FROST), (32.0, 30.0, ""), (31.9, 20.0, ""), (10.0, None, FROST_UNKNOWN), (None, 30.0, "")],
)
def test_frost_with_wet_wood_is_left_out_of_the_fit(temp_f, moisture, reason):
    """Loss large when green, moderate to small when dry, back on warming: Mn/DOT 1998-03 (checked); limits model."""
    found = frost_reason(wood_temp_f=temp_f, moisture_pct=moisture, frost_below_f=32.0, wet_above_pct=20.0)
    assert found == reason


def test_many_vehicles_are_counted_and_only_whole_sentences_are_kept():
    same = {"below": ("post", 12.0), "above": ("post", 12.0)}
    vehicles = [{"vehicle": f"V{n}", "name": f"Truck {n}", "vehicle_class": "legal"} for n in range(7)]
    (change,) = posting_changes([threshold(50.0, "factor 1", f"V{n}", **same) for n in range(7)], vehicles)
    assert change.words == "Below it a limit is needed for Truck 0, Truck 1, Truck 2, Truck 3 and 3 more."
    assert whole_sentences("One two. Three four. Five six.", 21) == "One two. Three four."
