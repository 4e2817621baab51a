"""Single fields of the record: dates, numbers, codes, and what a spreadsheet does to them."""

from datetime import date

import pytest

from inventory.rules.record.values import reader_of, reads_alike
from inventory.vocabulary.record_1995.columns import BY_ITEM
from tests.makers.record_files import SOUND

AS_OF = date(2026, 6, 15)


def read(item: str, text: str, as_of: date = AS_OF):
    return reader_of(BY_ITEM[item], as_of)(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1192", date(1992, 11, 1)),  # guide p. 62 [checked]: November 1992
        ("0394", date(1994, 3, 1)),  # guide p. 62 [checked]: March 1994
        ("0386", date(1986, 3, 1)),  # guide p. 64 [checked]: March 1986
        ("219", date(2019, 2, 1)),  # lost zero: February 2019 (public file, checked-2nd)
        ("1118", date(2018, 11, 1)),  # November 2018 (public file, checked-2nd)
        ("0626", date(2026, 6, 1)),  # the month of the import is not after it
    ],
)
def test_month_and_year(text, expected):
    assert read("090", text).value == expected


@pytest.mark.parametrize("text", ["1399", "0018", "0726", "0067", "9999", "2/19", "12345"])
def test_impossible_months_are_refused(text):
    """Month 13, month 0, next month (a century back is before inspections began), words: refused, never guessed."""
    reading = read("090", text)
    assert reading.value is None and reading.refusal


def test_century_is_the_latest_not_after_the_file():
    """Common practice, no source: the same digits read in 1996 and in 2026."""
    assert read("090", "0593", date(1996, 1, 1)).value == date(1993, 5, 1)
    assert read("090", "0525", AS_OF).value == date(2025, 5, 1)


@pytest.mark.parametrize(("text", "months"), [("Y24", 24), ("Y06", 6), ("N", 0), ("N  ", 0), ("y12", 12)])
def test_intervals(text, months):
    """Guide p. 63 [checked]: Y12, Y06, N followed by two blanks."""
    assert read("092A", text).value == months


def test_interval_nonsense_is_refused():
    assert read("092A", "24").refusal and read("092A", "Y00").refusal


@pytest.mark.parametrize(("item", "text"), [("048", "0"), ("048", "-5"), ("049", "0"), ("049", "-1.5"), ("045", "0")])
def test_zero_and_negative_sizes_are_refused(item, text):
    reading = read(item, text)
    assert reading.value is None and reading.refusal


@pytest.mark.parametrize("text", ["nan", "inf", "12,5", "1.2.3", "0x10", "1e5", "1E+05", "ten"])
def test_what_is_no_number_is_refused(text):
    assert read("049", text).refusal


def test_numbers_keep_to_the_field():
    """Appendix E [checked]: item 28A has two digits, item 49 five before the point."""
    assert read("028A", "99").value == 99
    assert read("028A", "100").refusal
    assert read("028A", "1.5").refusal
    assert read("049", "99999.9").value == 99999.9
    assert read("049", "100000").refusal


def test_blank_and_not_applicable_are_two_things():
    """N is "not applicable", a blank is "not given" (guide p. 38 for N [checked])."""
    assert read("058", "N").value == "N"
    assert read("058", " ").value is None and not read("058", " ").refusal


@pytest.mark.parametrize(("item", "text"), [("041", "C"), ("043A", "77"), ("022", "99"), ("058", "10"), ("112", "Z")])
def test_unknown_codes_are_refused_with_the_page(item, text):
    assert "guide p." in read(item, text).refusal


@pytest.mark.parametrize(
    ("item", "lost", "whole"), [("003", "13", "013"), ("022", "2", "02"), ("043B", "1", "01"), ("026", "9", "09")]
)
def test_zeros_lost_in_a_spreadsheet_come_back(item, lost, whole):
    assert read(item, lost).value == whole == read(item, whole).value


def test_detour_over_the_longest_is_the_longest():
    """Guide p. 10 [checked]: code 199 for 199 km or more; the public file has 999 in 36 lines."""
    assert read("019", "999").value == 199 and read("019", "999").note
    assert read("019", "198").value == 198 and not read("019", "198").note


def test_skew():
    """Guide p. 19 [checked]: 99 where the skew varies."""
    assert read("034", "29").value == 29
    assert read("034", "99").value is None and not read("034", "99").refusal
    assert read("034", "95").refusal


@pytest.mark.parametrize(
    ("item", "text"), [("027", "0"), ("027", "84"), ("027", "2027"), ("027", "1066"), ("106", "X")]
)
def test_impossible_years_are_refused(item, text):
    assert read(item, text).refusal


def test_never_reconstructed_is_no_fault():
    """Guide p. 69 [checked]: 0000 where there has been none."""
    assert read("106", "0000").value is None and not read("106", "0").refusal


def test_text_keeps_inner_apostrophes():
    """Public files wrap three texts in apostrophes and do not double one inside (public file printouts)."""
    assert read("006A", "'I-70  I-70 CD's'").value == "I-70  I-70 CD's"
    assert read("009", "'500' E OF MILL AVE'").value == "500' E OF MILL AVE"


def test_a_copy_reads_like_its_original():
    copy = SOUND | {
        "003": "91",
        "022": "2",
        "043B": "1",
        "026": "9",
        "048": "9.10",
        "090": "0818",
        "092A": "N",
        "001": "38",
    }
    assert reads_alike(SOUND, copy, AS_OF)
    assert not reads_alike(SOUND, copy | {"059": "5"}, AS_OF)
