"""Rules of condition against public federal records: 308 timber bridges of one State (1995 form, with the classes and
areas the federal office worked out itself) and a sample of element quantities."""

import csv
from xml.etree import ElementTree

import pytest

from inspections.rules.condition import condition_class
from inspections.rules.element_totals import MemberShape, SpanShape, StructureShape, proposed_totals
from inspections.rules.evidence import element_faults
from inspections.rules.proposed_ratings import StreamFacts, propose_channel, propose_scour


@pytest.fixture(scope="module")
def bridges(shared_data) -> list[dict]:
    with open(shared_data / "nbi/AK19-timber.txt", encoding="latin1", newline="") as file:
        return list(csv.DictReader(file, quotechar="'"))


def test_the_class_and_the_lowest_rating_are_those_of_the_federal_office(bridges):
    assert len(bridges) > 300
    for row in bridges:
        parts = ("DECK_COND_058", "SUPERSTRUCTURE_COND_059", "SUBSTRUCTURE_COND_060", "CULVERT_COND_062")
        deck, superstructure, substructure, culvert = (row[part] for part in parts)
        judged = condition_class(deck=deck, superstructure=superstructure, substructure=substructure, culvert=culvert)
        assert judged.condition[0].upper() == row["BRIDGE_CONDITION"]
        assert judged.lowest == int(row["LOWEST_RATING"])


def test_deck_area_by_length_and_width_is_that_of_the_federal_office(bridges):
    """The file's own area is in square metres; here feet, one span as long as the structure."""
    for row in bridges:
        feet = 3.280839895
        length, width = float(row["STRUCTURE_LEN_MT_049"]) * feet, float(row["DECK_WIDTH_MT_052"]) * feet
        if not width:
            continue
        planks = (MemberShape(role="deck", count=20, width_in=12.0),)
        shape = StructureShape(spans=(SpanShape(index=1, length_ft=length, members=planks),), deck_width_ft=width)
        (area,) = proposed_totals(shape)
        # Both are rounded: ours to whole square feet, theirs to hundredths of a square metre.
        assert area.total == pytest.approx(float(row["DECK_AREA"]) * feet**2, abs=0.7)


def test_no_channel_and_no_scour_where_there_is_no_water(bridges):
    """Item 42B 0 and 1 to 4 have no waterway; such bridges are coded N in items 61 and 113 (guide of 1995)."""
    dry = [row for row in bridges if row["SERVICE_UND_042B"] in "01234"]
    assert dry
    facts = StreamFacts(over_water=False)
    for row in dry:
        assert propose_channel(facts).rating == row["CHANNEL_COND_061"]
        assert propose_scour(facts).rating == row["SCOUR_CRITICAL_113"]


def test_published_element_quantities_add_up_by_our_rule(shared_data):
    tree = ElementTree.parse(shared_data / "nbi/nbe_2023_AL_sample.xml")
    rows = [row for row in tree.iter() if row.find("TOTALQTY") is not None]
    assert len(rows) >= 5
    for row in rows:
        states = {f"cs{n}": float(row.findtext(f"CS{n}") or 0) for n in range(1, 5)}
        values = {"number": int(row.findtext("EN")), "total": float(row.findtext("TOTALQTY")), **states}
        assert element_faults(values) == []
