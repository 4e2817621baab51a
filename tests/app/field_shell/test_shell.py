"""The app for the field as the site serves it: one page for everybody, a worker that knows every file, a manifest."""

import json
import re
from pathlib import Path, PurePosixPath

import pytest
from django.contrib.staticfiles import finders

from inspections.pages import field_shell
from inventory.views.middleware import POLICY

FIELD = Path(finders.find("inspections/field"))
IMPORTED = re.compile(r"""(?:from|import)\s*\(?\s*["'](\.[^"']+)["']""")
MADE_OF_A_FILE = re.compile(r"""new URL\(["'](\.[^"']+)["'],\s*import\.meta\.url""")


def test_the_shell_holds_nothing_of_whoever_asks(county):
    """It is kept on the device and opened without a sign-in, by anybody who holds the device."""
    pages = [county.client(role).get("/field/").content for role in ("inspector", "crew", "engineer")]
    assert pages[0] == pages[1] == pages[2]
    text = pages[0].decode()
    assert "csrf" not in text.lower()
    for person in county.people.values():
        assert person.username not in text
    assert county.agency.name not in text


@pytest.mark.parametrize("role", ["reviewer", "administrator"])
def test_who_may_neither_inspect_nor_report_has_no_app(county, role):
    for address in ("/field/", "/field/manifest.webmanifest"):
        assert county.client(role).get(address).status_code == 403


def test_the_door_stands_in_the_navigation_of_those_who_may(county):
    assert b'href="/field/"' in county.client("crew").get("/structures/").content
    assert b'href="/field/"' not in county.client("reviewer").get("/structures/").content


def test_a_stranger_comes_back_to_the_field_after_signing_in(county, client):
    sent = client.get("/field/")
    assert (sent.status_code, sent.url) == (302, "/sign-in/?next=/field/")
    wrong = client.post(sent.url, {"username": "inspector-001", "password": "no", "next": "/field/"})
    assert b'name="next" value="/field/"' in wrong.content, "a mistyped password forgot where the person was going"
    right = client.post(sent.url, {"username": "inspector-001", "password": "a long pass phrase", "next": "/field/"})
    assert (right.status_code, right.url) == (302, "/field/")


@pytest.mark.parametrize("kind", ["", "?sends"])
def test_the_worker_keeps_every_file_of_the_app_and_each_is_there(client, db, kind):
    """Asked without a sign-in, as a browser asks for a worker that is a module."""
    answer = client.get(f"/field-worker.js{kind}")
    assert (b'import { sendAll, sendingState } from "/static/inspections/field/sender.js"' in answer.content) == bool(
        kind
    )
    assert answer.headers["Content-Type"].startswith("text/javascript")
    assert answer.headers["Service-Worker-Allowed"] == "/field/"
    assert "no-cache" in answer.headers["Cache-Control"]
    listed = json.loads(re.search(r"const FILES = (\[.*?\]);", answer.content.decode()).group(1).replace(", ]", "]"))
    listed = [each.encode().decode("unicode_escape") for each in listed]
    on_disk = {path.relative_to(FIELD).as_posix() for path in FIELD.rglob("*") if path.is_file()}
    prefix = "/static/inspections/field/"
    assert {each.removeprefix(prefix) for each in listed if each.startswith(prefix)} == on_disk
    assert set(each for each in listed if not each.startswith(prefix)) == {"/field/", "/static/inventory/mark.svg"}


def test_no_module_asks_for_a_file_that_the_worker_does_not_keep():
    """A file outside the list would be missing where there is no signal."""
    kept = set(field_shell.shell_file_names())
    missing = []
    for path in FIELD.rglob("*.js"):
        text = path.read_text(encoding="utf-8")
        for asked in IMPORTED.findall(text) + MADE_OF_A_FILE.findall(text):
            target = (path.parent / asked).resolve()
            name = PurePosixPath("inspections/field") / target.relative_to(FIELD).as_posix()
            if str(name) not in kept:
                missing.append(f"{path.name} asks for {asked}")
    assert not missing, missing


def test_one_changed_byte_of_one_file_makes_another_worker(monkeypatch, tmp_path):
    held = {"a.js": tmp_path / "a.js", "b.css": tmp_path / "b.css"}
    for path in held.values():
        path.write_text("x")
    monkeypatch.setattr(field_shell, "shell_file_names", lambda: list(held))
    monkeypatch.setattr(field_shell.finders, "find", held.get)
    before = field_shell._version()
    assert before == field_shell._version()
    held["b.css"].write_text("y")
    changed = field_shell._version()
    # The same bytes under other names are another app too.
    held["c.css"] = held.pop("b.css")
    assert len({before, changed, field_shell._version()}) == 3


def test_page_and_worker_carry_one_version(county):
    client = county.client("inspector")
    page = re.search(rb'data-version="([0-9a-f]{16})"', client.get("/field/").content).group(1)
    assert f'const VERSION = "{page.decode()}"'.encode() in client.get("/field-worker.js").content


def test_the_manifest_is_one(county):
    """Members and values of the W3C's Web Application Manifest: display modes, scope around the start, an icon."""
    answer = county.client("inspector").get("/field/manifest.webmanifest")
    assert answer.headers["Content-Type"] == "application/manifest+json"
    manifest = answer.json()
    assert manifest["name"] and manifest["short_name"]
    assert manifest["display"] in {"fullscreen", "standalone", "minimal-ui", "browser"}
    assert manifest["start_url"].startswith(manifest["scope"]) and manifest["scope"] == "/field/"
    for icon in manifest["icons"]:
        assert finders.find(icon["src"].removeprefix("/static/")), icon
        assert icon["type"] == "image/svg+xml" and icon["sizes"] == "any"
    assert {icon["purpose"] for icon in manifest["icons"]} == {"any", "maskable"}


def test_the_policy_lets_worker_manifest_and_unsent_photographs_through_and_nothing_from_elsewhere():
    rules = dict(each.strip().split(" ", 1) for each in POLICY.split(";"))
    assert rules["worker-src"] == rules["manifest-src"] == rules["script-src"] == rules["connect-src"] == "'self'"
    assert set(rules["img-src"].split()) == {"'self'", "data:", "blob:"}
    assert "unsafe" not in POLICY and "http" not in POLICY


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour, WCAG 2.2."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_the_luminance_here_is_that_of_the_guidelines():
    """Black on white is 21:1 (WCAG 2.2, definition of contrast ratio)."""
    assert (luminance("#ffffff") + 0.05) / (luminance("#000000") + 0.05) == pytest.approx(21)


@pytest.mark.parametrize("name", ["ink", "soft", "blue", "vermilion"])
def test_what_is_written_can_be_read_in_sunlight(name):
    """7:1 or more on the paper, the enhanced contrast of WCAG 2.2 (1.4.6); buttons are the same pair turned round."""
    styles = (FIELD / "field.css").read_text(encoding="utf-8")
    colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", styles))
    assert colours["paper"] == colours["sheet"] == "#ffffff"
    assert (1 + 0.05) / (luminance(colours[name]) + 0.05) >= 7
