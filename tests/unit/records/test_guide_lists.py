"""Every code list and column of the 1995 record held against the guide itself.

Source: Recording and Coding Guide for the Structure Inventory and Appraisal of the Nation's Bridges, FHWA-PD-96-001,
December 1995, its extracted text in the public data folder [checked]. Page p of the guide is page p + 11 of the file.
"""

import re
from pathlib import Path

import pytest

from inventory.vocabulary.record_1995 import CODE_LISTS, MARK_CHECKED, MARK_LATER
from inventory.vocabulary.record_1995.columns import BY_ITEM, COLUMNS, NEEDED, TAIL_NEWER, TAIL_OLDER, item_of
from inventory.vocabulary.record_1995.places import STATES, state_of

COVER_PAGES = 11


@pytest.fixture(scope="module")
def guide(shared_data: Path) -> dict[int, str]:
    text = (shared_data / "nbi/ref/fhwa-recording-and-coding-guide-1995.txt").read_text("utf-8", errors="replace")
    parts = re.split(r"^----- PDF page (\d+) -----$", text, flags=re.MULTILINE)
    return {int(number): body for number, body in zip(parts[1::2], parts[2::2], strict=True)}


def pages_of(guide: dict[int, str], page: str, *, more: int = 0) -> str:
    first, _, last = page.partition("-")
    return "\n".join(guide[n + COVER_PAGES] for n in range(int(first), int(last or first) + 1 + more))


@pytest.mark.parametrize("item", sorted(CODE_LISTS))
def test_every_checked_code_stands_on_its_page(item, guide):
    code_list = CODE_LISTS[item]
    # A list that is continued runs on to the next page; State codes carry their region digit there.
    text = pages_of(guide, code_list.page, more=1)
    for code in code_list.codes.values():
        if code.mark != MARK_CHECKED:
            continue
        if item == "001":
            pattern = rf"\b{code.value}{STATES[code.value].region}\s+\S"
        elif item == "005A" and code.value.isalpha():
            pattern = r"A through Z\s+Multiple routes"
        elif item == "070" and code.value != "5":
            pattern = rf"^{code.value}\s+[>\d]"
        else:
            pattern = rf"^\s*{code.value}\s*\*?\s+\S"
        assert re.search(pattern, text, re.MULTILINE), f"item {item}, code {code.value}, guide p. {code_list.page}"


# Codes met on the page of an item, for lists that stand alone there: the other way round, nothing may be left out.
ALONE = {
    "005B": r"Item 5B - Route Signing(.*?)When 2 or more",
    "020": r"Item 20 - Toll(.*)",
    "021": r"Item 21 - Maintenance(.*?)Item 22",
    "026": r"Item 26 - Functional(.*?)The bridge shall",
    "031": r"Item 31 - Design Load(.*?)Item 32",
    "037": r"Item 37 - Historical(.*?)Item 38",
    "041": r"Item 41 - Structure Open.*?\(cont'd\)(.*?)Item 42",
    "043B": r"Item 43 - Structure Type, Main \(cont'd\)(.*?)\*  Applicable",
    "107": r"Item 107 - Deck(.*?)Item 108",
    "058": r"Condition Ratings \(cont'd\)(.*?)Item 58 - Deck",
    "061": r"Item 61 - Channel(.*)",
    "111": r"Item 111 - Pier(.*)",
    "075A": r"Item 75 - Type of Work(.*?)If segment A is blank",
    "105": r"Item 105 - Federal(.*?)Item 106",
}


@pytest.mark.parametrize("item", sorted(ALONE))
def test_no_code_of_the_page_is_left_out(item, guide):
    code_list = CODE_LISTS[item]
    text = re.search(ALONE[item], pages_of(guide, code_list.page), re.DOTALL)[1]
    width = code_list.width
    met = set(re.findall(rf"^[ \t]*([0-9A-Z]{{{width}}})[ \t]*\*?[ \t]+(?=[A-Z\"])", text, re.MULTILINE))
    known = {code.value for code in code_list.codes.values() if code.mark == MARK_CHECKED}
    # Item 43B: code 20, mixed types, is for approach spans (item 44) only (guide p. 25).
    extra = {"20"} if item == "043B" else set()
    assert met == known | extra


def test_state_list_is_the_guides(guide):
    """Page 1 lists 52 codes of three digits: the 50 States, the District of Columbia and Puerto Rico."""
    met = set(re.findall(r"(?<!\d)(\d{3})\s{2,}[A-Z]", pages_of(guide, "1")))
    assert met == {state.code + state.region for state in STATES.values() if state.region}
    assert len(met) == 52


def test_widths_are_those_of_the_record_layout(guide):
    """Appendix E, pp. E-1 to E-4, gives position and length of every item."""
    text = "\n".join(guide[n] for n in (121, 122, 123, 124))
    layout = {}
    for item, first, last, length in re.findall(
        r"^(\d{1,3}[A-Z]?)\s.*?(\d{1,3})(?:\s*-\s*(\d{1,3}))?\s+(\d{1,2})/A?N\s*$", text, re.MULTILINE
    ):
        layout[item.rjust(4 if item[-1].isalpha() else 3, "0")] = (int(first), int(last or first), int(length))
    assert len(layout) > 100
    compared = 0
    for item, (first, last, length) in layout.items():
        assert last - first + 1 == length
        if item in BY_ITEM:
            compared += 1
            assert BY_ITEM[item].width == length, item
    assert compared > 95


def test_codes_later_than_the_guide_keep_their_mark():
    """Items 63 and 65 list 1 to 5 in 1995 (pp. 42, 44); the rest came later and is from memory."""
    for item in ("063", "065"):
        marks = {code.value: code.mark for code in CODE_LISTS[item].codes.values()}
        assert {value for value, mark in marks.items() if mark == MARK_CHECKED} == set("12345")
        assert {value for value, mark in marks.items() if mark == MARK_LATER} == set("0678ABCDEF")
    assert CODE_LISTS["031"].codes["A"].mark == MARK_LATER


def test_columns_are_those_of_both_published_headers(shared_data):
    newer = (shared_data / "nbi/columns-newer-form-123.txt").read_text().strip().split(",")
    older = (shared_data / "nbi/columns-older-form-134.txt").read_text().strip().split(",")
    names = [column.name for column in COLUMNS]
    assert len(newer) == 123 and newer == names + list(TAIL_NEWER)
    assert len(older) == 134 and older == names + list(TAIL_OLDER)


@pytest.mark.parametrize(
    ("name", "item"),
    [
        ("STRUCTURE_KIND_043A", "043A"),
        ("main material_43a", "043A"),
        ("'DECK_COND_058'", "058"),
        ("X_8", "008"),
        ("BRIDGE_CONDITION", None),
        ("SOMETHING_999", None),
        ("DECK_COND_058_OLD", None),
    ],
)
def test_item_is_found_by_the_end_of_the_name(name, item):
    """The front part of a name may change from year to year; the item number at its end stays (common practice)."""
    assert item_of(name) == item


def test_needed_items_are_columns():
    assert all(item in BY_ITEM for item in NEEDED)


def test_three_digit_state_codes():
    """Guide p. 1: 020 is Alaska, 388 North Dakota; a wrong region digit is no State."""
    assert state_of("020").name == "Alaska"
    assert state_of("388").code == "38"
    assert state_of("2").name == "Alaska"
    assert state_of("021") is None
    assert state_of("99") is None
