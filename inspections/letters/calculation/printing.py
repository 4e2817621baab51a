"""The sheet as PDF: the content passed as data to a template that holds no words of any record.

Only the fonts inside the compiler are used and the date is that of the rating, so the same rating gives the same bytes
on every machine. PDF/A-2b, for the file it is kept in.
"""

import json
from functools import cache
from pathlib import Path

import typst

from .content import sheet_content
from .sheet import SheetData

HERE = Path(__file__).parent
TEMPLATE = HERE / "calculation.typ"
DRAWING_FONT = "Libertinus Serif"


@cache
def _compiler() -> typst.Compiler:
    return typst.Compiler(root=str(HERE), ignore_system_fonts=True)


def calculation_sheet_pdf(sheet: SheetData) -> bytes:
    """The PDF of a calculation sheet. Text of the record reaches the template as data only, never as markup."""
    content = sheet_content(sheet)
    for part in content["governing"]:
        for figure in part["figures"]:
            figure["svg"] = figure["svg"].replace("<svg ", f'<svg font-family="{DRAWING_FONT}" ', 1)
    data = json.dumps(content, ensure_ascii=True, allow_nan=False)
    return _compiler().compile(str(TEMPLATE), sys_inputs={"data": data}, format="pdf", pdf_standards=["a-2b"])
