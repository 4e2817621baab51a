"""The sheet as PDF for the crew: content as data to a template that holds no words of any record.

Only the fonts inside the compiler are used. PDF/A-2b, for the file it is kept in.
"""

import json
from functools import cache
from pathlib import Path

import typst

from inspections.letters.calculation.printing import printable

HERE = Path(__file__).parent
TEMPLATE = HERE / "sheet.typ"


@cache
def _compiler() -> typst.Compiler:
    return typst.Compiler(root=str(HERE), ignore_system_fonts=True)


def stressing_sheet_pdf(content: dict) -> bytes:
    """The PDF of a sheet (``sheet_content``); the same content gives the same bytes."""
    data = json.dumps(printable(content), ensure_ascii=True, allow_nan=False)
    return _compiler().compile(str(TEMPLATE), sys_inputs={"data": data}, format="pdf", pdf_standards=["a-2b"])


def file_name(number: str, pk: int) -> str:
    """ASCII letters, digits and dashes of the structure's number, and the sheet's."""
    words = "".join(c if c.isascii() and c.isalnum() else "-" for c in number)
    kept = "-".join(part for part in words.split("-") if part)[:60]
    return f"stressing-sheet-{kept}-{pk}.pdf" if kept else f"stressing-sheet-{pk}.pdf"
