"""The setting of a span in a browser: the whole list on one sheet of paper, and a page that fits a phone."""

import re
from io import BytesIO

import pytest
from pypdf import PdfReader

pytestmark = pytest.mark.browser


def record_of(watched) -> str:
    """The demonstration's one setting record: its structure is the newest of T-beams."""
    watched.go("/structures/?system=stress_laminated_t")
    found = watched.page.eval_on_selector_all("main a", "links => links.map(link => link.getAttribute('href'))")
    for address in sorted({link for link in found if re.fullmatch(r"/structures/\d+/", link or "")}):
        watched.go(f"{address}setting/")
        records = watched.page.eval_on_selector_all("main a", "links => links.map(link => link.getAttribute('href'))")
        for record in records:
            if re.fullmatch(r"/structures/\d+/setting/\d+/", record or ""):
                return record
    pytest.fail("no setting record stands in the demonstration county")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sheet_is_one_page(window, paper):
    """Fifteen beams and seventeen steps; the cautions come first."""
    watched = window("crew")
    watched.go(record_of(watched) + "sheet/")
    pages = PdfReader(BytesIO(watched.page.pdf(format=paper))).pages
    assert len(pages) == 1
    text = re.sub(r"\s+", " ", pages[0].extract_text())
    assert text.index("Nobody under a lifted beam") < text.index("T-15") < text.index("HOLD: Opened to")


def test_record_and_rows_fit_a_phone_and_break_no_accessibility_rule(window):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    watched = window("supervisor", width=390)
    record = record_of(watched)
    for address in (record, record + "beams/", record + "steps/3/", record + "sheet/"):
        watched.go(address)
        assert watched.page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 1, address
        result = axe.Axe().run(watched.page)
        assert [v["id"] for v in result.response["violations"] if v["impact"] in ("serious", "critical")] == [], address
