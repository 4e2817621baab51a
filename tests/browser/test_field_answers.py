"""What an answer of the office may do to a work on the device, and what a second window may not.

The laws: another's entries are never written over without a choice; what was added after a content was fixed goes in
the next one; one work is typed in one window at a time.
"""

from dataclasses import dataclass

import pytest

from tests.browser.field_office import ONE, Office, forgive, in_hand, open_field, send, store, work

pytestmark = pytest.mark.browser

PHOTO = "33333333-3333-4333-8333-333333333333"
PUT_PHOTO = """async ({work, identity}) => {
  const store = await import('/static/inspections/field/store.js');
  await store.putPhoto({identity, work, blob: new Blob(['seen at the bridge'])});
}"""


@dataclass
class Holding(Office):
    """Another device was first: records are held for a meeting until the office has settled them."""

    is_settled: bool = False

    def answer(self, record: str, already: bool) -> dict:
        said = super().answer(record, already)
        theirs = {"inspection": {"notes": "theirs", "revision": 7}, "findings": [], "by": "another"}
        draft = (said["inspection"] or {}) | {"revision": 7, "state": "draft"}
        if self.is_settled:
            return said | {"inspection": draft}
        return said | {"state": "held", "held_for": "meeting", "inspection": draft, "theirs": theirs}


@pytest.fixture
def watched(window):
    made = window("inspector", 390, 844)
    yield made
    forgive(made, "Failed to load resource", "503 from")


def test_what_is_held_still_goes_on_from_what_the_device_fetched(watched):
    office = Holding().stand_in(watched.context)
    page = open_field(watched)
    store(page, "saveWork", work(ONE, "mine") | {"base_revision": 1})
    send(page)
    kept = store(page, "getWork", ONE)
    assert (kept["state"], kept["base_revision"]) == ("held", 1)
    # Changed without choosing: the office must see that theirs was never taken in.
    store(page, "saveWork", work(ONE, "mine, and more"))
    send(page)
    assert [each["inspection"]["base_revision"] for each in office.posted] == [1, 1]


def test_where_the_office_has_chosen_the_device_does_not_go_on_with_its_own(watched):
    office = Holding().stand_in(watched.context)
    page = open_field(watched)
    store(page, "saveWork", work(ONE, "mine") | {"base_revision": 1})
    send(page)
    office.is_settled = True
    send(page)
    assert in_hand(page) == set()
    assert [each["identity"] for each in store(page, "allAnswered")] == [ONE]


def test_a_photograph_taken_while_its_critical_finding_is_on_its_way_is_named_in_the_next(watched):
    office = Office(plan=[503]).stand_in(watched.context)
    page = open_field(watched)
    critical = {"critical": {"kind": "threat", "words": "stringer broken", "found_at": "2026-06-15T12:00:00Z"}}
    store(page, "saveWork", work(ONE) | {"kind": "critical", "body": critical})
    send(page)
    assert len(office.posted) == 1
    page.evaluate(PUT_PHOTO, {"work": ONE, "identity": PHOTO})
    send(page)
    first, last = office.posted[0], office.posted[-1]
    assert first["record"] != last["record"]
    assert [each["identity"] for each in last["photos"]] == [PHOTO]
    assert bytes(office.photos[PHOTO]) == b"seen at the bridge"
    assert in_hand(page) == set()


def test_one_work_is_typed_in_one_window_at_a_time(watched):
    Office().stand_in(watched.context)
    page = open_field(watched)
    store(page, "saveWork", work(ONE, "typed here", state="open"))
    watched.go(f"/field/#/entry/{ONE}")
    page.reload()
    page.wait_for_selector("main textarea")
    second = watched.context.new_page()
    second.goto(f"{watched.site.address}/field/#/entry/{ONE}")
    second.wait_for_selector("main:has-text('open in another window')")
    page.goto(f"{watched.site.address}/field/#/call")
    page.wait_for_selector("h1:has-text('Whom to call')")
    second.goto(f"{watched.site.address}/field/#/")
    second.goto(f"{watched.site.address}/field/#/entry/{ONE}")
    second.wait_for_selector("main textarea")


def test_what_is_begun_of_a_critical_finding_is_kept_before_its_kind_is_pressed(watched):
    office = Office().stand_in(watched.context)
    page = open_field(watched)
    watched.go("/field/#/critical/")
    page.locator(".critical [name=number]").fill("Q-1")
    page.get_by_role("button", name="Told the sheriff now").click()
    page.wait_for_timeout(1500)  # longer than the 400 ms after which a change is on its way to the store
    begun = store(page, "allWorks")
    assert [(each["kind"], each["state"], each["number"]) for each in begun] == [("critical", "open", "Q-1")]
    assert office.posted == []
    page.reload()
    watched.go(f"/field/#/entry/{begun[0]['identity']}")
    page.get_by_role("button", name="Bridge closed, whole or in part").click()
    page.wait_for_selector("#unsent-count:has-text('Nothing unsent')")
    (sent,) = office.posted
    assert sent["structure_number"] == "Q-1" and sent["critical"]["identity"] == begun[0]["identity"]
    assert [each["role"] for each in sent["critical"]["notices"]] == ["sheriff"]
