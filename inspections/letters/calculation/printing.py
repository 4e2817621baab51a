"""The sheet as PDF: the content passed as data to a template that holds no words of any record.

Only the fonts inside the compiler are used and the date is that of the rating, so the same rating gives the same bytes
on every machine. PDF/A-2b, for the file it is kept in.
"""

import json
import re
import unicodedata
from functools import cache
from pathlib import Path

import typst

from .content import sheet_content
from .sheet import SheetData

HERE = Path(__file__).parent
TEMPLATE = HERE / "calculation.typ"
DRAWING_FONT = "Libertinus Serif"


# Characters the fonts inside the compiler carry (its wheel was asked, one by one): Latin, Greek, Cyrillic, signs.
NOT_IN_FONTS = re.compile(
    "[^ -~\u00a0-\u024f\u0391-\u03a1\u03a3-\u03ff\u0400-\u045f\u1e00-\u1eff\u200b\u2010-\u2027\u2030-\u2040\u2070\u2071"
    "\u2074-\u208e\u20a0-\u20bf\u2190-\u22ff\u25a0-\u25ff\ufffd]"
)


def printable(value):
    """Text that can be printed: composed letters, line ends as spaces, what no font carries as a plain sign for it."""
    if isinstance(value, str):
        composed = unicodedata.normalize("NFC", re.sub(r"[\r\n\t]+", " ", value))
        return NOT_IN_FONTS.sub("\ufffd", composed)
    if isinstance(value, dict):
        return {key: printable(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [printable(item) for item in value]
    return value


@cache
def _compiler() -> typst.Compiler:
    return typst.Compiler(root=str(HERE), ignore_system_fonts=True)


def calculation_sheet_pdf(sheet: SheetData) -> bytes:
    """The PDF of a calculation sheet. Text of the record reaches the template as data only, never as markup."""
    content = printable(sheet_content(sheet))
    for part in content["governing"]:
        for figure in part["figures"]:
            figure["svg"] = figure["svg"].replace("<svg ", f'<svg font-family="{DRAWING_FONT}" ', 1)
    data = json.dumps(content, ensure_ascii=True, allow_nan=False)
    return _compiler().compile(str(TEMPLATE), sys_inputs={"data": data}, format="pdf", pdf_standards=["a-2b"])
