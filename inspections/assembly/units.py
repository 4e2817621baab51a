"""Spans whose stringers run through over their piers: one label for each such row of spans, as the kernel wants it."""

from collections.abc import Sequence

from inventory.models import Span


def continuous_units(spans: Sequence[Span]) -> tuple[dict[int, str], list[str]]:
    """(label of the unit by span index, sentences on records that cannot be); spans in the order of their index.

    A span recorded as running on to the next belongs with it, and so on to the first that does not run on.
    """
    labels: dict[int, str] = {}
    missing: list[str] = []
    row: list[int] = []
    following = {span.index for span in spans}
    for span in spans:
        row.append(span.index)
        if span.continuous_with_next:
            if span.index + 1 in following:
                continue
            missing.append(
                f"Span {span.index}: its stringers are recorded as running through to a next span, but no span "
                f"{span.index + 1} is on record; enter that span, or correct the record."
            )
        if len(row) > 1:
            labels |= dict.fromkeys(row, f"{row[0]} to {row[-1]}")
        row = []
    return labels, missing
