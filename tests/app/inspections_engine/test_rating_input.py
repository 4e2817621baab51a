"""A rating's input leaves the site as a file; rating that file gives the same digest and the same factors."""

import json

import pytest
from django.urls import reverse

from inspections.models import Rating
from inspections.reckoning.rating_file import rate_bridge, read_bridges
from inventory.models import Railing
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import bar_readings, decay, make_stressed_deck, rated

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def void(structure) -> dict:
    return decay(structure, kind="internal_void", face="", width_in=2.0, height_in=5.0, offset_in=-1.0, depth_in=None)


@pytest.mark.parametrize("made", ["stringers", "stressed deck", "slack deck", "nothing known"])
def test_the_input_of_a_rating_rated_from_a_file_is_the_same_rating(county, now, made):
    if made in ("stringers", "nothing known"):
        structure = make_stringer_bridge(county.agency)
        findings = [decay(structure), void(structure)]
        Railing.objects.create(structure=structure, kind="rail", side="both", weight_plf=40.0)
    else:
        structure = make_stressed_deck(county.agency)
        findings = bar_readings(structure, 60_000.0 if made == "stressed deck" else 2_000.0)
    if made == "nothing known":
        structure.spans.all().delete()
        findings = []
    rated(structure, county.people["inspector"], now, findings)
    rating = Rating.objects.get()
    answer = county.client("reviewer").get(reverse("inspections:rating_input", args=[rating.pk]))
    assert answer.headers["Content-Disposition"] == f'attachment; filename="rating-{rating.pk}.json"'
    (bridge,) = read_bridges(answer.content)
    again = json.loads(json.dumps(rate_bridge(bridge, curve=made == "stressed deck")))
    kept = {name: value for name, value in rating.results.items() if name != "force_curve" or made == "stressed deck"}
    assert again["digest"] == rating.digest
    assert again["is_rated"] == rating.is_rated
    assert again["results"] == kept
    assert (again["reasons"], again["flags"], again["trace"]) == (rating.reasons, rating.flags, rating.trace)


def test_the_calculation_page_offers_it_to_its_own_county_only(county, now):
    structure = make_stringer_bridge(county.agency)
    rated(structure, county.people["inspector"], now)
    rating = Rating.objects.get()
    address = reverse("inspections:rating_input", args=[rating.pk])
    assert address in county.client("crew").get(reverse("inspections:calculation", args=[rating.pk])).content.decode()
    assert make_county("Marrow County", "003").client("engineer").get(address).status_code == 404
