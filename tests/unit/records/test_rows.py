"""Whole lines: what a record gives a structure, and the contradictions inside one line."""

from datetime import date

import pytest

from inventory.rules.record import Decoder
from inventory.rules.record.standing import (
    condition_class_of,
    loosens,
    lowest_of,
    rating_notes,
    reported_metric_ton,
    reported_short_ton,
    restriction_of,
)
from inventory.vocabulary.record_1995.columns import BY_ITEM
from inventory.vocabulary.structures import ConditionClass, Restriction
from tests.makers.record_files import record

AS_OF = date(2026, 6, 15)


def decode(items: dict[str, str], **options):
    places = {item: at for at, item in enumerate(BY_ITEM)}
    names = {item: column.name for item, column in BY_ITEM.items()}
    cells = [items.get(item, "") for item in BY_ITEM]
    return Decoder(places, names, AS_OF).read([(2, cells)], **options)[0]


def test_sound_record():
    """Lengths: 9.1 m / 0.3048 = 29.856 ft, 9.8 m = 32.152 ft, 7.3 m = 23.950 ft; 12 km / 1.609344 = 7.456 mi."""
    row = decode(record())
    assert not row.faults
    assert row.given["max_span_ft"] == 29.86
    assert row.given["length_ft"] == 32.15
    assert row.given["roadway_width_ft"] == 23.95
    assert row.given["detour_mi"] == 7.46
    assert row.given["route_number"] == "12"
    assert row.given["over_water"] is True and row.given["is_bridge_length"] is True and row.given["is_nhs"] is False
    assert row.standing["condition_class"] == "fair" and row.standing["lowest_rating"] == 6
    assert row.standing["last_inspected_on"] == "2018-08-01"
    assert row.is_timber


@pytest.mark.parametrize(
    ("changes", "item"),
    [
        ({"i048": "12.0"}, "48"),
        ({"i051": "0"}, "51"),
        ({"i052": "0"}, "52"),
        ({"i106": "1970"}, "106"),
        ({"i090": "0883"}, "90"),
    ],
)
def test_contradictions_refuse_the_value_not_the_line(changes, item):
    """Span longer than the structure; zero width of no culvert (guide pp. 32-33); rebuilt or inspected before built."""
    row = decode(record(**changes))
    assert [fault.item for fault in row.faults] == [item]
    assert not row.is_refused


def test_zero_width_of_a_culvert_under_fill_is_right():
    """Guide pp. 32-33 [checked]: code 0000 where the roadway is on fill over a culvert."""
    row = decode(record(i043B="19", i051="0", i052="0", i058="N", i059="N", i060="N", i062="5"))
    assert not row.faults
    assert row.standing["condition_class"] == "fair"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"i008": "   "}, "missing"),
        ({"i008": "000000000000000"}, "missing"),
        ({"i008": "1234567890123456"}, "15 characters"),
        ({"i008": "1.00410E+14"}, "powers of ten"),
        ({"i001": "99"}, "State"),
        ({"i001": ""}, "missing"),
        ({"i005A": ""}, "missing"),
    ],
)
def test_lines_that_cannot_be_told_apart_are_refused_whole(changes, words):
    row = decode(record(**changes))
    assert row.is_refused and words in row.faults[0].reason


@pytest.mark.parametrize("record_type", ["2", "A", "B"])
def test_routes_under_are_told_apart(record_type):
    """Guide p. 2 [checked]: 1 is the route on the structure, 2 and A to Z routes under it."""
    row = decode(record(i005A=record_type))
    assert row.record_type == record_type and not row.faults


def test_other_materials_come_back_undecoded_when_only_timber_is_asked():
    row = decode(record(i043A="3"), timber_only=True)
    assert not row.is_timber
    assert decode(record(i043A="3", i044A="7"), timber_only=True).is_timber


@pytest.mark.parametrize(
    ("codes", "expected"),
    [
        (("7", "8", "9", "N"), ConditionClass.GOOD),
        (("7", "6", "9", "N"), ConditionClass.FAIR),
        (("5", "8", "9", "N"), ConditionClass.FAIR),
        (("4", "8", "9", "N"), ConditionClass.POOR),
        (("N", "N", "N", "3"), ConditionClass.POOR),
        (("N", "N", "N", "N"), ConditionClass.NOT_RATED),
        (("", None, "N", ""), ConditionClass.NOT_RATED),
        (("0", "8", "8", "N"), ConditionClass.POOR),
    ],
)
def test_condition_class(codes, expected):
    """23 CFR 490.409(b) [memory]: good 7 and over, fair 5 and 6, poor 4 and under, by the lowest."""
    assert condition_class_of(lowest_of(codes)) == expected


def test_ratings_in_tons():
    """Guide p. 43 [checked]: MS18 is 32.4 metric tons. 32.4 x 1000 / (2000 x 0.45359237) = 35.715 short tons."""
    assert reported_short_ton(32.4, "2") == pytest.approx(35.715, abs=0.001)
    assert reported_metric_ton(None, "5") is None


def test_small_numbers_under_factor_methods_are_factors():
    """Public sample, method 8: 55.7 and 43.1 t (1.72 x 32.4 = 55.728; 1.33 x 32.4 = 43.092)."""
    assert reported_metric_ton(1.72, "8") == 55.7
    assert reported_metric_ton(1.33, "F") == 43.1
    assert reported_metric_ton(1.8, "2") == 1.8
    assert reported_metric_ton(0.0, "8") == 0.0


def test_rating_notes():
    """Guide p. 43 [checked]: 999 for a structure under fill; p. 42: method 5, no analysis performed."""
    assert not rating_notes(36.2, 25.4, "2", "2")
    assert "most the field holds" in rating_notes(99.9, 25.4, "2", "2")[0]
    assert "method 5" in rating_notes(26.0, None, "5", "5")[0]
    assert "below the inventory" in rating_notes(20.0, 25.4, "2", "2")[0]


def test_restrictions():
    """Guide p. 23 [checked]: A, B, D, E open; P, R posted; K closed; G not yet open, so nobody is sent over it."""
    by_code = {code: restriction_of(code) for code in "ABDEGKPR"}
    assert {code for code, word in by_code.items() if word == Restriction.OPEN} == set("ABDE")
    assert {code for code, word in by_code.items() if word == Restriction.CLOSED} == set("GK")
    assert restriction_of("") == Restriction.UNKNOWN


def test_loosening():
    assert loosens("closed", "posted") and loosens("posted", "open") and loosens("closed", "unknown")
    assert not loosens("open", "closed") and not loosens("unknown", "open") and not loosens("posted", "posted")


def test_reading_many_lines_is_reading_each():
    """Law: a line says the same among others as alone."""
    places = {item: at for at, item in enumerate(BY_ITEM)}
    names = {item: column.name for item, column in BY_ITEM.items()}
    variants = [record(i008=f"{n:015d}", i059=str(n % 10), i048=str(n % 4), i041="AKP"[n % 3]) for n in range(1, 40)]
    lines = [(n + 2, [items.get(item, "") for item in BY_ITEM]) for n, items in enumerate(variants)]
    together = Decoder(places, names, AS_OF).read(lines)
    apart = [Decoder(places, names, AS_OF).read([line])[0] for line in lines]
    assert together == apart
