"""What a received file is: the comma form of the federal record, or a sentence that says what else it looks like.

Only the first bytes are looked at. The marks of other files are the magic numbers their formats publish: PK for zip
containers (workbooks), D0 CF 11 E0 for older workbooks, %PDF, 1F 8B for gzip, and the like [memory].
"""

import codecs
from dataclasses import dataclass
from pathlib import Path

HEAD_BYTES = 65_536
DEFAULT_MAX_BYTES = 100_000_000
# A fixed record has 432 characters in the guide (Appendix E, p. E-1, checked) and 445 with the later federal tail.
FIXED_LENGTHS = range(425, 451)

_MAGIC = (
    (b"PK\x03\x04", "a workbook or zip archive; open it and save the sheet as comma-separated text (CSV)"),
    (b"\xd0\xcf\x11\xe0", "an old workbook; open it and save the sheet as comma-separated text (CSV)"),
    (b"%PDF", "a PDF document, not a data file"),
    (b"\x1f\x8b", "a gzip archive; unpack it first"),
    (b"7z\xbc\xaf", "a 7-zip archive; unpack it first"),
    (b"\x89PNG", "a PNG picture, not a data file"),
    (b"\xff\xd8\xff", "a JPEG picture, not a data file"),
    (b"GIF8", "a GIF picture, not a data file"),
    (b"SQLite format 3", "a database, not a text file"),
    (b"\x7fELF", "a program, not a text file"),
    (b"MZ", "a program, not a text file"),
)


class NotARecordFile(ValueError):
    """The file as a whole cannot be read; the message is a sentence for the person who sent it."""


@dataclass(frozen=True)
class Source:
    """An openable record file: its path, size in bytes and text encoding."""

    path: Path
    size: int
    encoding: str


def inspect_source(path: Path, *, max_bytes: int = DEFAULT_MAX_BYTES) -> Source:
    """Look at size and first bytes; raise NotARecordFile with a sentence where this can be no record file."""
    try:
        size = path.stat().st_size
        with path.open("rb") as stream:
            head = stream.read(HEAD_BYTES)
    except OSError as error:
        raise NotARecordFile(f"The file {path.name} cannot be opened: {error.strerror or error}.")
    check_size(size, max_bytes)
    if not head.strip():
        raise NotARecordFile("The file is empty.")
    for magic, words in _MAGIC:
        if head.startswith(magic):
            raise NotARecordFile(f"This is not a federal record file: it is {words}.")
    encoding = _encoding_of(head)
    text = head.decode(encoding, errors="replace")
    _refuse_other_text(text.lstrip("\ufeff").lstrip(), text)
    if encoding == "latin-1" and _is_binary(head):
        raise NotARecordFile("This is not a federal record file: it holds binary data, not text.")
    return Source(path, size, encoding)


def _is_binary(head: bytes) -> bool:
    """A zero byte in the first line, or many control bytes; a single one further down is a damaged line."""
    controls = sum(byte < 32 and byte not in b"\t\r\n\f" for byte in head)
    return b"\x00" in head.split(b"\n", 1)[0] or controls > len(head) // 50


def check_size(size: int, max_bytes: int) -> None:
    """Refuse what is too large before any of it is read."""
    if size > max_bytes:
        raise NotARecordFile(
            f"The file has {size / 1e6:.0f} MB and the limit is {max_bytes / 1e6:.0f} MB; "
            "send the file of one State, or only your county's lines with the header line."
        )


def _encoding_of(head: bytes) -> str:
    """UTF-16 by its byte order mark, otherwise bytes one by one (each line is decoded again when it is read)."""
    if head.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    return "latin-1"


def _refuse_other_text(start: str, text: str) -> None:
    lowered = start[:2000].lower()
    if "<fhwaelement" in lowered or "<fhwaed" in lowered:
        raise NotARecordFile(
            "This is element data (quantities by condition state, XML), not the records of the structures: "
            "import the comma-separated record file of the same year."
        )
    if lowered.startswith(("<!doctype html", "<html")):
        raise NotARecordFile("This is a web page, not a data file; the download seems to have failed.")
    if start.startswith("<"):
        raise NotARecordFile("This is an XML file, not the comma form of the federal record.")
    if start.startswith(("{", "[")):
        raise NotARecordFile("This is a JSON file, not the comma form of the 1995 federal record.")
    first = text.splitlines()[0] if text.splitlines() else ""
    if len(first.rstrip()) in FIXED_LENGTHS and first.count(",") < 20 and first[:3].isdecimal():
        raise NotARecordFile(
            f"This is the fixed form of the record ({len(first)} characters a line and no commas); "
            "import the comma-separated form, whose first line holds the column names."
        )
