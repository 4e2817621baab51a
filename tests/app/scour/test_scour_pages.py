"""Scour appraisal and plan of action: what 23 CFR 650.313(o) asks for (from memory), who may, and nothing lost."""

from datetime import date

import pytest

from inspections.actions.scour import adopt_scour_plan, appraise_scour
from inspections.models import ScourAppraisal, ScourPlan
from inspections.queries.scour import scour_facts, scour_facts_of
from inspections.rules.refusals import Refused, Stale
from inspections.rules.scour import scour_duties
from inventory.models import EmergencyContact, Event
from tests.makers.county import make_county, make_stringer_bridge

pytestmark = [pytest.mark.django_db, pytest.mark.database]
PLAN = {
    "watch_when": "Gauge at Heron Road over 8 ft",
    "watch_how": "Two of the crew from the bank, rod at the upstream face",
    "close_when": "Bed at the left abutment below 11 ft",
    "reopen_when": "",
    "countermeasures": "Riprap by autumn",
}


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency, over_water=True)


def appraised(county, bridge, now, result="critical", seen=None, **more):
    values = {"on": date(2026, 6, 1), "foundation": "timber piles, length not known", "basis": "soundings 2020 to 2026",
              "reasons": "bed falls"} | more  # fmt: skip
    return appraise_scour(structure=bridge, seen=seen, result=result, by=county.people["engineer"], at=now, **values)


def planned(county, bridge, now, seen=None, review_on=date(2027, 6, 1), **more):
    return adopt_scour_plan(structure=bridge, seen=seen, review_on=review_on, by=county.people["engineer"], at=now,
                            **PLAN | more)  # fmt: skip


def text(answer):
    return " ".join(answer.content.decode().split())


def duties(bridge, now):
    return scour_duties(scour_facts(bridge, now.date()))


def test_from_nothing_to_a_plan(county, bridge, now):
    assert duties(bridge, now).needs_appraisal
    appraised(county, bridge, now)
    assert duties(bridge, now).needs_plan
    planned(county, bridge, now)
    owed = duties(bridge, now)
    assert owed.sentences == () and owed.review_on == date(2027, 6, 1)
    assert set(Event.objects.filter(structure=bridge).values_list("verb", flat=True)) == {
        "appraise_scour",
        "adopt_scour_plan",
    }


def test_a_stable_bridge_needs_no_plan_and_its_old_plan_ends(county, bridge, now):
    first = appraised(county, bridge, now)
    planned(county, bridge, now)
    appraised(county, bridge, now, result="stable", seen=first.pk)
    assert ScourPlan.objects.get().ended_on is not None and duties(bridge, now).sentences == ()


def test_a_new_plan_takes_the_place_of_the_old_one(county, bridge, now):
    appraised(county, bridge, now)
    old = planned(county, bridge, now)
    new = planned(county, bridge, now, seen=old.pk, close_when="Bed below 10 ft")
    assert ScourPlan.objects.filter(ended_on__isnull=True).get() == new and ScourPlan.objects.count() == 2


def test_nobody_writes_over_what_they_did_not_read(county, bridge, now):
    appraised(county, bridge, now)
    with pytest.raises(Stale):
        appraised(county, bridge, now, seen=None)
    planned(county, bridge, now)
    with pytest.raises(Stale):
        planned(county, bridge, now, seen=None)
    assert ScourAppraisal.objects.count() == ScourPlan.objects.count() == 1


def test_a_plan_rests_on_an_appraisal_and_says_when_to_close(county, bridge, now):
    with pytest.raises(Refused, match="Appraise the scour first"):
        planned(county, bridge, now)
    appraised(county, bridge, now)
    with pytest.raises(Refused, match="Say when the bridge is closed"):
        planned(county, bridge, now, close_when=" ")


def test_the_page_takes_both_and_keeps_what_was_typed(county, bridge):
    client, address = county.client("engineer"), f"/structures/{bridge.pk}/scour/"
    assert "asks for one" in text(client.get(address))
    sent = {"appraisal-seen": "0", "appraisal-result": "unknown", "appraisal-on": "2026-06-01", "appraisal-basis": "",
            "appraisal-reasons": "no plans are left"}  # fmt: skip
    answer = client.post(f"{address}appraise/", sent)
    assert answer.status_code == 409 and "rests on" in text(answer) and "no plans are left" in text(answer)
    assert client.post(f"{address}appraise/", sent | {"appraisal-basis": "what was seen"}).status_code == 302
    assert "no plan of action in force" in text(client.get(address))
    plan = {f"plan-{name}": words for name, words in PLAN.items()} | {"plan-seen": "0", "plan-review_on": "not a day"}
    answer = client.post(f"{address}plan/", plan)
    assert answer.status_code == 422 and "year-month-day" in text(answer) and "Riprap by autumn" in text(answer)
    from django.utils import timezone

    later = timezone.localdate().replace(day=1, year=timezone.localdate().year + 1)
    assert client.post(f"{address}plan/", plan | {"plan-review_on": later.isoformat()}).status_code == 302
    page = text(client.get(address))
    assert "Bed at the left abutment below 11 ft" in page
    assert "No emergency contact is on record" in text(client.get(f"{address}print/"))
    EmergencyContact.objects.create(agency=county.agency, role="sheriff", name="Night desk", phone="555 0142")
    printed = text(client.get(f"{address}print/"))
    assert "<strong>555 0142</strong> Night desk" in printed
    assert "To fill in on the visit" in printed and "Bed at the left abutment below 11 ft" in printed


def test_the_structures_page_says_what_is_owed(county, bridge, now):
    client = county.client("reviewer")
    assert "no scour appraisal on record" in text(client.get(f"/structures/{bridge.pk}/"))
    appraised(county, bridge, now, result="unknown")
    assert "no plan of action in force" in text(client.get(f"/structures/{bridge.pk}/"))
    planned(county, bridge, now)
    assert "Closed when: <strong>Bed at the left abutment below 11 ft" in text(client.get(f"/structures/{bridge.pk}/"))


def test_a_dry_structure_is_left_alone(county):
    dry = make_stringer_bridge(county.agency, number="Q-7", over_water=False)
    assert "Stream and scour" not in text(county.client("reviewer").get(f"/structures/{dry.pk}/"))


@pytest.mark.parametrize("role", ["inspector", "crew", "office", "supervisor", "administrator", "reviewer"])
def test_only_the_engineer_appraises(county, bridge, now, role):
    client = county.client(role)
    for act in ("appraise", "plan"):
        assert client.post(f"/structures/{bridge.pk}/scour/{act}/", {}).status_code == 403
    with pytest.raises(Refused, match="You may not"):
        appraise_scour(structure=bridge, seen=None, on=now.date(), result="stable", foundation="", basis="x",
                       reasons="", by=county.people[role], at=now)  # fmt: skip


def test_another_county_sees_nothing(county, bridge):
    other = make_county("Marrow County", "003")
    for page in ("scour/", "scour/print/", "channel/", "condition/"):
        assert other.client("engineer").get(f"/structures/{bridge.pk}/{page}").status_code == 404


def test_many_structures_are_asked_in_a_fixed_number_of_queries(county, bridge, now, django_assert_num_queries):
    many = [bridge, *(make_stringer_bridge(county.agency, number=f"M-{n}") for n in range(5))]
    with django_assert_num_queries(4):
        assert len(scour_facts_of(many, now.date())) == 6


def test_the_list_of_what_is_owed_puts_missing_plans_first(county, bridge, now):
    dry = make_stringer_bridge(county.agency, number="A-0", over_water=False)
    grave = make_stringer_bridge(county.agency, number="Z-9", over_water=True)
    appraised(county, grave, now)
    other = make_county("Marrow County", "003")
    theirs = make_stringer_bridge(other.agency, number="LEAK-1", over_water=True)
    page = text(county.client("reviewer").get("/scour/"))
    assert page.index(grave.number) < page.index(f">{bridge.number}<")
    assert "1 without an appraisal, 1 without a plan" in page
    assert f">{dry.number}<" not in page and theirs.number not in page
    assert "/scour/" in county.client("reviewer").get("/due/").content.decode()
