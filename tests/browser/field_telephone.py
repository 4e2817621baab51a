"""A telephone in the field with the form on it: one structure's pack, no signal, and a look at what is on its disk."""

from .conftest import Watched

PHONE = {"width": 390, "height": 844}
BARS = "LK-039"  # a stress-laminated span of the demonstration county, with bars, last time's findings and ratings

TAKE_ALONG = """async (number) => {
  await navigator.serviceWorker.ready;
  const store = await import("/static/inspections/field/store.js");
  const offers = await (await fetch("/field/packs/")).json();
  const { id } = offers.structures.find((each) => each.number === number);
  await store.setSetting("table", await (await fetch("/field/table/")).json());
  return (await fetch(`/field/packs/${id}/`)).json();
}"""
PUT_PACK = """async (pack) => (await import("/static/inspections/field/store.js")).putPack(pack, [])"""
# Read past the app's own modules, so that what is compared is what the browser has on its disk.
ON_DISK = """(name) => new Promise((give, refuse) => {
  const asked = indexedDB.open("spanledger-field");
  asked.onerror = () => refuse(asked.error);
  asked.onsuccess = () => {
    const rows = asked.result.transaction([name]).objectStore(name).getAll();
    rows.onsuccess = () => { asked.result.close(); give(rows.result); };
  };
})"""


class Field:
    """One inspector's telephone with one structure's pack on it, away from any signal."""

    def __init__(self, watched: Watched):
        self.watched, self.page = watched, watched.page
        watched.go("/field/")
        self.pack = self.page.evaluate(TAKE_ALONG, BARS)
        self.structure = self.pack["structure"]["id"]
        watched.context.set_offline(True)

    def opened(self, **other) -> "Field":
        """The app closed and opened again at the structure, its pack with `other` in place of what it held."""
        self.page.set_viewport_size(PHONE)
        self.page.evaluate(PUT_PACK, {**self.pack, **other})
        self.watched.go("/field/")
        self.at(f"#/start/{self.structure}")
        self.page.get_by_role("heading", name="Begin an inspection").wait_for()
        return self

    def at(self, address: str) -> None:
        self.page.evaluate("(address) => { location.hash = address; }", address)

    def begin(self, kind: str = "Routine") -> None:
        self.page.get_by_role("button", name=kind, exact=True).click()
        self.page.locator("#finish").wait_for()

    def saved(self) -> None:
        self.page.locator(".saved", has_text="Saved on this device").wait_for()

    def kept(self) -> dict:
        """The work that is open now, as it stands on the disk."""
        identity = self.page.url.rpartition("/")[2]
        return next(work for work in self.page.evaluate(ON_DISK, "works") if work["identity"] == identity)

    def work(self) -> dict:
        self.page.wait_for_timeout(500)
        self.saved()
        return self.kept()

    def critical(self) -> dict:
        return next(work for work in self.page.evaluate(ON_DISK, "works") if work["kind"] == "critical")


def start_finding(page, kind: str):
    page.get_by_role("button", name="New finding").click()
    page.locator(f"[data-kind={kind}]").click()
    card = page.locator("#findings .is-open")
    card.wait_for()
    return card


def inspectors_telephone(browser, site):
    """One telephone for the tests of a file; without a signal in the end or not."""
    watched = Watched(browser, site, "inspector", **PHONE)
    yield Field(watched)
    watched.context.set_offline(False)
    watched.troubles[:] = [each for each in watched.troubles if "ERR_INTERNET_DISCONNECTED" not in each]
    watched.close()
