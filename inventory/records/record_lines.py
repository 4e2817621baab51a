"""Lines and fields of the comma form, read one at a time so that memory does not grow with the file.

The yearly files wrap three text fields in apostrophes and do not double an apostrophe inside them, so a strict reader
of quoted text merges lines; here the count of values decides, and a line that does not fit is refused, never guessed.
Copies saved by a spreadsheet wrap in double quotes and keep the apostrophes inside.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TextIO

MAX_LINE = 65_536


@dataclass(frozen=True)
class Line:
    """A physical line. `is_cut` marks the last line of a file that ends without a line end."""

    number: int
    text: str
    is_cut: bool = False
    is_too_long: bool = False


def lines_of(stream: TextIO, encoding: str) -> Iterator[Line]:
    """Yield lines with their numbers, the header being 1; blank lines are passed over but counted."""
    number = 0
    while True:
        text = stream.readline(MAX_LINE)
        if not text:
            return
        number += 1
        too_long = False
        while not text.endswith("\n") and len(text) >= MAX_LINE:
            too_long = True
            text = stream.readline(MAX_LINE)
            if not text or text.endswith("\n"):
                break
        if too_long:
            yield Line(number, "", is_too_long=True)
            continue
        is_cut = not text.endswith("\n")
        text = text.rstrip("\r\n")
        if encoding == "latin-1" and not text.isascii():
            text = decode_bytes(text.encode("latin-1"))
        if text.strip():
            yield Line(number, text, is_cut)


def decode_bytes(raw: bytes) -> str:
    """One line's text: UTF-8 where it is that, else the western code page, else byte by byte."""
    for encoding in ("utf-8", "cp1252"):
        try:
            return raw.decode(encoding)
        except UnicodeDecodeError:
            continue
    return raw.decode("latin-1")


def split_line(text: str, separator: str, count: int) -> list[str]:
    """The values of one line. `count` is the number of columns; the caller compares it with what came out."""
    cells = text.split(separator)
    if '"' in text and (len(cells) != count or any(cell.startswith('"') for cell in cells)):
        try:
            cells = next(csv.reader([text], delimiter=separator), [])
        except csv.Error:
            return cells
    return cells
