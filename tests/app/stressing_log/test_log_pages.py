"""The pages of the log: a plain form on a telephone that loses nothing, and the finished log."""

import re
from urllib.parse import parse_qs, urlsplit
from uuid import UUID, uuid4

import pytest
from django.test import Client
from django.urls import reverse

from inspections.models import Inspection, LoggedPull, OwedRating
from inventory.models import StressingSystem, Work
from tests.makers.county import make_county
from tests.makers.stressing import drafted
from tests.makers.stressing_log import coming, log_all, log_one, plan_of


@pytest.fixture
def phone(county):
    return county.client("crew")


def address(day, name="stressing_log"):
    return reverse(f"inspections:{name}", args=[day.pk])


def typed(day, **changed):
    slot = coming(day)
    values = {"identity": str(uuid4()), "pull_number": slot.pull_number, "bar_index": slot.bar_index}
    gauge = plan_of(day).pulls[0].bars[0].gauge_psi if slot.pull_number == 1 else None
    return values | {"gauge_psi": gauge or "", "force_method": "lift_off"} | changed


def test_the_page_shows_one_pull_in_large_figures(day, phone):
    page = phone.get(address(day)).content.decode()
    first = plan_of(day).pulls[0].bars[0]
    assert f"{first.gauge_psi:,.0f}" in page and "Pull 1 of 7, pass 1 of 2" in page
    assert re.search(r"<dt>Bar</dt><dd>3</dd>", page) and "Jack 1" in page
    for words in ("Nobody in line", "No load above the sheet", "No traffic on the span", "calibrated together"):
        assert words in page
    # The numeric keypad of a telephone, and the unit beside every box.
    box = re.search(r"<input[^>]*name=\"gauge_psi\"[^>]*>", page).group(0)
    assert 'inputmode="numeric"' in box and 'autocomplete="off"' in box
    assert page.count('class="unit"') >= 5
    assert "Then: bar" in page


def test_a_pull_is_saved_and_compared_at_once(day, phone):
    answer = phone.post(address(day), typed(day, elongation_in="0.70", plate_sunk_in="0"), follow=True)
    page = answer.content.decode()
    assert LoggedPull.objects.count() == 1 and answer.redirect_chain
    assert "beside the plan" in page and "Pull 2 of 7" in page
    assert "above the plan" in page or "as planned" in page


def test_a_double_tap_and_a_lost_answer_save_once(day, phone):
    sent = typed(day)
    phone.post(address(day), sent)
    answer = phone.post(address(day), sent, follow=True)
    assert LoggedPull.objects.count() == 1
    assert "saved before; nothing was written twice" in answer.content.decode()


def test_what_was_typed_stays_when_it_is_refused(day, phone):
    sent = typed(day, gauge_psi="4 thousand", elongation_in="1-1/8", note="wet wood")
    answer = phone.post(address(day), sent)
    page = answer.content.decode()
    assert "is not a number" in page and 'value="4 thousand"' in page
    assert 'value="1-1/8"' in page and 'value="wet wood"' in page and sent["identity"] in page
    assert not LoggedPull.objects.exists()


def test_a_gauge_above_the_sheet_is_refused_with_a_tick_to_say_that_it_is_so(day, phone):
    sent = typed(day, gauge_psi="4200")
    answer = phone.post(address(day), sent)
    page = answer.content.decode()
    assert answer.status_code == 409 and "no load above the sheet" in page and 'name="gauge_is_so"' in page
    assert 'value="4200"' in page
    phone.post(address(day), sent | {"gauge_is_so": "on"})
    page = phone.get(address(day)).content.decode()
    assert 'class="stop"' in page and "Held for the engineer" in page


def test_a_stop_is_in_words_across_the_page(day, phone):
    phone.post(address(day), typed(day, plate_sunk_in="3/8"))
    page = phone.get(address(day)).content.decode()
    assert 'role="alert"' in page and "STOP" in page and "sank 0.375 in" in page
    assert "Let the jack off slowly" in page
    assert 'id="pull-form"' not in page
    assert 'id="resume"' not in page


def test_the_engineer_resumes_from_the_same_page(day, phone, county):
    phone.post(address(day), typed(day, plate_sunk_in="3/8"))
    desk = county.client("engineer")
    page = desk.get(address(day)).content.decode()
    assert 'id="resume"' in page
    day.refresh_from_db()
    sent = {"revision": day.revision, "reason": "", "most_lb": ""}
    refused = desk.post(address(day, "resume_stressing"), sent)
    assert "Say what was found" in refused.content.decode()
    desk.post(address(day, "resume_stressing"), sent | {"reason": "packing under the plate", "leave_out": ["2"]})
    day.refresh_from_db()
    assert day.state == "under_way" and not plan_of(day).given.bars[2].is_planned
    assert phone.post(address(day, "resume_stressing"), sent).status_code == 403


def test_neighbours_are_optional_but_never_half(day, phone):
    answer = phone.post(address(day), typed(day, n1_before="30000"))
    assert "before and after the pull, or neither" in answer.content.decode() and not LoggedPull.objects.exists()
    phone.post(address(day), typed(day, n1_before="30,000", n1_after="24,000"))
    (entry,) = LoggedPull.objects.all()
    assert entry.neighbours == [{"bar_index": 1, "before_lb": 30000.0, "after_lb": 24000.0}]


def test_another_pull_than_the_next_asks_why(day, phone):
    slot = {"pull_number": 3, "bar_index": 1}
    page = phone.get(address(day), slot).content.decode()
    assert "This is not the next pull" in page and 'name="order_reason"' in page
    sent = typed(day) | slot | {"gauge_psi": "3650"}
    refused = phone.post(address(day), sent)
    assert refused.status_code == 409 and "Out of order" in refused.content.decode()
    assert 'value="3650"' in refused.content.decode()
    phone.post(address(day), sent | {"order_reason": "chair stuck"})
    assert LoggedPull.objects.get().pull_number == 3


def test_signing_in_again_brings_back_what_was_typed(day, phone, county):
    """The session ended at the bridge: the post comes back through the door with its figures and its identity."""
    sent = typed(day, elongation_in="0.71")
    stranger = Client()
    answer = stranger.post(address(day), sent)
    assert answer.status_code == 302 and answer.url.startswith("/sign-in/")
    back = parse_qs(urlsplit(answer.url).query)["next"][0]
    entered = stranger.post("/sign-in/", {"username": "crew-001", "password": "a long pass phrase", "next": back})
    assert entered.status_code == 302 and entered.url == back
    page = stranger.get(back).content.decode()
    assert 'value="0.71"' in page and sent["identity"] in page and "not saved yet" in page
    assert not LoggedPull.objects.exists()
    stranger.post(address(day), sent)
    assert LoggedPull.objects.get().identity == UUID(sent["identity"])


def test_a_typed_address_of_a_stranger_leads_nowhere_else(day):
    """What comes back is this page's own address, never one that was posted."""
    answer = Client().post(address(day), {"next": "https://elsewhere.example/", "gauge_psi": "1"})
    assert parse_qs(urlsplit(answer.url).query)["next"][0].startswith(address(day))


@pytest.mark.parametrize(
    "broken",
    [
        {"identity": "x"},
        {"identity": ""},
        {"pull_number": ""},
        {"pull_number": "99999999999999999999"},
        {"bar_index": "-1"},
        {"bar_index": "999"},
        {"bar_index": "x"},
        {"bar_index": "²", "pull_number": "²"},
        {"gauge_psi": "NaN"},
        {"gauge_psi": "1e400"},
        {"elongation_in": "-3"},
        {"force_method": "guess"},
        {"locked_lb": "3000", "gauge_psi": "3850"},
        {"note": "x" * 900},
    ],
)
def test_no_input_breaks_the_page(day, phone, broken):
    answer = phone.post(address(day), typed(day) | broken)
    assert answer.status_code in (200, 409) and not LoggedPull.objects.exists()
    assert "Not saved" in answer.content.decode()


def test_an_entry_is_taken_back_from_the_page(day, phone, crew, now):
    entry = log_one(day, crew, now).entry
    back = reverse("inspections:take_back_pull", args=[day.pk, entry.pk])
    assert "Say why" in phone.post(back, {"reason": ""}).content.decode()
    page = phone.post(back, {"reason": "wrong bar"}, follow=True).content.decode()
    assert "is-back" in page and "Pull 1 of 7" in page


def test_an_entry_of_another_day_is_not_there(day, phone, crew, now):
    entry = log_one(day, crew, now).entry
    assert phone.post(reverse("inspections:take_back_pull", args=[day.pk + 1, entry.pk]), {}).status_code == 404


def test_another_county_sees_nothing(day, now):
    other = make_county("Marrow County", "003").client("engineer")
    for name in ("stressing_log", "finish_stressing", "stressing_logged"):
        assert other.get(address(day, name)).status_code == 404
    for name in ("stressing_log", "finish_stressing", "resume_stressing", "reopen_span"):
        assert other.post(address(day, name), {}).status_code == 404


def test_a_draft_says_that_nobody_pulls_from_it(county, deck, jack, phone, now):
    page = phone.get(address(drafted(county, deck, [jack], now))).content.decode()
    assert "Do not pull from this sheet" in page and "engineer must release" in page


def test_the_day_is_finished_from_the_page(day, phone, crew, county, now, django_capture_on_commit_callbacks):
    log_all(day, crew, now)
    assert "Every pull of the plan is logged" in phone.get(address(day)).content.decode()
    day.refresh_from_db()
    page = phone.get(address(day, "finish_stressing")).content.decode()
    assert "Forces read now" in page and 'name="r5"' in page
    sent = {"revision": day.revision, "method": "lift_off", "r0": "56,000", "r3": "bad"}
    refused = phone.post(address(day, "finish_stressing"), sent).content.decode()
    assert "not a number" in refused and 'value="56,000"' in refused and 'value="bad"' in refused
    refused = phone.post(address(day, "finish_stressing"), sent | {"r3": ""}).content.decode()
    assert "must answer for them" in refused and 'value="56,000"' in refused
    inspector = county.people["inspector"].pk
    done = phone.post(address(day, "finish_stressing"), sent | {"r3": "", "inspector": inspector}, follow=True)
    page = done.content.decode()
    assert "● read" in page and "○ computed" in page
    assert Work.objects.count() == 1 and Inspection.objects.latest("pk").kind == "bar_check"
    again = phone.post(address(day, "finish_stressing"), sent | {"r3": "", "inspector": inspector})
    assert again.status_code == 409 and "finished already" in again.content.decode() and Work.objects.count() == 1
    assert phone.get(address(day, "finish_stressing")).status_code == 302
    assert phone.get(address(day)).status_code == 302


def test_the_finished_log_holds_plan_and_done(day, crew, county, phone, now):
    StressingSystem.objects.update(needed_pressure_psi=55.0)
    log_all(day, crew, now)
    day.refresh_from_db()
    phone.post(address(day, "finish_stressing"), {"revision": day.revision, "method": "lift_off"})
    page = county.client("reviewer").get(address(day, "stressing_logged")).content.decode()
    assert page.count("<svg") == 2 and "As released: 2 passes" in page and "As done: 2 passes" in page
    assert "Loss for each 1,000 lb that bar 4 gains" in page and "First neighbour, bar 5" in page
    assert page.count("After pass") >= 2 and "calibrat" in page and "Traffic may use the span" not in page
    day.refresh_from_db()
    given = {"revision": day.revision, "reason": "no cell at hand, watched under the first trucks"}
    answer = county.client("engineer").post(address(day, "reopen_span"), given, follow=True)
    assert "traffic is let back" in answer.content.decode()
    day.refresh_from_db()
    assert day.reopened_at is not None
    assert OwedRating.objects.filter(structure=day.structure, state="owed").exists()


def test_a_log_with_nothing_in_it_can_be_looked_at(day, county):
    page = county.client("supervisor").get(address(day, "stressing_logged")).content.decode()
    assert "Nothing is logged yet" in page
