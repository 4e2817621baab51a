"""The main job in a real browser: entered, rated by the worker, reviewed, adopted, confirmed at the road."""

import re
from datetime import date, timedelta

import pytest

from .conftest import keep_picture

pytestmark = pytest.mark.browser

NUMBER = "LK-012"  # a sound sawn stringer bridge of the demonstration county, open before this walk


def open_structure(window, number: str = NUMBER) -> None:
    window.go(f"/structures/?q={number}")
    window.page.get_by_role("link", name=re.compile(number)).first.click()
    window.page.wait_for_selector("h1")


def add_finding(page, kind: str, **values) -> None:
    """One more finding; values are the field's name and what is typed or part of what is chosen."""
    page.locator("#findings").get_by_role("button", name="Add a finding").click()
    row = page.locator("#findings [data-row]").last
    row.locator("select[name$='-kind']").select_option(label=kind)
    for name, value in values.items():
        box = row.locator(f"[name$='-{name}']")
        if box.evaluate("box => box.tagName") != "SELECT":
            box.fill(str(value))
        else:
            labels = box.locator("option").all_inner_texts()
            box.select_option(label=next(label for label in labels if value.lower() in label.lower()))


def test_from_the_ditch_to_the_sign(window):
    enter_inspection(window("inspector"))
    engineer = window("engineer")
    adopt(engineer)
    confirm_signs(window("crew", width=420, height=860))
    read_and_accept(engineer)


def enter_inspection(inspector) -> None:
    page = inspector.page
    open_structure(inspector)
    page.get_by_role("link", name=re.compile("start an inspection", re.I)).first.click()
    page.get_by_label("Routine").check()
    page.get_by_role("button", name="Start").click()
    page.wait_for_selector("#entry")

    # Submitted too early, the sheet names what is missing and keeps what was typed.
    page.fill("[name=team]", "Oakes, Sorrel")
    page.get_by_role("button", name="Save and submit").click()
    page.wait_for_selector("[role=alert]")
    assert page.input_value("[name=team]") == "Oakes, Sorrel"
    assert "day" in page.locator("[role=alert]").first.inner_text().lower()

    page.fill("[name=field_completed_on]", (date.today() - timedelta(days=1)).isoformat())
    for component, rating in (("deck", "6"), ("superstructure", "4"), ("substructure", "6"), ("channel", "7")):
        page.select_option(f"[name={component}_rating]", rating)
    add_finding(
        page, "Decay on a face", member="stringer", member_number=4, station_ft=7, extent_ft=6, face="Top", depth_in=4.5
    )
    add_finding(
        page, "Moisture reading", member="stringer", member_number=4, station_ft=9, moisture_pct=27, moisture_depth_in=2
    )
    keep_picture(page, "entry", full_page=False)
    page.get_by_role("button", name="Save and submit").click()
    page.wait_for_selector("text=/awaiting review/i", timeout=240_000)

    open_structure(inspector)
    assert "What it can carry" in page.content()
    assert page.locator("#posting").inner_text().lower().count("recommend") >= 1


def adopt(engineer) -> None:
    desk = engineer.page
    engineer.go("/decisions/")
    assert NUMBER in desk.content()
    row = desk.locator("tr", has_text=NUMBER)
    row.get_by_role("link", name=f"Decide on {NUMBER}").click()
    desk.wait_for_selector("#decide")
    keep_picture(desk, "decision", full_page=False)
    desk.get_by_label(re.compile("order or resolution", re.I)).first.fill("H-2026-99")
    desk.get_by_role("button", name="Adopt", exact=True).click()
    desk.wait_for_selector("text=/sign awaited|in force/i")


def confirm_signs(crew) -> None:
    """Both approaches have a sign, and one for emergency vehicles where needed; the crew confirms by telephone."""
    road = crew.page
    left = None
    while left != 0:
        crew.go("/signs/")
        awaited = road.locator(".sign-row", has_text=NUMBER).filter(
            has=road.get_by_role("button", name="Seen standing", exact=True)
        )
        if left is None:
            left = awaited.count()
            assert left in (2, 4)
            keep_picture(road, "signs-phone", full_page=False)
        assert awaited.count() == left
        awaited.first.get_by_role("button", name="Seen standing", exact=True).click()
        road.wait_for_load_state("networkidle")
        left -= 1


def read_and_accept(engineer) -> None:
    desk = engineer.page
    open_structure(engineer)
    posting = desk.locator("#posting").inner_text()
    assert "H-2026-99" in posting and "seen standing and legible" in posting.lower()
    keep_picture(desk, "structure", full_page=False)
    desk.get_by_role("link", name=re.compile("calculation sheet", re.I)).first.click()
    desk.wait_for_selector("text=/a recommendation for a licensed engineer/i")
    keep_picture(desk, "calculation", full_page=False)

    # The inspection itself is reviewed apart from the restriction.
    engineer.go("/decisions/")
    waiting = desk.locator("section", has=desk.locator("#h-rev")).locator("tr", has_text=NUMBER)
    waiting.get_by_role("link", name=f"Review {NUMBER}").click()
    desk.wait_for_selector("#adopt")
    assert "Decay on a face" in desk.locator("#findings").inner_text()
    desk.get_by_role("button", name="Accept the inspection").click()
    desk.wait_for_selector("text=/accepted/i")


def test_worker_rated_it_without_being_asked_twice(window):
    """The page of a submitted inspection came to its rating by itself: the walk above waited for nothing else."""
    reviewer = window("reviewer")
    open_structure(reviewer)
    assert reviewer.page.locator("#carrying").inner_text().count("Legal truck") >= 1
    assert reviewer.page.get_by_role("link", name=re.compile("start an inspection", re.I)).count() == 0
