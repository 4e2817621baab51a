"""What a county had set before keeps its meaning: intervals, reminders of underwater inspections, findings."""

from datetime import date
from importlib import import_module

import pytest
from django.apps import apps

from inspections.models import Reminder
from inventory.models import InspectionPolicy
from tests.app.reminders.made import make_late_bridge
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import decay, draft

pytestmark = pytest.mark.database


class Old:
    """An agency row as it stood before, and the apps a migration is given."""

    def __init__(self, agency, routine_months: int, bar_check_months: int):
        agency.routine_months, agency.bar_check_months = routine_months, bar_check_months
        self.agency = agency

    def get_model(self, app, name):
        return apps.get_model(app, name) if name != "Agency" else type("Rows", (), {"objects": self})

    def all(self):
        return [self.agency]


def take_over(old: Old) -> InspectionPolicy:
    import_module("inventory.migrations.0008_intervals_for_every_length").take_over_intervals(old, None)
    return InspectionPolicy.objects.get(agency=old.agency)


def test_intervals_of_the_agency_hold_for_structures_of_every_length(county):
    """Before, one column stood for both lengths."""
    policy = take_over(Old(county.agency, 18, 36))
    assert (policy.routine_months, policy.short_months, policy.bar_check_months) == (18, 18, 36)


def test_a_policy_changed_since_is_left_alone(county):
    InspectionPolicy.objects.create(agency=county.agency, routine_months=12, short_months=48, revision=1)
    policy = take_over(Old(county.agency, 18, 36))
    assert (policy.routine_months, policy.short_months, policy.bar_check_months) == (12, 48, 24)


def test_underwater_reminders_get_their_kind_and_keep_what_people_made_of_them(county, now):
    bridge = make_late_bridge(county.agency)
    theirs = make_late_bridge(make_county("Marrow County", "003").agency, "M-1")
    days = {"due_on": date(2026, 6, 15), "late_after": date(2026, 9, 30), "created_at": now}
    under = Reminder.objects.create(
        structure=bridge,
        kind="inspection",
        reason="Underwater inspection: 60 months after",
        state="acknowledged",
        **days,
    )
    routine = Reminder.objects.create(structure=theirs, kind="inspection", reason="Routine inspection: 24", **days)
    import_module("inspections.migrations.0012_underwater_reminders").name_their_kind(apps, None)
    under.refresh_from_db()
    routine.refresh_from_db()
    assert (under.kind, under.state, routine.kind) == ("underwater", "acknowledged", "inspection")


def test_findings_entered_before_get_a_name_each_and_keep_one_they_have(county, now):
    bridge = make_stringer_bridge(county.agency, "U-1")
    before = draft(bridge, county.people["inspector"], now, findings=[decay(bridge), decay(bridge), decay(bridge)])
    kept = before.findings.first()
    before.findings.exclude(pk=kept.pk).update(identity=None)
    import_module("inspections.migrations.0013_findings_named").name_findings(apps, None)
    named = dict(before.findings.values_list("pk", "identity"))
    assert None not in named.values() and len(set(named.values())) == 3
    assert named[kept.pk] == kept.identity
