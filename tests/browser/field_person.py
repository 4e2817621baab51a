"""A person with a telephone beside a bridge."""

import io
import random
import re
from pathlib import Path

from PIL import Image, ImageDraw

from .conftest import chromium

VIEW = {"width": 390, "height": 844}
ARGUMENTS = ["--no-sandbox", "--disable-background-networking"]
# A run of the checks has three suites on two processors: nothing here is late before minutes are over.
WAIT_MS = 120_000
STORE = "/static/inspections/field/store.js"
SENDER = "/static/inspections/field/sender.js"

# What the browser has on its disk, past the app's own modules.
ON_DISK = """(name) => new Promise((give, refuse) => {
  const asked = indexedDB.open("spanledger-field");
  asked.onerror = () => refuse(asked.error);
  asked.onsuccess = () => {
    const rows = asked.result.transaction([name]).objectStore(name).getAll();
    rows.onsuccess = () => {
      asked.result.close();
      give(rows.result.map(({ blob, ...row }) => row));
    };
  };
})"""


def picture(seed, width: int = 640, height: int = 480, *, rough: bool = False) -> bytes:
    """A JPEG of noise that no other seed gives; under 600 kB and 2,400 px the device sends it as it is."""
    chance = random.Random(str(seed))
    fine = 4 if rough else 40
    grain = (width // fine, height // fine)
    noise = Image.frombytes("RGB", grain, chance.randbytes(grain[0] * grain[1] * 3))
    made = noise.resize((width, height), Image.Resampling.BICUBIC)
    ImageDraw.Draw(made).text((10, 10), str(seed), fill="white")
    kept = io.BytesIO()
    made.save(kept, "JPEG", quality=88)
    return kept.getvalue()


def named(data: bytes, name: str = "photo.jpg") -> dict:
    """A file as the camera hands it over."""
    return {"name": name, "mimeType": "image/jpeg", "buffer": data}


class Telephone:
    """One person's telephone: a browser context with the field app in it, used by labels and roles."""

    def __init__(self, context, site):
        self.context, self.site = context, site
        context.set_default_timeout(WAIT_MS)
        self.page = context.pages[0] if context.pages else context.new_page()
        self._begin_with(self.page)

    def _begin_with(self, page) -> None:
        self.page = page
        page.on("dialog", lambda dialog: dialog.accept())

    def sign_in(self, role: str = "inspector") -> None:
        person, page = self.site.person(role), self.page
        if "/sign-in/" not in page.url:
            page.goto(f"{self.site.address}/sign-in/?next=/field/")
        page.fill("#id_username", person["name"])
        page.fill("#id_password", person["password"])
        page.keyboard.press("Enter")
        page.wait_for_url(re.compile(r"/field/"))
        self.started()

    def started(self) -> None:
        self.page.wait_for_selector("body[data-started]", state="attached")

    def open(self, place: str = "#/") -> None:
        """The app opened from its sign on the start screen."""
        self.page.goto(f"{self.site.address}/field/{place}")
        self.page.reload()
        self.page.locator("main h1").first.wait_for()

    def at(self, place: str) -> None:
        self.page.evaluate("(place) => { location.hash = place; }", place)

    def close_page(self) -> None:
        """The app wiped away by a thumb, and a new one not yet opened."""
        old = self.page
        self._begin_with(self.context.new_page())
        old.close()

    def take_along(self, *numbers: str) -> list[str]:
        """The structures named, or a planned day of at least three; their numbers in order."""
        page = self.page
        self.at("#/pack")
        page.locator("#offers li").first.wait_for()
        if numbers:
            for number in numbers:
                page.get_by_role("checkbox", name=re.compile(rf"^{re.escape(number)}\b")).check()
        else:
            page.get_by_role("button", name=re.compile(r": [3-9] structures")).first.click()
        chosen = page.locator("#offers li", has=page.locator("input:checked")).locator("strong")
        numbers = chosen.all_inner_texts()
        page.get_by_role("button", name="Take along", exact=True).click()
        page.get_by_text(f"{len(numbers)} of {len(numbers)} taken along.").wait_for()
        # Without the worker nothing opens in the ditch.
        page.evaluate("async () => { await navigator.serviceWorker.ready; }")
        return numbers

    def begin(self, number: str, kind: str = "Routine") -> str:
        """A new inspection of a structure taken along; its identity."""
        page = self.page
        self.at("#/")
        card = page.locator("li.card", has=page.locator(f"strong:text-is('{number}')"))
        card.get_by_role("link", name="Inspect").click()
        page.get_by_role("heading", name="Begin an inspection").wait_for()
        page.get_by_role("button", name=kind, exact=True).click()
        page.locator("#finish").wait_for()
        return page.url.rpartition("/")[2]

    def go_on(self, identity: str) -> None:
        self.at(f"#/entry/{identity}")
        self.page.locator("#finish").wait_for()

    def answer_last_time(self) -> int:
        """Every finding of last time as before; how many there were."""
        before = self.page.locator("#last-time li.card")
        for place in range(before.count()):
            before.nth(place).get_by_role("button", name="As before").click()
        return before.count()

    def rate(self) -> None:
        """Each component as last time, or 6 where it was not rated before."""
        for part in ("deck", "superstructure", "substructure"):
            box = self.page.locator(f"#rating-{part}")
            same = box.get_by_role("button", name="As last time")
            if same.count():
                same.click()
            else:
                box.get_by_label("6 Satisfactory").check()

    def lead(self) -> None:
        """The first one offered as team leader who is not marked as lapsed."""
        box = self.page.get_by_label("Team leader on site")
        if box.count():
            words = box.locator("option").all_inner_texts()
            box.select_option(index=next(place for place, each in enumerate(words) if place and "lapsed" not in each))

    def new_finding(self, kind: str):
        """The card of a new finding of this kind, by its word."""
        page = self.page
        page.get_by_role("button", name="New finding").click()
        page.locator(".chooser").get_by_role("button", name=kind, exact=True).click()
        card = page.locator("#findings .is-open")
        card.wait_for()
        return card

    def photograph(self, within, *data: bytes) -> None:
        within.get_by_label("Take a photograph").set_input_files(
            [named(each, f"photo{place}.jpg") for place, each in enumerate(data)]
        )

    def saved(self) -> None:
        """Until the form says that it has saved what was typed before this moment."""
        self.page.wait_for_timeout(450)  # an autosave begins 400 ms after the change
        self.page.locator(".saved", has_text="Saved on this device").wait_for()

    def hand_in(self) -> None:
        self.page.get_by_role("button", name="Hand in", exact=True).click()

    def on_disk(self, name: str) -> list[dict]:
        return self.page.evaluate(ON_DISK, name)

    def work(self, identity: str) -> dict | None:
        return next((row for row in self.on_disk("works") if row["identity"] == identity), None)

    def until_sent(self) -> None:
        self.page.locator("#unsent-count", has_text="Nothing unsent").wait_for()


def new_telephone(browser, site) -> Telephone:
    return Telephone(browser.new_context(viewport=VIEW, has_touch=True), site)


def telephone_with_disk(browser, site, folder: Path) -> Telephone:
    """A telephone whose storage is a folder: started again it has what it had."""
    context = browser.browser_type.launch_persistent_context(
        folder, executable_path=chromium(), args=ARGUMENTS, viewport=VIEW, has_touch=True
    )
    return Telephone(context, site)


def put_away(context) -> None:
    """The browser closed; what is still on its way then is nobody's fault."""
    context.unroute_all(behavior="ignoreErrors")
    context.close()


class Line:
    """The way to the office: `fate(request, turn)` says of each request whether it goes "through", is "dropped" before
    the office, or its answer is "lost" after the office had it. `asked` keeps all of them, in order."""

    PARTS = ("**/field/records/**", "**/field/photos/**", "**/field/whoami/")

    def __init__(self, context, fate=None):
        self.fate = fate or (lambda request, turn: "through")
        self.asked: list[tuple[str, str, str]] = []
        for part in self.PARTS:
            context.route(part, self._on_its_way)

    def _on_its_way(self, route) -> None:
        request = route.request
        what = self.fate(request, len(self.asked))
        self.asked.append((request.method, request.url, what))
        if what == "dropped":
            route.abort()
        elif what == "lost":
            route.fetch()
            route.abort()
        else:
            route.continue_()


def numbers_offered(phone) -> list[str]:
    offered = phone.page.evaluate("async () => (await (await fetch('/field/packs/')).json()).structures")
    return [each["number"] for each in offered]


def quick_visit(phone, number: str, note: str, *photos: bytes) -> str:
    """An inspection after a hit by a vehicle: what such a visit needs, and no more."""
    identity = phone.begin(number, "Damage")
    phone.lead()
    card = phone.new_finding("Other")
    card.get_by_label("Note").fill(note)
    card.get_by_role("button", name="Done with this finding").click()
    phone.page.get_by_label("Notes on the whole").fill(note)
    if photos:
        whole = phone.page.locator("#photos")
        phone.photograph(whole, *photos)
        whole.locator("canvas").nth(len(photos) - 1).wait_for()
    phone.saved()
    return identity
