"""Many dates that come due at once are told in one message, and told once."""

from datetime import timedelta

import pytest

from inspections.actions.remind import refresh_reminders
from inspections.actions.remind.messages import MOST_AT_ONCE
from inspections.models import Inspection, OwedMessage
from tests.makers.county import make_stringer_bridge

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def make_late_bridge(agency, number, now):
    """A bridge whose last inspection is three years old: the next one is late."""
    structure = make_stringer_bridge(agency, number)
    day = now.date() - timedelta(days=3 * 365)
    Inspection.objects.create(structure=structure, kind="routine", state="accepted", field_completed_on=day)
    return structure


def unread(person):
    return OwedMessage.objects.filter(person=person, state="owed")


def test_a_file_of_structures_is_one_message(county, now):
    """All are late at once: one message, however many structures."""
    built = [make_late_bridge(county.agency, f"T-{n}", now) for n in range(MOST_AT_ONCE + 5)]
    ids = [structure.pk for structure in built]
    supervisor = county.people["supervisor"]
    refresh_reminders(structure_ids=ids, as_of=now.date(), at=now)
    assert unread(supervisor).count() == 1
    assert f"on {len(ids)} structures" in unread(supervisor).get().sentence
    refresh_reminders(structure_ids=ids, as_of=now.date(), at=now + timedelta(minutes=5))
    assert unread(supervisor).count() == 1


def test_few_are_told_one_by_one(county, now):
    structure = make_late_bridge(county.agency, "T-1", now)
    refresh_reminders(structure_ids=[structure.pk], as_of=now.date(), at=now)
    told = unread(county.people["supervisor"])
    assert 1 <= told.count() <= MOST_AT_ONCE and all(message.structure_id == structure.pk for message in told)
