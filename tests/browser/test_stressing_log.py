"""A stressing day on a telephone: logged with gloves, stopped, released again, finished; and nothing breaks a rule."""

import re

import pytest

from .conftest import keep_picture

pytestmark = pytest.mark.browser
PHONE = {"width": 390, "height": 844}


def released_day(watched) -> str:
    """The address of the demonstration's released day."""
    watched.go("/stressing/")
    rows = watched.page.locator("tr", has_text=re.compile("Released"))
    assert rows.count() >= 1, "the demonstration has no released stressing day"
    href = rows.first.locator("a[href^='/stressing/']").first.get_attribute("href")
    return re.match(r"/stressing/\d+/", href).group(0)


def check_page(page, where: str) -> None:
    """No serious fault of accessibility, nothing wider than the screen."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    found = axe.Axe().run(page).response["violations"]
    grave = [(one["id"], one["nodes"][0]["html"][:160]) for one in found if one["impact"] in ("serious", "critical")]
    assert grave == [], (where, grave)
    over = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert over <= 1, (where, over)


def gauge_asked(page) -> str:
    return page.locator(".big .gauge dd").inner_text().split()[0].replace(",", "")


def save(page) -> None:
    page.get_by_role("button", name=re.compile("Save pull")).click()
    page.wait_for_load_state("networkidle")


def test_a_day_on_a_telephone(window):
    crew = window("crew", **PHONE)
    day = released_day(crew)
    page = crew.page
    crew.go(f"{day}log/")
    first_pull_is_read_at_arm_s_length(page)
    what_is_refused_or_lost_stays_typed(crew, page, day)
    a_double_tap_saves_once(page)
    a_stop_is_seen(page)
    engineer = window("engineer", **PHONE)
    engineer_releases_the_rest(engineer, day)
    pull_until_done(crew, page, day)
    finish_the_day(crew, engineer, page, day)


def first_pull_is_read_at_arm_s_length(page) -> None:
    check_page(page, "log")
    keep_picture(page, "stressing-log-phone", full_page=False)
    size = page.locator(".big .gauge dd").evaluate("box => parseFloat(getComputedStyle(box).fontSize)")
    assert size >= 48
    # Cautions above everything else of the page, buttons and boxes large enough for a glove.
    top = page.locator(".log-cautions").bounding_box()["y"]
    assert top < page.locator(".big").bounding_box()["y"] and top < 200
    assert page.get_by_role("button", name=re.compile("Save pull")).bounding_box()["height"] >= 60
    assert page.locator("[name=gauge_psi]").get_attribute("inputmode") == "numeric"
    assert page.locator("[name=gauge_psi]").bounding_box()["height"] >= 48


def what_is_refused_or_lost_stays_typed(crew, page, day) -> None:
    page.fill("[name=gauge_psi]", "much")
    page.fill("[name=elongation_in]", "7/8")
    save(page)
    assert "is not a number" in page.locator("[role=alert]").inner_text()
    assert page.input_value("[name=gauge_psi]") == "much" and page.input_value("[name=elongation_in]") == "7/8"
    # The page lost before it was sent: the same boxes come back with the same identity.
    identity = page.input_value("[name=identity]")
    page.fill("[name=gauge_psi]", "12")
    crew.go(f"{day}log/")
    assert page.input_value("[name=gauge_psi]") == "12" and page.input_value("[name=identity]") == identity
    # Signed out while typing: what was typed comes back after signing in, not saved.
    crew.context.clear_cookies(name="sessionid")
    page.fill("[name=gauge_psi]", gauge_asked(page))
    page.fill("[name=elongation_in]", "")
    page.get_by_role("button", name=re.compile("Save pull")).click()
    page.wait_for_selector("#id_username")
    person = crew.site.person("crew")
    page.fill("#id_username", person["name"])
    page.fill("#id_password", person["password"])
    page.click("main button")
    page.wait_for_selector("#pull-form")
    assert page.input_value("[name=gauge_psi]") == gauge_asked(page)
    assert "not saved yet" in page.locator("main").inner_text()


def a_double_tap_saves_once(page) -> None:
    page.get_by_role("button", name=re.compile("Save pull")).dblclick()
    page.wait_for_selector("text=/Last saved: pull 1/")
    assert page.locator(".entry-line-log").count() == 1
    assert "Pull 2 of" in page.locator("#h-pull").inner_text()
    check_page(page, "log after a pull")


def a_stop_is_seen(page) -> None:
    page.fill("[name=gauge_psi]", gauge_asked(page))
    page.fill("[name=plate_sunk_in]", "3/8")
    save(page)
    stop = page.locator(".stop")
    words = stop.inner_text()
    assert "STOP" in words and "sank 0.375 in" in words and "call the engineer" in words
    box = stop.bounding_box()
    assert box["width"] >= 0.9 * page.viewport_size["width"]
    assert page.locator("#pull-form").count() == 0
    check_page(page, "stop")
    keep_picture(page, "stressing-stop-phone", full_page=False)


def engineer_releases_the_rest(engineer, day) -> None:
    desk = engineer.page
    engineer.go(f"{day}log/")
    check_page(desk, "held, for the engineer")
    desk.fill("#resume [name=reason]", "Hardwood packing under the plate.")
    desk.locator("#resume [name=leave_out]").first.check()
    desk.get_by_role("button", name="Release the rest").click()
    desk.wait_for_selector("text=/rest of the day is released/i")


def pull_until_done(crew, page, day) -> None:
    for _ in range(60):
        crew.go(f"{day}log/")
        if page.locator("#pull-form").count() == 0:
            break
        page.fill("[name=gauge_psi]", gauge_asked(page))
        save(page)
    assert "Every pull of the plan is logged" in page.locator("main").inner_text()


def finish_the_day(crew, engineer, page, day) -> None:
    crew.go(f"{day}finish/")
    check_page(page, "finish")
    desk = engineer.page
    engineer.go(f"{day}finish/")
    desk.fill("[name=reason]", "Plate to be changed next week; the others stand.")
    desk.get_by_role("button", name="Finish the day").click()
    desk.wait_for_selector("text=/How the day ended/")
    check_page(desk, "finished log")
    assert desk.locator("svg.drawing").count() == 2
    crew.go(f"{day}log/")
    assert page.url.endswith(f"{day}logged/")
