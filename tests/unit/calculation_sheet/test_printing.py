"""The printed sheet: PDF/A, the same bytes twice, fonts inside, the sentence on every page, hostile names as text.

PDF/A-2b: ISO 19005-2 (memory): fonts embedded, an identification in the metadata; read back with pypdf.
"""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest
from pypdf import PdfReader

from inspections.letters.calculation import calculation_sheet_pdf, sheet_content
from inspections.letters.calculation.printing import printable
from inspections.letters.calculation.sheet import SAFETY
from inventory.mechanics.trace import MARKS

from .sheets import as_stored_before, damaged_span, sheet_of, worked_example

LETTER_PT = (612.0, 792.0)


@pytest.fixture(scope="module")
def sheet():
    return sheet_of(damaged_span())


@pytest.fixture(scope="module")
def pdf(sheet):
    return calculation_sheet_pdf(sheet)


def reader(data: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(data))


def plain(text: str) -> str:
    return re.sub(r"[\s\u200b]+", " ", text)


def test_the_same_rating_prints_the_same_bytes(sheet, pdf):
    """Law: nothing but the rating enters, no clock and no machine."""
    assert calculation_sheet_pdf(replace(sheet)) == pdf


def test_another_rating_prints_other_bytes(sheet, pdf):
    assert calculation_sheet_pdf(replace(sheet, rating_number="43")) != pdf


def test_it_says_that_it_is_pdf_a(pdf):
    xmp = reader(pdf).xmp_metadata.stream.get_data().decode()
    assert re.search(r"pdfaid:part>\s*2", xmp) and re.search(r"pdfaid:conformance>\s*B", xmp)


def test_every_font_is_inside(pdf):
    fonts = {}
    for page in reader(pdf).pages:
        for font in page["/Resources"].get("/Font", {}).values():
            for inner in font.get_object().get("/DescendantFonts", [font]):
                fonts[inner.get_object()["/BaseFont"]] = inner.get_object()["/FontDescriptor"].get_object()
    assert fonts
    assert all({"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor) for descriptor in fonts.values())


def test_the_sentence_and_the_number_stand_on_every_page(pdf):
    pages = [plain(page.extract_text()) for page in reader(pdf).pages]
    assert len(pages) >= 4
    for number, text in enumerate(pages, 1):
        assert SAFETY in text
        assert f"page {number} of {len(pages)}" in text and "Q-17" in text


def test_a_plain_span_fills_four_to_eight_letter_pages():
    pages = reader(calculation_sheet_pdf(sheet_of(worked_example()))).pages
    assert 4 <= len(pages) <= 8
    assert all((float(page.mediabox.width), float(page.mediabox.height)) == LETTER_PT for page in pages)


def test_every_step_has_its_clause_and_mark(sheet):
    steps = [step for part in sheet_content(sheet)["governing"] for group in part["groups"] for step in group["steps"]]
    assert len(steps) > 50
    for step in steps:
        source = "".join(words for words, _kind in step["source"])
        clause, _comma, mark = source.rpartition(", ")
        assert clause.strip() and mark in MARKS, source


def test_what_an_engineer_looks_for_is_printed(sheet, pdf):
    """Title block, inputs with sources, the seal, settings, references; every member and vehicle of the results."""
    text = plain(" ".join(page.extract_text() for page in reader(pdf).pages))
    for words in (
        "Mill Road over Otter Creek",
        "Place for the seal",
        "Licence, State and number",
        "NDS Supplement 2018 Table 4D, edition 2018",
        "not recorded",
        "Manual for Bridge Evaluation",
        "posting level 0.5",
        sheet.digest,
        sheet.kernel_version,
    ):
        assert words in text, words
    for row in sheet.results["spans"][0]["results"]:
        assert row["vehicle"] in text and row["member"] in text


def test_words_stand_inside_the_page():
    """Law: no run of text begins outside the paper, whatever its length; long words are broken, not run off."""
    data = calculation_sheet_pdf(sheet_of(worked_example(), title="W" * 600, route="W" * 200, vehicles=("TYPE3",)))
    starts: list[tuple[str, float, float]] = []

    def keep(text, cm, tm, _font, _size):
        starts.append((text.strip(), tm[4] * cm[0] + cm[4], abs(tm[0] * cm[0]) or 1.0))

    for page in reader(data).pages:
        page.extract_text(visitor_text=keep)
    assert len(starts) > 100
    for text, x, _scale in starts:
        if text:
            assert 0 <= x <= LETTER_PT[0]
            assert max(len(word) for word in text.replace("\u200b", " ").split()) <= 64


HOSTILE = {
    "markup": '#panic("x") *b* _i_ $x^2$ `c` #read("/etc/passwd") <label> @ref // \\ ] [ #sys.inputs',
    "long": "W" * 600,
    "accents": "Łódź Ærøskøbing Žďár Ünïcödé Ωμέγα Жук",
    "quotes": "\"quoted\" & <b>bold</b> 'single' {{ braces }} %} </svg><script>",
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_is_printed_as_text(name):
    """Law: what was entered is read back letter for letter; nothing of it is carried out."""
    words = HOSTILE[name]
    span = worked_example()
    span = replace(span, members=(replace(span.members[0], label=words[:80]),))
    data = calculation_sheet_pdf(sheet_of(span, title=words, number=words[:20], agency=words, vehicles=("TYPE3",)))
    text = re.sub(r"[\s\u200b]+", "", " ".join(page.extract_text() for page in reader(data).pages))
    assert re.sub(r"\s+", "", words) in text


@pytest.mark.parametrize(
    "words", ["bridge 🌉 橋", "a\x00b\x07", "half \ud83d pair", "right to left \u202e", "line\nbreak"]
)
def test_signs_that_no_font_has_are_marked_and_do_not_stop_the_print(words):
    data = calculation_sheet_pdf(sheet_of(worked_example(), title=words, vehicles=("TYPE3",)))
    text = plain(reader(data).pages[0].extract_text())
    assert plain(printable(words)) in text
    assert ("\ufffd" in text) == ("\n" not in words)


def test_what_cannot_be_rated_prints_what_is_missing():
    """A span without a rule for it: the reasons stand where the factors would."""
    span = replace(worked_example(), simply_supported=False)
    sheet = sheet_of(span)
    assert not sheet.is_rated
    text = plain(" ".join(page.extract_text() for page in reader(calculation_sheet_pdf(sheet)).pages))
    assert "Not rated" in text and all(plain(reason) in text for reason in sheet.reasons)


def test_an_older_rating_without_its_governing_cases_still_prints():
    """Ratings never change, so those stored before carry no positions: the sheet says so and shows their trace."""
    sheet = sheet_of(worked_example(), vehicles=("TYPE3",))
    pdf = calculation_sheet_pdf(replace(sheet, results=as_stored_before(sheet.results)))
    text = plain(" ".join(page.extract_text() for page in reader(pdf).pages))
    assert "before axle positions were kept" in text and "1,503.66" in text
