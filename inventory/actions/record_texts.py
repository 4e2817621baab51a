"""What is kept of a line of the federal record, as JSON text: written by the ten thousand, so formed directly."""

import json
from collections.abc import Mapping
from functools import lru_cache

from inventory.reckoning.import_standing import standing_given
from inventory.rules.record import Row
from inventory.vocabulary.record_1995.columns import COLUMNS

_QUOTES = 2 * (len(COLUMNS) - 1)


def record_texts(row: Row) -> tuple[str, str, str]:
    """Texts, given values and refusals of a new record."""
    return texts_text(row), given_text(row), json.dumps(refusals_of(row)) if row.faults else "[]"


def refusals_of(row: Row) -> list[dict[str, str]]:
    """The values of a line that were not taken, with the reason of each."""
    return [{"column": f.column, "item": f.item, "value": f.value, "reason": f.reason} for f in row.faults]


def all_texts(items: Mapping[str, str]) -> list[str | None]:
    """Texts of every item in the order of the record, None where the file has no such column."""
    return [items.get(column.item) for column in COLUMNS]


def texts_text(row: Row) -> str:
    """The texts of a line as a JSON list. Most lines are whole and hold nothing that JSON must escape."""
    if len(row.texts) == len(COLUMNS):
        joined = '", "'.join(row.texts)
        if joined.isascii() and joined.isprintable() and "\\" not in joined and joined.count('"') == _QUOTES:
            return f'["{joined}"]'
    return json.dumps(all_texts(row.items))


def given_text(row: Row) -> str:
    """What the record gave: fields, position and standing in one object."""
    parts = [row.given_text[1:-1], _standing_text(tuple(row.standing.items()))[1:-1]]
    if row.position is not None:
        parts.append(f'"position": [{row.position[0]!r}, {row.position[1]!r}]')
    if row.number_is_bare:
        parts.append('"number_is_bare": true')
    return "{" + ", ".join(part for part in parts if part) + "}"


@lru_cache(maxsize=4096)
def _standing_text(standing: tuple) -> str:
    return json.dumps(standing_given(dict(standing)))
