"""From the bytes a device sent to a record that can be kept: one JSON object of a bearable size.

The limits are the project's own [model]: far above an inspection of a county bridge, low enough that no record can fill
the disk or the memory of the site.
"""

import json
from math import isfinite

from .refusals import Refused

MOST_BYTES = 2 * 1024 * 1024
MOST_DEPTH = 12
MOST_NODES = 100_000


def read_record(raw: bytes) -> dict:
    """The record of a request's body; refused with a sentence where it is not one JSON object of a bearable size."""
    if len(raw) > MOST_BYTES:
        raise Refused(
            f"This record is larger than {MOST_BYTES // 2**20} MB, more than the site takes: divide the inspection in "
            "two, or bring the record as a file to the office."
        )
    try:
        record = json.loads(raw.decode("utf-8"), parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise Refused("This is not a record: it cannot be read as JSON in UTF-8. Send it again.") from None
    if not isinstance(record, dict):
        raise Refused("This is not a record: a JSON object is awaited.")
    bearable(record)
    return record


def _no_constant(word: str):
    raise ValueError(word)


def bearable(record: dict) -> None:
    """No deeper and no larger than a record can be, and no number that no database keeps; refused with a sentence.

    Walked without recursion, since the depth is the sender's.
    """
    todo, seen = [(record, 1)], 0
    while todo:
        value, depth = todo.pop()
        seen += 1
        if depth > MOST_DEPTH or seen > MOST_NODES:
            raise Refused("This record is nested or divided far beyond an inspection; it was not taken.")
        if isinstance(value, dict):
            todo += [(each, depth + 1) for each in value.values()]
            todo += [(key, depth + 1) for key in value]
        elif isinstance(value, list):
            todo += [(each, depth + 1) for each in value]
        elif isinstance(value, float) and not isfinite(value):
            # 1e400 is a number to JSON and infinite here.
            raise Refused("This record holds a number beyond any measurement; it was not taken.")
        elif isinstance(value, int) and not isinstance(value, bool) and abs(value) > 2**53:
            raise Refused("This record holds a number beyond any measurement; it was not taken.")


def storable(value):
    """The same value with text that every database can keep: without NUL, half characters replaced."""
    if isinstance(value, str):
        return value.replace("\x00", "").encode("utf-8", "replace").decode("utf-8")
    if isinstance(value, dict):
        return {storable(key): storable(each) for key, each in value.items()}
    return [storable(each) for each in value] if isinstance(value, list) else value
