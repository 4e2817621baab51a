"""CSV and XLSX. A cell that a spreadsheet could run as a formula stays text."""

import io
from collections.abc import Iterable

from defusedcsv import csv
from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from maps.exports.columns import COLUMNS, NAMES

# Signs that begin a formula in some spreadsheet, in their full-width forms, which defusedcsv leaves alone [memory:
# OWASP, "CSV injection"]. Tabs and line ends at the start, also named there, are gone before (`clean_text`).
_WIDE_SIGNS = ("＝", "＋", "－", "＠")


def csv_bytes(rows: Iterable[tuple]) -> bytes:
    """UTF-8 with a byte order mark, so that office programs read accents; lines end in CRLF (RFC 4180)."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(NAMES)
    for _, *values in rows:
        writer.writerow([_csv_value(value) for value in values])
    return text.getvalue().encode("utf-8-sig")


def _csv_value(value: object) -> object:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) and value.startswith(_WIDE_SIGNS):
        return f"'{value}"
    return value


def xlsx_bytes(rows: Iterable[tuple]) -> bytes:
    """One sheet with typed cells: dates are dates, text is text even where it begins with a formula's sign."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet("structures")
    sheet.freeze_panes = "C2"
    for index, column in enumerate(COLUMNS, start=1):
        width = max(len(column.name) + 2, 26 if column.kind == "text" else 12)
        sheet.column_dimensions[get_column_letter(index)].width = width
    sheet.append([_heading(sheet, name) for name in NAMES])
    for _, *values in rows:
        sheet.append([_xlsx_value(sheet, value) for value in values])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _heading(sheet, name: str) -> WriteOnlyCell:
    cell = WriteOnlyCell(sheet, name)
    cell.font = Font(bold=True)
    return cell


def _xlsx_value(sheet, value: object) -> object:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, str) or not value.startswith(("=", "+", "-", "@", *_WIDE_SIGNS)):
        return value
    cell = WriteOnlyCell(sheet, value)
    # Otherwise a leading "=" makes it a formula; the quote prefix keeps it text when someone edits the cell.
    cell.data_type = "s"
    cell.quotePrefix = True
    return cell
