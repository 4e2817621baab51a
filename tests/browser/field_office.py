"""An office that answers the field app as a test wants it to: answers lost, sign-ins run out, photographs half there.

Scripts given to a page run whole (the site's policy forbids the polling of expressions), so each waits inside.
"""

import hashlib
import json
from dataclasses import dataclass, field
from urllib.parse import urlparse

STORE = "/static/inspections/field/store.js"
SENDER = "/static/inspections/field/sender.js"
IN_CHARGE = """() => new Promise((resolve, reject) => {
  setTimeout(() => reject(new Error('no worker took charge')), 20000);
  if (navigator.serviceWorker.controller) { resolve(); return; }
  navigator.serviceWorker.addEventListener('controllerchange', () => resolve());
})"""


@dataclass
class Office:
    """Stands in for /field/records/ and /field/photos/ of one browser context.

    `plan` holds what happens to the next records, in order: "lost" (kept, the answer never arrives), 401, 409, 503;
    "no line" (nothing arrives); after that every record is filed. `posted` is every record that arrived, `photos` the
    bytes received by identity.
    """

    plan: list = field(default_factory=list)
    posted: list[dict] = field(default_factory=list)
    kept: dict[str, dict] = field(default_factory=dict)
    photos: dict[str, bytearray] = field(default_factory=dict)
    begun: dict[str, dict] = field(default_factory=dict)
    starts: list[int] = field(default_factory=list)
    before_answer: object = None

    def stand_in(self, context) -> "Office":
        context.route("**/field/records/", self.record)
        context.route("**/field/records/*/", self.asked)
        context.route("**/field/photos/*/", self.photo)
        return self

    def record(self, route) -> None:
        sent = json.loads(route.request.post_data)
        self.posted.append(sent)
        planned = self.plan.pop(0) if self.plan else None
        if planned == "no line":
            self.posted.pop()
            return route.abort()
        if planned == 401:
            return route.fulfill(status=401, json={"signed_in": False})
        if planned in (409, 503):
            return route.fulfill(status=planned, json={"sentences": ["This number stands for another content."]})
        already = sent["record"] in self.kept
        self.kept.setdefault(sent["record"], sent)
        if self.before_answer:
            self.before_answer()
        if planned == "lost":
            return route.abort()
        return route.fulfill(json=self.answer(sent["record"], already))

    def answer(self, record: str, already: bool) -> dict:
        sent = self.kept[record]
        inspection = sent.get("inspection") or {}
        made = {"identity": inspection.get("identity"), "id": 1, "revision": len(self.kept), "state": "submitted"}
        return {
            "record": record,
            "already": already,
            "state": "filed",
            "held_for": "",
            "sentences": [],
            "inspection": made if inspection else None,
            "theirs": None,
            "wants_photos": [],
        }

    def asked(self, route) -> None:
        record = urlparse(route.request.url).path.split("/")[-2]
        if record in self.kept:
            return route.fulfill(json=self.answer(record, True))
        return route.fulfill(status=404, json={"sentences": ["No such record."]})

    def photo(self, route) -> None:
        if self.plan and self.plan[0] == "no line":
            self.plan.pop(0)
            return route.abort()
        identity = urlparse(route.request.url).path.split("/")[-2]
        held = self.photos.setdefault(identity, bytearray())
        if route.request.method == "POST":
            self.begun[identity] = json.loads(route.request.post_data)
        else:
            start = int(route.request.headers["x-from-byte"])
            self.starts.append(start)
            if start != len(held):
                return route.fulfill(status=409, json={"photo": identity, "received_bytes": len(held)})
            held += route.request.post_data_buffer
            if self.plan and self.plan[0] == "lost piece":
                self.plan.pop(0)
                return route.abort()
        size = self.begun[identity]["size_bytes"]
        whole = len(held) >= size
        if whole:
            assert hashlib.sha256(held).hexdigest() == self.begun[identity]["sha256"]
        return route.fulfill(
            json={"photo": identity, "received_bytes": len(held), "state": "kept" if whole else "open", "sentences": []}
        )


def open_field(watched, *, worker: bool = False):
    """The app open, its own sending over; with `worker` once its worker is in charge."""
    watched.go("/field/")
    if worker:
        watched.page.evaluate(IN_CHARGE)
    watched.page.wait_for_selector("body[data-started]")
    return watched.page


def store(page, call: str, *given):
    """What `store.<call>` resolves to in the page."""
    return page.evaluate(f"async (given) => (await import('{STORE}')).{call}(...given)", list(given))


def send(page, reason: str = "pressed"):
    page.evaluate(f"async (reason) => (await import('{SENDER}')).sendAll({{reason}})", reason)


def work(identity: str, notes: str = "", kind: str = "routine", state: str = "ready") -> dict:
    inspection = {"kind": kind, "notes": notes, "submit": True}
    body = {"inspection": inspection, "findings": [], "elements": [], "channel": []}
    return {
        "identity": identity,
        "kind": "inspection",
        "structure": 1,
        "number": "Q-1",
        "state": state,
        "body": body,
        "base_revision": None,
    }


def forgive(watched, *words: str) -> None:
    """Failures the test brought about are no trouble: a browser writes each into its console."""
    watched.troubles[:] = [each for each in watched.troubles if not any(word in each for word in words)]


ONE = "11111111-1111-4111-8111-111111111111"


def office_window(window):
    """The inspector's telephone, and the office it speaks to."""
    watched = window("inspector", 390, 844)
    office = Office().stand_in(watched.context)
    yield watched, office
    forgive(watched, "Failed to load resource", "503 from")


def in_hand(page) -> set[str]:
    return {each["identity"] for each in store(page, "allWorks")}
