"""What is kept of a line of the federal record, as JSON text: written by the ten thousand, so formed directly."""

import json
from functools import lru_cache

from inventory.reckoning.import_standing import standing_given
from inventory.rules.record import Row


def record_texts(row: Row) -> tuple[str, str, str]:
    """Items, given values and refusals of a new record."""
    return items_text(row), given_text(row), json.dumps(refusals_of(row)) if row.faults else "[]"


def refusals_of(row: Row) -> list[dict[str, str]]:
    """The values of a line that were not taken, with the reason of each."""
    return [{"column": f.column, "item": f.item, "value": f.value, "reason": f.reason} for f in row.faults]


def items_text(row: Row) -> str:
    """The texts as read, by item number. Most lines hold nothing that JSON must escape."""
    joined = "".join(row.texts)
    if joined.isascii() and joined.isprintable() and '"' not in joined and "\\" not in joined:
        return _items_form(row.names) % row.texts
    return json.dumps(row.items)


def given_text(row: Row) -> str:
    """What the record gave: fields, position and standing in one object."""
    parts = [row.given_text[1:-1], _standing_text(tuple(standing_given(row.standing).items()))[1:-1]]
    if row.position is not None:
        parts.append(f'"position": [{row.position[0]!r}, {row.position[1]!r}]')
    if row.number_is_bare:
        parts.append('"number_is_bare": true')
    return "{" + ", ".join(part for part in parts if part) + "}"


@lru_cache(maxsize=8)
def _items_form(names: tuple[str, ...]) -> str:
    return "{" + ", ".join(f'"{name}": "%s"' for name in names) + "}"


@lru_cache(maxsize=4096)
def _standing_text(standing: tuple) -> str:
    return json.dumps(dict(standing))
