"""Try a change, in the browser: from the page of a structure, beside the rating of today, nothing lost."""

import re

import pytest

from .conftest import keep_picture

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("width", [390, 1280])
def test_a_change_is_tried_beside_todays_rating(window, width):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    watched = window("engineer", width=width)
    page = watched.page
    watched.go("/structures/")
    links = page.eval_on_selector_all("main a", "links => links.map(link => link.getAttribute('href'))")
    watched.go(next(link for link in links if re.fullmatch(r"/structures/\d+/", link or "")))
    page.get_by_role("link", name="Try a change").click()
    page.get_by_label(re.compile("^Laid on top")).fill("2")
    page.get_by_role("button", name="Try it").click()
    page.wait_for_load_state("networkidle")
    answer = page.get_by_role("region", name="Answer, not saved")
    assert answer.get_by_text("2 in at 140 lb/ft3 laid").first.is_visible()
    assert page.get_by_label(re.compile("^Laid on top")).input_value() == "2"
    assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 1
    found = axe.Axe().run(page).response["violations"]
    assert [rule["id"] for rule in found if rule["impact"] in ("serious", "critical")] == []
    if width == 1280:
        keep_picture(page, "trial")
