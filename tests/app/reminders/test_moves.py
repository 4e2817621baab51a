"""What people do with a reminder: who may, what is refused in which words, and that nothing moves the law's date."""

from datetime import date

import pytest

from inspections.actions import remind
from inspections.models import OwedMessage
from inspections.rules.refusals import Refused, Stale
from inventory.models import Event, Work
from tests.makers.county import make_county

from .made import make_late_bridge
from .test_refresh import refresh

pytestmark = pytest.mark.database


@pytest.fixture
def bridge(county, now):
    structure = make_late_bridge(county.agency)
    refresh(now, structure)
    return structure


@pytest.fixture
def inspection(bridge):
    return bridge.reminders.get(kind="inspection")


@pytest.fixture
def supervisor(county):
    return county.people["supervisor"]


def test_acknowledge_tells_the_event_and_bumps_the_revision(inspection, supervisor, now):
    row = remind.acknowledge(reminder=inspection, revision=0, by=supervisor, at=now)
    assert (row.state, row.revision, row.changed_by) == ("acknowledged", 1, supervisor)
    assert Event.objects.filter(verb="reminder acknowledged", by=supervisor).count() == 1


def test_old_copy_is_stale_and_nothing_is_written(inspection, supervisor, now):
    remind.acknowledge(reminder=inspection, revision=0, by=supervisor, at=now)
    with pytest.raises(Stale):
        remind.defer(reminder=inspection, revision=0, by=supervisor, at=now, to=date(2026, 8, 1), reason="Late")
    inspection.refresh_from_db()
    assert inspection.state == "acknowledged"


def test_one_who_only_reads_may_not_but_the_assigned_may_acknowledge(inspection, county, supervisor, now):
    inspector = county.people["inspector"]
    with pytest.raises(Refused, match="supervisor"):
        remind.acknowledge(reminder=inspection, revision=0, by=inspector, at=now)
    row = remind.assign(reminder=inspection, revision=0, by=supervisor, at=now, to=inspector)
    assert remind.acknowledge(reminder=row, revision=1, by=inspector, at=now).state == "acknowledged"


def test_assignment_reaches_the_person_and_refuses_strangers(inspection, county, supervisor, now):
    stranger = make_county("Marrow County", "003").people["inspector"]
    for person in (stranger, county.people["reviewer"]):
        with pytest.raises(Refused, match="choose another"):
            remind.assign(reminder=inspection, revision=0, by=supervisor, at=now, to=person)
    remind.assign(reminder=inspection, revision=0, by=supervisor, at=now, to=county.people["inspector"])
    assert "gave you" in OwedMessage.objects.get(person=county.people["inspector"]).sentence


def test_assigning_several_is_all_or_none(bridge, county, supervisor, now):
    rows = list(bridge.reminders.order_by("pk"))
    with pytest.raises(Refused, match=rows[1].structure.number):
        remind.assign_many(chosen=[(rows[0], 0), (rows[1], 7)], by=supervisor, at=now, to=county.people["inspector"])
    rows[0].refresh_from_db()
    assert rows[0].assigned_to is None
    both = remind.assign_many(chosen=[(r, 0) for r in rows], by=supervisor, at=now, to=county.people["inspector"])
    assert both == len(rows)


def test_deferring_an_inspection_never_moves_the_legal_date(inspection, supervisor, now):
    """Tolerance of 3 May 2026 ends 31 Aug 2026 (memory, 23 CFR 650.311(e))."""
    with pytest.raises(Refused, match="31 Aug 2026"):
        remind.defer(reminder=inspection, revision=0, by=supervisor, at=now, to=date(2026, 9, 1), reason="Floods")
    row = remind.defer(reminder=inspection, revision=0, by=supervisor, at=now, to=date(2026, 8, 31), reason="Floods")
    assert (row.due_on, row.late_after, row.deferred_to) == (
        date(2026, 5, 3),
        date(2026, 8, 31),
        date(2026, 8, 31),
    )
    assert "stays 3 May 2026" in Event.objects.get(verb="reminder deferred").sentence


def test_inspection_is_not_marked_done_by_hand(inspection, supervisor, now):
    with pytest.raises(Refused, match="submit the inspection"):
        remind.complete(reminder=inspection, revision=0, by=supervisor, at=now, on=date(2026, 6, 1))
    assert not Work.objects.exists()


def test_treatment_done_by_hand_is_work_on_record_and_the_next_follows(bridge, supervisor, now):
    """Done 10 June 2026, the county's 5 years: 10 June 2031."""
    row = bridge.reminders.get(kind="treatment")
    row = remind.complete(reminder=row, revision=0, by=supervisor, at=now, on=date(2026, 6, 10), note="Ends, caps")
    assert row.state == "done" and Work.objects.get().summary == "Ends, caps"
    assert bridge.reminders.get(kind="treatment", state="open").due_on == date(2031, 6, 10)
    refresh(now, bridge)
    row.refresh_from_db()
    assert row.state == "done" and row.changed_by == supervisor


def test_done_on_a_day_that_changes_nothing_is_refused_and_writes_nothing(bridge, supervisor, now):
    """The record already counts from 1 June 2025; work in 2023 would not move the date."""
    row = bridge.reminders.get(kind="treatment")
    with pytest.raises(Refused, match="still ask"):
        remind.complete(reminder=row, revision=0, by=supervisor, at=now, on=date(2023, 6, 10))
    with pytest.raises(Refused, match="future"):
        remind.complete(reminder=row, revision=0, by=supervisor, at=now, on=date(2026, 7, 10))
    assert not Work.objects.exists()


def test_clock_runs_again_where_the_work_behind_a_done_vanishes(bridge, supervisor, now):
    """A clock that a person closed is not lost when the fact it rested on is taken back."""
    row = bridge.reminders.get(kind="treatment")
    remind.complete(reminder=row, revision=0, by=supervisor, at=now, on=date(2026, 6, 10))
    Work.objects.all().delete()
    refresh(now, bridge)
    row.refresh_from_db()
    assert row.state == "open"


def test_closed_reminder_is_left_alone(bridge, supervisor, now):
    row = bridge.reminders.get(kind="treatment")
    row = remind.complete(reminder=row, revision=0, by=supervisor, at=now, on=date(2026, 6, 10))
    with pytest.raises(Refused, match="closed"):
        remind.acknowledge(reminder=row, revision=row.revision, by=supervisor, at=now)


def test_only_own_messages_are_marked_read(bridge, county, supervisor, now):
    message = OwedMessage.objects.get(person=supervisor)
    assert remind.mark_read(person=county.people["engineer"], message_ids=[message.pk], at=now) == 0
    assert remind.mark_read(person=supervisor, message_ids=[message.pk], at=now) == 1
    assert remind.mark_read(person=supervisor, message_ids=None, at=now) == 0
