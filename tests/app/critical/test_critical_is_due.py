"""Critical findings on the due list: made from the record, closed by it, never by hand."""

from datetime import timedelta

import pytest
from django.utils import timezone

from inspections.actions import critical
from inspections.actions.remind import refresh_reminders
from inspections.models import Reminder
from tests.makers.county import make_stringer_bridge
from tests.makers.critical import make_critical

pytestmark = pytest.mark.django_db


def refresh(bridge, at) -> list[tuple]:
    refresh_reminders(structure_ids=[bridge.pk], as_of=timezone.localdate(at), at=at)
    rows = Reminder.objects.filter(structure=bridge, kind="critical").order_by("due_on")
    return [(row.due_on, row.state) for row in rows]


def test_each_clock_is_owed_and_ends_with_what_was_done(county, now):
    """Found on 15 June 2026: told by 16 June; 15 June and 30 days is 15 July, for the plan and for the first report."""
    bridge, by = make_stringer_bridge(county.agency), county.people["supervisor"]
    finding = make_critical(bridge, by, now)
    first, month = timezone.localdate(now) + timedelta(days=1), timezone.localdate(now) + timedelta(days=30)
    assert (first.isoformat(), month.isoformat()) == ("2026-06-16", "2026-07-15")
    assert refresh(bridge, now) == [(first, "open"), (month, "open")]
    notice = {"whom": "Duty officer", "role": "state", "how": "call", "told_at": now + timedelta(hours=1)}
    critical.tell_of_critical(finding=finding, notice=notice, by=by, at=now + timedelta(hours=1))
    assert refresh(bridge, now + timedelta(hours=2)) == [(first, "done"), (month, "open")]


def test_a_status_report_moves_the_next_one(county, now):
    bridge, by = make_stringer_bridge(county.agency), county.people["supervisor"]
    finding = make_critical(bridge, by, now)
    critical.plan_critical(finding=finding, revision=0, words="Shore it.", until=timezone.localdate(now), by=by, at=now)
    sent = now + timedelta(days=10)
    notice = {"whom": "State", "role": "state", "how": "mail", "told_at": sent, "is_status_report": True}
    critical.tell_of_critical(finding=finding, notice=notice, by=by, at=sent)
    owed = [row for row in refresh(bridge, sent) if row[1] == "open"]
    assert owed == [(timezone.localdate(sent) + timedelta(days=30), "open")]
