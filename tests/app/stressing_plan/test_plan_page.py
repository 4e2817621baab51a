"""Planning on the page: no target by itself, a preview saves nothing, nothing typed is lost, kept only as seen."""

import json
import re
from html import unescape

import pytest
from django.apps import apps
from django.utils import timezone

from inspections.models import StressingDay
from inventory.models import Bar, Jack
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import make_stressed_deck
from tests.makers.stressing import make_deck_to_stress, make_jack, system_of

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def bridge(county, now):
    return make_deck_to_stress(county, now)


@pytest.fixture
def jack(county):
    return make_jack(county.agency)


def typed(bridge, jack, **changed):
    return {
        "row": f"{system_of(bridge).pk}-mid",
        "try": "1",
        "purpose": "retension",
        "target_choice": "design",
        "jacks": [jack.pk],
        "order": "midspan_outward",
        "method": "one_pass",
    } | changed


def ask(county, bridge, values, role="supervisor"):
    return county.client(role).get(f"/structures/{bridge.pk}/stressing/plan/", values)


def rows():
    counts = {model._meta.label: model.objects.count() for model in apps.get_models()}
    return {label: count for label, count in counts.items() if label != "sessions.Session"}


def hidden(page, name):
    return unescape(re.search(rf'name="{name}" value="([^"]*)"', page.content.decode()).group(1))


def keep(county, bridge, page, role="supervisor"):
    values = {"asked": hidden(page, "asked"), "seen": hidden(page, "seen")}
    return county.client(role).post(f"/structures/{bridge.pk}/stressing/plan/", values)


def test_a_target_is_never_filled_in(county, bridge, jack):
    page = ask(county, bridge, {})
    assert page.status_code == 200
    form = page.context["form"]
    assert form["target_choice"].value() is None and form["target_lb"].value() is None
    assert "The design&#x27;s 57,600 lb (design sheet S-3)" in page.content.decode()
    without = ask(county, bridge, typed(bridge, jack, target_choice=""))
    assert without.status_code == 422 and "Choose where the target force comes from" in without.content.decode()
    own = ask(county, bridge, typed(bridge, jack, target_choice="own"))
    assert own.status_code == 422 and "a target is never filled in for you" in own.content.decode()


def test_a_design_force_without_a_source_is_not_taken_without_one(county, now, jack):
    bridge = make_deck_to_stress(county, now, design_source="")
    assert ask(county, bridge, typed(bridge, jack)).status_code == 422
    assert ask(county, bridge, typed(bridge, jack, target_source="engineer, 3 Jun 2026")).status_code == 200


def test_a_preview_shows_the_plan_and_saves_nothing(county, bridge, jack):
    before = rows()
    page = ask(county, bridge, typed(bridge, jack))
    text = page.content.decode()
    assert page.status_code == 200 and page.context["plan"]["refusals"] == []
    assert "Plan, not saved" in text and "Keep as draft" in text and text.count("<svg") >= 2
    assert "No traffic on the span while a jack is on a bar." in text
    assert "expected force of every bar after every pull" in text and "What a pull takes from its neighbours" in text
    assert rows() == before


def test_the_gauge_shows_the_force_over_ram_and_efficiency(county, bridge, jack):
    """p = F/(A_ram eff), to the gauge's division: the relation of the trade (`stress-laminated decks`, section 1)."""
    plan = ask(county, bridge, typed(bridge, jack)).context["plan"]
    for pull in plan["pulls"]:
        for each in pull["bars"]:
            assert each["gauge_psi"] % 50.0 == 0
            assert each["gauge_psi"] * 20.0 * 0.97 == pytest.approx(each["set_lb"])


def test_what_is_kept_is_what_was_seen(county, bridge, jack):
    page = ask(county, bridge, typed(bridge, jack, crew="Crew two", note="mind the rail"))
    kept = keep(county, bridge, page)
    day = StressingDay.objects.get()
    assert kept.status_code == 302 and kept.url == f"/stressing/{day.pk}/"
    assert (day.state, day.crew, day.made_by) == ("drafted", "Crew two", county.people["supervisor"])
    assert day.plan == json.loads(json.dumps(page.context["plan"]))
    assert day.target_source == "the design: design sheet S-3"
    assert day.bar_ids == list(Bar.objects.order_by("station_ft").values_list("pk", flat=True))
    assert bridge.events.filter(verb="draft stressing day").count() == 1


def test_a_plan_seen_before_the_record_changed_is_not_kept_and_is_made_anew(county, bridge, jack):
    page = ask(county, bridge, typed(bridge, jack, crew="Crew two"))
    Bar.objects.filter(number=2).update(is_usable=False, set_aside_reason="bent")
    answer = keep(county, bridge, page)
    text = answer.content.decode()
    assert answer.status_code == 409 and "record changed" in text and not StressingDay.objects.exists()
    assert 'value="Crew two"' in text and "Bar 2 is not in the plan (bent)" in text
    assert keep(county, bridge, answer).status_code == 302


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"target_choice": "own", "target_lb": "2,900", "target_source": "x"}, "Was a gauge pressure typed"),
        ({"target_choice": "own", "target_lb": "-5", "target_source": "x"}, "outside 1 to"),
        ({"target_choice": "own", "target_lb": "many", "target_source": "x"}, "is not a number"),
        ({"target_choice": "own", "target_lb": "95000", "target_source": "x"}, "above the bar&#x27;s limit of 89,250"),
        ({"target_choice": "own", "target_lb": "57600"}, "Say where the target comes from"),
        ({"jacks": []}, "Choose at least one jack"),
        ({"planned_for": "2020-01-01"}, "is past"),
        ({"planned_for": "tomorrow"}, "year-month-day"),
        ({"order": "given", "given_order": "1, 2, x"}, "is not the number of a bar"),
        ({"order": "given", "given_order": "1 2 3"}, "missing: 4, 5, 6"),
        ({"neighbour_losses": "0.14 lots"}, "is not a number"),
        ({"neighbour_losses": "0.4, 0.2"}, "neighbours cannot lose more than a bar gains"),
        ({"standing-3": "-1"}, "outside 0 to"),
        ({"standing-3": "150000"}, "above the bar&#x27;s limit"),
        ({"value-thickness_in": "900"}, "outside 2 to 60"),
        ({"pass_count": "0"}, "outside 1 to 12"),
        ({"first_pass_ratio": "1.5"}, "outside 0.1 to 1"),
        ({"purpose": "fun"}, "Choose stressing at erection or re-tension"),
    ],
)
def test_bad_input_is_refused_in_words_and_nothing_typed_is_lost(county, bridge, jack, changed, said):
    page = ask(county, bridge, typed(bridge, jack, crew="Crew two") | changed)
    text = page.content.decode()
    assert page.status_code == 422 and said in text, re.findall(r"<li>.*?</li>", text)
    assert 'value="Crew two"' in text and "Keep as draft" not in text
    for value in changed.values():
        assert not value or value in text or value in ("fun", "tomorrow")
    assert not StressingDay.objects.exists()


def test_bars_never_read_are_asked_for_one_by_one_and_taken_as_typed(county, now, jack):
    bridge = make_deck_to_stress(county, now, force_lb=None)
    page = ask(county, bridge, typed(bridge, jack))
    assert page.status_code == 422
    assert [name for name in page.context["form"].errors] == [f"standing-{number}" for number in range(1, 7)]
    page = ask(county, bridge, typed(bridge, jack) | {f"standing-{number}": "21000" for number in range(1, 7)})
    assert page.status_code == 200 and page.context["plan"]["start_lb"] == [21_000.0] * 6


def test_a_plan_the_kernel_refuses_is_shown_with_its_reasons_and_not_kept(county, bridge, jack):
    """87,000 lb may not be left in a bar of 89,250 lb: the jack's peak of 1.05 would pass the limit."""
    page = ask(county, bridge, typed(bridge, jack, target_choice="own", target_lb="87000", target_source="engineer"))
    text = page.content.decode()
    assert "This plan may not be used" in text and "Keep as draft" not in text
    values = {"asked": page.wsgi_request.GET.urlencode(), "seen": "{}"}
    forced = county.client("supervisor").post(f"/structures/{bridge.pk}/stressing/plan/", values)
    assert forced.status_code == 409 and not StressingDay.objects.exists()


def test_jacks_offered_are_the_countys_in_use_with_a_warning_where_expired(county, bridge, jack):
    make_jack(county.agency, "Old", calibrated_on=timezone.localdate().replace(year=2020))
    gone = make_jack(county.agency, "Gone", retired_on=timezone.localdate())
    other = make_jack(make_county("Marrow County", "003").agency, "Theirs")
    text = ask(county, bridge, {}).content.decode()
    assert "calibration expired" in text and "Old (S-Old)" in text
    assert "Gone" not in text and "Theirs" not in text
    for each in (gone, other):
        page = ask(county, bridge, typed(bridge, jack, jacks=[each.pk]))
        assert page.status_code == 422 and "not among" in page.content.decode()
    assert Jack.objects.count() == 4


def test_a_draft_is_planned_again_in_its_own_place(county, bridge, jack):
    keep(county, bridge, ask(county, bridge, typed(bridge, jack, crew="Crew two")))
    old = StressingDay.objects.get()
    page = ask(county, bridge, {"row": typed(bridge, jack)["row"], "again": old.pk})
    assert page.context["form"]["crew"].value() == "Crew two"
    assert page.context["form"]["target_choice"].value() is None
    page = ask(county, bridge, typed(bridge, jack, again=old.pk, crew="Crew three"))
    assert keep(county, bridge, page).status_code == 302
    old.refresh_from_db()
    assert old.state == "withdrawn" and StressingDay.objects.get(state="drafted").crew == "Crew three"


def test_a_bridge_without_bars_says_so(county):
    bare = make_stringer_bridge(county.agency, number="Q-9")
    page = ask(county, bare, {})
    assert page.status_code == 200 and "No bar is on record here" in page.content.decode()
    assert "Plan a stressing day" not in county.client("supervisor").get(f"/structures/{bare.pk}/").content.decode()


def test_only_those_who_plan_may(county, bridge, jack):
    assert ask(county, bridge, typed(bridge, jack), role="crew").status_code == 403
    page = ask(county, bridge, typed(bridge, jack))
    assert keep(county, bridge, page, role="inspector").status_code == 403
    assert not StressingDay.objects.exists()


def test_two_levels_are_two_rows(county, now, jack):
    bridge = make_stressed_deck(county.agency, number="Q-7")
    system = system_of(bridge)
    Bar.objects.filter(system=system).update(level="top")
    Bar.objects.bulk_create([Bar(system=system, level="bottom", number=n, station_ft=4.0 * n) for n in range(1, 4)])
    page = ask(county, bridge, {"row": f"{system.pk}-bottom"})
    text = page.content.decode()
    assert "Span 1, top bars" in text and "Span 1, bottom bars" in text and len(page.context["form"].row.bars) == 3


def test_a_pressure_typed_as_a_standing_force_is_asked_about_and_may_be_right(county, bridge, jack):
    """52 psi between laminations is 52 x 48 x 12 = 29,952 lb, about the 30,000 lb on record (F = N s t, statics)."""
    values = typed(bridge, jack) | {"standing-3": "52"}
    page = ask(county, bridge, values)
    assert page.status_code == 422 and "it would be 29,952 lb" in page.content.decode()
    page = ask(county, bridge, values | {"low_is_right": "on"})
    assert page.status_code == 200 and page.context["plan"]["start_lb"][2] == 52.0


def test_the_list_of_days_carries_the_cautions_of_the_work(county):
    page = county.client("crew").get("/stressing/").content.decode()
    assert (
        "nobody in line with a bar under load" in page and "not an order" in page and "no traffic on the span" in page
    )
