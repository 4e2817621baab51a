"""The engineer's release, what stands against it, and what holds a sheet afterwards: each in words."""

from datetime import date, timedelta

import pytest

from inspections.actions.stressing.hold import hold_where_the_record_forbids
from inspections.actions.stressing.release import release_stressing_day
from inspections.actions.stressing.withdraw import withdraw_stressing_day
from inspections.assembly.stressing_basis import changes_since, sheet_faults
from inspections.models import LoggedPull, OwedMessage, StressingDay
from inspections.rules.refusals import Refused, Stale
from inventory.models import Bar, BarPolicy, Jack, Work
from tests.makers.county import make_county
from tests.makers.inspected import bar_readings, submitted
from tests.makers.stressing import drafted, make_deck_to_stress, make_jack, released, system_of

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def bridge(county, now):
    return make_deck_to_stress(county, now)


@pytest.fixture
def jack(county):
    return make_jack(county.agency)


@pytest.fixture
def draft(county, bridge, jack, now):
    return drafted(county, bridge, [jack], now)


def refused(county, day, now, note=""):
    with pytest.raises(Refused) as caught:
        released(county, day, now, note)
    assert StressingDay.objects.get(pk=day.pk).state == "drafted"
    return caught.value.sentence


def test_released_it_is_frozen_with_its_greatest_pull(county, draft, now):
    day = released(county, draft, now, "Read the neighbours.")
    day.refresh_from_db()
    greatest = max(each["set_lb"] for pull in day.plan["pulls"] for each in pull["bars"])
    assert (day.state, day.released_most_lb, day.released_plan) == ("released", greatest, day.plan)
    assert day.released_by == county.people["engineer"] and day.released_at == now
    assert day.structure.events.get(verb="release stressing day").detail["most_lb"] == greatest


@pytest.mark.parametrize("role", ["supervisor", "crew", "office", "administrator", "reviewer"])
def test_only_an_engineer_releases(county, draft, now, role):
    with pytest.raises(Refused, match="needs the role engineer"):
        release_stressing_day(day=draft, revision=0, by=county.people[role], at=now)


def test_another_countys_engineer_does_not(draft, now):
    other = make_county("Marrow County", "003")
    with pytest.raises(Refused):
        release_stressing_day(day=draft, revision=0, by=other.people["engineer"], at=now)


def test_an_old_copy_is_stale_and_a_release_is_not_made_twice(county, draft, now):
    released(county, draft, now)
    with pytest.raises(Stale):
        released(county, draft, now)
    draft.refresh_from_db()
    with pytest.raises(Refused, match="cannot become"):
        released(county, draft, now)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda s, j, c, t: Bar.objects.filter(number=3).update(is_usable=False, set_aside_reason="pitted"), "pitted"),
        (lambda s, j, c, t: Bar.objects.filter(number=3).update(station_ft=11.0), "the bars changed"),
        (lambda s, j, c, t: Jack.objects.filter(pk=j.pk).update(ram_area_in2=21.0), "no longer right"),
        (lambda s, j, c, t: Jack.objects.filter(pk=j.pk).update(calibrated_on=date(2026, 5, 1)), "calibration changed"),
        (lambda s, j, c, t: Jack.objects.filter(pk=j.pk).update(retired_on=date(2026, 6, 1)), "is retired"),
        (lambda s, j, c, t: BarPolicy.objects.create(agency=c.agency, revision=1), "bar policy changed"),
        (
            lambda s, j, c, t: Work.objects.create(structure=s, kind="retension", done_on=t.date(), summary="x"),
            "the bars were pulled",
        ),
    ],
)
def test_a_draft_whose_record_changed_is_told_stale_and_not_released(county, bridge, jack, draft, now, change, said):
    assert changes_since(draft) == ()
    change(bridge, jack, county, now)
    assert said in refused(county, draft, now)
    assert county.client("engineer").get(f"/stressing/{draft.pk}/").content.decode().count("cannot be released") == 1


def test_readings_handed_in_since_make_a_draft_stale(county, bridge, draft, now):
    submitted(bridge, county.people["inspector"], now, bar_readings(bridge, 28_000.0), kind="bar_check")
    assert "bar forces were read" in refused(county, draft, now)


def test_other_work_on_the_structure_makes_nothing_stale(bridge, draft, now):
    Work.objects.create(structure=bridge, kind="overlay", done_on=now.date(), summary="x")
    assert changes_since(draft) == ()


def test_an_expired_calibration_needs_the_engineers_reason(county, bridge, now):
    old = make_jack(county.agency, "Old", calibrated_on=date(2025, 6, 19))  # valid to 19 Jun 2026, planned for the 20th
    day = drafted(county, bridge, [old], now)
    assert "calibration expired 19 Jun 2026" in refused(county, day, now)
    assert "calibration expired" in refused(county, day, now, "   ")
    assert released(county, day, now, "Checked against the county's load cell.").state == "released"


def test_a_jack_never_calibrated_is_the_same(county, bridge, now):
    day = drafted(county, bridge, [make_jack(county.agency, calibrated_on=None)], now)
    assert "no calibration on record" in refused(county, day, now)


def test_a_day_that_is_past_is_not_released(county, draft, now):
    assert "is past" in refused(county, draft, now + timedelta(days=6))


def test_a_plan_with_refusals_is_not_released(county, draft, now):
    draft.plan["refusals"] = ["Stress in a bar: 110,000 psi, above 105,000 psi."]
    draft.save()
    assert "may not be used" in refused(county, draft, now)


def test_two_sheets_of_one_row_are_not_in_use_together(county, bridge, jack, draft, now):
    second = drafted(county, bridge, [jack], now)
    released(county, draft, now)
    assert "Another sheet of these bars is 'released'" in refused(county, second, now)


def test_a_bar_set_aside_after_the_release_holds_the_day(county, draft, now):
    day = released(county, draft, now)
    assert hold_where_the_record_forbids(at=now) == 0
    Bar.objects.filter(number=3).update(is_usable=False, set_aside_reason="bent at the nut")
    page = county.client("crew").get(f"/stressing/{day.pk}/").content.decode()
    assert "HELD: nothing may be pulled from this sheet" in page and "bent at the nut" in page
    assert hold_where_the_record_forbids(at=now) == 1 and hold_where_the_record_forbids(at=now) == 0
    day.refresh_from_db()
    assert day.state == "held" and "Bar 3 is not jacked: bent at the nut" in day.held_reason
    assert day.structure.events.filter(verb="stressing_held").count() == 1


def test_engineers_get_a_message_only_where_a_crew_is_at_work(county, draft, now):
    day = released(county, draft, now)
    StressingDay.objects.filter(pk=day.pk).update(state="under_way")
    Bar.objects.filter(number=3).update(is_usable=False, set_aside_reason="bent at the nut")
    assert hold_where_the_record_forbids(at=now) == 1
    message = OwedMessage.objects.get()
    assert message.person == county.people["engineer"] and "A crew waits" in message.sentence
    OwedMessage.objects.all().delete()
    StressingDay.objects.filter(pk=day.pk).update(state="released")
    assert hold_where_the_record_forbids(at=now) == 1 and not OwedMessage.objects.exists()


def test_a_bar_not_in_the_plan_holds_nothing(county, bridge, jack, now):
    Bar.objects.filter(number=3).update(is_usable=False, set_aside_reason="pitted")
    day = released(county, drafted(county, bridge, [jack], now), now)
    assert sheet_faults(day, now.date()) == ()
    Bar.objects.filter(number=3).update(set_aside_reason="pitted deeper")
    assert sheet_faults(day, now.date()) == ()


def test_a_jack_calibrated_anew_does_not_hold_a_released_sheet(county, jack, draft, now):
    day = released(county, draft, now)
    Jack.objects.filter(pk=jack.pk).update(calibrated_on=date(2026, 6, 10))
    assert sheet_faults(day, now.date()) == ()
    Jack.objects.filter(pk=jack.pk).update(gauge_division_psi=100.0)
    assert "no longer right" in sheet_faults(day, now.date())[0]


@pytest.mark.parametrize(("name", "factor"), [("capacity_lb", 0.9), ("gauge_most_psi", 0.9)])
def test_a_jack_rated_lower_since_stops_a_released_sheet(county, jack, draft, now, name, factor):
    day = released(county, draft, now)
    then = day.plan["given"]["jacks"][0][name] or 100_000.0
    Jack.objects.filter(pk=jack.pk).update(**{name: factor * then})
    assert "lower on record" in sheet_faults(day, now.date())[0]
    Jack.objects.filter(pk=jack.pk).update(**{name: None})
    assert sheet_faults(day, now.date()) == ()


def test_bars_found_smaller_since_stop_a_released_sheet(county, bridge, draft, now):
    """The limit 0.70 f_pu A falls with the area: a 1 in bar (0.85 in2) that is a 5/8 in one (0.28 in2, ASTM A722,
    memory) stands a third of the load."""
    day = released(county, draft, now)
    system = system_of(bridge)
    type(system).objects.filter(pk=system.pk).update(bar_area_in2=0.28)
    day.refresh_from_db()
    assert "weaker than this plan" in sheet_faults(day, now.date())[0]
    type(system).objects.filter(pk=system.pk).update(bar_area_in2=2 * system.bar_area_in2)
    day.refresh_from_db()
    assert sheet_faults(day, now.date()) == ()


def test_bars_taken_off_the_record_stop_everything(county, bridge, draft, now):
    day = released(county, draft, now)
    system_of(bridge).delete()
    day.refresh_from_db()
    assert "taken off the record" in sheet_faults(day, now.date())[0]
    assert county.client("crew").get(f"/stressing/{day.pk}/").status_code == 200


def test_withdrawing(county, draft, now):
    with pytest.raises(Refused, match="Say why"):
        withdraw_stressing_day(day=draft, revision=0, reason=" ", by=county.people["supervisor"], at=now)
    day = released(county, draft, now)
    with pytest.raises(Refused, match="You may not withdraw the sheet"):
        withdraw_stressing_day(day=day, revision=1, reason="rain", by=county.people["supervisor"], at=now)
    gone = withdraw_stressing_day(day=day, revision=1, reason="rain", by=county.people["engineer"], at=now)
    assert (gone.state, gone.held_reason) == ("withdrawn", "rain")


def test_a_day_with_a_pull_in_its_log_is_not_withdrawn(county, draft, now):
    day = released(county, draft, now)
    Bar.objects.filter(number=3).update(is_usable=False, set_aside_reason="bent")
    hold_where_the_record_forbids(at=now)
    LoggedPull.objects.create(
        day=day, pull_number=1, pass_number=1, bar_index=2, planned_set_lb=1, planned_gauge_psi=1, planned_locked_lb=1,
        at=now,
    )  # fmt: skip
    with pytest.raises(Refused, match="pulled from this sheet already"):
        withdraw_stressing_day(day=day, revision=2, reason="rain", by=county.people["engineer"], at=now)


def test_the_pages_of_release_and_withdrawal(county, draft, monkeypatch, now):
    monkeypatch.setattr("inspections.views.stressing.timezone.now", lambda: now)
    engineer = county.client("engineer")
    stale = engineer.post(f"/stressing/{draft.pk}/release/", {"release-revision": "7", "release-note": "mind the rail"})
    assert stale.status_code == 409 and "mind the rail" in stale.content.decode()
    assert engineer.post(f"/stressing/{draft.pk}/release/", {}).status_code == 422
    done = engineer.post(f"/stressing/{draft.pk}/release/", {"release-revision": "0", "release-note": ""})
    assert done.status_code == 302
    assert engineer.get(f"/stressing/{draft.pk}/").content.decode().count("NOT RELEASED") == 0
    empty = engineer.post(f"/stressing/{draft.pk}/withdraw/", {"withdraw-revision": "1", "withdraw-reason": ""})
    assert empty.status_code == 422 and "Say why the day is withdrawn" in empty.content.decode()
    assert county.client("crew").post(f"/stressing/{draft.pk}/withdraw/", {}).status_code == 403


def test_the_list_shows_states_and_who_acts(county, draft, now):
    crew = county.client("crew")
    text = crew.get("/stressing/").content.decode()
    assert "Drafted, not to be used" in text and "57,600" in text and ">engineer<" in text
    withdraw_stressing_day(day=draft, revision=0, reason="rain", by=county.people["supervisor"], at=now)
    assert "None awaits anybody" in crew.get("/stressing/").content.decode()
    assert "Withdrawn" in crew.get("/stressing/?show=all").content.decode()
    assert "Q-2" not in make_county("Marrow County", "003").client("crew").get("/stressing/?show=all").content.decode()
