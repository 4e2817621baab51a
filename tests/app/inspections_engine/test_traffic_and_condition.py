"""Trucks a day and the condition rating reach the factors of load and resistance factor rating.

Legal live-load factors: 1.45 for 5,000 trucks a day one way and where not known, 1.30 for 1,000 and fewer, linear
between; phi_c 1.00 for a rating of 6 and more, 0.95 for 5, 0.85 for 4 and less (Manual for Bridge Evaluation 6A.4.2.3,
6A.4.4.2.3, memory).
"""

import pytest

from inspections.assembly.snapshot import assemble_snapshot
from inspections.assembly.traffic import circumstances, trucks_a_day
from inspections.models import Rating
from inspections.pages.carrying import load_factor_rows
from inventory.models import Standing, Structure
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import DONE_ON, rated

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def made(county, **fields):
    return make_stringer_bridge(county.agency, **fields)


def test_the_record_speaks_first_and_what_is_computed_says_so(county):
    assert trucks_a_day(made(county, number="A", adtt=40, adt=9000, truck_pct=50)) == (40, [])
    # Half of 5 % of 410 vehicles is 10.25: rounded up to 11.
    trucks, said = trucks_a_day(made(county, number="B", adt=410, truck_pct=5))
    assert trucks == 11 and "half of 5 % of 410 vehicles [model]" in said[0]
    trucks, said = trucks_a_day(made(county, number="C", adt=410))
    assert trucks is None and "greatest live-load factor" in said[0]


@pytest.mark.parametrize(("adtt", "factor"), [(None, 1.45), (5000, 1.45), (1000, 1.30), (3000, 1.375), (0, 1.30)])
def test_trucks_a_day_choose_the_live_factor(county, now, adtt, factor):
    bridge = made(county, adtt=adtt)
    rated(bridge, county.people["inspector"], now)
    rows = Rating.objects.get(structure=bridge).results["load_factor"]
    legal = {row["vehicle"]: row["live_factor"] for row in rows if row["level"] == "legal"}
    assert legal["TYPE3"] == pytest.approx(factor)


@pytest.mark.parametrize(
    ("code", "factor"), [("7", 1.0), ("6", 1.0), ("5", 0.95), ("4", 0.85), ("0", 0.85), ("N", 0.85)]
)
def test_the_superstructures_rating_chooses_the_condition_factor(county, now, code, factor):
    bridge = made(county)
    rated(bridge, county.people["inspector"], now, superstructure_rating=code)
    page = county.client("reviewer").get(f"/structures/{bridge.pk}/")
    rating = Rating.objects.get(structure=bridge)
    found = {row["vehicle"]: row for row in load_factor_rows(rating)}
    assert found["TYPE3"]["resistance_factor"] == pytest.approx(factor)
    text = page.content.decode()
    assert "By load and resistance factors" in text and "How this county rates" in text
    assert ("is on record: load and resistance factors take it as poor" in " ".join(rating.results["notes"])) == (
        code == "N"
    )


def test_a_rating_sent_back_does_not_speak_and_the_register_does_where_no_inspection_did(county, now):
    bridge = made(county)
    Standing.objects.filter(structure=bridge).update(superstructure_rating="5")
    assert circumstances(structure=bridge, as_of=DONE_ON).superstructure == 5
    inspection = rated(bridge, county.people["inspector"], now, superstructure_rating="3")
    assert circumstances(structure=bridge, as_of=DONE_ON).superstructure == 3
    inspection.state = "sent_back"
    inspection.save()
    Standing.objects.filter(structure=bridge).update(superstructure_rating="")
    assert circumstances(structure=bridge, as_of=DONE_ON).superstructure is None


def test_the_office_enters_trucks_a_day_and_a_rating_follows(county, now):
    bridge = made(county)
    client = county.client("office")
    form = client.get(f"/structures/{bridge.pk}/edit/").context["form"]
    typed = {name: value for name, value in form.initial.items() if value not in (None, False)}
    stamp = client.get(f"/structures/{bridge.pk}/edit/").context["stamp"]
    answer = client.post(f"/structures/{bridge.pk}/edit/", typed | {"adtt": "35", "stamp": stamp})
    bridge = Structure.objects.get(pk=bridge.pk)
    assert answer.status_code == 302 and bridge.adtt == 35 and bridge.revision == 1
    assert assemble_snapshot(structure=bridge, as_of=DONE_ON).cases[0].adtt == 35
    refused = client.post(f"/structures/{bridge.pk}/edit/", typed | {"adtt": "-4", "stamp": stamp})
    assert refused.status_code == 422 and "Trucks a day" in refused.content.decode()
