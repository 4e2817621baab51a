"""The number of a row as an address or a page carries it."""

# A row's number is a 64-bit integer in either database; eighteen digits always fit.
MOST_DIGITS = 18


def row_number(text: str) -> int | None:
    """The number, or None for whatever could not be one: no digits, digits of other scripts, or far too many."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= MOST_DIGITS else None
