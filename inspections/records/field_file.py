"""The file of unsent work that a device exports, read one record at a time.

One JSON object: "spanledger_field_export" (1), "device", "made_at", "person", and the lists "works" and "photos". A
photograph is one text of at most 15 MB in base64, so no more than one of them is in the memory at once.
"""

import json
from collections.abc import Iterator
from typing import BinaryIO

from inspections.rules.refusals import Refused

FORMAT = 1
MOST_BYTES = 200 * 1024 * 1024
MOST_PART = 26 * 1024 * 1024
CHUNK = 1024 * 1024
LISTS = {"works": "work", "photos": "photo"}
NOT_OURS = "This is not a file of unsent work from the field app: choose the file that the device saved."


def read_export(file: BinaryIO) -> Iterator[tuple[str, object]]:
    """("head", {name: value}) for each value of the head, ("work", record) and ("photo", row) in their order.

    Raises Refused at the place where the file stops being one; what came before has been given.
    """
    reader = _Reader(file)
    reader.take("{")
    head: dict = {}
    while reader.peek() != "}":
        name = reader.value()
        reader.take(":")
        if name in LISTS:
            _ours(head)
            yield from ((LISTS[name], each) for each in reader.items())
        else:
            head[name] = reader.value()
            yield "head", dict(head)
        if reader.peek() == ",":
            reader.take(",")
    _ours(head)


def _ours(head: dict) -> None:
    if head.get("spanledger_field_export") != FORMAT:
        raise Refused(NOT_OURS)


class _Reader:
    """Values of a JSON text one after another; the text is fetched as it is needed."""

    def __init__(self, file: BinaryIO):
        self.file, self.text, self.at = file, "", 0
        self.decoder, self.rest, self.total = json.JSONDecoder(parse_constant=_no_constant), b"", 0

    def peek(self) -> str:
        """The next character that is no blank; refused at the end of the file."""
        while True:
            while self.at < len(self.text):
                if not self.text[self.at].isspace():
                    return self.text[self.at]
                self.at += 1
            if not self._fetch(CHUNK):
                raise Refused(f"The file breaks off after {self.total:,} bytes. {NOT_OURS}")

    def take(self, character: str) -> None:
        if self.peek() != character:
            raise Refused(NOT_OURS)
        self.at += 1

    def items(self) -> Iterator:
        self.take("[")
        while self.peek() != "]":
            yield self.value()
            if self.peek() == ",":
                self.take(",")
        self.take("]")

    def value(self):
        """The next value; the text fetched is doubled until it is whole."""
        self.peek()
        while True:
            try:
                found, end = self.decoder.raw_decode(self.text, self.at)
            except RecursionError:
                raise Refused(NOT_OURS) from None
            except ValueError:
                found, end = None, None
            # A number at the very end of what was fetched may go on.
            if end is not None and (end < len(self.text) or not self._fetch(CHUNK)):
                self.at = end
                return found
            if end is None:
                held = len(self.text) - self.at
                if held > MOST_PART or not self._fetch(max(CHUNK, held)):
                    raise Refused(f"The file cannot be read around byte {self.total:,}. {NOT_OURS}")

    def _fetch(self, size: int) -> bool:
        data = self.file.read(size)
        if not data:
            return False
        self.total += len(data)
        if self.total > MOST_BYTES:
            raise Refused(f"The file is larger than {MOST_BYTES // 2**20} MB; export the work in two parts.")
        data = self.rest + data
        # A character of several bytes may be cut by the end of what was read.
        cut = len(data)
        while cut > max(0, len(data) - 4):
            try:
                text = data[:cut].decode("utf-8")
                break
            except UnicodeDecodeError:
                cut -= 1
        else:
            raise Refused(NOT_OURS)
        self.rest = data[cut:]
        self.text, self.at = self.text[self.at :] + text, 0
        return True


def _no_constant(word: str):
    raise ValueError(word)
