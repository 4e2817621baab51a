"""An inspection that rates one component says nothing of the others."""

from datetime import timedelta

import pytest

from inspections.actions.standing import refresh_standing
from inspections.models import Inspection
from inventory.models import Standing
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import DONE_ON, submitted

pytestmark = pytest.mark.django_db


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


def standing(bridge):
    return refresh_standing(structure=bridge, as_of=DONE_ON)


def test_a_special_inspection_of_the_deck_does_not_lift_a_poor_superstructure(county, bridge, now):
    """Poor is 4 or less of any component (23 CFR 490.409 [memory]): 3 of the superstructure stands beside deck 6."""
    by = county.people["inspector"]
    submitted(bridge, by, now, superstructure_rating="3", field_completed_on=DONE_ON - timedelta(days=200))
    special = submitted(bridge, by, now, kind="special", deck_rating="6")
    row = standing(bridge)
    assert (row.deck_rating, row.superstructure_rating, row.substructure_rating) == ("6", "3", "6")
    assert (row.condition_class, row.lowest_rating) == ("poor", 3)
    Inspection.objects.filter(pk=special.pk).update(state="sent_back")
    assert standing(bridge).deck_rating == "7", "sent back it does not speak"


def test_what_only_the_record_rated_stays_beside_it(county, bridge, now):
    Standing.objects.update_or_create(structure=bridge, defaults={"superstructure_rating": "4"})
    submitted(bridge, county.people["inspector"], now, kind="special", deck_rating="6")
    row = standing(bridge)
    assert (row.superstructure_rating, row.lowest_rating, row.condition_class) == ("4", 4, "poor")
