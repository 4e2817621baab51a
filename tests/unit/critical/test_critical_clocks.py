"""Clocks of a critical finding: every number is arithmetic on the moment it was found, shown here.

24 hours to tell, 23 CFR 650.313(q) [from memory]; a status every month until resolved (a State's manual restating the
federal list, second hand); 30 days to a plan (the same State's own limit).
"""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.clocks.critical import (
    REPORTS_TO,
    CriticalFact,
    CriticalTerms,
    critical_clocks,
    critical_dues,
    critical_settled_on,
    most_pressing,
    span_words,
    whom_to_tell,
)
from inspections.vocabulary.states import ReminderKind

HERE = ZoneInfo("America/Chicago")
FOUND = datetime(2026, 3, 2, 16, 30, tzinfo=HERE)


def fact(**changed) -> CriticalFact:
    return CriticalFact(kind="threat", found_at=FOUND, **changed)


def clocks(now: datetime, **changed) -> dict:
    return {clock.name: clock for clock in critical_clocks(fact(**changed), now)}


def test_defaults_end_a_day_and_thirty_days_after_it_was_found():
    made = clocks(FOUND)
    assert made["tell"].due_at == datetime(2026, 3, 3, 16, 30, tzinfo=HERE)
    # 2 March and 30 days: 31 - 2 = 29 left in March, so 1 April.
    assert made["plan"].due_at.date() == made["status"].due_at.date() == date(2026, 4, 1)


def test_warned_from_three_quarters_of_the_time_and_late_after_it():
    # Three quarters of 24 h are 18 h.
    assert clocks(FOUND + timedelta(hours=17, minutes=59))["tell"].grade == "running"
    assert clocks(FOUND + timedelta(hours=18))["tell"].grade == "warn"
    assert clocks(FOUND + timedelta(hours=24))["tell"].grade == "warn"
    late = clocks(FOUND + timedelta(hours=29))["tell"]
    assert (late.grade, late.words) == ("late", "LATE 5 h: tell the State now")


def test_words_give_the_hours_left():
    assert clocks(FOUND + timedelta(hours=21))["tell"].words == "3 h left to tell the State"


def test_the_settings_of_the_agency_are_the_clock():
    terms = CriticalTerms(tell_hours=4, plan_days=10, status_days=7)
    made = clocks(FOUND + timedelta(hours=5), terms=terms)
    assert made["tell"].grade == "late"
    assert made["plan"].due_at == FOUND + timedelta(days=10)
    assert made["status"].due_at == FOUND + timedelta(days=7)


def test_a_status_report_starts_the_next_month_and_does_not_stop_the_clock():
    sent = FOUND + timedelta(days=20)
    made = clocks(sent, status_at=sent)
    assert made["status"].is_running
    assert made["status"].due_at == sent + timedelta(days=30)


def test_telling_the_state_stops_the_first_clock_and_lateness_stays_in_the_words():
    made = clocks(FOUND + timedelta(days=3), told_state_at=FOUND + timedelta(hours=30))
    # 30 h less 24 h.
    assert made["tell"].words == "tell the State: done 3 Mar 2026, late 6 h"


def test_a_closed_finding_owes_no_report_but_is_still_told_of():
    closed = FOUND + timedelta(days=2)
    made = clocks(FOUND + timedelta(days=40), closed_at=closed)
    assert list(made) == ["tell"]
    assert made["tell"].grade == "late"
    told = clocks(FOUND + timedelta(days=40), closed_at=closed, told_state_at=FOUND + timedelta(hours=1))
    assert not any(clock.is_running for clock in told.values())


def test_an_hour_of_the_clock_is_an_hour_over_the_change_to_summer_time():
    """8 March 2026 at 2:00 the clocks of Chicago go an hour forward: 24 hours later stands one hour later on them."""
    found = datetime(2026, 3, 7, 16, 30, tzinfo=HERE)
    made = critical_clocks(CriticalFact(kind="threat", found_at=found), found)
    tell = next(clock for clock in made if clock.name == "tell")
    assert tell.due_at.timestamp() - found.timestamp() == 24 * 3600


def test_dues_say_by_when_and_count_from_the_day_it_was_found():
    dues = critical_dues([fact()])
    assert {due.kind for due in dues} == {ReminderKind.CRITICAL}
    tell = min(dues, key=lambda due: due.due_on)
    assert (tell.due_on, tell.counted_from) == (date(2026, 3, 3), date(2026, 3, 2))
    assert "by 16:30" in tell.reason
    assert "tell the State" in tell.reason


def test_nothing_is_due_of_a_finding_told_planned_and_closed():
    done = fact(told_state_at=FOUND, planned_at=FOUND, closed_at=FOUND + timedelta(days=1))
    assert critical_dues([done]) == []


def test_settled_on_the_last_day_anything_was_done():
    rows = [fact(done_at=FOUND), fact(done_at=FOUND + timedelta(days=3)), fact()]
    assert critical_settled_on(rows) == date(2026, 3, 5)
    assert critical_settled_on([fact()]) is None


def test_most_pressing_ends_first():
    made = critical_clocks(fact(told_state_at=FOUND), FOUND + timedelta(days=1))
    assert most_pressing(made).name in ("plan", "status")
    assert most_pressing([clock for clock in made if not clock.is_running]) is None


def test_off_the_national_highway_system_the_county_reports_to_its_state():
    assert whom_to_tell(is_nhs=False) == REPORTS_TO
    assert "24 hours" in whom_to_tell(is_nhs=True)


@pytest.mark.parametrize(
    ("minutes", "words"), [(0, "0 min"), (59, "59 min"), (60, "1 h"), (47 * 60 + 59, "47 h"), (48 * 60, "2 days")]
)
def test_what_is_left_is_never_promised_longer(minutes, words):
    assert span_words(timedelta(minutes=minutes, seconds=59)) == words


@given(hours=st.floats(0, 24 * 90), told=st.booleans(), planned=st.booleans(), closed=st.booleans())
def test_a_clock_is_late_exactly_after_its_end(hours, told, planned, closed):
    now = FOUND + timedelta(hours=hours)
    made = critical_clocks(
        fact(
            told_state_at=FOUND if told else None,
            planned_at=FOUND if planned else None,
            closed_at=FOUND if closed else None,
        ),
        now,
    )
    for clock in made:
        assert (clock.grade == "late") == (clock.is_running and now > clock.due_at)
