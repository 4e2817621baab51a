"""Top and bottom bars of one span have clocks of their own: what was pulled at one level says nothing of the other."""

from datetime import date, datetime

import pytest
from django.utils import timezone

from inspections.actions import remind
from inspections.models import Finding, StressingDay
from inspections.queries.clock_facts import clock_facts
from inspections.rules.clocks import all_dues
from inspections.vocabulary.states import ReminderKind
from inventory.models import Bar, Work

from .made import enter, make_barred, make_stringer_bridge

pytestmark = pytest.mark.database
READ_ON, PULLED_ON, AS_OF = date(2026, 5, 4), date(2026, 6, 1), date(2026, 6, 15)
AT = datetime(2026, 6, 1, 18, tzinfo=timezone.get_fixed_timezone(0))


@pytest.fixture
def bridge(county):
    """Bottom bars 1 and 2, top bars 3 to 5 of one span, all read at 17,280 lb: 30 psi and less, under 40."""
    structure = enter(make_stringer_bridge(county.agency, "Q-7"))
    for bar in make_barred(structure, 17_280.0, READ_ON):
        Bar.objects.filter(pk=bar.pk).update(level="bottom" if bar.number < 3 else "top")
    return structure


def pull(bridge, level, on=PULLED_ON, kind="retension"):
    system = Bar.objects.filter(system__span__structure=bridge).first().system
    work = Work.objects.create(structure=bridge, kind=kind, done_on=on, summary=f"{level} bars pulled")
    StressingDay.objects.create(
        structure=bridge, system=system, level=level, span_index=1, state="finished", work=work, final=[],
        given={}, plan={}, bar_ids=[], kernel_version="test", made_at=AT, released_at=AT, finished_at=AT,
    )  # fmt: skip


def retension(bridge, as_of=AS_OF):
    facts, policy = clock_facts([bridge.pk])[bridge.pk]
    return next((due for due in all_dues(facts, policy, as_of) if due.kind == ReminderKind.RETENSION), None)


def test_pulling_the_top_bars_does_not_settle_the_bottom_ones(bridge, now):
    remind.refresh_reminders(structure_ids=[bridge.pk], as_of=AS_OF, at=now)
    assert bridge.reminders.get(kind="retension").due_on == READ_ON
    pull(bridge, "top")
    remind.refresh_reminders(structure_ids=[bridge.pk], as_of=AS_OF, at=now)
    row = bridge.reminders.get(kind="retension")
    assert (row.state, row.due_on) == ("open", READ_ON)
    assert "bottom bars" in row.reason and "top" not in row.reason
    pull(bridge, "bottom")
    remind.refresh_reminders(structure_ids=[bridge.pk], as_of=AS_OF, at=now)
    row.refresh_from_db()
    assert row.state == "done"


def test_two_levels_stressed_in_turn_are_one_pass_each_not_two(bridge):
    """Erected 1 and 2 June 2025, a level a day: each is owed its second pass a week on, the first on 8 June
    (stressing schedule, LRFD 9.9.5.6, memory)."""
    Work.objects.filter(structure=bridge).delete()
    Finding.objects.filter(inspection__structure=bridge).delete()
    pull(bridge, "top", date(2025, 6, 1), "stressing")
    pull(bridge, "bottom", date(2025, 6, 2), "stressing")
    due = retension(bridge, date(2025, 6, 3))
    assert due.due_on == date(2025, 6, 8) and "Second stressing" in due.reason and "Third" not in due.reason
