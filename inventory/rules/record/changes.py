"""Whose word stands when a record is read again: the county's, the record's, or a person's choice between them."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Merge:
    """`taken` goes onto the structure, `held` waits for a person; `given` is what the record has said so far."""

    taken: dict[str, Any] = field(default_factory=dict)
    held: dict[str, Any] = field(default_factory=dict)
    given: dict[str, Any] = field(default_factory=dict)


def is_blank(value: Any) -> bool:
    """Nothing there: None or an empty text. False and 0 are something."""
    return value is None or value == ""


def same(one: Any, other: Any) -> bool:
    """Equal values; two lengths within half a hundredth are the same length."""
    if isinstance(one, float) and isinstance(other, int | float) and not isinstance(other, bool):
        return abs(one - other) < 0.005
    return one == other


def merge_fields(
    *,
    county: Mapping[str, Any],
    before: Mapping[str, Any] | None,
    record: Mapping[str, Any],
    hand_entered: Collection[str],
) -> Merge:
    """Three-way merge of one structure: what the county has, what the last record gave, what this one gives.

    - A blank in the record erases nothing.
    - A value the record has not changed since last time leaves the county's value alone, whatever it is.
    - A changed value replaces what came from the record, or fills a blank.
    - A changed value never replaces what the county entered by hand: it is held.
    """
    before = before or {}
    taken, held = {}, {}
    given = dict(before)
    for name, value in record.items():
        if is_blank(value):
            continue
        given[name] = value
        ours = county.get(name)
        if same(value, ours) or (name in before and same(value, before[name])):
            continue
        if name in hand_entered and not is_blank(ours):
            held[name] = value
        else:
            taken[name] = value
    return Merge(taken, held, given)
