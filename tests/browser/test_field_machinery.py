"""The field app's own machinery: its store, its sending, its worker. The office is a stand-in; no form is needed.

Nothing here is measured against a table: the laws are that each record reaches the office exactly once under one
number, that nothing leaves the device which the office has not named back, and that nothing kept is lost by an upgrade.
"""

import hashlib

import pytest

from tests.browser.field_office import ONE, in_hand, office_window, open_field, send, store, work

pytestmark = pytest.mark.browser

TWO = "22222222-2222-4222-8222-222222222222"
PHOTO = "33333333-3333-4333-8333-333333333333"


# The first version of the store, written out by hand: what a device of that time holds.
OLD_STORE = """async (given) => {
  const db = await new Promise((resolve, reject) => {
    const request = indexedDB.open("spanledger-field", 1);
    request.onupgradeneeded = () => {
      const made = request.result;
      made.createObjectStore("packs", { keyPath: "structure.id" });
      made.createObjectStore("packPhotos", { keyPath: "id" });
      made.createObjectStore("works", { keyPath: "identity" });
      made.createObjectStore("photos", { keyPath: "identity" }).createIndex("work", "work");
      made.createObjectStore("settings", { keyPath: "name" });
      made.createObjectStore("answered", { keyPath: "record" });
    };
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const transaction = db.transaction(["packs", "packPhotos", "works", "photos"], "readwrite");
  const structure = { id: 7, number: "Q-7", title: "Heron Road" };
  transaction.objectStore("packs").put({ pack: 1, structure, kept: { at: new Date().toISOString(), bytes: 5 } });
  transaction.objectStore("packPhotos").put({ id: 70, structure: 7, blob: new Blob(["pack"]) });
  transaction.objectStore("works").put(given.work);
  transaction.objectStore("photos").put({
    identity: given.photo, work: given.work.identity, finding: given.finding,
    blob: new Blob(["seen"]), sha256: "", size_bytes: 4, kept: false,
  });
  await new Promise((resolve) => { transaction.oncomplete = resolve; });
  db.close();
}"""


field = pytest.fixture(office_window)


def test_a_store_of_the_first_version_comes_over_whole(field):
    watched, _ = field
    watched.go("/structures/")
    old = work(ONE, "typed long ago", state="open")
    watched.page.evaluate(OLD_STORE, {"work": old, "photo": PHOTO, "finding": TWO})
    page = open_field(watched)
    assert "Q-7" in page.inner_text("main") and "Q-1" in page.inner_text("main")
    page.wait_for_selector("#unsent-count:has-text('Unsent: 1 record, 1 photo')")
    brought = store(page, "getWork", ONE)
    assert brought["body"] == old["body"] and brought["record"] is None and brought["changes"] == 1
    assert [each["identity"] for each in store(page, "photosOfFinding", TWO)] == [PHOTO]
    assert (
        page.evaluate("async () => (await (await import('/static/inspections/field/store.js')).getPackPhoto(70)).size")
        == 4
    )
    # The pictures of an old pack go with it: the new index knows them.
    store(page, "removePack", 7)
    assert store(page, "getPackPhoto", 70) is None


def test_a_lost_answer_is_asked_for_again_under_the_same_number(field):
    watched, office = field
    page = open_field(watched)
    office.plan = ["lost", 503]
    store(page, "saveWork", work(ONE, "check at a third"))
    send(page)
    page.wait_for_selector("#sending:has-text('Waiting to try again')")
    assert in_hand(page) == {ONE}
    send(page)
    send(page)
    assert len(office.posted) == 3 and len({each["record"] for each in office.posted}) == 1
    first, *others = [{k: v for k, v in each.items() if k != "device_now"} for each in office.posted]
    assert all(other == first for other in others), "the same number carried another content"
    page.wait_for_selector("#unsent-count:has-text('Nothing unsent')")
    assert in_hand(page) == set()
    assert [each["record"] for each in store(page, "allAnswered")] == list(office.kept)


def test_a_sign_in_run_out_stops_the_sending_and_loses_nothing(field):
    watched, office = field
    page = open_field(watched)
    office.plan = [401]
    store(page, "saveWork", work(ONE))
    send(page)
    page.wait_for_selector("#note-signed-out:has-text('Sign in again to send; nothing is lost.')")
    assert page.get_attribute("#note-signed-out a", "href") == "/sign-in/?next=/field/"
    page.wait_for_timeout(2500)  # longer than the first wait of the back-off: nothing is tried blindly
    assert len(office.posted) == 1 and in_hand(page) == {ONE}
    send(page, "signed-in")
    assert len(office.kept) == 1 and in_hand(page) == set()


def test_a_number_taken_by_another_content_is_told_and_both_are_kept(field):
    watched, office = field
    page = open_field(watched)
    office.plan = [409]
    store(page, "saveWork", work(ONE))
    send(page, "handed-in")
    watched.go("/field/#/unsent")
    page.wait_for_selector("main:has-text('This number stands for another content.')")
    send(page, "timer")
    assert len(office.posted) == 1, "a refused content was sent again without anybody asking"
    page.get_by_role("button", name="Send again under a new number").click()
    page.wait_for_selector("#unsent-count:has-text('Nothing unsent')")
    assert len({each["record"] for each in office.posted}) == 2


def test_what_changes_while_on_its_way_stays_unsent_with_the_newer_content(field):
    watched, office = field
    page = open_field(watched)
    store(page, "saveWork", work(ONE, "older"))
    office.plan = ["lost", "no line"]
    send(page)
    store(page, "saveWork", work(ONE, "newer", state="open"))
    send(page)
    assert in_hand(page) == {ONE} and len(office.posted) == 1, "a form in hand was sent"
    store(page, "saveWork", work(ONE, "newer"))
    send(page)
    older, newer = office.posted
    assert older["record"] != newer["record"]
    assert newer["inspection"]["notes"] == "newer" and newer["inspection"]["base_revision"] == 1
    assert in_hand(page) == set()


def test_two_windows_and_two_presses_send_each_record_once_critical_first(field):
    watched, office = field
    page = open_field(watched)
    second = watched.context.new_page()
    second.goto(f"{watched.site.address}/field/")
    second.wait_for_selector("#content h1")
    store(page, "saveWork", work(ONE))
    critical = {**work(TWO), "kind": "critical", "body": {"critical": {"kind": "broken", "words": "stringer broken"}}}
    store(page, "saveWork", critical)
    press = """() => {
      const twice = (one) => Promise.all([one.sendAll({reason: 'pressed'}), one.sendAll({reason: 'pressed'})]);
      window.sent = import('/static/inspections/field/sender.js').then(twice);
    }"""
    page.evaluate(press)
    second.evaluate(press)
    page.evaluate("() => window.sent")
    second.evaluate("() => window.sent")
    page.wait_for_selector("#unsent-count:has-text('Nothing unsent')")
    assert [each["kind"] for each in office.posted] == ["critical", "inspection"]


def test_a_photograph_goes_on_where_it_stopped_and_arrives_byte_for_byte(field):
    watched, office = field
    page = open_field(watched)
    page.evaluate(
        """async ({work, photo}) => {
          const store = await import('/static/inspections/field/store.js');
          const bytes = Uint8Array.from({length: 600000}, (_, place) => (place * 31 + (place >> 8)) % 256);
          await store.saveWork(work);
          await store.putPhoto({identity: photo, work: work.identity, blob: new Blob([bytes]), caption: "split"});
        }""",
        {"work": work(ONE), "photo": PHOTO},
    )
    # What breaks is asked once more at once; so the line stays away for two requests.
    office.plan = [None, "lost piece", "no line"]
    send(page)
    assert in_hand(page) == {ONE}, "the work went although its photograph had not arrived"
    page.wait_for_selector("#unsent-count:has-text('Unsent: 1 photo')")
    send(page)
    expected = bytes((place * 31 + (place >> 8)) % 256 for place in range(600_000))
    assert bytes(office.photos[PHOTO]) == expected
    assert office.begun[PHOTO]["sha256"] == hashlib.sha256(expected).hexdigest()
    piece = 256 * 1024
    assert office.starts == [0, piece, 2 * piece], "a piece was sent twice although the office had it"
    assert len(office.posted) == 1 and in_hand(page) == set() and store(page, "getPhoto", PHOTO) is None


def test_a_full_device_says_so_at_once_and_keeps_what_it_had(field):
    watched, office = field
    # Set before the store is opened: the browser remembers for a while how much room there was. It tells a page another
    # figure than it holds to, so the figure for the warning is given by hand.
    quota = {"origin": watched.site.address, "quotaSize": 12_000_000}
    cdp = watched.context.new_cdp_session(watched.page)
    cdp.send("Storage.overrideQuotaForOrigin", quota)
    watched.page.add_init_script("navigator.storage.estimate = async () => ({usage: 8e6, quota: 12e6})")
    page = open_field(watched)
    assert "Storage is nearly full" in page.inner_text("main")
    store(page, "saveWork", work(ONE, "kept", state="open"))
    kind = page.evaluate(
        """async (photo) => {
          const store = await import('/static/inspections/field/store.js');
          const blob = new Blob([new Uint8Array(16_000_000)]);
          return store.putPhoto({...photo, blob}).then(() => "", (error) => error.kind);
        }""",
        {"identity": PHOTO, "work": ONE},
    )
    assert kind == "full"
    page.wait_for_selector("#note-trouble:has-text('The storage of this device is full')")
    assert store(page, "getWork", ONE)["body"]["inspection"]["notes"] == "kept"
    assert store(page, "getPhoto", PHOTO) is None
