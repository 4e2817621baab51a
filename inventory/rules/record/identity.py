"""The structure number (item 8, guide p. 6): text of up to 15 characters, unique in the State."""

import re

NUMBER_WIDTH = 15
_POWERS = re.compile(r"\d+(\.\d+)?E\+\d+", re.IGNORECASE)


def number_refusal(number: str) -> str:
    """Why a trimmed text is no structure number, or an empty string."""
    if not number or not number.strip("0"):
        return "the structure number is missing"
    if len(number) > NUMBER_WIDTH:
        return f"a structure number has at most {NUMBER_WIDTH} characters"
    if "+" in number and _POWERS.fullmatch(number):
        return "a spreadsheet has rewritten this structure number in powers of ten; use the original file"
    return ""


def is_bare(as_read: str) -> bool:
    """Digits without the padding every original file has: leading zeros or blanks may be lost."""
    return len(as_read) < NUMBER_WIDTH and as_read.isdecimal()


def without_zeros(number: str) -> str:
    """The number as a spreadsheet would leave it."""
    return number.strip().lstrip("0")
