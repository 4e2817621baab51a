"""A structure's own intervals and the visits that events set off: who may, what is refused, what the record closes.

Dates by arithmetic beside them; days after an event are the county's policy (model). Otherwise laws: twice is once.
"""

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from inspections.actions import remind
from inspections.actions.schedule import end_need, set_need
from inspections.actions.visits import owe_visits, set_visit_aside
from inspections.models import InspectionNeed, OwedVisit, Reminder
from inspections.queries.clock_facts import clock_facts
from inspections.rules.refusals import Refused, Stale
from inventory.models import Event, InspectionPolicy
from tests.app.reminders.made import inspect, make_late_bridge
from tests.makers.county import make_county
from tests.makers.inspected import submitted

pytestmark = pytest.mark.database
AS_OF = date(2026, 6, 15)


@pytest.fixture
def bridge(county):
    return make_late_bridge(county.agency)


@pytest.fixture
def engineer(county):
    return county.people["engineer"]


@pytest.fixture
def inspector(county):
    return county.people["inspector"]


def refresh(now, *structures):
    return remind.refresh_reminders(structure_ids=[s.pk for s in structures], as_of=AS_OF, at=now)


def special(bridge, by, now, **changed):
    asked = {"kind": "special", "interval_months": 6, "reason": "Split cap at bent 2"} | changed
    return set_need(structure=bridge, by=by, at=now, **asked)


def flood(structures, by, now, **changed):
    asked = {"kind": "scour", "cause": "flood", "happened_on": date(2026, 6, 12), "words": "Over the deck"} | changed
    return owe_visits(structures=structures, by=by, at=now, **asked)


def test_a_need_starts_a_clock_and_tells_the_event(bridge, engineer, now):
    """Set 15 June 2026, every 6 months: 15 December 2026, tolerance to 28 February 2027."""
    row = special(bridge, engineer, now)
    due = bridge.reminders.get(kind="special")
    assert (due.due_on, due.late_after) == (date(2026, 12, 15), date(2027, 2, 28))
    assert "Split cap at bent 2" in due.reason
    event = Event.objects.get(verb="set_inspection_need")
    assert event.by == engineer and event.detail["need"] == row.pk


def test_a_need_counts_from_the_inspection_of_its_kind_and_ends_with_a_reason(bridge, engineer, now):
    """Made on 1 July 2026, the next 6 months on: 1 January 2027. A routine one does not answer it."""
    row = special(bridge, engineer, now, first_due_on=date(2026, 6, 30))
    inspect(bridge, date(2026, 7, 1), kind="routine")
    refresh(now, bridge)
    assert bridge.reminders.get(kind="special", state="open").due_on == date(2026, 6, 30)
    inspect(bridge, date(2026, 7, 1), kind="special")
    refresh(now, bridge)
    assert bridge.reminders.get(kind="special", due_on=date(2026, 6, 30)).state == "done"
    assert bridge.reminders.get(kind="special", state="open").due_on == date(2027, 1, 1)
    with pytest.raises(Refused, match="Say why"):
        end_need(need=row, reason=" ", by=engineer, at=now)
    end_need(need=row, reason="Cap replaced", by=engineer, at=now)
    assert bridge.reminders.filter(kind="special", state="open").count() == 0
    with pytest.raises(Refused, match="Cap replaced"):
        end_need(need=row, reason="again", by=engineer, at=now)


def test_a_second_need_of_a_kind_replaces_only_what_the_person_saw(bridge, engineer, now):
    row = special(bridge, engineer, now)
    with pytest.raises(Refused, match="6 months is set already"):
        special(bridge, engineer, now, interval_months=3)
    second = special(bridge, engineer, now, interval_months=3, seen=[row.pk])
    row.refresh_from_db()
    assert row.ended_on == AS_OF and InspectionNeed.objects.get(ended_on__isnull=True) == second
    with pytest.raises(IntegrityError), transaction.atomic():
        InspectionNeed.objects.create(structure=bridge, kind="special", interval_months=1, reason="x", set_at=now)


def test_who_may_set_a_need(bridge, county, now):
    for role in ("inspector", "supervisor", "office", "crew", "reviewer"):
        with pytest.raises(Refused, match="engineer"):
            special(bridge, county.people[role], now)
    stranger = make_county("Marrow County", "003").people["engineer"]
    with pytest.raises(Refused):
        special(bridge, stranger, now)
    assert not InspectionNeed.objects.exists()
    with pytest.raises(Refused, match="24 months"):
        special(bridge, county.people["engineer"], now, kind="routine", interval_months=36)


def test_high_water_owes_a_visit_to_each_and_none_twice(bridge, county, inspector, now):
    """12 June 2026 and 7 days: 19 June."""
    other = make_late_bridge(county.agency, "Q-2")
    owed = flood([bridge, other], inspector, now)
    assert {row.structure_id for row in owed.made} == {bridge.pk, other.pk} and owed.already == ()
    assert {row.due_on for row in owed.made} == {date(2026, 6, 19)}
    assert bridge.reminders.get(kind="scour").due_on == date(2026, 6, 19)
    again = flood([bridge, other], inspector, now)
    assert again.made == () and set(again.already) == {bridge, other}
    assert OwedVisit.objects.count() == 2 and Event.objects.filter(verb="owe_visit").count() == 2


def test_days_after_an_event_are_the_countys_own(bridge, inspector, now):
    InspectionPolicy.objects.create(agency=bridge.agency, scour_visit_days=3)
    assert flood([bridge], inspector, now).made[0].due_on == date(2026, 6, 15)


@pytest.mark.parametrize("done_on", [date(2026, 6, 12), date(2026, 6, 14)])
def test_the_inspection_of_that_kind_answers_it_once(bridge, inspector, now, done_on):
    flood([bridge], inspector, now)
    made = submitted(bridge, inspector, now, kind="scour", field_completed_on=done_on)
    refresh(now, bridge)
    visit = OwedVisit.objects.get()
    assert (visit.state, visit.inspection, visit.revision) == ("done", made, 1)
    assert bridge.reminders.get(kind="scour").state == "done"
    before = list(OwedVisit.objects.values()), list(Reminder.objects.values()), Event.objects.count()
    refresh(now + timedelta(minutes=5), bridge)
    assert (list(OwedVisit.objects.values()), list(Reminder.objects.values()), Event.objects.count()) == before
    # A second report of the same high water, sent late, asks for no second visit.
    assert flood([bridge], inspector, now).made == ()


def test_what_does_not_answer_it(bridge, inspector, now):
    """An inspection before the event, of another kind, sent back, or still a draft."""
    flood([bridge], inspector, now)
    inspect(bridge, date(2026, 6, 11), kind="scour")
    inspect(bridge, date(2026, 6, 13), kind="routine")
    inspect(bridge, date(2026, 6, 13), kind="scour", state="sent_back")
    inspect(bridge, date(2026, 6, 13), kind="scour", state="draft")
    refresh(now, bridge)
    assert OwedVisit.objects.get().state == "open" and bridge.reminders.get(kind="scour").state == "open"


def test_a_visit_is_owed_again_while_its_inspection_is_sent_back(bridge, inspector, now):
    flood([bridge], inspector, now)
    made = submitted(bridge, inspector, now, kind="scour", field_completed_on=date(2026, 6, 14))
    for state, owed in (("submitted", "done"), ("sent_back", "open"), ("submitted", "done")):
        type(made).objects.filter(pk=made.pk).update(state=state)
        refresh(now, bridge)
        assert bridge.reminders.get(kind="scour").state == owed


def test_all_or_none_where_one_cannot_be_visited(bridge, county, inspector, now):
    gone = make_late_bridge(county.agency, "Q-2", status="removed")
    theirs = make_late_bridge(make_county("Marrow County", "003").agency, "M-1")
    for other, word in ((gone, "Q-2"), (theirs, "Marrow")):
        with pytest.raises(Refused, match=word):
            flood([bridge, other], inspector, now)
    with pytest.raises(Refused, match="ticked"):
        flood([], inspector, now)
    assert not OwedVisit.objects.exists()


def test_a_visit_is_set_aside_with_a_reason_by_those_who_may(bridge, county, inspector, now):
    (visit,) = flood([bridge], inspector, now).made
    office = county.people["office"]
    with pytest.raises(Refused):
        set_visit_aside(visit=visit, revision=0, reason="Gauge stayed low", by=inspector, at=now)
    with pytest.raises(Refused, match="Say why"):
        set_visit_aside(visit=visit, revision=0, reason="", by=office, at=now)
    with pytest.raises(Stale):
        set_visit_aside(visit=visit, revision=3, reason="Gauge stayed low", by=office, at=now)
    set_visit_aside(visit=visit, revision=0, reason="Gauge stayed low", by=office, at=now)
    assert bridge.reminders.get(kind="scour").state == "lapsed"
    with pytest.raises(Refused, match="set aside"):
        set_visit_aside(visit=visit, revision=1, reason="again", by=office, at=now)
    # What was set aside may be owed again.
    assert len(flood([bridge], inspector, now).made) == 1


def test_ratings_of_the_last_inspection_set_the_interval(bridge, now):
    """Scour 3 found on 1 June 2026: 12 months, 1 June 2027, tolerance to 31 August 2027."""
    inspect(bridge, date(2026, 6, 1), deck_rating="6", scour_rating="3")
    refresh(now, bridge)
    due = bridge.reminders.get(kind="inspection", state="open")
    assert (due.due_on, due.late_after) == (date(2027, 6, 1), date(2027, 8, 31))
    assert "observed scour is rated 3" in due.reason


def test_facts_take_as_many_queries_for_many_structures_as_for_one(county, engineer, inspector, now):
    """A law, not a number."""
    bridges = [make_late_bridge(county.agency, f"Q-{n}") for n in range(1, 7)]
    for bridge in bridges:
        special(bridge, engineer, now)
    flood(bridges, inspector, now)

    def count(rows) -> int:
        with CaptureQueriesContext(connection) as asked:
            assert len(clock_facts([row.pk for row in rows])) == len(rows)
        return len(asked)

    assert count(bridges[:1]) == count(bridges)
