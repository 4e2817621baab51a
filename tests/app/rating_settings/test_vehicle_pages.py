"""Vehicles of the State entered, copied, changed and retired through the site."""

import re
from datetime import date, timedelta

import pytest

from inventory.actions import rating_vehicles
from inventory.models import Event, RatingSettings, RatingVehicle
from inventory.queries.rating import rated_vehicles, vehicles_in_use
from inventory.rules.refusals import Refused, Stale
from tests.makers.county import make_county
from tests.makers.vehicles import TYPED, vehicle_values

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def vehicle(county, now):
    return rating_vehicles.add_vehicle(
        agency=county.agency, values=vehicle_values(), by=county.people["engineer"], at=now
    )


def test_a_vehicle_is_entered_and_told(county):
    answer = county.client("engineer").post("/vehicles/new/", TYPED)
    row = RatingVehicle.objects.get()
    assert answer.status_code == 302 and answer.url == f"/vehicles/{row.pk}/"
    assert row.axles_kip == [14.0, 16.0, 17.0, 17.0] and row.gross_kip == 64.0
    event = Event.objects.get(verb="add_vehicle")
    assert event.by == county.people["engineer"] and event.agency == county.agency and "ST-4" in event.sentence
    assert RatingSettings.objects.get().revision == 1


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"axles": ", ".join(["8"] * 40)}, "40 axles"),
        ({"axles": "14, 0, 17, 17"}, "Axle 2 must weigh above 0"),
        ({"axles": "14, -16, 17, 17"}, "Axle 2 must weigh above 0"),
        ({"axles": "14, NaN, 17, 17"}, "“NaN” is not a weight"),
        ({"axles": "14, 1e999, 17, 17"}, "is not a weight"),
        ({"axles": ""}, "Write the axle weights"),
        ({"spacings": "10, 0, 4"}, "Spacing 2 must be above 0"),
        ({"spacings": "10, 4"}, "4 axles have 3 spacings"),
        ({"spacings": "10-14, 4, 4-9"}, "Only one spacing may vary"),
        ({"spacings": "10, 4, 201"}, "up to 200 ft"),
        ({"spacings": "14-10, 4, 4"}, "write the smaller one first"),
        ({"gross_kip": "54"}, "add up to 64 kip"),
        ({"gross_kip": "heavy"}, "Enter a number in digits"),
        ({"key": "TYPE3"}, "is a standard vehicle"),
        ({"key": "a, b"}, "short key"),
        ({"source": " "}, "Say which law"),
        ({"lane_klf": "0.64"}, "A lane load has three numbers"),
    ],
)
def test_bad_input_is_refused_beside_its_entry_and_kept(county, changed, said):
    answer = county.client("engineer").post("/vehicles/new/", TYPED | changed)
    page = answer.content.decode()
    assert answer.status_code == 422 and not RatingVehicle.objects.exists()
    assert said in page
    assert TYPED["source"] in page or "source" in changed, "what was typed stays in the page"


def test_a_key_is_the_agencys_own_only(county, vehicle, now):
    answer = county.client("engineer").post("/vehicles/new/", TYPED)
    assert answer.status_code == 422 and "You already have a vehicle ST-4" in answer.content.decode()
    other = make_county("Marrow County", "003")
    assert other.client("engineer").post("/vehicles/new/", TYPED).status_code == 302


def test_an_excess_over_a_federal_limit_warns_with_numbers_and_refuses_nothing(county, vehicle):
    """17 + 17 kip at 4 ft keep the 34,000 lb of a tandem (23 U.S.C. 127, checked-2nd); 20 + 20 do not.

    Formula B for four axles in 18 ft: 500 (18 x 4/3 + 48 + 36) = 54,000 lb.
    """
    page = county.client("crew").get(f"/vehicles/{vehicle.pk}/").content.decode()
    assert "weigh 64,000 lb within 18 ft; bridge formula B allows 54,000 lb" in page and "tandem limit" not in page
    county.client("engineer").post(
        "/vehicles/new/", TYPED | {"key": "ST-5", "axles": "14, 20, 20", "spacings": "12, 4", "gross_kip": "54"}
    )
    page = county.client("crew").get(f"/vehicles/{RatingVehicle.objects.get(key='ST-5').pk}/").content.decode()
    assert "Axles 2 to 3 weigh 40,000 lb within 4 ft; the tandem limit allows 34,000 lb" in page


def test_copy_of_a_standard_vehicle_carries_its_axles(county):
    page = county.client("engineer").get("/vehicles/new/?copy=TYPE3").content.decode()
    assert 'value="16, 17, 17"' in page and 'value="15, 4"' in page


def test_the_drawing_is_to_scale(county, vehicle):
    """Four wheels; the distances drawn between them are in the proportion 10 : 4 : 4."""
    page = county.client("reviewer").get(f"/vehicles/{vehicle.pk}/").content.decode()
    places = [float(x) for x in re.findall(r'class="axle"[^>]*cx="([\d.]+)"', page)]
    gaps = [b - a for a, b in zip(places, places[1:], strict=False)]
    assert len(places) == 4 and gaps[0] / gaps[1] == pytest.approx(2.5, rel=0.01)
    assert gaps[1] == pytest.approx(gaps[2], rel=0.01)


def test_only_engineer_and_administrator_change_vehicles(county, vehicle, now):
    for role, status in (("engineer", 200), ("administrator", 200), ("office", 403), ("inspector", 403)):
        assert county.client(role).get(f"/vehicles/{vehicle.pk}/edit/").status_code == status
        assert county.client(role).get("/vehicles/").status_code == 200
    with pytest.raises(Refused, match="needs the role"):
        rating_vehicles.edit_vehicle(
            vehicle=vehicle, values=vehicle_values(name="x"), revision=0, by=county.people["office"], at=now
        )


def test_two_people_do_not_save_over_each_other(county, vehicle, now):
    engineer = county.people["engineer"]
    values = vehicle_values(name="State dump truck")
    rating_vehicles.edit_vehicle(vehicle=vehicle, values=values, revision=0, by=engineer, at=now)
    with pytest.raises(Stale):
        rating_vehicles.edit_vehicle(vehicle=vehicle, values=vehicle_values(), revision=0, by=engineer, at=now)
    page = county.client("engineer").post(f"/vehicles/{vehicle.pk}/edit/", TYPED | {"stamp": "0", "name": "Mine"})
    assert page.status_code == 422 and "Somebody changed" in page.content.decode() and "Mine" in page.content.decode()


def test_a_retired_vehicle_is_kept_and_no_longer_rated(county, vehicle, now):
    client = county.client("engineer")
    refused = client.post(f"/vehicles/{vehicle.pk}/retire/", {"revision": 0, "reason": ""})
    assert refused.status_code == 422 and "Say why it is retired" in refused.content.decode()
    assert client.post(f"/vehicles/{vehicle.pk}/retire/", {"revision": 0, "reason": "law repealed"}).status_code == 302
    vehicle.refresh_from_db()
    assert vehicle.in_use_to is not None and RatingVehicle.objects.count() == 1
    assert not vehicles_in_use(county.agency, vehicle.in_use_to).exists()
    assert vehicles_in_use(county.agency, vehicle.in_use_to - timedelta(days=1)).get() == vehicle
    assert "retired" in client.get("/vehicles/").content.decode()
    again = client.post(f"/vehicles/{vehicle.pk}/retire/", {"revision": 1, "reason": "again"})
    assert again.status_code == 422 and "was retired already" in again.content.decode()


def test_the_last_vehicle_that_posts_cannot_be_retired(county, vehicle, now):
    RatingSettings.objects.update(standard_vehicles=["HS20"])
    with pytest.raises(Refused, match="no posting can be recommended"):
        rating_vehicles.retire_vehicle(vehicle=vehicle, revision=0, reason="x", by=county.people["engineer"], at=now)


def test_a_permit_vehicle_is_not_rated_with_every_structure(county, now):
    values = vehicle_values(key="P-1", vehicle_class="permit")
    rating_vehicles.add_vehicle(agency=county.agency, values=values, by=county.people["engineer"], at=now)
    assert vehicles_in_use(county.agency, date(2026, 6, 15)).count() == 1
    assert not rated_vehicles(county.agency, date(2026, 6, 15)).exists()
    assert RatingSettings.objects.get().revision == 0, "no structure is owed a rating for it"
