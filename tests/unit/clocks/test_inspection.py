"""Inspection clocks against 23 CFR 650.311 and 650.313 (rule of 2022).

The text was not at hand in an official copy: intervals 24, 12 and 60 are checked-2nd, tolerances and the 3 months of an
initial inspection are from memory, and the month-by-month reading of the tolerance is derived from the definitions.
"""

from calendar import monthrange
from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.clocks import (
    InspectionFacts,
    Policy,
    add_months,
    inspection_dues,
    lateness,
    routine_interval,
    tolerance_end,
)
from inspections.vocabulary.states import ReminderKind

DAYS = st.dates(min_value=date(1900, 1, 1), max_value=date(2090, 12, 31))
ENTERED = date(2026, 1, 5)


def facts(**given_facts) -> InspectionFacts:
    return InspectionFacts(**({"registered_on": ENTERED} | given_facts))


def rated(code: int | None) -> tuple[tuple[str, int], ...]:
    return () if code is None else (("substructure", code),)


def routine_due(**given_facts):
    """The first of the kinds; the county's in-depth clock runs beside it."""
    return inspection_dues(facts(**given_facts), Policy())[0]


@given(on=DAYS, months=st.integers(min_value=0, max_value=240))
def test_months_agree_with_a_general_calendar_library(on, months):
    """Second method: python-dateutil's relativedelta clamps to the end of the month too."""
    assert add_months(on, months) == on + relativedelta(months=months)


@pytest.mark.parametrize(
    ("on", "months", "then"),
    [
        # Arithmetic by hand: 2024 and 2028 are leap years, 2025 and 2100 are not.
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2024, 2, 29), 48, date(2028, 2, 29)),
        (date(2096, 2, 29), 48, date(2100, 2, 28)),
        (date(2025, 8, 31), 6, date(2026, 2, 28)),
        (date(2025, 12, 31), 2, date(2026, 2, 28)),
        (date(2025, 11, 30), 3, date(2026, 2, 28)),
    ],
)
def test_month_ends_stay_in_their_month(on, months, then):
    assert add_months(on, months) == then


def test_routine_due_24_months_after_field_work_and_tolerance_to_the_end_of_the_third_month():
    """3 May 2024 + 24 months = 3 May 2026; the third month after May is August, whose last day is the 31st."""
    due = routine_due(last_routine_on=date(2024, 5, 3))
    assert (due.due_on, due.late_after) == (date(2026, 5, 3), date(2026, 8, 31))
    assert "24 months after 3 May 2024" in due.reason and "31 Aug 2026" in due.reason


def test_reduced_interval_of_12_months_has_two_months_of_tolerance():
    """A component at 3: 12 months (checked-2nd). 31 Dec 2024 + 12 = 31 Dec 2025; second month after is Feb 2026."""
    due = routine_due(last_routine_on=date(2024, 12, 31), ratings=(("superstructure", 3),))
    assert (due.due_on, due.late_after) == (date(2025, 12, 31), date(2026, 2, 28))
    assert "superstructure is rated 3" in due.reason


@pytest.mark.parametrize(("rating", "months"), [(0, 12), (3, 12), (4, 24), (9, 24), (None, 24)])
def test_twelve_months_from_rating_three_down(rating, months):
    assert routine_interval(facts(ratings=rated(rating)), Policy())[0] == months


def test_timber_never_has_48_months():
    """Method 1 wants spans of concrete or steel for 48 months (memory): policy and record both give way to 24."""
    months, why = routine_interval(facts(interval_on_record_months=48), Policy(routine_months=48))
    assert months == 24 and "timber" in why


@given(
    policy=st.integers(min_value=1, max_value=72),
    record=st.one_of(st.none(), st.integers(min_value=1, max_value=72)),
    rating=st.one_of(st.none(), st.integers(min_value=0, max_value=9)),
)
def test_interval_law_of_federal_bridges(policy, record, rating):
    """Law: never above 24, never above the county's own or the recorded interval, never above 12 at 3 or less."""
    months, _ = routine_interval(
        facts(ratings=rated(rating), interval_on_record_months=record), Policy(routine_months=policy)
    )
    limits = [24, policy] + ([record] if record else []) + ([12] if rating is not None and rating <= 3 else [])
    assert months == min(limits)


def test_short_structure_follows_the_county_and_has_no_federal_tolerance():
    """650.305: a bridge is more than 20 ft (memory); a shorter span is the county's own matter, 36 months allowed."""
    due = inspection_dues(facts(is_federal=False, last_routine_on=date(2024, 5, 3)), Policy(short_months=36))[0]
    assert (due.due_on, due.late_after) == (date(2027, 5, 3), date(2027, 5, 3))
    assert "20 ft" in due.reason


def test_initial_inspection_within_three_months_of_opening():
    """Opened 30 Nov 2026; 30 Feb does not exist: 28 Feb 2027."""
    due = routine_due(opened_on=date(2026, 11, 30))
    assert (due.due_on, due.late_after) == (date(2027, 2, 28), date(2027, 2, 28))
    assert "Initial" in due.reason


def test_old_structure_without_an_inspection_is_due_on_the_day_it_was_entered():
    """Nothing on record: at once, and not with a date of 1961 that nobody can act on."""
    for opened in (None, date(1961, 4, 1)):
        due = routine_due(opened_on=opened)
        assert due.due_on == ENTERED and "No inspection" in due.reason


def test_underwater_inspection_after_60_months():
    """650.311(b): 60 months regular (checked). 15 Jun 2021 + 5 years; 60 >= 24, so the third month after: September."""
    dues = inspection_dues(facts(last_routine_on=date(2025, 6, 15), last_underwater_on=date(2021, 6, 15)), Policy())
    assert (dues[1].due_on, dues[1].late_after) == (date(2026, 6, 15), date(2026, 9, 30))


@given(on=DAYS, months=st.integers(min_value=1, max_value=24))
def test_due_is_after_completion_and_tolerance_after_due(on, months):
    due_on = add_months(on, months)
    end = tolerance_end(due_on, months)
    assert on < due_on < end
    assert end.day == monthrange(end.year, end.month)[1]
    # Second method: first of the month of the due date, 2 or 3 months and one more, less a day.
    steps = 3 if months >= 24 else 2
    assert end == due_on.replace(day=1) + relativedelta(months=steps + 1) - timedelta(days=1)


@given(first=DAYS, days=st.integers(min_value=0, max_value=2000), months=st.integers(min_value=1, max_value=24))
def test_later_completion_never_falls_due_earlier(first, days, months):
    policy = Policy(routine_months=months)
    early, late = (
        inspection_dues(facts(last_routine_on=on), policy)[0] for on in (first, first + timedelta(days=days))
    )
    assert early.due_on <= late.due_on and early.late_after <= late.late_after


def test_late_inspection_does_not_keep_the_old_rhythm():
    """No accumulation, derived: done two months late on 3 Jul 2026, the next is 24 months from that day."""
    assert routine_due(last_routine_on=date(2026, 7, 3)).due_on == date(2028, 7, 3)


@pytest.mark.parametrize(
    ("as_of", "grade", "words"),
    [
        (date(2026, 4, 3), "ahead", "due in 30 days"),
        (date(2026, 4, 27), "soon", "due in 6 days"),
        (date(2026, 5, 2), "soon", "due in 1 day"),
        (date(2026, 5, 3), "due", "due today"),
        # The calendar month of the due date is the month in which it is due.
        (date(2026, 5, 31), "due", "due this month"),
        # 28 days of May after the 3rd, then June: 1 Jun is 29 days after.
        (date(2026, 6, 1), "tolerated", "late 29 days, within tolerance"),
        (date(2026, 8, 31), "tolerated", "late 120 days, within tolerance"),
        (date(2026, 9, 1), "out", "out of compliance, late 121 days"),
    ],
)
def test_words_through_the_life_of_a_due_date(as_of, grade, words):
    due = routine_due(last_routine_on=date(2024, 5, 3))
    found = lateness(kind=due.kind, due_on=due.due_on, late_after=due.late_after, as_of=as_of)
    assert (found.grade, found.words) == (grade, words)


def test_kinds_without_a_tolerance_are_late_the_day_after():
    """3 May to 13 June: 28 + 13 = 41 days."""
    found = lateness(
        kind=ReminderKind.SIGN, due_on=date(2026, 5, 3), late_after=date(2026, 5, 3), as_of=date(2026, 6, 13)
    )
    assert (found.grade, found.words, found.is_late) == ("late", "late 41 days", True)


GRADES = ["ahead", "soon", "due", "tolerated", "late", "out"]


@given(on=DAYS, months=st.integers(min_value=1, max_value=24), after=st.integers(0, 1000), more=st.integers(0, 400))
def test_lateness_never_gets_better_with_time(on, months, after, more):
    due = inspection_dues(facts(last_routine_on=on), Policy(routine_months=months))[0]
    grades = [
        lateness(kind=due.kind, due_on=due.due_on, late_after=due.late_after, as_of=on + timedelta(days=days)).grade
        for days in (after, after + more)
    ]
    assert GRADES.index(grades[0]) <= GRADES.index(grades[1])
