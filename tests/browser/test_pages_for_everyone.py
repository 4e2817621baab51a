"""Pages looked at by a machine: accessibility rules, narrow screens, nothing from outside, pictures for the README."""

import re
import zlib

import pytest

from .conftest import keep_picture

pytestmark = pytest.mark.browser


def addresses(window) -> list[str]:
    """The doors this person has, and one structure's page."""
    doors = window.page.eval_on_selector_all(".doors a", "links => links.map(link => link.getAttribute('href'))")
    window.go("/structures/")
    links = window.page.eval_on_selector_all("main a", "links => links.map(link => link.getAttribute('href'))")
    first = next(link for link in links if re.fullmatch(r"/structures/\d+/", link or ""))
    return [*doors, first]


LOOKED_AT: set[str] = set()


@pytest.mark.parametrize("role", ["engineer", "office", "supervisor", "crew"])
def test_no_page_breaks_an_accessibility_rule(window, role):
    """Every page once, by the engineer who has most of them; of the others' copies, one in three."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    watched = window(role)
    broken = {}
    for address in addresses(watched):
        if address in LOOKED_AT and zlib.crc32(f"{role}{address}".encode()) % 3:
            continue
        LOOKED_AT.add(address)
        watched.go(address)
        watched.page.wait_for_load_state("networkidle")
        result = axe.Axe().run(watched.page)
        rules = [
            (v["id"], v["nodes"][0]["html"][:160])
            for v in result.response["violations"]
            if v["impact"] in ("serious", "critical")
        ]
        if rules:
            broken[address] = rules
    assert broken == {}


@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_is_wider_than_the_screen(window, width):
    watched = window("engineer", width=width)
    wide = {}
    for address in addresses(watched):
        watched.go(address)
        watched.page.wait_for_load_state("networkidle")
        over = watched.page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        if over > 1:
            wide[address] = over
    assert wide == {}


def test_pictures_for_the_readme(window):
    watched = window("supervisor", width=1400, height=950)
    watched.go("/")
    watched.page.wait_for_load_state("networkidle")
    assert watched.page.locator(".leaflet-container").count() == 1
    keep_picture(watched.page, "county")
    watched.go("/due/")
    assert watched.page.locator("main table tbody tr").count() > 5
    keep_picture(watched.page, "due")
