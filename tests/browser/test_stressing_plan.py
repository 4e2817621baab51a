"""Planning a stressing day in the browser: nothing filled in, the plan shown, usable by reader and on a phone."""

import re

import pytest

from .conftest import keep_picture

pytestmark = pytest.mark.browser


def check(page):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    found = axe.Axe().run(page).response["violations"]
    grave = [rule for rule in found if rule["impact"] in ("serious", "critical")]
    assert [(rule["id"], rule["nodes"][0]["html"][:200]) for rule in grave] == []
    assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 1


@pytest.mark.parametrize("width", [390, 1280])
def test_a_day_is_planned_and_its_pages_are_usable(window, width):
    watched = window("engineer", width=width)
    page = watched.page
    watched.go("/stressing/?show=all")
    check(page)
    page.get_by_role("link", name=re.compile("Open the stressing day")).first.click()
    page.wait_for_load_state("networkidle")
    check(page)
    day = page.url
    page.get_by_role("link", name="Sheet for the crew").click()
    page.wait_for_load_state("networkidle")
    check(page)
    page.goto(day)
    page.locator(".number a").first.click()
    page.wait_for_load_state("networkidle")
    page.get_by_role("link", name="Plan a stressing day").click()
    page.wait_for_load_state("networkidle")
    check(page)
    assert page.get_by_label(re.compile("The design's")).is_checked() is False
    page.get_by_label("Re-tension").check()
    page.get_by_label(re.compile("The design's")).check()
    page.locator("input[name=jacks]").first.check()
    page.get_by_role("button", name="Show the plan").click()
    page.wait_for_load_state("networkidle")
    assert page.get_by_role("heading", name="Plan, not saved").is_visible()
    check(page)
    if width == 1280:
        keep_picture(page, "stressing-plan")
