"""The month plan by one who uses only the keyboard, with no script running; then every page of it looked at."""

import io
import re
import unicodedata
from datetime import date, timedelta

import pytest

from .conftest import keep_picture

pytestmark = pytest.mark.browser


@pytest.fixture
def without_scripts(browser, site):
    """The supervisor's window in which no script runs."""
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1280, "height": 900})
    page = context.new_page()
    person = site.person("supervisor")
    page.goto(site.address + "/sign-in/")
    page.fill("#id_username", person["name"])
    page.fill("#id_password", person["password"])
    page.keyboard.press("Enter")
    page.wait_for_url(f"{site.address}/")
    yield page
    context.close()


def chosen_in(page, name: str, words: str) -> None:
    """Choose in a list by keys: typing its first letters is what a keyboard user does."""
    page.locator(f"#id_{name}").focus()
    page.keyboard.type(words)


def enter(page) -> None:
    """The Enter key, and the page it leads to."""
    with page.expect_navigation():
        page.keyboard.press("Enter")


def test_a_day_is_planned_refused_overridden_and_removed_by_keys_alone(without_scripts, site):
    page, on = without_scripts, date.today() + timedelta(days=40)
    page.goto(f"{site.address}/plan/{on.year}/{on.month}/")
    ticks = page.locator("input[name=chosen]")
    numbers = [ticks.nth(place).get_attribute("value") for place in (0, 1, 2)]
    for number in numbers:
        page.locator(f"#tick-{number}").focus()
        page.keyboard.press("Space")
    page.locator("#id_on").fill(on.isoformat())  # keys into a date box differ by machine and language
    chosen_in(page, "leader", "Maris")
    page.locator("#id_team").focus()
    page.keyboard.type("Jory")
    page.get_by_role("button", name="Put on this day", exact=True).focus()
    enter(page)
    assert "is not a qualified team leader" in page.locator("#problems").inner_text()
    assert page.locator("#id_team").input_value() == "Jory" and page.locator("input[name=chosen]:checked").count() == 3
    page.locator("#id_override_reason").focus()
    page.keyboard.type("The engineer goes along")
    enter(page)
    card = page.locator(".day-card", has_text="The engineer goes along").filter(has_text="Jory")
    assert card.count() == 1 and card.locator(".stops > li").count() == 3
    before = stops_of(card)
    card.get_by_role("button", name=re.compile("down")).first.focus()
    enter(page)
    card = page.locator(".day-card", has_text="The engineer goes along").filter(has_text="Jory")
    assert stops_of(card) == [before[1], before[0], before[2]]
    card.locator("h3 a").focus()
    enter(page)
    page.get_by_role("button", name="Take the day off the plan").focus()
    enter(page)
    assert page.locator(".day-card", has_text="Jory").filter(has_text="The engineer goes along").count() == 0


def stops_of(card) -> list[str]:
    return card.locator(".stops > li a").all_inner_texts()


def test_its_pages_break_no_rule_and_fit_a_phone(window):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    watched = window("supervisor", width=390)
    broken, wide = {}, {}
    for address in pages_of(watched):
        watched.go(address)
        watched.page.wait_for_load_state("networkidle")
        found = axe.Axe().run(watched.page).response["violations"]
        if rules := [(rule["id"], rule["nodes"][0]["html"][:160]) for rule in found if rule["impact"] in HEAVY]:
            broken[address] = rules
        over = watched.page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        if over > 1:
            wide[address] = over
    assert broken == {} and wide == {}


HEAVY = ("serious", "critical")


def pages_of(watched) -> list[str]:
    """The month, its first day with the sheet, and what hangs on them."""
    watched.go("/plan/")
    day = first_link(watched, r"/plan/days/\d+/")
    watched.go("/quality/")
    check = first_link(watched, r"/quality/checks/\d+/")
    return [
        "/plan/",
        day,
        f"{day}sheet/",
        "/plan/calendar/",
        "/qualifications/",
        "/qualifications/new/",
        "/quality/",
        check,
    ]


def first_link(watched, pattern: str) -> str:
    links = watched.page.eval_on_selector_all("main a", "links => links.map(link => link.getAttribute('href'))")
    return next(re.match(pattern, link).group(0) for link in links if re.match(pattern, link or ""))


def test_the_route_sheet_prints_with_every_stop(window):
    pypdf = pytest.importorskip("pypdf")
    watched = window("crew")
    watched.go("/plan/")
    keep_picture(watched.page, "field-plan", full_page=False)
    watched.go(f"{first_link(watched, r'/plan/days/[0-9]+/')}sheet/")
    numbers = watched.page.locator("article.visit h2").all_inner_texts()
    printed = pypdf.PdfReader(io.BytesIO(watched.page.pdf(format="Letter")))
    # Fonts print fi and ff as one sign.
    text = unicodedata.normalize("NFKC", " ".join(" ".join(page.extract_text().split()) for page in printed.pages))
    assert len(numbers) >= 2 and "call first" in text
    for heading in numbers:
        structure = re.search(r"LK-\d+", heading).group(0)
        assert structure in text
    assert "Sign out" not in text, "the frame of the site stays off the paper"
