"""Every POST form of every page, fed with what nobody should type: the answer is a sentence, never a broken page.

The forms are found by walking the pages of a county as each role and reading their markup, so a new form is fed too.
Laws checked, not numbers: no answer of 500 or more, no exception; where a page refuses, what was typed stands in its
entry again; where it accepts, the pages that show it still open. The choice of entries is seeded.
"""

import random
from dataclasses import dataclass, field, replace
from html.parser import HTMLParser

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction

from inspections.actions.receive import open_inspection
from inspections.actions.remind import refresh_reminders
from inspections.actions.restrict_now import restrict_now
from inspections.models import Recommendation, Reminder
from inventory.models import HeldChange, SurfacingLayer
from tests.app.reminders.made import make_late_bridge
from tests.makers.inspected import decay, make_stressed_deck, rated

SEED = 20260615
# Common practice, no source: what forms of all kinds have choked on.
HOSTILE = (
    "",
    "   ",
    "NaN",
    "inf",
    "-inf",
    "1e308",
    "1e309",
    "-1",
    "0",
    "99999999999999999999999999",
    "9" * 5000,
    "-9223372036854775809",
    "1.7976931348623157e+308",
    "0.0000000001",
    "²",
    "١٢٣",
    "１２",
    "1_000",
    "0x10",
    "0001-01-01",
    "9999-12-31",
    "2026-02-30",
    "2026-06-15T00:00:00",
    "a\x00b",
    "\x00",
    "\u202e\ufeff\u200b",
    "\ud7ff\U0001f600",
    "=HYPERLINK(1)",
    "<img src=x onerror=alert(1)>",
    '"><script>alert(1)</script>',
    "{{ 7|add:7 }}{% url %}",
    "a\r\nSet-Cookie: x=1",
    "w" * 10_000,
    "true",
    "None",
    "/../../etc/passwd",
)
LONG = "x" * 1_000_000


@dataclass
class Form:
    """One form of a page, as a browser would send it untouched."""

    action: str
    values: dict[str, list[str]] = field(default_factory=dict)
    texts: set[str] = field(default_factory=set)
    files: set[str] = field(default_factory=set)

    @property
    def names(self) -> list[str]:
        return [name for name in self.values if name != "csrfmiddlewaretoken"]


class FormReader(HTMLParser):
    """Forms with method=post, their controls and what stands in them."""

    def __init__(self, address: str):
        super().__init__()
        self.address, self.forms = address, []
        self.form = self.select = self.area = None
        self.is_pattern = False

    def handle_starttag(self, tag, attributes):
        given = dict(attributes)
        if tag == "template":
            self.is_pattern = True
        if self.is_pattern:
            return  # rows that a script copies are not sent
        if tag == "form":
            self._form(given)
        elif self.form and tag == "button":
            self._button(given)
        elif self.form and tag == "option" and self.select:
            if "selected" in given or not self.form.values[self.select]:
                self.form.values[self.select] = [given.get("value", "")]
        elif self.form and given.get("name"):
            self._control(tag, given["name"], given)

    def _form(self, given):
        self.form = Form(given.get("action") or self.address) if given.get("method", "").lower() == "post" else None
        if self.form:
            self.forms.append(self.form)

    def _button(self, given):
        if given.get("formaction"):
            # Another place for the same entries; the form's own address is then never asked.
            if self.form in self.forms and self.form.action == self.address:
                self.forms.remove(self.form)
            self.forms.append(replace(self.form, action=given["formaction"]))
        elif given.get("name"):
            self.form.values.setdefault(given["name"], [given.get("value", "")])

    def _control(self, tag, name, given):
        if tag == "input":
            self._input(given.get("type", "text"), name, given)
        elif tag == "select":
            self.select = name
            self.form.values.setdefault(name, [])
        elif tag == "textarea":
            self.area = name
            self.form.values[name] = [""]
            self.form.texts.add(name)

    def _input(self, kind, name, given):
        if kind == "file":
            self.form.files.add(name)
            self.form.values.setdefault(name, [])
        elif kind in ("checkbox", "radio"):
            held = self.form.values.setdefault(name, [])
            if "checked" in given or not held:
                self.form.values[name] = [given.get("value", "on")]
        else:
            self.form.values.setdefault(name, []).append(given.get("value", ""))
            if kind != "hidden":
                self.form.texts.add(name)

    def handle_data(self, data):
        if self.form and self.area:
            self.form.values[self.area] = [self.form.values[self.area][0] + data]

    def handle_endtag(self, tag):
        if tag == "template":
            self.is_pattern = False
        elif tag == "form":
            self.form = None
        elif tag == "select":
            self.select = None
        elif tag == "textarea" and self.area and self.form:
            # A browser drops the first line end of an entry of many lines.
            self.form.values[self.area] = [self.form.values[self.area][0].removeprefix("\n")]
            self.area = None


def forms_of(answer, address: str) -> list[Form]:
    reader = FormReader(address)
    reader.feed(answer.content.decode())
    return reader.forms


PAGES = {
    "office": (
        "/structures/new/",
        "/structures/{bridge}/",
        "/structures/{bridge}/edit/",
        "/structures/{bridge}/spans/new/",
        "/structures/{bridge}/spans/{span}/",
        "/structures/{bridge}/spans/{span}/members/new/",
        "/structures/{bridge}/spans/{span}/members/{member}/",
        "/structures/{deck}/spans/{deck_span}/bars/",
        "/structures/{bridge}/surfacing/{layer}/remove/",
        "/structures/{bridge}/photos/new/",
        "/structures/{bridge}/record/surfacing/",
        "/structures/{bridge}/record/treatment/",
        "/structures/{bridge}/record/work/",
        "/structures/{bridge}/record/railing/",
        "/structures/{bridge}/record/support/",
        "/records/",
        "/records/held/",
    ),
    "inspector": ("/inspections/{draft}/edit/", "/structures/{bridge}/inspections/start/"),
    "engineer": (
        "/inspections/{rated}/",
        "/decisions/{proposal}/",
        "/structures/{bridge}/restrict/",
    ),
    "crew": ("/signs/",),
    "supervisor": ("/due/late/", "/due/{reminder}/", "/messages/"),
}


@pytest.fixture
def filled(county, now, settings, tmp_path):
    """A county with one of everything that a form acts on; the numbers of the rows by name."""
    settings.STATE_DIR, settings.MEDIA_ROOT = tmp_path, tmp_path / "files"
    people = county.people
    bridge, deck = make_late_bridge(county.agency), make_stressed_deck(county.agency)
    layer = SurfacingLayer.objects.create(
        structure=bridge, material="gravel", thickness_in=3, unit_weight_pcf=130, laid_on="2020-05-01"
    )
    done = rated(bridge, people["inspector"], now, [decay(bridge)])
    restrict_now(
        structure=deck, restriction="posted", single_ton=5, reason="Bars slack", by=people["supervisor"], at=now
    )
    draft = open_inspection(structure=deck, kind="routine", by=people["inspector"], at=now)
    HeldChange.objects.create(structure=bridge, field="road_name", county_value="Heron Road", record_value="HERON RD")
    refresh_reminders(structure_ids=[bridge.pk, deck.pk], as_of=now.date(), at=now)
    span = bridge.spans.get()
    return county, {
        "bridge": bridge.pk,
        "deck": deck.pk,
        "span": span.pk,
        "deck_span": deck.spans.get().pk,
        "member": span.members.get().pk,
        "layer": layer.pk,
        "rated": done.pk,
        "draft": draft.pk,
        "proposal": Recommendation.objects.filter(structure=bridge, state="proposed").get().pk,
        "reminder": Reminder.objects.filter(structure=bridge).order_by("pk").first().pk,
    }


def found_forms(filled, pages_of_roles=PAGES) -> list[tuple[str, str, Form]]:
    """(role, page, form), each form once."""
    county, numbers = filled
    found, seen = [], set()
    for role, pages in pages_of_roles.items():
        client = county.client(role)
        for page in pages:
            address = page.format(**numbers)
            answer = client.get(address)
            assert answer.status_code == 200, address
            for form in forms_of(answer, address):
                mark = (form.action, *sorted(form.values))
                if form.action != "/sign-out/" and mark not in seen:
                    seen.add(mark)
                    found.append((role, address, form))
    return found


def test_every_kind_of_form_is_found(filled):
    found = found_forms(filled)
    assert len(found) >= 30, [form.action for _, _, form in found]
    assert sum(len(form.names) for _, _, form in found) > 200


def sent(form: Form, changed: dict[str, str]) -> dict:
    values = {name: list(held) for name, held in form.values.items() if name != "csrfmiddlewaretoken"}
    for name, value in changed.items():
        if name in form.files:
            values[name] = [SimpleUploadedFile(f"{value[:40] or 'x'}.jpg", value.encode() or b" ")]
        else:
            values[name] = [value]
    return {name: held for name, held in values.items() if held}


def trials(form: Form, dice: random.Random) -> list[dict[str, str]]:
    """All entries alike, then entries one at a time with everything else as it was."""
    names = form.names
    if not names:
        return [{}]
    tried = [dict.fromkeys(names, value) for value in dice.sample(HOSTILE, 3)]
    typed = [name for name in names if name in form.texts]
    tried += [dict.fromkeys(typed, value) for value in dice.sample(HOSTILE, 2)] if typed else []
    tried += [{dice.choice(names): value} for value in dice.sample(HOSTILE, 6)]
    return [*tried, {dice.choice(names): LONG}]


SHOWING = ("/structures/{pk}/", "/structures/", "/", "/map/structures.geojson", "/structures/export.xlsx", "/due/")


def fault_of(client, page: str, form: Form, changed: dict[str, str], pk: int) -> str | None:
    """What broke, in words; nothing stays in the register."""
    try:
        with transaction.atomic():
            answer = client.post(form.action, sent(form, changed))
            said = _judged(client, answer, page, form, changed, pk)
            transaction.set_rollback(True)
            return said
    except Exception as problem:  # any exception that reaches here would have been a broken page
        return f"{type(problem).__name__}: {problem}"[:300]


def _judged(client, answer, page, form, changed, pk) -> str | None:
    if answer.status_code >= 500:
        return f"answered {answer.status_code}"
    if answer.status_code == 302:
        for address in (answer.url, page, *(each.format(pk=pk) for each in SHOWING)):
            seen = client.get(address)
            if seen.status_code >= 500:
                return f"accepted, and then {address} answered {seen.status_code}"
        return None
    if answer.status_code in (400, 403, 404, 413):
        return None
    return _lost(answer, form, changed)


def _lost(answer, form: Form, changed: dict[str, str]) -> str | None:
    """A typed text that the refused page no longer shows."""
    forms = forms_of(answer, form.action)
    for name in set(changed) & form.texts:
        typed = _seen(changed[name])
        shown = [value for each in forms for value in each.values.get(name, ())]
        if typed and typed not in map(_seen, shown):
            return f"{name}: typed {changed[name][:40]!r}, the page shows {str(shown)[:80]}"
    return None


def _seen(text: str) -> str:
    """As a browser shows it: blanks at the ends, line ends and NUL apart."""
    return text.replace("\r\n", "\n").replace("\x00", "\ufffd").strip()


def test_no_form_breaks(filled):
    county, numbers = filled
    dice, faults = random.Random(SEED), []
    clients = {role: county.client(role) for role in PAGES}
    for role, page, form in found_forms(filled):
        for changed in trials(form, dice):
            pk = numbers["deck"] if f"/{numbers['deck']}/" in form.action else numbers["bridge"]
            if fault := fault_of(clients[role], page, form, changed, pk):
                told = {name: value[:30] for name, value in list(changed.items())[:3]}
                faults.append(f"{role} {form.action} {told}: {fault}")
    assert not faults, f"{len(faults)} faults\n" + "\n".join(faults)
