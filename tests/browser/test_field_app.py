"""The field app around its store and sending: versions, windows, the worker, people, and use by everybody."""

import json

import pytest

from tests.browser.field_office import ONE, in_hand, office_window, open_field, send, store, work

pytestmark = pytest.mark.browser

STILL_THE_SAME_PAGE = "async () => { await caches.open('spanledger-field-older'); window.same = true; }"
OLDER_FILES_GO = """async () => {
  while (await caches.has('spanledger-field-older')) { await new Promise((again) => setTimeout(again, 50)); }
}"""
REFUSED_FOR = """async (work) => {
  const store = await import('/static/inspections/field/store.js');
  return store.saveWork(work).then(() => '', (error) => error.kind);
}"""
# Reads the store without the app, which would send by itself.
LOOKED_AT = """(identity) => new Promise((resolve, reject) => {
  const request = indexedDB.open('spanledger-field');
  request.onerror = () => reject(request.error);
  request.onsuccess = () => {
    const got = request.result.transaction('works').objectStore('works').get(identity);
    got.onsuccess = () => { request.result.close(); resolve(got.result); };
  };
})"""
# 48 CSS pixels in both directions; links inside a sentence and at the foot are not part of the work.
SMALLER_THAN_A_GLOVE = """() => [...document.querySelectorAll('a, button, input')]
  .filter((one) => one.checkVisibility() && !one.closest('.foot, .skip, p:not(.row)'))
  .map((one) => [one.textContent || one.id, (one.closest('label') || one).getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.height < 47.5 || box.width < 47.5)).map(([words]) => words)"""
ANOTHERS = """async (identity) => {
  const store = await import('/static/inspections/field/store.js');
  await store.changeWork(identity, (row) => ({...row, person: {id: 0, name: 'Ada Finch'}}));
}"""


field = pytest.fixture(office_window)


def test_a_newer_version_waits_for_the_open_form_and_older_files_go_only_then(field):
    watched, _ = field
    page = open_field(watched, worker=True)
    store(page, "saveWork", work(ONE, "half typed", state="open"))
    watched.go(f"/field/#/entry/{ONE}")
    page.wait_for_selector("main textarea, main input")
    page.evaluate(STILL_THE_SAME_PAGE)
    # Another address of the same script is another worker to the browser, as a changed file is.
    page.evaluate("() => navigator.serviceWorker.register('/field-worker.js?newer', {scope: '/field/'})")
    page.wait_for_selector("#note-newer:has-text('waits until this form is closed')")
    assert page.locator("#note-newer button").count() == 0
    assert page.evaluate("() => window.same && caches.has('spanledger-field-older')")
    second = watched.context.new_page()
    second.goto(f"{watched.site.address}/field/")
    second.get_by_role("button", name="Use it now").click()
    second.wait_for_selector("#note-newer:has-text('A form is open in another window')")
    assert page.evaluate("() => window.same"), "an open form was interrupted"
    watched.go("/field/#/call")
    page.wait_for_selector("h1:has-text('Whom to call')")
    with second.expect_navigation():
        second.get_by_role("button", name="Use it now").click()
    second.wait_for_selector("body[data-started]")
    second.evaluate(OLDER_FILES_GO)
    assert store(second, "getWork", ONE)["body"]["inspection"]["notes"] == "half typed"


def test_a_store_of_a_newer_version_is_given_way_to_after_saving(field):
    watched, _ = field
    page = open_field(watched)
    page.evaluate(
        """async (work) => {
          const store = await import('/static/inspections/field/store.js');
          document.addEventListener('field:save-now', (event) => event.detail.wait(store.saveWork(work)));
        }""",
        work(ONE, "typed a moment ago", state="open"),
    )
    other = watched.context.new_page()
    other.goto(f"{watched.site.address}/structures/")
    found = other.evaluate(
        """(identity) => new Promise((resolve, reject) => {
          const request = indexedDB.open('spanledger-field', 99);
          request.onerror = () => reject(request.error);
          request.onsuccess = () => {
            const got = request.result.transaction('works').objectStore('works').get(identity);
            got.onsuccess = () => resolve(got.result);
          };
        })""",
        ONE,
    )
    assert found["body"]["inspection"]["notes"] == "typed a moment ago"
    page.wait_for_selector("#note-trouble:has-text('A newer version of this app has opened the store')")
    assert page.evaluate(REFUSED_FOR, work(ONE)) == "older"


def test_the_browser_wakes_the_worker_to_send_where_no_window_is_open(field):
    watched, office = field
    page = open_field(watched, worker=True)
    store(page, "saveWork", work(ONE))
    watched.go("/structures/")
    cdp = watched.context.new_cdp_session(page)
    found = []
    cdp.on("ServiceWorker.workerRegistrationUpdated", lambda told: found.extend(told["registrations"]))
    cdp.send("ServiceWorker.enable")
    page.wait_for_timeout(200)
    (number,) = {each["registrationId"] for each in found if each["scopeURL"].endswith("/field/")}
    told = {"origin": watched.site.address, "registrationId": number, "tag": "send", "lastChance": False}
    cdp.send("ServiceWorker.dispatchSyncEvent", told)
    for _ in range(40):
        row = page.evaluate(LOOKED_AT, ONE)
        if row is None:
            break
        page.wait_for_timeout(100)
    assert row is None and [each["inspection"]["identity"] for each in office.posted] == [ONE]


def test_everything_can_be_pressed_with_gloves_and_read_by_everybody(field):
    watched, _ = field
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page = open_field(watched)
    store(page, "saveWork", work(ONE, state="open"))
    broken, small = {}, {}
    for place in ("#/", "#/pack", "#/unsent", "#/call"):
        watched.go(f"/field/{place}")
        page.wait_for_selector("#actions > *")
        page.wait_for_timeout(300)
        found = axe.Axe().run(page).response["violations"]
        broken[place] = [each["id"] for each in found if each["impact"] in ("serious", "critical")]
        small[place] = page.evaluate(SMALLER_THAN_A_GLOVE)
        assert page.evaluate("document.documentElement.scrollWidth <= 390"), place
    assert not any(broken.values()), broken
    assert not any(small.values()), small


def test_it_opens_without_signal_and_without_sign_in_and_makes_a_file_of_what_is_unsent(field):
    watched, _ = field
    page = open_field(watched, worker=True)
    saved = store(page, "saveWork", work(ONE, "before the rain"))
    watched.context.clear_cookies()
    watched.context.set_offline(True)
    page.goto(f"{watched.site.address}/field/#/unsent")
    page.reload()
    page.wait_for_selector("main:has-text('Ready to send')")
    with page.expect_download() as coming:
        page.get_by_role("button", name="Save to a file").click()
    brought = json.loads(coming.value.path().read_text())
    assert brought["spanledger_field_export"] == 1 and brought["photos"] == []
    (record,) = brought["works"]
    assert record["inspection"]["identity"] == ONE and record["made_by"] == saved["person"]
    # Sending it later is the same record, not a second one.
    assert record["record"] == store(page, "getWork", ONE)["record"]


def test_unsent_work_of_another_person_is_named_and_stays(field, window):
    watched, office = field
    page = open_field(watched)
    store(page, "saveWork", work(ONE))
    page.evaluate(ANOTHERS, ONE)
    send(page)
    assert office.posted == []
    watched.go("/field/#/unsent")
    page.wait_for_selector("main:has-text('It waits until Ada Finch signs in')")
    page.get_by_role("button", name="entered by Ada Finch").click()
    page.wait_for_selector("#unsent-count:has-text('Nothing unsent')")
    (sent,) = office.posted
    assert sent["made_by"] == {"id": 0, "name": "Ada Finch"}


def test_signing_out_takes_the_packs_and_leaves_unsent_work(field):
    watched, _ = field
    page = open_field(watched, worker=True)
    pack = {"structure": {"id": 7, "number": "Q-7"}, "kept": {"person": store(page, "setting", "person"), "bytes": 1}}
    store(page, "putPack", pack)
    store(page, "saveWork", work(ONE, state="open"))
    page.reload()
    page.get_by_role("button", name="Sign out of this device").click()
    page.wait_for_url("**/sign-in/?next=/field/")
    assert watched.go("/structures/").url.endswith("/sign-in/?next=/structures/")
    watched.go("/field/")
    page.wait_for_selector("main:has-text('No structure is on this device')")
    assert store(page, "allPacks") == [] and in_hand(page) == {ONE}


def test_over_plain_http_from_another_machine_offline_entry_is_off(field):
    watched, _ = field
    # The loopback address counts as secure, so the page is told otherwise, as a browser tells it elsewhere.
    watched.page.add_init_script("Object.defineProperty(window, 'isSecureContext', {get: () => false})")
    watched.go("/field/")
    watched.page.wait_for_selector("h1:has-text('Offline entry is off')")
    text = watched.page.inner_text("main")
    assert "ops/serve" in text and "--cert" in text and "--key" in text
    assert watched.page.get_attribute("#actions a", "href") == "/inspections/"
