"""Ratings and events are written once; the database refuses a change even where the code forgot the rule."""

import pytest
from django.db import IntegrityError, transaction

from inspections.actions import rate
from inspections.models import OwedRating, Rating
from inventory.models import Event
from tests.makers.county import make_stringer_bridge

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def test_rating_and_event_cannot_be_changed(county, now):
    structure = make_stringer_bridge(county.agency)
    rate.owe_rating(structure=structure, cause="first", at=now)
    rate.settle_owed_rating(owed_id=OwedRating.objects.get(structure=structure).pk, at=now)
    rating = Rating.objects.get(structure=structure)
    with pytest.raises(IntegrityError, match="never changed"), transaction.atomic():
        Rating.objects.filter(pk=rating.pk).update(least_factor=9.0)
    with pytest.raises(IntegrityError, match="never changed"), transaction.atomic():
        Event.objects.filter(structure=structure).update(sentence="Nothing happened.")
    rating.refresh_from_db()
    assert rating.least_factor < 9.0
