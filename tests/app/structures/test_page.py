"""A structure's page: the histories and the federal record stand on it, and it asks no more queries as they grow."""

import re
from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inventory.models import FederalRecord, MemberGroup, Posting, Sign, Span, SurfacingLayer, Treatment, Work
from inventory.vocabulary.record_1995.columns import COLUMNS
from tests.makers.county import make_stringer_bridge


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency, owner_code="02", adt=120)


def page(county, bridge, role="office") -> str:
    response = county.client(role).get(f"/structures/{bridge.pk}/")
    assert response.status_code == 200
    return re.sub(r"\s+", " ", response.content.decode())


def add_history(bridge, times: int) -> None:
    for place in range(times):
        year = 2000 + place
        SurfacingLayer.objects.create(
            structure=bridge, material="asphalt", thickness_in=1 + place, unit_weight_pcf=144, laid_on=date(year, 5, 1)
        )
        Treatment.objects.create(structure=bridge, kind="surface", preservative="borate", treated_on=date(year, 6, 1))
        Work.objects.create(structure=bridge, kind="cleaning", done_on=date(year, 7, 1), summary=f"Deck swept {year}")
        posting = Posting.objects.create(
            structure=bridge,
            restriction="posted",
            single_ton=10 + place,
            source="adopted",
            decided_on=date(year, 8, 1),
            superseded_on=date(year + 1, 1, 1),
        )
        Sign.objects.create(posting=posting, approach="north", code="R12-1", legend=f"WEIGHT LIMIT {10 + place} TONS")
        span = Span.objects.create(structure=bridge, index=10 + place, length_ft=15, system="sawn_stringer")
        MemberGroup.objects.create(span=span, role="stringer", count=8, width_in=6, depth_in=14, spacing_ft=2)


def test_every_history_is_on_the_page(county, bridge):
    add_history(bridge, 2)
    text = page(county, bridge)
    for words in ("Deck swept 2001", "Borate", "WEIGHT LIMIT 11 TONS", "2.0 in asphalt", "County highway agency"):
        assert words.lower() in text.lower(), words
    # 1 in and 2 in of asphalt at 144 lb/ft3: 3/12 x 144 = 36 lb/ft2
    assert "36.0 lb/ft²" in text


def test_the_page_asks_the_same_queries_for_a_long_history_as_for_a_short_one(county, bridge):
    client, counts = county.client("office"), []
    for more in (1, 12):
        add_history(bridge, more) if more == 1 else _more(bridge)
        with CaptureQueriesContext(connection) as asked:
            assert client.get(f"/structures/{bridge.pk}/").status_code == 200
        counts.append(len(asked))
    assert counts[0] == counts[1]


def _more(bridge) -> None:
    """Eleven more of everything but spans: other rooms draw a figure for each span."""
    for place in range(11):
        Treatment.objects.create(
            structure=bridge, kind="surface", preservative="borate", treated_on=date(2011 + place, 6, 1)
        )
        Work.objects.create(structure=bridge, kind="cleaning", done_on=date(2011 + place, 7, 1), summary="Swept")
        MemberGroup.objects.create(span=bridge.spans.first(), role="cap", count=1, width_in=12, depth_in=12)
        posting = Posting.objects.create(
            structure=bridge,
            restriction="posted",
            single_ton=10,
            source="adopted",
            decided_on=date(2011 + place, 8, 1),
            superseded_on=date(2012 + place, 1, 1),
        )
        Sign.objects.create(posting=posting, approach="north", code="R12-1", legend="WEIGHT LIMIT 10 TONS")


def test_the_federal_record_is_shown_by_item_with_its_meaning(county, bridge):
    assert 'id="record"' not in page(county, bridge)
    texts = ["02" if column.item == "022" else "Z9" if column.item == "043B" else None for column in COLUMNS]
    FederalRecord.objects.create(structure=bridge, texts=texts, digest="0")
    text = page(county, bridge)
    assert 'id="record"' in text and "2 items" in text
    assert "<td>22</td><td>Owner</td><td>02</td><td>county highway agency</td>" in text
    assert "<td>Z9</td><td></td>" in text, "a code nobody knows is shown raw, without a meaning"


def test_who_only_reads_sees_no_way_to_change(county, bridge):
    text = page(county, bridge, "reviewer")
    assert "/edit/" not in text and "/record/" not in text and "/spans/" not in text
    assert "/edit/" in page(county, bridge, "office")
