"""The comma form of the federal record opened: columns found by name, and its rows one by one."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import islice
from pathlib import Path

from inventory.rules.record import Decoder, Fault, Row
from inventory.vocabulary.record_1995.columns import BY_ITEM, NEEDED, TAIL_NEWER, TAIL_OLDER, item_of

from .record_lines import Line, lines_of, split_line
from .record_source import DEFAULT_MAX_BYTES, NotARecordFile, Source, inspect_source

MAX_COLUMNS = 1_000
UNDECODABLE = "The text of the file is damaged and cannot be decoded to its end. Nothing was saved; get the file anew."
BATCH = 1000
# Every refusal is kept with its line for the person who sent the file; a file of nothing else would fill the memory.
MOST_REFUSALS = 200_000
_SEPARATORS = ",;\t"


@dataclass(frozen=True)
class Header:
    """Which item stands where, and what was left aside."""

    separator: str
    count: int
    places: dict[str, int]
    names: dict[str, str]
    ignored: tuple[str, ...]
    absent: tuple[str, ...]


@dataclass(frozen=True)
class RecordFile:
    """A readable file with its header understood. `rows` may be called more than once; each call reads it anew."""

    source: Source
    header: Header

    def rows(self, as_of: date, *, timber_only: bool = False) -> Iterator[Row]:
        """Decode the lines one by one. Lines that cannot be split come back as refused rows.

        Raises NotARecordFile where more than MOST_REFUSALS lines and values are refused.
        """
        header = self.header
        decoder = Decoder(header.places, header.names, as_of)
        lines = self._lines()
        next(lines, None)  # the header
        refusals = 0
        while batch := list(islice(lines, BATCH)):
            good, refused = [], {}
            for line in batch:
                cells = split_line(line.text, header.separator, header.count)
                if len(cells) == header.count and not line.is_too_long and "\x00" not in line.text:
                    good.append((line.number, cells))
                else:
                    refused[line.number] = _refused_line(line, len(cells), header.count)
            read = iter(decoder.read(good, timber_only=timber_only) if good else ())
            for line in batch:
                row = refused.get(line.number) or next(read)
                refusals += len(row.faults)
                if refusals > MOST_REFUSALS:
                    raise NotARecordFile(
                        f"More than {MOST_REFUSALS:,} lines and values up to line {line.number:,} cannot be taken, so "
                        "this is no readable record file. Nothing was saved; get the file anew."
                    )
                yield row

    def _lines(self) -> Iterator[Line]:
        try:
            with self.source.path.open(encoding=self.source.encoding, newline=None) as stream:
                yield from lines_of(stream, self.source.encoding)
        except UnicodeError:
            raise NotARecordFile(UNDECODABLE)

    def sha256(self) -> str:
        """Checksum of the bytes, for the report and for holding a preview and its import together."""
        return checksum_of(self.source.path)


def checksum_of(path: Path) -> str:
    """SHA-256 of a file, read in blocks."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def open_record_file(path: Path, *, max_bytes: int = DEFAULT_MAX_BYTES) -> RecordFile:
    """Open a file and understand its header; raise NotARecordFile with a sentence where it is something else."""
    source = inspect_source(path, max_bytes=max_bytes)
    try:
        with path.open(encoding=source.encoding, newline=None) as stream:
            first = next(lines_of(stream, source.encoding), None)
    except UnicodeError:
        raise NotARecordFile(UNDECODABLE)
    if first is None:
        raise NotARecordFile("The file is empty.")
    if first.is_too_long:
        raise NotARecordFile("The first line is longer than any line of column names: this is not a record file.")
    return RecordFile(source, read_header(first.text))


def read_header(text: str) -> Header:
    """Find each item by the number its column name ends with, whatever the order, the front of the name or company."""
    text = text.lstrip("\ufeff")
    separator = max(_SEPARATORS, key=text.count)
    names = [name.strip() for name in split_line(text, separator, 0)]
    if len(names) > MAX_COLUMNS:
        raise NotARecordFile(f"The first line has {len(names)} columns; a federal record has at most 134.")
    places: dict[str, int] = {}
    ignored = []
    for place, name in enumerate(names):
        item = item_of(name)
        if item is None:
            ignored.append(name or f"column {place + 1}, without a name")
        elif item in places:
            raise NotARecordFile(
                f"Two columns stand for item {BY_ITEM[item].label}: {names[places[item]]} and {name}; "
                "remove one of them."
            )
        else:
            places[item] = place
    _refuse_wrong_header(names, places, separator)
    known_tail = set(TAIL_NEWER + TAIL_OLDER)
    return Header(
        separator,
        len(names),
        places,
        {item: names[place] for item, place in places.items()},
        tuple(name for name in ignored if name.upper() not in known_tail),
        tuple(column.name for column in BY_ITEM.values() if column.item not in places),
    )


def _refuse_wrong_header(names: list[str], places: dict[str, int], separator: str) -> None:
    if not places:
        digits = sum(name.strip("'\"").replace(".", "", 1).isdecimal() for name in names)
        if len(names) > 100 and digits > len(names) // 4:
            raise NotARecordFile(
                "The first line holds a record, not column names; put the header line of the yearly file on top."
            )
        shown = "".join(c for c in ", ".join(name for name in names[:4] if name) if c.isprintable())[:120]
        raise NotARecordFile(
            "This is some other table, not the federal record: none of its columns ends with an item number such as "
            f"STRUCTURE_NUMBER_008 (it begins with {shown or 'nothing'})."
        )
    missing = [BY_ITEM[item].name for item in NEEDED if item not in places]
    if missing:
        raise NotARecordFile(
            "The file lacks " + ("columns" if len(missing) > 1 else "the column") + " that an import needs: "
            f"{', '.join(missing)} (found by the number the name ends with). Nothing was read."
        )


def _refused_line(line: Line, found: int, expected: int) -> Row:
    if line.is_too_long:
        reason = "the line is longer than any record; it is no line of this file"
        value = ""
    elif "\x00" in line.text:
        reason, value = "the line holds bytes that are no text: the file is damaged here", ""
    else:
        value = f"{found} values"
        reason = f"the line has {found} values and the header {expected} columns"
        if line.is_cut and found < expected:
            reason += "; the file ends in the middle of this line, so it was cut off on its way"
        elif found > expected:
            reason += "; perhaps a comma stands inside a text"
    row = Row(line.number, "")
    row.faults.append(Fault(line.number, "", value, reason, whole_row=True))
    return row
