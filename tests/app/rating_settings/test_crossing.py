"""Can this load cross? Both methods for that very load, from the standing snapshot, kept nowhere.

Permit live-load factors 1.40 among other traffic and 1.10 escorted and alone (Manual for Bridge Evaluation Table
6A.4.5.4.2a-1, memory): the same load alone has a factor 1.40/1.10 times as high, for RF = (C - D)/(gamma L).
"""

from dataclasses import replace

import pytest
from django.apps import apps

from inspections.actions.rate import owe_rating
from inspections.assembly.snapshot import Snapshot
from inspections.models import Rating
from inspections.reckoning.crossing import crossing_of
from inventory.actions import rating_vehicles
from inventory.mechanics.rating import CapCase
from inventory.mechanics.vehicle import STANDARD_VEHICLES
from inventory.models import MemberGroup, Posting
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import rated
from tests.makers.vehicles import vehicle_values

pytestmark = [pytest.mark.django_db, pytest.mark.database]
CRANE = {"vehicle": "", "axles": "12, 20, 20, 20, 20", "spacings": "12, 4.5, 30, 4.5", "circumstance": "traffic"}


@pytest.fixture
def bridge(county, now):
    structure = make_stringer_bridge(county.agency)
    rated(structure, county.people["inspector"], now)
    return structure


def ask(county, bridge, role="office", **changed):
    return county.client(role).get(f"/structures/{bridge.pk}/crossing/", CRANE | changed)


def rows():
    return {model._meta.label: model.objects.count() for model in apps.get_models()}


def test_the_answer_has_both_methods_and_is_kept_nowhere(county, bridge):
    before = rows()
    page = ask(county, bridge)
    text = page.content.decode()
    lines = [(line.method, line.level) for line, _shown in page.context["lines"]]
    assert lines == [
        ("Load and resistance factor", "permit"),
        ("Allowable stress", "inventory"),
        ("Allowable stress", "operating"),
    ]
    assert "46 tons" in text and "not a permit" in text and "Nothing is saved" in text
    after = rows()
    assert {k: v for k, v in after.items() if v != before[k]} in ({}, {"sessions.Session": after["sessions.Session"]})


def test_a_standard_truck_typed_gets_the_factors_of_its_rating(county, bridge):
    """A law: the same axles, the same factors, whichever door they come in by."""
    rating = Rating.objects.get(structure=bridge)
    stands = next(row for row in rating.results["governing"] if row["vehicle"] == "TYPE3")
    page = ask(county, bridge, axles="16 17 17", spacings="15 4")
    found = {line.level: line.rating_factor for line, _shown in page.context["lines"]}
    assert found["operating"] == pytest.approx(stands["operating_factor"], rel=1e-9)
    assert found["inventory"] == pytest.approx(stands["inventory_factor"], rel=1e-9)


def test_alone_and_escorted_is_one_point_four_over_one_point_one_times_as_high(county, bridge):
    snapshot = Snapshot.from_dict(Rating.objects.get(structure=bridge).snapshot)
    truck = STANDARD_VEHICLES["TYPE3S2"]
    alone, traffic = (crossing_of(snapshot, vehicle=truck, circumstance=c).permit for c in ("alone", "traffic"))
    assert alone.rating_factor == pytest.approx(traffic.rating_factor * 1.40 / 1.10, rel=1e-9)


def test_a_heavier_load_never_passes_where_a_lighter_one_does_not(county, bridge):
    light, heavy = (
        ask(county, bridge, axles="8, 10, 10", spacings="12, 4"),
        ask(county, bridge, axles="8, 40, 40", spacings="12, 4"),
    )
    assert "passes the screening" in light.content.decode() and "does not pass" not in light.content.decode()
    assert "does not pass the screening" in heavy.content.decode()
    for (low, _a), (high, _b) in zip(heavy.context["lines"], light.context["lines"], strict=True):
        assert low.rating_factor < high.rating_factor


def test_the_restriction_in_force_stands_against_it(county, bridge, now):
    Posting.objects.create(
        structure=bridge, restriction="posted", single_ton=10, source="adopted", decided_on=now.date()
    )
    text = ask(county, bridge, axles="8, 10, 10", spacings="12, 4").content.decode()
    assert "does not pass the screening" in text and "posted at 10 tons; this load weighs 14 tons" in text
    Posting.objects.update(restriction="closed", single_ton=None)
    assert "nothing may cross" in ask(county, bridge).content.decode()


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"axles": ", ".join(["8"] * 40)}, "40 axles"),
        ({"axles": "12, x"}, "is not a weight"),
        ({"spacings": "12"}, "5 axles have 4 spacings"),
        ({"gross_kip": "50"}, "add up to 92 kip"),
        ({"circumstance": "flying"}, "other traffic"),
        ({"vehicle": "999"}, "Choose one of the vehicles listed"),
    ],
)
def test_bad_input_is_refused_beside_its_entry_and_kept(county, bridge, changed, said):
    page = ask(county, bridge, **changed)
    assert page.status_code == 422 and said in page.content.decode()
    assert "axles" in changed or "12, 20, 20, 20, 20" in page.content.decode()


def test_a_permit_vehicle_on_record_is_chosen_and_anothers_is_not_offered(county, bridge, now):
    values = vehicle_values(key="P-1", vehicle_class="permit")
    mine = rating_vehicles.add_vehicle(agency=county.agency, values=values, by=county.people["engineer"], at=now)
    other = make_county("Marrow County", "003")
    theirs = rating_vehicles.add_vehicle(
        agency=other.agency, values=values | {"key": "P-9"}, by=other.people["engineer"], at=now
    )
    page = ask(county, bridge, vehicle=str(mine.pk), axles="", spacings="")
    assert page.status_code == 200 and page.context["answer"].gross_tons == 32.0
    assert "P-9" not in page.content.decode()
    assert ask(county, bridge, vehicle=str(theirs.pk), axles="", spacings="").status_code == 422


def test_what_is_not_rated_or_waits_says_so(county, bridge, now):
    bare = make_stringer_bridge(county.agency, number="Q-5")
    assert "has not been rated yet" in ask(county, bare).content.decode()
    owe_rating(structure=bridge, cause="an overlay", at=now)
    assert "Being rated again" in ask(county, bridge).content.decode()
    bare = make_stringer_bridge(county.agency, number="Q-6")
    MemberGroup.objects.filter(span__structure=bare).delete()
    rated(bare, county.people["inspector"], now)
    text = ask(county, bare).content.decode()
    assert "cannot be said" in text and "is on record; enter its size" in text


def test_a_weak_pile_cap_governs_the_load_too(county, bridge):
    """A law: a cap added never raises a factor, and one far too small governs."""
    snapshot = Snapshot.from_dict(Rating.objects.get(structure=bridge).snapshot)
    material = snapshot.cases[0].members[0].material
    cap = CapCase(
        label="cap", material=material, width_in=6.0, depth_in=10.0, pile_spacing_ft=9.0, pile_bearing_in=10.0,
        pile_count=3, after=snapshot.cases[0].label,
    )  # fmt: skip
    truck = STANDARD_VEHICLES["TYPE3"]
    without = crossing_of(snapshot, vehicle=truck, circumstance="alone")
    with_cap = crossing_of(replace(snapshot, caps=(cap,)), vehicle=truck, circumstance="alone")
    assert with_cap.permit.rating_factor < without.permit.rating_factor and "cap" in with_cap.permit.governs
    unknown = crossing_of(replace(snapshot, caps=(replace(cap, depth_in=0.0),)), vehicle=truck, circumstance="alone")
    assert not unknown.passes, "a cap that cannot be rated calls for the engineer"
