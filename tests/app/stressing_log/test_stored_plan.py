"""A plan kept by another version: a sentence on every page of its day, never a broken page; no pull, no release."""

from copy import deepcopy

import pytest

from inspections.actions.stressing.hold import hold_where_the_record_forbids
from inspections.actions.stressing.release import release_refusals
from inspections.actions.stressing.withdraw import withdraw_stressing_day
from inspections.assembly.stored_plan import PlanUnreadable, plan_faults, stored_plan
from inspections.assembly.stressing_row import row_on_record
from inspections.models import LoggedPull, StressingDay
from inspections.rules.refusals import Refused
from tests.makers.stressing import drafted, released, system_of
from tests.makers.stressing_log import coming, log_all, log_one

pytestmark = [pytest.mark.django_db, pytest.mark.database]

SAID = "kept by another version of this software and cannot be read here"
PAGES = ("", "log/", "finish/", "logged/", "sheet/", "sheet.pdf")


def lacks_a_field(plan):
    del plan["greatest_set_lb"]


def lacks_the_bars(plan):
    del plan["given"]["bars"]


def has_an_unknown_field(plan):
    plan["given"]["hardest_pull_lb"] = 1.0


def has_another_kind(plan):
    plan["pulls"] = "none"


def is_nothing(plan):
    plan.clear()


OTHER_VERSIONS = [lacks_a_field, lacks_the_bars, has_an_unknown_field, has_another_kind, is_nothing]


def kept_otherwise(day, change, *names):
    values = {}
    for name in names:
        values[name] = deepcopy(getattr(day, name))
        change(values[name])
    StressingDay.objects.filter(pk=day.pk).update(**values)
    day.refresh_from_db()


def addresses(day):
    return [f"/stressing/{day.pk}/{page}" for page in PAGES]


@pytest.mark.parametrize("change", OTHER_VERSIONS)
@pytest.mark.parametrize("names", [("plan",), ("released_plan",), ("plan", "released_plan")])
def test_every_page_of_the_day_says_so(county, day, crew, now, change, names):
    log_one(day, crew, now)
    day.refresh_from_db()
    kept_otherwise(day, change, *names)
    client = county.client("engineer")
    for address in addresses(day):
        page = client.get(address)
        assert page.status_code == 200 and SAID in page.content.decode(), address
    for address in (
        "/stressing/",
        f"/structures/{day.structure_id}/",
        f"/structures/{day.structure_id}/stressing/plan/",
    ):
        assert client.get(address).status_code == 200, address


@pytest.mark.parametrize("change", OTHER_VERSIONS)
def test_a_day_in_use_is_held_and_nothing_is_pulled(county, day, crew, now, change):
    slot = coming(day)
    kept_otherwise(day, change, "plan")
    with pytest.raises(PlanUnreadable):
        stored_plan(day.plan)
    typed = {"pull_number": slot.pull_number, "bar_index": slot.bar_index, "gauge_psi": "1000"}
    for path in ("log/", "finish/", "resume/"):
        assert county.client("engineer").post(f"/stressing/{day.pk}/{path}", typed).status_code == 409, path
    assert not LoggedPull.objects.exists()
    assert hold_where_the_record_forbids(at=now) == 1
    day.refresh_from_db()
    assert day.state == "held" and SAID in day.held_reason


def test_it_can_be_withdrawn_with_a_reason(county, day, now):
    kept_otherwise(day, is_nothing, "plan", "released_plan")
    client, address = county.client("engineer"), f"/stressing/{day.pk}/withdraw/"
    refused = client.post(address, {"withdraw-revision": day.revision, "withdraw-reason": ""})
    assert refused.status_code == 409 and SAID in refused.content.decode()
    done = client.post(address, {"withdraw-revision": day.revision, "withdraw-reason": "Planned by an older version."})
    day.refresh_from_db()
    assert done.status_code == 302 and day.state == "withdrawn"


def test_one_with_pulls_logged_is_held_then_withdrawn_and_keeps_its_log(county, day, crew, now):
    log_one(day, crew, now)
    day.refresh_from_db()
    kept_otherwise(day, lacks_a_field, "plan")
    assert hold_where_the_record_forbids(at=now) == 1
    day.refresh_from_db()
    page = county.client("engineer").get(f"/stressing/{day.pk}/").content.decode()
    assert "then withdraw this sheet" in page and "Pulls logged" in page
    withdraw_stressing_day(
        day=day, revision=day.revision, reason="Older version.", by=county.people["engineer"], at=now
    )
    day.refresh_from_db()
    assert day.state == "withdrawn" and day.pulls.count() == 1


def test_a_readable_one_with_pulls_logged_is_ended_not_withdrawn(county, day, crew, now):
    log_one(day, crew, now)
    StressingDay.objects.filter(pk=day.pk).update(state="held")
    day.refresh_from_db()
    with pytest.raises(Refused, match="end the day as it stands"):
        withdraw_stressing_day(day=day, revision=day.revision, reason="x", by=county.people["engineer"], at=now)


@pytest.mark.parametrize("change", OTHER_VERSIONS)
def test_a_draft_is_not_released(county, deck, jack, now, change):
    draft = drafted(county, deck, [jack], now)
    kept_otherwise(draft, change, "plan")
    assert release_refusals(draft, at=now, note="") == list(plan_faults(draft))
    with pytest.raises(Refused, match=SAID):
        released(county, draft, now)


def test_what_a_day_learned_is_left_out_where_it_cannot_be_read(county, day, crew, now):
    log_all(day, crew, now)
    day.refresh_from_db()
    day.learned = [{"after_pass": 1, "relearned": {"deck": {}}, "plan_before": None, "entries": [], "sentences": []}]
    day.state, day.finished_at = "finished", now
    day.save()
    row = row_on_record(system=system_of(day.structure), level="mid", as_of=now.date())
    assert row.learned is None
    assert SAID in county.client("engineer").get(f"/stressing/{day.pk}/logged/").content.decode()


def test_a_plan_of_this_version_has_no_fault(day):
    assert plan_faults(day) == () and stored_plan(day.plan).as_dict() == day.plan
