"""The month plan from its pages: put on days, move, order, refuse a leader who may not lead, keep what was typed."""

import re
from datetime import timedelta

import pytest
from django.utils import timezone

from inspections.models import FieldDay, FieldStop, Reminder
from inventory.models import Event
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import rated
from tests.makers.plan import in_days, owed, qualified

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def plan(county):
    """Three structures on one road, 0.05 degrees apart, each with an inspection owed; the inspector may lead."""
    county.bridges = [make_stringer_bridge(county.agency, f"Q-{n}", lon_deg=-97.5 + 0.05 * n) for n in (1, 2, 3)]
    county.owed = [owed(bridge) for bridge in county.bridges]
    qualified(county.agency, county.people["inspector"])
    return county


def month_address(on=None, act=""):
    on = on or timezone.localdate()
    return f"/plan/{on.year}/{on.month}/{act}"


def put(county, *reminders, role="supervisor", day="new", **more):
    values = {"day": day, "on": str(in_days(3)), "leader": county.people["inspector"].pk, "team": "Maris Sorrel"}
    values["chosen"] = [row.pk for row in reminders]
    return county.client(role).post(month_address(act="put/"), values | more)


def order_of(day):
    return [stop.structure.number for stop in day.stops.order_by("order")]


def test_what_is_due_is_offered_in_groups_and_what_is_planned_is_not(plan):
    page = plan.client("supervisor").get("/plan/").content.decode()
    # lie 2 x 0.05 degrees apart at latitude 46.4: each step about 0.05 x 69.17 x cos 46.4 = 2.4 mi.
    assert "Group 1: 3 structures, 4.8 mi" in page and "not planned: 3" in page
    assert put(plan, *plan.owed[:2]).status_code == 302
    page = plan.client("supervisor").get("/plan/").content.decode()
    assert "not planned: 1" in page and "Due and planned" in page


def test_a_new_day_holds_what_was_ticked_and_each_structure_is_told(plan):
    assert put(plan, plan.owed[2], plan.owed[0]).status_code == 302
    day = FieldDay.objects.get()
    assert order_of(day) == ["Q-3", "Q-1"] and day.leader == plan.people["inspector"] and day.team == "Maris Sorrel"
    # Nobody inspected it yet, so the first inspection is its initial one.
    assert set(day.stops.values_list("kind", flat=True)) == {"initial"}
    told = Event.objects.filter(structure=plan.bridges[2], verb="plan_field_stop").get()
    assert "planned for" in told.sentence and "inspector-001" in told.sentence


def test_after_a_first_inspection_the_next_is_routine(plan, now):
    rated(plan.bridges[0], plan.people["inspector"], now, [])
    row = Reminder.objects.filter(structure=plan.bridges[0], state="open", kind="inspection").first() or owed(
        plan.bridges[0], on=in_days(1)
    )
    assert put(plan, row).status_code == 302
    assert FieldStop.objects.get(structure=plan.bridges[0]).kind == "routine"


def test_a_group_goes_on_a_day_with_one_button(plan):
    page = plan.client("supervisor").get("/plan/").content.decode()
    members = re.search(r'name="members-1" value="([\d,]+)"', page).group(1)
    assert sorted(int(pk) for pk in members.split(",")) == sorted(row.pk for row in plan.owed)
    answer = put(plan, group="1", **{"members-1": members})
    assert answer.status_code == 302 and FieldDay.objects.get().stops.count() == 3


def test_without_a_position_it_is_listed_apart(plan):
    lost = make_stringer_bridge(plan.agency, "Q-9", lon_deg=None, lat_deg=None)
    row = owed(lost)
    page = plan.client("supervisor").get("/plan/").content.decode()
    assert "Without a position" in page and page.index("Without a position") < page.index("Q-9")
    put(plan, *plan.owed, row)
    day = FieldDay.objects.get()
    plan.client("supervisor").post(f"/plan/days/{day.pk}/order/", {"revision": day.revision})
    assert order_of(day)[-1] == "Q-9"
    assert "no position on record" in plan.client("crew").get(f"/plan/days/{day.pk}/").content.decode()


def test_stops_move_up_down_off_and_to_another_day(plan):
    put(plan, *plan.owed)
    put(plan, on=str(in_days(4)), empty="1")
    day, other = FieldDay.objects.order_by("on")
    client = plan.client("supervisor")

    def press(stop_number, how, **more):
        day.refresh_from_db()
        stop = FieldStop.objects.get(structure__number=stop_number)
        return client.post(f"/plan/stops/{stop.pk}/move/", {"revision": day.revision, "how": how, **more})

    assert press("Q-3", "up").status_code == 302 and order_of(day) == ["Q-1", "Q-3", "Q-2"]
    assert press("Q-1", "down").status_code == 302 and order_of(day) == ["Q-3", "Q-1", "Q-2"]
    assert press("Q-3", "up").status_code == 302 and order_of(day) == ["Q-3", "Q-1", "Q-2"], "the first stays first"
    assert press("Q-1", "to", to=other.pk).status_code == 302
    assert order_of(day) == ["Q-3", "Q-2"] and order_of(other) == ["Q-1"]
    assert press("Q-2", "off").status_code == 302 and order_of(day) == ["Q-3"]
    assert Reminder.objects.get(pk=plan.owed[1].pk).state == "open", "off the plan is still owed"
    assert press("Q-3", "to", to="").status_code == 409


def test_order_by_nearness_follows_the_road(plan):
    put(plan, plan.owed[0], plan.owed[2], plan.owed[1])
    day = FieldDay.objects.get()
    answer = plan.client("office").post(f"/plan/days/{day.pk}/order/", {"revision": day.revision, "from": "month"})
    assert answer.status_code == 302 and f"#day-{day.pk}" in answer.url
    assert order_of(day) == ["Q-1", "Q-2", "Q-3"]


def test_a_lapsed_leader_is_refused_and_what_was_typed_kept(plan):
    plan.people["inspector"].qualifications.update(expires_on=in_days(2))
    answer = put(plan, plan.owed[0])
    page = answer.content.decode()
    assert answer.status_code == 409 and "is not a qualified team leader on" in page and "lapsed on" in page
    assert 'value="Maris Sorrel"' in page and f'id="tick-{plan.owed[0].pk}" checked' in page
    assert not FieldDay.objects.exists()
    assert put(plan, plan.owed[0], on=str(in_days(2))).status_code == 302, "its last day still counts"


def test_a_named_override_is_stored_shown_and_told(plan):
    plan.people["inspector"].qualifications.update(expires_on=in_days(-5))
    reason = "State extended it by letter of 3 May"
    assert put(plan, plan.owed[0], override_reason=reason).status_code == 302
    day = FieldDay.objects.get()
    assert day.override_by == plan.people["supervisor"] and day.override_reason == reason
    event = Event.objects.get(verb="override_leader")
    assert reason in event.sentence and "supervisor-001" in event.sentence and "lapsed" in event.detail["against"]
    for address in (f"/plan/days/{day.pk}/", month_address(day.on), f"/plan/days/{day.pk}/sheet/"):
        page = plan.client("crew").get(address).content.decode()
        assert reason in page and "supervisor-001" in page
    # The word is for one leader on one day: another date asks again.
    values = {"revision": day.revision, "on": str(in_days(9)), "leader": plan.people["inspector"].pk}
    assert plan.client("supervisor").post(f"/plan/days/{day.pk}/change/", values).status_code == 409
    done = plan.client("engineer").post(f"/plan/days/{day.pk}/change/", values | {"override_reason": "Asked again"})
    day.refresh_from_db()
    assert done.status_code == 302 and day.override_by == plan.people["engineer"]


def test_under_water_needs_a_diver_or_a_word(plan):
    row = owed(plan.bridges[0], kind="underwater")
    refused = put(plan, row)
    assert refused.status_code == 409 and "not an underwater inspector" in refused.content.decode()
    qualified(plan.agency, plan.people["inspector"], kind="diver")
    assert put(plan, row).status_code == 302


def test_a_bar_check_needs_no_team_leader(plan):
    plan.people["inspector"].qualifications.all().delete()
    assert put(plan, owed(plan.bridges[0], kind="bar_check")).status_code == 302


def test_a_stop_put_later_on_a_day_is_judged_too(plan):
    plan.people["inspector"].qualifications.all().delete()
    put(plan, owed(plan.bridges[0], kind="bar_check"))
    day = FieldDay.objects.get()
    refused = put(plan, plan.owed[1], day=str(day.pk))
    assert refused.status_code == 409 and day.stops.count() == 1
    assert put(plan, plan.owed[1], day=str(day.pk), override_reason="Engineer beside him").status_code == 302
    assert day.stops.count() == 2 and Event.objects.filter(verb="override_leader").count() == 1


def test_withdrawn_after_planning_is_shown_at_once(plan):
    put(plan, plan.owed[0])
    plan.people["inspector"].qualifications.update(withdrawn_on=timezone.localdate(), withdrawn_reason="x")
    page = plan.client("crew").get(month_address(in_days(3))).content.decode()
    assert "Nobody has given a word for it" in page


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"on": ""}, "Give the day"),
        ({"on": "soon"}, "year-month-day"),
        ({"on": "1999-01-01"}, "is past"),
        ({"on": "2099-01-01"}, "more than a year and a half away"),
        ({"leader": "999999"}, "Choose one of the people listed"),
        ({"day": "999999"}, "Choose one of the days listed"),
        ({"team": "x" * 161}, "at most 160"),
    ],
)
def test_bad_input_is_a_sentence_and_nothing_is_lost(plan, changed, said):
    answer = put(plan, plan.owed[0], **({"note": "Bring the long ladder"} | changed))
    page = answer.content.decode()
    assert answer.status_code in (409, 422) and said in page
    assert "Bring the long ladder" in page and f'id="tick-{plan.owed[0].pk}" checked' in page
    assert not FieldDay.objects.exists()


def test_nothing_ticked_too_much_ticked_and_what_is_owed_no_more(plan):
    assert "Nothing is ticked" in put(plan).content.decode()
    Reminder.objects.filter(pk=plan.owed[0].pk).update(state="done")
    assert "it is owed no more" in put(plan, plan.owed[0]).content.decode()
    other = make_county("Reed County", "003")
    theirs = owed(make_stringer_bridge(other.agency, "R-1"))
    assert "owed no more" in put(plan, theirs).content.decode()
    assert not FieldDay.objects.exists()


def test_planned_twice_is_refused(plan):
    put(plan, plan.owed[0])
    refused = put(plan, plan.owed[0], on=str(in_days(5)))
    assert refused.status_code == 409 and "is planned for" in refused.content.decode()


def test_one_leader_one_team_a_day(plan):
    put(plan, plan.owed[0])
    refused = put(plan, plan.owed[1])
    assert refused.status_code == 409 and "leads another team" in refused.content.decode()


def test_stale_and_past_days_are_refused(plan):
    put(plan, *plan.owed)
    day = FieldDay.objects.get()
    stop = day.stops.first()
    client = plan.client("supervisor")
    assert client.post(f"/plan/days/{day.pk}/order/", {"revision": day.revision}).status_code == 302
    stale = client.post(f"/plan/stops/{stop.pk}/move/", {"revision": day.revision, "how": "down"})
    assert stale.status_code == 409 and "Someone else changed" in stale.content.decode()
    typed = {"revision": day.revision, "on": str(in_days(6)), "note": "Kept note"}
    answer = client.post(f"/plan/days/{day.pk}/change/", typed)
    assert answer.status_code == 409 and "Kept note" in answer.content.decode()
    FieldDay.objects.update(on=timezone.localdate() - timedelta(days=1))
    day.refresh_from_db()
    past = client.post(f"/plan/stops/{stop.pk}/move/", {"revision": day.revision, "how": "off"})
    assert past.status_code == 409 and day.stops.count() == 3
    assert client.post(f"/plan/days/{day.pk}/remove/", {"revision": day.revision}).status_code == 409


def test_a_day_comes_off_the_plan_and_its_stops_stay_owed(plan):
    put(plan, *plan.owed)
    day = FieldDay.objects.get()
    assert plan.client("supervisor").post(f"/plan/days/{day.pk}/remove/", {"revision": day.revision}).status_code == 302
    assert not FieldDay.objects.exists() and Reminder.objects.filter(state="open").count() == 3
    assert Event.objects.get(verb="remove_field_day").sentence.endswith("3 stops.")


def test_who_may_plan_and_whose_days_exist(plan):
    for role in ("inspector", "crew", "reviewer", "administrator"):
        assert put(plan, plan.owed[0], role=role).status_code == 403
    put(plan, plan.owed[0])
    day, stop = FieldDay.objects.get(), FieldStop.objects.get()
    other = make_county("Reed County", "003").client("engineer")
    for address in (f"/plan/days/{day.pk}/", f"/plan/days/{day.pk}/sheet/"):
        assert other.get(address).status_code == 404
    assert other.post(f"/plan/stops/{stop.pk}/move/", {"revision": 0, "how": "off"}).status_code == 404
    assert "Q-1" not in other.get("/plan/").content.decode()
    assert plan.client("crew").get(f"/plan/days/{day.pk}/").status_code == 200


@pytest.mark.parametrize("address", ["/plan/1999/1/", "/plan/2026/13/", "/plan/2026/0/", "/plan/9999999/1/"])
def test_there_is_no_such_month(county, address):
    assert county.client("engineer").get(address).status_code == 404


@pytest.mark.parametrize("query", ["per_day=many", "per_day=0", "near_mi=-1", "near_mi=nan", "per_day=1_0"])
def test_grouping_that_cannot_be_read_is_a_sentence(plan, query):
    page = plan.client("office").get(f"/plan/?{query}")
    assert page.status_code == 200 and "to put right" in page.content.decode() and "Group 1" in page.content.decode()


def test_smaller_groups_on_request(plan):
    page = plan.client("office").get("/plan/?per_day=1&near_mi=8").content.decode()
    assert "Group 3: 1 structure" in page
    page = plan.client("office").get("/plan/?per_day=4&near_mi=1").content.decode()
    assert "Group 3: 1 structure" in page, "2.4 mi is farther than 1 mi"


def test_put_off_past_the_month_is_counted_and_not_offered(plan):
    Reminder.objects.filter(pk=plan.owed[0].pk).update(state="deferred", deferred_to=in_days(60), state_reason="snow")
    page = plan.client("office").get("/plan/").content.decode()
    assert "not planned: 2" in page and "1 more was put off past this month" in page
