"""The report as PDF: content as data to a template that holds no words of any record; photographs as files beside it.

Only the fonts inside the compiler are used and the date is that of the inspection, so the same rows give the same
bytes. PDF/A-2b, for the file it is kept in.
"""

import json
import shutil
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import typst

from inspections.letters.calculation.printing import DRAWING_FONT, printable
from inventory.models import Document

from .photos import printed_photo

TEMPLATE = Path(__file__).parent / "report.typ"


@cache
def _compiler() -> typst.Compiler:
    return typst.Compiler(root=str(TEMPLATE.parent), ignore_system_fonts=True)


def inspection_report_pdf(content: dict) -> bytes:
    """The PDF of ``report_content``. A photograph whose file is gone is named in its place, never left out."""
    content = printable(content)
    for figure in _figures(content):
        figure["svg"] = figure["svg"].replace("<svg ", f'<svg font-family="{DRAWING_FONT}" ', 1)
    with TemporaryDirectory(prefix="report-") as folder:
        _write_photos(content["photos"], Path(folder))
        source = shutil.copy(TEMPLATE, folder)
        data = json.dumps(content, ensure_ascii=True, allow_nan=False)
        return _compiler().compile(
            str(source), root=folder, sys_inputs={"data": data}, format="pdf", pdf_standards=["a-2b"]
        )


def _figures(content: dict) -> list[dict]:
    bars = content["bars"]["figures_of"] if content["bars"] else []
    return [*content["drawings"]["figures"], *bars, *content["channel"]]


def _write_photos(photos: list[dict], folder: Path) -> None:
    """Sized copies, one at a time, so that forty of them never stand in memory together."""
    documents = Document.objects.in_bulk([photo["document"] for photo in photos])
    for photo in photos:
        document = documents.get(photo["document"])
        made = printed_photo(document) if document else None
        photo["file"] = ""
        if made is not None:
            photo["file"] = f"photo-{photo['number']}.jpg"
            (folder / photo["file"]).write_bytes(made)


def file_name(number: str, pk: int) -> str:
    """ASCII letters, digits and dashes of the structure's number, and the inspection's."""
    words = "".join(c if c.isascii() and c.isalnum() else "-" for c in number)
    kept = "-".join(part for part in words.split("-") if part)[:60]
    return f"inspection-{kept}-{pk}.pdf" if kept else f"inspection-{pk}.pdf"
