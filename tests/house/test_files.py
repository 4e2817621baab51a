"""What may stand in a file of this house. The limits are the house's own rules (DEVELOPERS.md), not a standard."""

import ast
import re

import pytest

from tests.house.tree import APPS, ROOT, files, name, text_files

# A page of one screen's thought; tables of published values and tests may be longer.
# "About 300" is the rule, 350 the wall; and few may stand between the two.
LINES = 300
WALL = 350
MOST_BETWEEN = 12
MOST_LINES_ANYWHERE = 600

SCRIPT = re.compile(r"<script(?![^>]*\bsrc=)(?![^>]*type=\"application/json\")[^>]*>\s*\S", re.I)
STYLE = re.compile(r"<style\b|\sstyle\s*=\s*[\"']", re.I)
HANDLER = re.compile(r"<[^>]*\son[a-z]+\s*=\s*[\"']", re.I)


def lengths() -> dict[str, int]:
    return {
        name(path): len(path.read_text(encoding="utf-8").splitlines())
        for path in files(".py")
        if "/migrations/" not in name(path)
    }


def may_be_long(file: str) -> bool:
    return file.startswith("tests/") or "/tables/" in file


def test_no_source_file_outgrows_its_subject():
    walls = {file: MOST_LINES_ANYWHERE if may_be_long(file) else WALL for file in lengths()}
    too_long = [
        f"{file}: {count} lines, limit {walls[file]}" for file, count in lengths().items() if count > walls[file]
    ]
    assert not too_long, "\n".join(too_long)


def test_few_source_files_are_longer_than_about_a_screenful_of_thought():
    between = [file for file, count in lengths().items() if count > LINES and not may_be_long(file)]
    assert len(between) <= MOST_BETWEEN, between


@pytest.mark.parametrize("path", files(".html"), ids=name)
def test_no_template_carries_script_style_or_handlers_inline(path):
    """The content security policy would refuse them (style-src and script-src 'self')."""
    text = path.read_text(encoding="utf-8")
    for pattern in (SCRIPT, STYLE, HANDLER):
        found = pattern.search(text)
        assert not found, f"{name(path)}: {found.group(0).strip()[:80]!r}"


@pytest.mark.parametrize(
    "fragment",
    ["<script>go()</script>", '<p style="color: red">', "<b onclick='go()'>", "<style>"],
)
def test_the_patterns_see_what_they_forbid(fragment):
    assert any(pattern.search(fragment) for pattern in (SCRIPT, STYLE, HANDLER))


def test_the_patterns_let_a_file_and_data_pass():
    for fragment in ('<script src="/static/a.js" defer></script>', '<script type="application/json">{"a": 1}</script>'):
        assert not SCRIPT.search(fragment)


# Written in pieces so that this file does not forbid itself.
FORBIDDEN = [
    "/wo" + "rk/main",
    "/wo" + "rk/shared",
    "/ro" + "ot/",
    "/tmp/br" + "ief",
    "pypi" + ".org",
    "npmjs" + ".",
    "pythonhosted" + ".org",
    "deb." + "debian.org",
    "cdn" + "js",
    "unp" + "kg",
    "jsdel" + "ivr",
]
ADDRESS = re.compile(r"https?://([A-Za-z0-9.-]+)")
ADDRESSES_ALLOWED = re.compile(
    r"^(localhost|127\.0\.0\.1|0\.0\.0\.0|host|testserver|(.*\.)?example(\.\w+)?|.*\.(test|invalid)"
    r"|www\.w3\.org|www\.opengis\.net|(www\.)?json-schema\.org|schemas?\..*|geojson\.org|(.*\.)?gov)\.?$"
)


def test_no_forbidden_host_or_path_of_a_machine():
    found = []
    for path in text_files():
        text = path.read_text(encoding="utf-8", errors="replace")
        found += [f"{name(path)}: {word}" for word in FORBIDDEN if word in text]
    assert not found, "\n".join(found)


def test_no_page_or_style_fetches_from_elsewhere():
    """The site works with no internet: only names of formats and loopback addresses may look like addresses."""
    found = []
    for path in files(".html", ".css", ".js"):
        for host in ADDRESS.findall(path.read_text(encoding="utf-8", errors="replace")):
            if not ADDRESSES_ALLOWED.match(host):
                found.append(f"{name(path)}: {host}")
    assert not found, "\n".join(found)


def test_nothing_is_vendored():
    assert not [name(path) for path in files() if path.name.endswith((".min.js", ".min.css", ".whl", ".tar.gz"))]


def test_every_module_that_decides_or_writes_says_what_it_is_for():
    silent = []
    for app in APPS:
        for floor in ("actions", "rules", "reckoning", "assembly"):
            for path in files(".py", under=f"{app}/{floor}") if (ROOT / app / floor).is_dir() else []:
                tree = ast.parse(path.read_text(encoding="utf-8"))
                if tree.body and not ast.get_docstring(tree):
                    silent.append(name(path))
    assert not silent, "modules without a first sentence: " + ", ".join(silent)
