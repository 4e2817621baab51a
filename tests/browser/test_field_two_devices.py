"""Two telephones with one inspection, a page over plain HTTP, and the pages of the office around the field."""

import re

import pytest

from .field_held import Records
from .field_person import VIEW, new_telephone, put_away, quick_visit

pytestmark = pytest.mark.browser


@pytest.fixture
def two(browser, site):
    made = [new_telephone(browser, site) for _ in range(2)]
    for each in made:
        each.sign_in()
    yield made
    for each in made:
        put_away(each.context)


def draft_of(phone, number: str, words: str) -> str:
    """Handed in without its day, so that it stands at the office as a draft."""
    identity = quick_visit(phone, number, words)
    phone.page.get_by_label("Day of the field work").fill("")
    phone.saved()
    phone.hand_in()
    phone.page.get_by_role("button", name="Hand in all the same").click()
    phone.page.get_by_role("heading", name="kept there as a draft").wait_for()
    return identity


def changed(phone, words: str) -> None:
    """Other words in the open form, handed in as a draft again."""
    phone.page.get_by_label("Notes on the whole").fill(words)
    phone.page.get_by_label("Day of the field work").fill("")
    phone.saved()
    phone.hand_in()
    phone.page.get_by_role("button", name="Hand in all the same").click()


# Where another inspection stands open, it would be the one gone on with.
WITHOUT_DRAFT = """async (wanted) => {
  const found = [];
  const json = async (address) => (await fetch(address)).json();
  for (const { id, number } of (await json("/field/packs/")).structures.slice(6)) {
    if (found.length < wanted && !(await json(`/field/packs/${id}/`)).drafts.length) { found.push(number); }
  }
  return found;
}"""


def test_two_telephones_meet_and_each_choice_keeps_what_it_says(two, site):
    first, second = two
    records = Records(site)
    numbers = first.take_along(*first.page.evaluate(WITHOUT_DRAFT, 3))
    identities = [draft_of(first, number, "As first seen.") for number in numbers]
    second.take_along(*numbers)
    for number, identity, choice in zip(numbers, identities, ("mine", "theirs", "both"), strict=True):
        second.at("#/")
        card = second.page.locator("li.card", has=second.page.locator(f"strong:text-is('{number}')"))
        card.get_by_role("link", name="Inspect").click()
        second.page.get_by_role("button", name="Go on with it").first.click()
        second.page.locator("#finish").wait_for()
        second.saved()
        first.at(f"#/entry/{identity}")
        first.page.get_by_role("button", name="Open it again to change it").click()
        first.page.locator("#finish").wait_for()
        changed(first, "The first telephone saw rot.")
        first.page.get_by_role("heading", name="kept there as a draft").wait_for()
        assert records.one(identity).notes == "The first telephone saw rot."
        changed(second, "The second telephone saw a split.")
        second.page.get_by_role("heading", name="Held by the office").wait_for()
        assert records.one(identity).notes == "The first telephone saw rot.", "the second wrote over the first"
        chosen(second, number, choice)
        stands = records.one(identity)
        assert ("split" in stands.notes) == (choice in ("mine", "both")), (choice, stands.notes)
        assert ("rot" in stands.notes) == (choice in ("theirs", "both")), (choice, stands.notes)
        assert stands.findings == ["other"]


def chosen(phone, number: str, choice: str) -> None:
    """What differs is shown before one of the three is pressed."""
    phone.at("#/unsent")
    card = phone.page.locator("li.card", has_text=number).filter(has_text="Needs your choice")
    table = card.get_by_role("table").inner_text()
    assert "rot" in table and "split" in table
    assert card.get_by_role("button", name=re.compile("^Keep ")).count() == 3
    with phone.page.expect_response(lambda answer: answer.url.endswith("/field/records/") and answer.ok):
        card.get_by_role("button", name=f"Keep {choice}").click()
    card.wait_for(state="detached")


def test_over_real_plain_http_the_page_says_that_offline_entry_is_off(browser, site):
    """A host name that is not this machine's loopback: Chromium itself calls the page insecure."""
    context = browser.new_context(viewport=VIEW)
    phone_like = context.new_page()
    person = site.person("inspector")
    phone_like.goto(f"{site.address}/sign-in/")
    phone_like.fill("#id_username", person["name"])
    phone_like.fill("#id_password", person["password"])
    phone_like.keyboard.press("Enter")
    phone_like.wait_for_url(f"{site.address}/")
    elsewhere = "http://county.example"

    def brought(route):
        answer = context.request.get(site.address + route.request.url.removeprefix(elsewhere))
        route.fulfill(status=answer.status, content_type=answer.headers.get("content-type"), body=answer.body())

    context.route(f"{elsewhere}/**", brought)
    page = context.new_page()
    page.goto(f"{elsewhere}/field/")
    page.get_by_role("heading", name="Offline entry is off").wait_for()
    assert page.evaluate("() => [isSecureContext, 'serviceWorker' in navigator]") == [False, False]
    words = page.inner_text("main")
    assert "ops/serve" in words and "--cert" in words
    assert page.locator("#actions a").first.get_attribute("href") == "/inspections/"
    put_away(context)


OF_A_STRUCTURE = ("schedule/", "condition/", "channel/", "scour/", "critical/new/", "visits/new/")
OF_AN_INSPECTION = ("", "review/", "report/", "soundings/", "edit/")
OF_THE_OFFICE = (
    "/plan/", "/plan/days/1/", "/plan/days/1/sheet/", "/plan/calendar/", "/quality/", "/quality/checks/1/",
    "/critical/1/", "/critical/status/", "/scour/", "/visits/new/", "/inspections/policy/", "/field/held/",
)  # fmt: skip


def looked_at(watched, records) -> list[str]:
    """The pages this project has gained for the field: those of a structure, of an inspection, of the office."""
    (structure,) = records.rows("select min(structure_id) from inspections_inspection where state = 'accepted'")[0]
    (inspection,) = records.rows("select max(id) from inspections_inspection where state in ('rated', 'submitted')")[0]
    return [
        *OF_THE_OFFICE,
        *(f"/structures/{structure}/{each}" for each in OF_A_STRUCTURE),
        *(f"/inspections/{inspection}/{each}" for each in OF_AN_INSPECTION),
    ]


def test_the_pages_around_the_field_break_no_accessibility_rule(window, site):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    watched = window("engineer", width=390, height=844)
    broken, seen = {}, 0
    for address in looked_at(watched, Records(site)):
        answer = watched.go(address)
        if answer.status in (403, 404) or "/sign-in/" in watched.page.url:
            continue
        seen += 1
        found = axe.Axe().run(watched.page).response["violations"]
        serious = [
            (each["id"], each["nodes"][0]["html"][:160]) for each in found if each["impact"] in ("serious", "critical")
        ]
        wide = watched.page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        if serious or wide > 1:
            broken[address] = (serious, f"{wide} px too wide" if wide > 1 else "")
    assert seen >= 18 and broken == {}
