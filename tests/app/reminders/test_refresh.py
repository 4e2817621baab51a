"""Reminders follow the record: made once, closed by facts, opened again, people's words left alone.

Dates by arithmetic from the rules tested in tests/unit/clocks; otherwise laws: twice is once, closed is not lost.
"""

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from inspections import tasks
from inspections.actions import remind
from inspections.actions.rate import owe_rating
from inspections.models import OwedMessage, Reminder
from inventory.models import Event, SurfacingLayer, Work
from tests.makers.county import make_county

from .made import enter, inspect, make_barred, make_late_bridge, make_stringer_bridge

pytestmark = pytest.mark.database
AS_OF = date(2026, 6, 15)


@pytest.fixture
def bridge(county):
    return make_late_bridge(county.agency)


def refresh(now, *structures, as_of=AS_OF):
    return remind.refresh_reminders(structure_ids=[s.pk for s in structures], as_of=as_of, at=now)


def test_makes_what_is_owed_with_reason_and_sets_next_due(bridge, now):
    refresh(now, bridge)
    inspection = bridge.reminders.get(kind="inspection")
    assert (inspection.due_on, inspection.late_after) == (date(2026, 5, 3), date(2026, 8, 31))
    assert "24 months after 3 May 2024" in inspection.reason
    assert bridge.reminders.get(kind="treatment").due_on == date(2030, 6, 1)
    bridge.standing.refresh_from_db()
    assert (bridge.standing.next_due_on, bridge.standing.next_due_words) == (date(2026, 5, 3), "Inspection")


def test_twice_is_once(bridge, now):
    refresh(now, bridge)
    before = list(Reminder.objects.values()), list(OwedMessage.objects.values()), Event.objects.count()
    again = refresh(now + timedelta(minutes=5), bridge)
    assert (list(Reminder.objects.values()), list(OwedMessage.objects.values()), Event.objects.count()) == before
    assert (again.made, again.done, again.lapsed, again.reopened, again.told) == (0, 0, 0, 0, 0)


def test_second_sweep_that_planned_before_the_first_wrote_makes_no_second_row(bridge, now):
    """The interleaving of two workers on a server database: both plan, then both write."""
    from inspections.actions.remind import refresh as module

    plans = [module._plan([bridge.pk], AS_OF) for _ in range(2)]
    for plan in plans:
        with transaction.atomic():
            module._apply(plan, AS_OF, now, module.Refreshed())
    assert bridge.reminders.filter(kind="inspection").count() == 1
    assert OwedMessage.objects.filter(key__contains="inspection").count() == 1


def test_the_database_itself_refuses_a_second_row(bridge, now):
    refresh(now, bridge)
    row = bridge.reminders.get(kind="inspection")
    row.pk = None
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save(force_insert=True)


def test_inspection_done_closes_the_old_and_starts_the_next(bridge, now):
    refresh(now, bridge)
    inspect(bridge, date(2026, 6, 10), state="submitted")
    refresh(now, bridge)
    old = bridge.reminders.get(due_on=date(2026, 5, 3))
    assert old.state == "done" and "10 Jun 2026" in old.state_reason and old.changed_by is None
    # 10 June 2026 + 24 months.
    assert bridge.reminders.get(kind="inspection", state="open").due_on == date(2028, 6, 10)
    assert Event.objects.filter(structure=bridge, verb="reminder done").count() == 1


def test_inspection_sent_back_opens_the_old_one_again(bridge, now):
    refresh(now, bridge)
    done = inspect(bridge, date(2026, 6, 10), state="submitted")
    refresh(now, bridge)
    done.state = "sent_back"
    done.save()
    refresh(now, bridge)
    assert bridge.reminders.get(due_on=date(2026, 5, 3)).state == "open"
    assert bridge.reminders.get(due_on=date(2028, 6, 10)).state == "lapsed"


def test_shorter_interval_lapses_and_does_not_say_done(bridge, now):
    """A damage inspection codes the deck 3: 12 months from 3 May 2024 is 3 May 2025; nothing routine was done."""
    refresh(now, bridge)
    inspect(bridge, date(2026, 6, 1), kind="damage", deck_rating="3")
    refresh(now, bridge)
    old = bridge.reminders.get(due_on=date(2026, 5, 3))
    new = bridge.reminders.get(kind="inspection", state="open")
    assert old.state == "lapsed" and new.due_on == date(2025, 5, 3) and "deck is rated 3" in new.reason


def test_structure_out_of_service_owes_nothing_and_comes_back(bridge, now):
    refresh(now, bridge)
    bridge.status = "removed"
    bridge.save()
    refresh(now, bridge)
    assert set(bridge.reminders.values_list("state", flat=True)) == {"lapsed"}
    bridge.status = "in_service"
    bridge.save()
    refresh(now, bridge)
    assert set(bridge.reminders.values_list("state", flat=True)) == {"open"}


def test_what_people_made_of_it_stays(bridge, county, now):
    refresh(now, bridge)
    supervisor, inspector = county.people["supervisor"], county.people["inspector"]
    inspection, treatment = bridge.reminders.get(kind="inspection"), bridge.reminders.get(kind="treatment")
    remind.assign(reminder=inspection, revision=0, by=supervisor, at=now, to=inspector)
    remind.defer(
        reminder=inspection, revision=1, by=supervisor, at=now, to=date(2026, 8, 1), reason="High water in June"
    )
    remind.acknowledge(reminder=treatment, revision=0, by=supervisor, at=now)
    refresh(now, bridge)
    for row in (inspection, treatment):
        row.refresh_from_db()
    assert (inspection.state, inspection.assigned_to, inspection.deferred_to) == (
        "deferred",
        inspector,
        date(2026, 8, 1),
    )
    assert inspection.due_on == date(2026, 5, 3) and treatment.state == "acknowledged"


def test_low_bars_ask_for_a_pull_and_the_work_closes_it(county, now):
    """20,000 lb over 48 x 12 in = 34.7 psi, below 40. After the pull of 12 June: check 28 days on, 10 July."""
    bridge = make_late_bridge(county.agency, system="stress_laminated")
    make_barred(bridge, 20_000, date(2026, 4, 20))
    refresh(now, bridge)
    pull = bridge.reminders.get(kind="retension")
    assert pull.due_on == date(2026, 4, 20) and "5 (34.7 psi)" in pull.reason
    Work.objects.create(structure=bridge, kind="retension", done_on=date(2026, 6, 12), summary="All bars")
    refresh(now, bridge)
    pull.refresh_from_db()
    assert pull.state == "done" and "12 Jun 2026" in pull.state_reason
    assert bridge.reminders.get(kind="bar_check", state="open").due_on == date(2026, 7, 10)


def test_surfacing_follows_the_layer_on_top(bridge, now):
    """Asphalt without a membrane, 8 years from 1 June 2020."""
    layer = SurfacingLayer.objects.create(
        structure=bridge, material="asphalt", thickness_in=2, unit_weight_pcf=150, laid_on=date(2020, 6, 1)
    )
    refresh(now, bridge)
    assert bridge.reminders.get(kind="resurfacing").due_on == date(2028, 6, 1)
    layer.removed_on = date(2026, 5, 1)
    layer.save()
    refresh(now, bridge)
    assert bridge.reminders.get(kind="resurfacing").state == "lapsed"


def test_supervisors_are_told_once_and_only_when_near(bridge, county, now):
    supervisor = county.people["supervisor"]
    refresh(now, bridge, as_of=date(2026, 4, 18))  # 3 May is 15 days away
    assert not OwedMessage.objects.exists()
    refresh(now, bridge, as_of=date(2026, 4, 19))
    refresh(now, bridge, as_of=date(2026, 4, 20))
    message = OwedMessage.objects.get()
    assert message.person == supervisor and "due 3 May 2026" in message.sentence


def test_assigned_person_is_told_instead_and_a_deferral_is_silent_until_its_day(bridge, county, now):
    supervisor, inspector = county.people["supervisor"], county.people["inspector"]
    refresh(now, bridge, as_of=date(2026, 4, 1))
    row = bridge.reminders.get(kind="inspection")
    row = remind.assign(reminder=row, revision=0, by=supervisor, at=now, to=inspector)
    remind.defer(reminder=row, revision=1, by=supervisor, at=now, to=date(2026, 8, 1), reason="High water")
    OwedMessage.objects.all().delete()
    refresh(now, bridge, as_of=date(2026, 7, 31))
    assert not OwedMessage.objects.exists()
    refresh(now, bridge, as_of=date(2026, 8, 1))
    refresh(now, bridge, as_of=date(2026, 8, 2))
    assert OwedMessage.objects.get().person == inspector


def test_number_of_queries_does_not_grow_with_structures(county, now):
    def count(structures):
        with CaptureQueriesContext(
            connection,
        ) as seen:
            refresh(now, *structures)
        return len(seen)

    few = [make_late_bridge(county.agency, f"F-{n}") for n in range(2)]
    many = [make_late_bridge(county.agency, f"M-{n}") for n in range(20)]
    assert count(few) == count(many)
    assert count(few) == count(many)  # and again when there is nothing to write


def test_another_agencys_supervisor_is_not_told(bridge, now):
    other = make_county("Marrow County", "003")
    refresh(now, bridge)
    assert not OwedMessage.objects.filter(person__in=other.people.values()).exists()


def test_proposal_waits_thirty_days_for_the_engineer(bridge, now):
    bridge.recommendations.create(restriction="posted", single_ton=12, made_on=date(2026, 6, 1), changes_sign=True)
    refresh(now, bridge)
    row = bridge.reminders.get(kind="posting")
    assert row.due_on == date(2026, 7, 1) and "12 T" in row.reason


def test_nothing_on_record_is_due_at_once(county, now):
    structure = enter(make_stringer_bridge(county.agency))
    refresh(now, structure)
    assert structure.reminders.get(kind="inspection").due_on == date(2020, 1, 5)


def test_a_settled_rating_brings_the_dates_up_to_date_at_once(bridge):
    """The worker is nudged after a submission: the inspection's reminder must not stand late until the next sweep."""
    owed = owe_rating(structure=bridge, cause="entered", at=timezone.now())
    tasks.settle_rating(owed.pk)
    assert bridge.reminders.filter(kind="inspection").exists()
    tasks.settle_rating(owed.pk + 1)  # no such row: nothing happens
