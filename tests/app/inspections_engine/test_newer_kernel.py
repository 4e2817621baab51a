"""A changed calculation rates every structure anew, once."""

import pytest

from inspections import tasks
from inspections.actions import rate
from inspections.models import OwedRating, Rating
from tests.makers.county import make_stringer_bridge

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def test_a_newer_kernel_owes_a_rating_once(county, now, monkeypatch):
    structure = make_stringer_bridge(county.agency)
    rate.owe_rating(structure=structure, cause="first", at=now)
    tasks.sweep_owed_ratings()
    assert Rating.objects.filter(structure=structure).count() == 1
    tasks.sweep_owed_ratings()
    assert OwedRating.objects.filter(structure=structure).count() == 1, "the same kernel owes nothing"
    monkeypatch.setattr(rate, "KERNEL_VERSION", "999.0")
    assert rate.owe_for_this_kernel(at=now) == 1
    assert rate.owe_for_this_kernel(at=now) == 0, "it waits already"
    owed = OwedRating.objects.get(structure=structure, state="owed")
    assert "999.0" in owed.cause
    # Even where the new calculation gives up, it is not asked for again and again.
    owed.state = "failed"
    owed.save()
    assert rate.owe_for_this_kernel(at=now) == 0


def test_a_structure_never_rated_is_not_owed_one(county, now):
    make_stringer_bridge(county.agency)
    assert rate.owe_for_this_kernel(at=now) == 0
