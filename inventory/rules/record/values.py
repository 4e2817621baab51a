"""One field of the record read as text: its canonical form, its value, or the sentence that refuses it.

Everything is read as text first: letters stand in columns that look like numbers. Canonical forms undo what a
spreadsheet does to a copy (lost zeros, trailing decimals), so that a copy and its original say the same.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date
from functools import lru_cache
from typing import Any, NamedTuple

from inventory.vocabulary.record_1995 import CODE_LISTS
from inventory.vocabulary.record_1995.columns import BY_ITEM, Column
from inventory.vocabulary.record_1995.places import state_of

# Dates of inspection before this year are misread centuries: the national standards took effect in 1971, and the
# programme they began is of 1968 [memory].
FIRST_INSPECTION_YEAR = 1968
FIRST_BUILT_YEAR = 1690
# The texts of the record have 18 to 25 characters; the register has room for this many.
LONGEST_TEXT = 80

_DECIMAL = re.compile(r"\d+(\.\d*)?|\.\d+")
_SCIENTIFIC = re.compile(r"[+-]?\d+(\.\d+)?E[+-]?\d+", re.IGNORECASE)
_INTERVAL = re.compile(r"Y\s*(\d{1,2})")


class Reading(NamedTuple):
    """`value` is None where the field is blank or refused; `refusal` and `note` are sentences or empty."""

    canonical: str
    value: Any = None
    refusal: str = ""
    note: str = ""


BLANK = Reading("")
Reader = Callable[[str], Reading]


def bare(text: str) -> str:
    """A text without the apostrophes that wrap it in the yearly files; apostrophes inside stay."""
    if "'" in text:
        inner = text.strip()
        if len(inner) >= 2 and inner[0] == "'" and inner[-1] == "'":
            return inner[1:-1].strip()
    return text


def _not_a_number(text: str) -> str:
    if _SCIENTIFIC.fullmatch(text):
        return "a spreadsheet has rewritten this number in powers of ten; take it from the original file"
    if text.startswith("-") and _DECIMAL.fullmatch(text[1:]):
        return "it is below zero"
    return "it is not a number"


def _number(column: Column, text: str) -> Reading:
    """A number not below zero that fits the field; decimals as in the comma form, with the point written out."""
    if not _DECIMAL.fullmatch(text):
        return Reading(text, None, _not_a_number(text))
    value = float(text)
    most = 10 ** (column.width - column.decimals)
    if value >= most:
        return Reading(text, None, f"item {column.label} holds numbers below {most}")
    if column.decimals == 0 and value != int(value):
        return Reading(text, None, f"item {column.label} holds whole numbers only")
    return Reading(f"{value:g}", value if column.decimals else int(value))


def _text(column: Column, text: str) -> Reading:
    if len(text) > LONGEST_TEXT:
        return Reading(
            text, None, f"a text of {len(text)} characters stands where item {column.label} holds {column.width}"
        )
    return Reading(text, text)


def _digits(column: Column, text: str) -> Reading:
    """A code of digits kept as text: a spreadsheet copy has lost its leading zeros, so they are put back."""
    if len(text) > column.width:
        return Reading(text, None, f"item {column.label} holds {column.width} characters")
    if column.item in ("003", "004") and not text.isdecimal():
        return Reading(text, None, "it is not a code of digits")
    whole = text.zfill(column.width) if text.isdecimal() else text
    return Reading(whole, whole)


def _code(column: Column, text: str) -> Reading:
    codes = CODE_LISTS[column.item]
    code = text.upper()
    if code not in codes.codes and code.isdecimal():
        code = code.zfill(codes.width)
    if code in codes.codes:
        return Reading(code, code)
    return Reading(text, None, f"it is no code of item {column.label}, {codes.title.lower()} (guide p. {codes.page})")


def _state(column: Column, text: str) -> Reading:
    state = state_of(text)
    if state is None:
        return Reading(text, None, "it is no State code (guide p. 1)")
    return Reading(state.code, state.code)


def year_reader(column: Column, as_of: date) -> Reader:
    """Years of four digits. 0 means none or not known but for the year built, which the guide asks for (p. 13)."""

    def read(text: str) -> Reading:
        if not text.isdecimal() or len(text) > 4:
            return Reading(text, None, "it is not a year of four digits")
        year = int(text)
        if year == 0:
            if column.item == "027":
                return Reading(
                    "0", None, "a year of 0 is no year; where it is not known the guide asks for an estimate"
                )
            return Reading("0")
        last = as_of.year + 100 if column.item == "115" else as_of.year
        if not FIRST_BUILT_YEAR <= year <= last:
            return Reading(text, None, f"the year must lie between {FIRST_BUILT_YEAR} and {last}")
        return Reading(text, year)

    return read


def month_reader(column: Column, as_of: date) -> Reader:
    """Month and year, MMYY (guide pp. 62, 64); `818` has lost its zero and is August.

    The century is the latest that is not after `as_of`. The value is the first day of that month.
    """

    def read(text: str) -> Reading:
        if not text.isdecimal() or len(text) > 4:
            return Reading(text, None, "it is not a month and year of four digits, MMYY")
        whole = text.zfill(4)
        if whole == "0000":
            return Reading("")
        month, short_year = int(whole[:2]), int(whole[2:])
        if not 1 <= month <= 12:
            return Reading(text, None, f"there is no month {month}; the form is MMYY")
        year = as_of.year - as_of.year % 100 + short_year
        if (year, month) > (as_of.year, as_of.month):
            year -= 100
        if year < FIRST_INSPECTION_YEAR:
            return Reading(
                text,
                None,
                f"{month:02d}/{year + 100} lies after {as_of:%m/%Y} and {month:02d}/{year} before inspections began",
            )
        return Reading(whole, date(year, month, 1))

    return read


def _interval(column: Column, text: str) -> Reading:
    """Item 92 (guide p. 63): Y and the months, or N. The value is the months, 0 for N."""
    if text.upper() == "N":
        return Reading("N", 0)
    found = _INTERVAL.fullmatch(text.upper())
    if not found or int(found[1]) == 0:
        return Reading(text, None, "it must be N, or Y and the number of months (guide p. 63)")
    return Reading(f"Y{found[1].zfill(2)}", int(found[1]))


def _detour(column: Column, text: str) -> Reading:
    """Item 19, km (guide p. 10): 199 stands for 199 km or more and for dead ends."""
    reading = _number(column, text)
    if reading.value is not None and reading.value > 199:
        return Reading("199", 199, "", "the guide's longest detour is 199 km or more (p. 10): read as 199")
    return reading


def _positive(column: Column, text: str) -> Reading:
    reading = _number(column, text)
    if reading.value == 0:
        return Reading("0", None, f"item {column.label} cannot be zero")
    return reading


def _skew(column: Column, text: str) -> Reading:
    """Item 34 (guide p. 19): degrees, 99 where the skew varies."""
    reading = _number(column, text)
    if reading.value == 99:
        return Reading("99", None, "", "the skew varies from support to support")
    if reading.value is not None and reading.value >= 90:
        return Reading(text, None, "a skew is below 90 degrees, or 99 where it varies (guide p. 19)")
    return reading


def _ton(column: Column, text: str) -> Reading:
    """Items 64 and 66, metric tons (guide pp. 43-44). 99.9 is the most the field holds."""
    reading = _number(column, text)
    if reading.value is not None and reading.value > 99.9:
        return Reading(text, None, "a rating holds at most 99.9 metric tons")
    return reading


_PLAIN: dict[str, Callable[[Column, str], Reading]] = {
    "text": _text,
    "identity": _text,
    "latitude": _text,
    "longitude": _text,
    "digits": _digits,
    "code": _code,
    "state": _state,
    "decimal": _number,
    "whole": _number,
    "interval": _interval,
}
_BY_ITEM: dict[str, Callable[[Column, str], Reading]] = {
    "019": _detour,
    "034": _skew,
    "045": _positive,
    "048": _positive,
    "049": _positive,
    "064": _ton,
    "066": _ton,
    "091": _positive,
}


def reader_of(column: Column, as_of: date) -> Reader:
    """The reader of one column; a blank field is blank whatever its kind."""
    if column.kind == "year":
        read = year_reader(column, as_of)
    elif column.kind == "month":
        read = month_reader(column, as_of)
    else:
        plain = _BY_ITEM.get(column.item) or _PLAIN[column.kind]

        def read(text: str) -> Reading:
            return plain(column, text)

    def read_or_blank(raw: str) -> Reading:
        text = bare(raw).strip()
        return read(text) if text else BLANK

    return read_or_blank


@lru_cache(maxsize=256)
def _reader_for(item: str, as_of: date) -> Reader:
    return reader_of(BY_ITEM[item], as_of)


def reads_alike(before: Mapping[str, str], now: Mapping[str, str], as_of: date) -> bool:
    """Whether a line says what an earlier one said in every column it has.

    Texts may differ: a spreadsheet copy has other zeros and blanks than its original. The structure number is left out.
    """
    for item, text in now.items():
        old = before.get(item, "")
        if item != "008" and old != text:
            read = _reader_for(item, as_of)
            if read(old).canonical != read(text).canonical:
                return False
    return True
