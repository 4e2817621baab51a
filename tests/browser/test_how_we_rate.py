"""Vehicles of the State, the settings and the screening of a load, in a real browser."""

import re

import pytest

pytestmark = pytest.mark.browser


def enter_vehicle(page) -> None:
    page.fill("#id_key", "ST-3")
    page.fill("#id_name", "State three-axle truck")
    page.fill("#id_axles", "18, 18, 18")
    page.fill("#id_gross_kip", "54")
    page.fill("#id_source", "State code 39-12 (invented)")
    page.get_by_role("button", name="Save").click()
    page.wait_for_selector("h1:has-text('ST-3')")


def looked_at(watched, address: str) -> list:
    """Accessibility rules broken, and anything wider than the screen."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    watched.go(address)
    watched.page.wait_for_load_state("networkidle")
    found = axe.Axe().run(watched.page).response["violations"]
    told = [(rule["id"], rule["nodes"][0]["html"][:160]) for rule in found if rule["impact"] in ("serious", "critical")]
    over = watched.page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    return [*told, f"{over} wider than the screen"] if over > 1 else told


@pytest.mark.parametrize("width", [390, 1280])
def test_pages_keep_the_rules(window, width):
    watched = window("engineer", width=width)
    watched.go("/structures/")
    links = watched.page.eval_on_selector_all("main a", "links => links.map(link => link.getAttribute('href'))")
    structure = next(link for link in links if re.fullmatch(r"/structures/\d+/", link or ""))
    load = "crossing/?axles=12,20,20&spacings=12,4.5&circumstance=alone"
    addresses = ["/rating/", "/rating/change/", "/vehicles/", "/vehicles/new/?copy=TYPE3", structure + load]
    broken = {address: told for address in addresses if (told := looked_at(watched, address))}
    assert broken == {}


def test_a_state_vehicle_is_entered_and_stands_in_the_settings(window):
    watched = window("engineer")
    watched.go("/vehicles/new/?copy=TYPE3")
    enter_vehicle(watched.page)
    # 18 + 18 kip at 4 ft pass the 34,000 lb of a tandem (23 U.S.C. 127, checked-2nd): said, not refused.
    assert "the tandem limit allows 34,000 lb" in watched.page.inner_text("main")
    assert watched.page.locator("svg .axle").count() == 3
    watched.go("/rating/")
    assert "ST-3" in watched.page.inner_text("main")
    watched.page.get_by_role("link", name="Change the settings").click()
    watched.page.fill("#id_transition_in", "0.375")
    watched.page.fill("#id_reason", "three spans opened this spring")
    watched.page.get_by_role("button", name="Save").click()
    watched.page.wait_for_selector("text=The settings are changed")
    assert "0.375 in" in watched.page.inner_text("main")
