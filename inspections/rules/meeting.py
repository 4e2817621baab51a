"""Two people changed one inspection: what differs between mine and theirs, and how both are put together.

All three contents have the shape {"inspection": columns, "findings": [...], "elements": [...]}; `base` is what both
began with, None where it is not on record (then every difference counts as changed by both).

Putting together follows one rule: what only one of the two changed is taken from that one; where both changed the same
thing, mine counts and theirs is kept in words in the notes. A finding that one took out and the other changed stays.
That nothing seen at a bridge may vanish in a meeting of two papers is the project's own rule [model].
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

VISIT_NAMES = {
    "kind": "kind of inspection",
    "field_completed_on": "day of the field work",
    "team": "team",
    "weather": "weather",
    "air_temp_f": "air temperature, °F",
    "rating_reasons": "reasons of the ratings",
    "leader": "team leader",
    "notes": "notes",
}
NOT_COMPARED = frozenset({"identity", "base_revision", "submit", "revision", "state", "by", "at"})
SHOWN_ONLY = frozenset({"words", "kind_words", "seen_on", "photo", "photos"})
SOUNDED = ("points", "water_ft", "method", "note")


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One thing that is not the same: `part` is visit, finding or element, `key` its column, identity or number.

    `mine` and `theirs` are values, None where it is not there; `by` says who changed it: mine, theirs or both.
    """

    part: str
    key: str
    name: str
    mine: object
    theirs: object
    by: str


def differences(mine: Mapping, theirs: Mapping, base: Mapping | None = None) -> list[Difference]:
    """Everything that differs, in the order of the sheet: visit, findings, elements, soundings."""
    found = _of_visit(mine, theirs, base)
    found += _of_rows("finding", "identity", mine, theirs, base)
    found += _of_rows("element", "number", mine, theirs, base)
    return found + _of_soundings(mine, theirs, base)


def united(
    mine: Mapping, theirs: Mapping, base: Mapping | None, words: Callable[[str, Mapping], str]
) -> tuple[dict, list[str]]:
    """(content, sentences of what of theirs gave way). `words(part, row)` puts a row in words."""
    told: list[str] = []
    visit = dict(theirs["inspection"]) | {"identity": mine["inspection"].get("identity")}
    for name in {*mine["inspection"], *theirs["inspection"]} - NOT_COMPARED:
        visit[name] = mine["inspection"].get(name)
    for difference in _of_visit(mine, theirs, base):
        if difference.by == "theirs":
            visit[difference.key] = difference.theirs
        elif difference.by == "both" and _given(difference.theirs):
            told.append(f"{difference.name} by the other: {_said(difference.theirs)}.")
    content = {"inspection": visit}
    for part, plural, key in (("finding", "findings", "identity"), ("element", "elements", "number")):
        content[plural] = _united_rows(part, key, (mine, theirs, base), words, told)
    content["channel"] = _united_soundings((mine, theirs, base), words, told)
    return content, told


def _of_visit(mine: Mapping, theirs: Mapping, base: Mapping | None) -> list[Difference]:
    ours, other = mine["inspection"], theirs["inspection"]
    before = (base or {}).get("inspection") if base is not None else None
    names = [name for name in {**other, **ours} if name not in NOT_COMPARED]
    found = []
    for name in names:
        left, right = ours.get(name), other.get(name)
        if _same(left, right):
            continue
        by = "both" if before is None else _changed_by(left, right, before.get(name))
        words = VISIT_NAMES.get(name, name.replace("_", " "))
        found.append(Difference(part="visit", key=name, name=words, mine=left, theirs=right, by=by))
    return found


def _of_rows(part: str, key: str, mine: Mapping, theirs: Mapping, base: Mapping | None) -> list[Difference]:
    left, right = _by_key(mine, part, key), _by_key(theirs, part, key)
    before = None if base is None else _by_key(base, part, key)
    found = []
    for value in {**left, **right}:
        ours, other = left.get(value), right.get(value)
        if _same_row(ours, other):
            continue
        by = "both" if before is None else _row_changed_by(ours, other, before.get(value))
        if before is None and (ours is None or other is None):
            # Without what both began with, a row that only one of them has counts as entered by that one.
            by = "mine" if other is None else "theirs"
        found.append(Difference(part=part, key=value, name=part, mine=ours, theirs=other, by=by))
    return found


def _united_rows(part: str, key: str, contents: Sequence, words: Callable, told: list[str]) -> list[dict]:
    mine, theirs, base = contents
    rows = _by_key(mine, part, key)
    for difference in _of_rows(part, key, mine, theirs, base):
        ours, other = difference.mine, difference.theirs
        if difference.by == "theirs":
            if other is None:
                rows.pop(difference.key, None)
            else:
                rows[difference.key] = dict(other)
        elif difference.by == "both" and ours is None and other is not None:
            rows[difference.key] = dict(other)
            told.append(f"Kept although one took it out: {words(part, other)}.")
        elif difference.by == "both" and other is not None:
            told.append(f"The other had entered: {words(part, other)}.")
        elif difference.by == "both":
            told.append(f"Kept although the other took it out: {words(part, ours)}.")
    return list(rows.values())


def _of_soundings(mine: Mapping, theirs: Mapping, base: Mapping | None) -> list[Difference]:
    """Sections that mine sounds and theirs has otherwise. A section that mine does not name is left as it stands."""
    found = []
    for row in mine.get("channel") or []:
        other = _section_in(theirs, row)
        if other is None and not row.get("points"):
            continue
        if _sounds_same(row, other):
            continue
        before = None if base is None else _section_in(base, row)
        by = "mine" if other is None else "both"
        if base is not None and other is not None:
            by = "theirs" if _sounds_same(row, before) else "mine" if _sounds_same(other, before) else "both"
        name = str((other or row).get("name") or row.get("name") or "section")
        found.append(Difference(part="channel", key=_section_key(row), name=name, mine=row, theirs=other, by=by))
    return found


def _united_soundings(contents: Sequence, words: Callable, told: list[str]) -> list[Mapping]:
    """The rows to be saved: without those that only the other changed; what gives way is told."""
    mine, theirs, base = contents
    rows = {_section_key(row): row for row in mine.get("channel") or []}
    for difference in _of_soundings(mine, theirs, base):
        if difference.by == "theirs":
            del rows[difference.key]
        elif difference.by == "both":
            told.append(f"The other had sounded: {words('channel', difference.theirs)}.")
    return list(rows.values())


def _section_key(row: Mapping) -> str:
    return str(row["section"]) if row.get("section") is not None else str(row.get("name") or "").strip().casefold()


def _section_in(content: Mapping, row: Mapping) -> Mapping | None:
    """The row of the same section: by its number, or by its name where the device laid it down."""
    for other in content.get("channel") or []:
        by_number = row.get("section") is not None
        if by_number and other.get("section") == row["section"]:
            return other
        if not by_number and str(other.get("name") or "").strip().casefold() == _section_key(row):
            return other
    return None


def _sounds_same(left: Mapping | None, right: Mapping | None) -> bool:
    if left is None or right is None:
        return left is right
    return all(_same(left.get(name), right.get(name)) for name in SOUNDED)


def _by_key(content: Mapping, part: str, key: str) -> dict[str, Mapping]:
    return {str(row.get(key)): row for row in content.get(f"{part}s") or []}


def _changed_by(mine, theirs, before) -> str:
    if _same(mine, before):
        return "theirs"
    return "mine" if _same(theirs, before) else "both"


def _row_changed_by(mine, theirs, before) -> str:
    if _same_row(mine, before):
        return "theirs"
    return "mine" if _same_row(theirs, before) else "both"


def _same_row(left: Mapping | None, right: Mapping | None) -> bool:
    if left is None or right is None:
        return left is right
    names = {*left, *right} - SHOWN_ONLY
    return all(_same(left.get(name), right.get(name)) for name in names)


def _same(left, right) -> bool:
    """Empty is empty, however it is written; numbers are compared as numbers."""
    if not _given(left) and not _given(right):
        return True
    return left == right


def _given(value) -> bool:
    return value not in (None, "", [], {})


def _said(value) -> str:
    if isinstance(value, Mapping):
        return "; ".join(f"{name}: {each}" for name, each in value.items())
    return str(value)
