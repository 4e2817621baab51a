"""Reading bars in the browser: force shown while a pressure is typed, a question answered, jacks and policy usable."""

import re

import pytest

from .conftest import keep_picture

pytestmark = pytest.mark.browser


def check(page):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    found = axe.Axe().run(page).response["violations"]
    grave = [
        (rule["id"], rule["nodes"][0]["html"][:200]) for rule in found if rule["impact"] in ("serious", "critical")
    ]
    assert grave == []
    assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 1


@pytest.mark.parametrize("width", [390, 1280])
def test_jacks_and_policy_are_usable(window, width):
    watched = window("engineer", width=width)
    for address in ("/jacks/", "/jacks/new/", "/bars/policy/", "/bars/policy/change/"):
        watched.go(address)
        watched.page.wait_for_load_state("networkidle")
        check(watched.page)


@pytest.mark.parametrize("width", [390, 1280])
def test_bars_are_read_by_pressure_and_a_question_is_answered(window, width):
    watched = window("engineer", width=width)
    page = watched.page
    watched.go("/stressing/?show=all")
    page.get_by_role("link", name=re.compile("Open the stressing day")).first.click()
    page.locator(".number a").first.click()
    page.wait_for_load_state("networkidle")
    if width == 1280:
        keep_picture(page, "bar-force")
    page.get_by_role("link", name="Start an inspection").first.click()
    page.get_by_label("Bar-force check").check()
    page.locator("main form button").first.click()
    page.wait_for_selector("#bars")
    rows = page.locator(".bar-table tbody tr")
    first = rows.nth(0)
    first.locator("select[name$='-typed_in']").select_option("psi")
    jack = first.locator("select[name$='-jack']")
    jack.select_option(index=1)
    first.locator("select[name$='-force_method']").select_option("lift_off")
    first.locator("input[name$='-force_lb']").fill("1,000")
    told = first.locator("output[data-force]").inner_text()
    factors = page.evaluate("JSON.parse(document.getElementById('pounds-per-psi').textContent)")
    shown = float(told.removesuffix(" lb").replace(",", ""))
    assert shown == pytest.approx(1000 * factors[jack.input_value()], abs=1), "pressure x ram area x efficiency"
    second = rows.nth(1)
    second.locator("input[name$='-force_lb']").fill("900")
    second.locator("input[name$='-force_lb']").blur()
    assert second.locator("select[name$='-jack']").input_value() == jack.input_value(), "taken from the bar before"
    second.locator("input[name$='-read_2']").fill("1100")
    assert "spread 20.0 %" in second.locator("output[data-force]").inner_text(), "(1,100 - 900)/1,000"
    page.locator(".save-bar button[value=save]").click()
    page.wait_for_selector("#problems")
    check(page)
    asked = page.locator(".asked input[type=checkbox]")
    assert asked.count() >= 1 and "20.0 percent apart" in page.locator("#problems").inner_text()
    for box in asked.all():
        box.check()
    page.locator(".save-bar button[value=save]").click()
    page.wait_for_selector("text=Saved as a draft")
    assert rows.nth(1).locator("input[name$='-read_2']").input_value() == "1100", "as it was typed"
    check(page)
