"""The list against plain Python filtering of the same rows; query counts; sorting, paging, scope.

The second method: the rows are read once and filtered with list comprehensions; sorting is held against `sorted`.
"""

import re
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory.filters import StructureFilter
from inventory.models import Standing, Structure
from inventory.queries.structures import SORTS, in_order, page_of, structures_for
from tests.makers.county import make_county, make_stringer_bridge

TODAY = date(2026, 6, 15)
SYSTEMS = ("sawn_stringer", "glulam_panel", "stress_laminated")
CLASSES = ("good", "fair", "poor", "not_rated")


@pytest.fixture
def rows(county):
    """Thirty-one rows that differ in every filtered field, and one in another county."""
    for place in range(31):
        structure = make_stringer_bridge(
            county.agency,
            f"Q-{place:03d}",
            road_name=f"{'Heron' if place % 3 else 'Kestrel'} Road {place % 4}",
            feature_crossed="Sedge Creek" if place % 5 else "Alder Run",
            system=SYSTEMS[place % 3],
            owner_code=("02", "03", "")[place % 3],
            year_built=None if place == 7 else 1940 + 2 * place,
            name="The Old Crossing" if place == 9 else "",
            status="removed" if place == 11 else "in_service",
        )
        Standing.objects.filter(structure=structure).update(
            condition_class=CLASSES[place % 4],
            restriction=("open", "posted", "closed")[place % 3],
            bar_state="slack" if place % 6 == 2 else "none",
            next_due_on=None if place % 8 == 0 else TODAY + timedelta(days=7 * place - 60),
            missing_count=place % 2,
            lowest_rating=None if place == 4 else place % 8,
            posted_ton=3 + place if place % 3 == 1 else None,
            least_factor=None if place % 4 == 3 else 0.5 + place / 20,
        )
    make_stringer_bridge(make_county("Marrow County", "003").agency, "M-1", road_name="Heron Road 1")
    return list(Structure.objects.filter(agency=county.agency).select_related("standing"))


CASES = {
    "q=heron": lambda s: "heron" in s.road_name.lower(),
    "q=alder+kestrel": lambda s: s.feature_crossed == "Alder Run" and s.road_name.startswith("Kestrel"),
    "q=q-00": lambda s: s.number.startswith("Q-00"),
    "q=crossing": lambda s: s.name != "",
    "q=%25": lambda s: False,
    "system=glulam_panel": lambda s: s.system == "glulam_panel",
    "road=road+2": lambda s: s.road_name.endswith("Road 2"),
    "status=removed": lambda s: s.status == "removed",
    "condition=poor": lambda s: s.standing.condition_class == "poor",
    "restriction=posted": lambda s: s.standing.restriction == "posted",
    "owner=03": lambda s: s.owner_code == "03",
    "built_from=1960": lambda s: s.year_built is not None and s.year_built >= 1960,
    "built_from=1960&built_to=1980": lambda s: s.year_built is not None and 1960 <= s.year_built <= 1980,
    "bars=slack": lambda s: s.standing.bar_state == "slack",
    "missing=yes": lambda s: s.standing.missing_count > 0,
    "missing=no": lambda s: s.standing.missing_count == 0,
    "due=overdue": lambda s: s.standing.next_due_on is not None and s.standing.next_due_on < TODAY,
    "due=30": lambda s: s.standing.next_due_on is not None and (s.standing.next_due_on - TODAY).days <= 30,
    "due=90": lambda s: s.standing.next_due_on is not None and (s.standing.next_due_on - TODAY).days <= 90,
    "due=none": lambda s: s.standing.next_due_on is None,
    "system=sawn_stringer&condition=good&q=sedge": lambda s: (
        s.system == "sawn_stringer" and s.standing.condition_class == "good" and s.feature_crossed == "Sedge Creek"
    ),
}


@pytest.mark.parametrize("query", CASES)
def test_filter_finds_what_plain_python_finds(county, rows, rf, query):
    chosen = StructureFilter(rf.get(f"/?{query}").GET, queryset=structures_for(county.people["office"]), as_of=TODAY)
    expected = {row.number for row in rows if CASES[query](row)}
    assert {row.number for row in chosen.qs} == expected
    if query != "q=%25":
        assert 0 < len(expected) < len(rows), "the case must tell rows apart"


@pytest.mark.parametrize("query", ["system=bridge", "built_from=abc", "due=soon", "built_from=12", "agency=x"])
def test_a_filter_that_is_not_understood_lists_nothing_and_says_so(county, rows, query):
    response = county.client("office").get(f"/structures/?{query}")
    assert response.status_code == 200
    assert b"Nothing is listed until it is corrected" in response.content and b"Q-001" not in response.content


@pytest.mark.parametrize("sort", [name for name in SORTS] + [f"-{name}" for name in SORTS])
def test_sorted_as_python_sorts_empty_values_last(county, rows, sort):
    path = SORTS[sort.removeprefix("-")].split("__")

    def value(row):
        for step in path:
            row = getattr(row, step)
        return row

    found = list(in_order(structures_for(county.people["office"]), sort))
    given = [value(row) for row in found if value(row) is not None]
    assert given == sorted(given, reverse=sort.startswith("-"))
    assert [value(row) for row in found[len(given) :]] == [None] * (len(found) - len(given))


def test_pages_together_hold_every_row_once(county, rows, monkeypatch):
    monkeypatch.setattr("inventory.queries.structures.PAGE_ROWS", 7)
    everything = structures_for(county.people["office"])
    pages = [page_of(everything, sort="condition", number=n) for n in range(1, 6)]
    seen = [row.pk for page in pages for row in page.rows]
    assert len(seen) == len(set(seen)) == len(rows) and pages[0].last == 5
    assert page_of(everything, sort="number", number=99).number == 5
    assert page_of(everything, sort="number", number=-4).number == 1


def test_another_countys_rows_are_never_listed(county, rows):
    page = county.client("reviewer").get("/structures/?q=heron").content.decode()
    assert "M-1" not in page and "Q-001" in page


def test_the_list_asks_as_many_queries_for_one_row_as_for_thirty(county, rows):
    client = county.client("office")
    counts = []
    for query in ("q=Q-001", ""):
        with CaptureQueriesContext(connection) as asked:
            page = client.get(f"/structures/?{query}").content.decode()
        counts.append(len(asked))
    assert len(re.findall(r"<tr", page)) == 32
    assert counts[0] == counts[1]


def test_the_query_string_is_carried_to_sort_links_pages_and_ways_out(county, rows):
    page = county.client("office").get("/structures/?condition=fair&q=road").content.decode()
    assert 'href="?q=road&amp;condition=fair&amp;sort=-number"' in page
    assert 'aria-sort="ascending"' in page
    assert re.search(r'href="/structures/export\.csv\?q=road&amp;condition=fair"', page)


@pytest.mark.parametrize("query", ["page=x", "page=99999999999999", "page=-1", "sort=drop", "q=%00", "q=" + "a" * 5000])
def test_odd_addresses_do_not_break_the_list(county, rows, query):
    assert county.client("office").get(f"/structures/?{query}").status_code == 200
