"""The pages of policy, schedule and events as people use them: who sees what, what is refused, nothing typed lost."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.models import InspectionNeed, OwedVisit
from inventory.models import Event, InspectionPolicy
from inventory.queries.inspection_policy import policy_of
from inventory.rules.inspection_policy import DEFAULTS, SETTINGS
from tests.app.reminders.made import inspect, make_late_bridge
from tests.makers.county import make_county

pytestmark = pytest.mark.database
POLICY, CHANGE = "/inspections/policy/", "/inspections/policy/change/"


@pytest.fixture
def bridge(county):
    return make_late_bridge(county.agency, over_water=True)


def page(client, address, status=200):
    response = client.get(address)
    assert response.status_code == status
    return response.content.decode()


def typed(**changed) -> dict:
    return {name: str(value) for name, value in DEFAULTS.items()} | {"reason": "By the State", "revision": 0} | changed


def test_policy_page_shows_every_setting_with_source_and_mark(county):
    shown = page(county.client("reviewer"), POLICY)
    for setting in SETTINGS.values():
        assert setting.label in shown
    for mark in {setting.mark for setting in SETTINGS.values()}:
        assert f'data-label="Mark">{mark}</td>' in shown
    assert "less than the federal rule" not in shown


def test_policy_is_changed_by_those_who_may_with_a_reason(county):
    assert county.client("inspector").get(CHANGE).status_code == 403
    client = county.client("engineer")
    refused = client.post(CHANGE, typed(routine_months="12", reason=""))
    assert refused.status_code == 422 and "Say why" in refused.content.decode()
    assert 'value="12"' in refused.content.decode(), "what was typed is still there"
    assert not Event.objects.filter(verb="change_inspection_policy").exists()
    assert client.post(CHANGE, typed(routine_months="12")).status_code == 302
    assert policy_of(county.agency).routine_months == 12
    event = Event.objects.get(verb="change_inspection_policy")
    assert event.detail["after"] == {"routine_months": 12} and event.detail["reason"] == "By the State"
    stale = client.post(CHANGE, typed(routine_months="18"))
    assert stale.status_code == 422 and "Somebody changed" in stale.content.decode()


def test_less_than_the_federal_rule_is_asked_about_and_shown(county):
    client = county.client("engineer")
    asked = client.post(CHANGE, typed(underwater_months="72"))
    assert asked.status_code == 422 and policy_of(county.agency).underwater_months == 60
    assert "at most 60 months" in asked.content.decode() and "Tick that the State approved" in asked.content.decode()
    assert client.post(CHANGE, typed(underwater_months="72", longer_is_meant="on")).status_code == 302
    shown = page(client, POLICY)
    assert "72 months, where the federal rule has at most 60 months" in shown
    assert Event.objects.get(verb="change_inspection_policy").detail["beyond_the_rule"] == ["underwater_months"]
    # Another change later does not ask again for what stands already.
    again = typed(underwater_months="72", routine_months="18", revision=1)
    assert client.post(CHANGE, again).status_code == 302


@pytest.mark.parametrize("value", ["", "soon", "-1", "1e400", "nan", "12.5", "999"])
def test_what_is_no_number_keeps_the_page_and_says_so(county, value):
    answer = county.client("engineer").post(CHANGE, typed(special_months=value))
    assert answer.status_code == 422 and "Special, offered interval" in answer.content.decode()
    assert not InspectionPolicy.objects.filter(revision__gt=0).exists()


def test_another_agencys_policy_is_not_shown(county):
    other = make_county("Marrow County", "003")
    client = county.client("engineer")
    for address in (POLICY, CHANGE):
        assert client.get(f"{address}?agency={other.agency.pk}").status_code == 403


def test_schedule_shows_every_kind_with_dates_and_reasons(county, bridge):
    """Last routine 3 May 2024: due 3 May 2026, tolerance to 31 Aug 2026."""
    inspect(bridge, date(2024, 2, 29), kind="underwater", channel_rating="3")
    shown = page(county.client("reviewer"), reverse("inspections:schedule", args=[bridge.pk]))
    for words in ("3 May 2026", "31 Aug 2026", "28 Feb 2026", "channel is rated 3", "Scour monitoring", "In-depth"):
        assert words in shown, words
    assert "Set it</button>" not in shown and "Report high water" not in shown
    assert page(county.client("reviewer"), reverse("inventory:structure", args=[bridge.pk])).count("/schedule/") == 1


def test_schedule_of_another_agency_does_not_exist(bridge):
    client = make_county("Marrow County", "003").client("engineer")
    for name in ("schedule", "report_event"):
        assert client.get(reverse(f"inspections:{name}", args=[bridge.pk])).status_code == 404
    need = InspectionNeed.objects.create(
        structure=bridge, kind="special", interval_months=6, reason="Cap", set_at=timezone.now()
    )
    ended = client.post(reverse("inspections:end_need", args=[bridge.pk, need.pk]), {"reason": "x"})
    assert ended.status_code == 404


def test_a_need_is_set_replaced_and_ended_from_the_page(county, bridge):
    client = county.client("engineer")
    address = reverse("inspections:set_need", args=[bridge.pk])
    asked = {"kind": "special", "interval_months": "six", "first_due_on": "", "reason": "Split cap", "seen": ""}
    refused = client.post(address, asked)
    assert refused.status_code == 400 and "Split cap" in refused.content.decode()
    assert client.post(address, asked | {"interval_months": "6"}).status_code == 302
    need = InspectionNeed.objects.get()
    doubled = client.post(address, asked | {"interval_months": "3"})
    assert doubled.status_code == 409 and "set already" in doubled.content.decode()
    assert client.post(address, asked | {"interval_months": "3", "seen": f"{need.pk},x"}).status_code == 302
    standing = InspectionNeed.objects.get(ended_on__isnull=True)
    end = reverse("inspections:end_need", args=[bridge.pk, standing.pk])
    assert client.post(end, {"reason": ""}).status_code == 409
    assert client.post(end, {"reason": "Cap replaced"}).status_code == 302
    assert "Cap replaced" in page(client, reverse("inspections:schedule", args=[bridge.pk]))


def test_an_event_at_one_structure(county, bridge):
    client, address = county.client("inspector"), reverse("inspections:report_event", args=[bridge.pk])
    assert county.client("crew").get(address).status_code == 403
    today = timezone.localdate()
    late = {"cause": "hit", "kind": "", "happened_on": str(today + timedelta(days=1)), "words": "Rail gone"}
    refused = client.post(address, late)
    assert (
        refused.status_code == 409 and "future" in refused.content.decode() and "Rail gone" in refused.content.decode()
    )
    assert client.post(address, late | {"happened_on": str(today)}).status_code == 302
    visit = OwedVisit.objects.get()
    assert (visit.kind, visit.due_on) == ("damage", today + timedelta(days=2))
    shown = page(client, reverse("inspections:schedule", args=[bridge.pk]))
    assert "Rail gone" in shown and "Set the visit aside" not in shown
    aside = reverse("inspections:set_aside_visit", args=[bridge.pk, visit.pk])
    office = county.client("office")
    assert office.post(aside, {"reason": "", "revision": "0"}).status_code == 409
    assert office.post(aside, {"reason": "Seen, paint only", "revision": "0"}).status_code == 302
    visit.refresh_from_db()
    assert visit.state == "set_aside"


def test_high_water_in_the_county_ticks_several_at_once(county, bridge):
    second = make_late_bridge(county.agency, "Q-2", feature_crossed="Alder Run")
    make_late_bridge(county.agency, "Q-3", over_water=False)
    make_late_bridge(make_county("Marrow County", "003").agency, "M-9")
    client, address = county.client("office"), reverse("inspections:report_events")
    shown = page(client, address)
    assert "Q-2" in shown and "Q-3" not in shown and "M-9" not in shown
    sent = {"cause": "flood", "kind": "", "happened_on": str(timezone.localdate()), "words": "", "water": "on"}
    # Narrowing the list saves nothing and keeps the tick of a row that no longer matches.
    narrowed = client.post(address, sent | {"chosen": [bridge.pk], "q": "alder", "narrow": "1"})
    assert narrowed.status_code == 200 and not OwedVisit.objects.exists()
    listed = narrowed.context["listed"]
    assert [row.number for row in listed.rows] == ["Q-1", "Q-2"] and listed.ticked == {bridge.pk}
    nothing = client.post(address, sent)
    assert nothing.status_code == 409 and "ticked" in nothing.content.decode()
    rows = {"all_listed": "on", "listed": [bridge.pk, second.pk]}
    assert client.post(address, sent | rows).status_code == 302
    assert set(OwedVisit.objects.values_list("structure", "kind")) == {(bridge.pk, "scour"), (second.pk, "scour")}
    told = client.post(address, sent | rows, follow=True).content.decode()
    assert "on record already: Q-1, Q-2" in told or "on record already: Q-2, Q-1" in told
    assert OwedVisit.objects.count() == 2


def test_ticks_of_others_structures_and_of_nonsense_do_nothing(county, bridge):
    theirs = make_late_bridge(make_county("Marrow County", "003").agency, "M-9")
    sent = {"cause": "flood", "happened_on": str(timezone.localdate()), "chosen": [theirs.pk, "x", "9" * 30, "-1"]}
    answer = county.client("office").post(reverse("inspections:report_events"), sent)
    assert answer.status_code == 409 and not OwedVisit.objects.exists()


def test_inspection_page_says_by_when_the_inventory_must_have_it(county, bridge):
    """Completed 2 June 2026, 3 months after that month: 30 September 2026 (23 CFR 650.315, checked)."""
    made = inspect(bridge, date(2026, 6, 2))
    assert "30 Sep 2026" in page(county.client("reviewer"), reverse("inspections:inspection", args=[made.pk]))
