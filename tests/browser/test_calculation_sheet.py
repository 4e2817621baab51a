"""The calculation sheet in a browser: on a phone, under the accessibility rules, on paper and as its PDF.

Laws: nothing is wider than the screen; every printed page carries the safety sentence (the browser's own print).
"""

import io
import re

import pytest
from pypdf import PdfReader

pytestmark = pytest.mark.browser

SENTENCE = "An aid to a licensed professional engineer, never an order."


def rating_address(watched) -> str:
    """The calculation sheet of the first structure that has one; the worker may still be at it."""
    watched.go("/structures/")
    links = watched.page.eval_on_selector_all("main a", "links => links.map(link => link.getAttribute('href'))")
    structures = list(dict.fromkeys(link for link in links if re.fullmatch(r"/structures/\d+/", link or "")))
    for _round in range(12):
        for address in structures[:5]:
            watched.go(address)
            link = watched.page.locator("a[href^='/ratings/']")
            if link.count():
                return link.first.get_attribute("href")
        watched.page.wait_for_timeout(5000)
    raise AssertionError("no structure was rated within a minute")


@pytest.mark.parametrize("width", [390, 1280])
def test_sheet_fits_the_screen_and_breaks_no_rule(window, width):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    watched = window("engineer", width=width)
    watched.go(rating_address(watched))
    watched.page.wait_for_load_state("networkidle")
    assert watched.page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 1
    broken = [
        (rule["id"], rule["nodes"][0]["html"][:160])
        for rule in axe.Axe().run(watched.page).response["violations"]
        if rule["impact"] in ("serious", "critical")
    ]
    assert broken == []


def test_sheet_prints_with_its_sentence_on_every_page(window):
    watched = window("engineer", width=1280)
    watched.go(rating_address(watched))
    watched.page.wait_for_load_state("networkidle")
    pages = PdfReader(io.BytesIO(watched.page.pdf(prefer_css_page_size=True))).pages
    texts = [re.sub(r"\s+", " ", page.extract_text()) for page in pages]
    assert 3 <= len(texts) <= 16
    assert [number for number, text in enumerate(texts, 1) if SENTENCE not in text] == []
    assert "Place for the seal" in texts[-1] and "Every step, as it was recorded" not in " ".join(texts)


def test_sheet_leads_to_its_pdf(window):
    watched = window("engineer", width=1280)
    watched.go(rating_address(watched))
    address = watched.page.get_by_role("link", name="Calculation sheet as PDF").get_attribute("href")
    answer = watched.page.request.get(watched.page.url.split("/ratings/")[0] + address)
    assert answer.status == 200 and answer.headers["content-type"] == "application/pdf"
    text = re.sub(r"\s+", " ", PdfReader(io.BytesIO(answer.body())).pages[0].extract_text())
    assert "Load rating calculation" in text and SENTENCE in text
