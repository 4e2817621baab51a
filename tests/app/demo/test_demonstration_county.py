"""The demonstration county: complete, telling, and the same for the same seed and date."""

from datetime import date

import pytest
from django.db import transaction

from inspections.models import Finding, Inspection, Rating, Recommendation
from inventory.models import Bar, SurfacingLayer, Treatment, Work
from inventory.vocabulary.structures import System
from ops.demo.seed import seed_county

TODAY = date(2026, 11, 2)
pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def county(django_db_setup, django_db_blocker):
    """Seeded once for the module, taken away at its end."""
    with django_db_blocker.unblock(), transaction.atomic():
        agency, _ = seed_county(today=TODAY)
        yield agency
        transaction.set_rollback(True)


def test_every_system_stands_and_there_are_enough(county):
    assert county.structures.count() >= 45
    systems = set(county.structures.values_list("system", flat=True))
    assert systems >= {system.value for system in System} - {"unknown", "other"}


def test_history_reaches_back_a_quarter_of_a_century(county):
    first = Inspection.objects.filter(structure__agency=county).order_by("field_completed_on").first()
    assert (TODAY - first.field_completed_on).days > 24 * 365
    assert Bar.objects.exists() and Treatment.objects.exists() and Work.objects.filter(kind="retension").exists()
    assert Finding.objects.filter(kind="bar_force", inspection__kind="bar_check").count() > 100


def test_awkward_structures_are_there(county):
    standing = county.structures.select_related("standing")
    assert standing.filter(standing__restriction="posted").count() >= 3
    assert standing.filter(standing__restriction="closed").exists()
    assert standing.filter(standing__bar_state="slack").exists()
    assert standing.filter(lon_deg__isnull=True).exists()
    assert standing.filter(standing__missing_count__gt=0).count() >= 3
    assert standing.filter(standing__next_due_on__lt=TODAY).exists()
    assert Recommendation.objects.filter(state="proposed").exists()
    assert Inspection.objects.filter(state="draft").exists() and Inspection.objects.filter(state="sent_back").exists()


def test_overlay_took_the_capacity(county):
    """Trade fact (common practice, no source): dead load laid on a short timber span comes off what it may carry."""
    overlaid = SurfacingLayer.objects.filter(note__startswith="two lifts", removed_on__isnull=True)
    assert overlaid.count() >= 2
    for layer in overlaid:
        rating = Rating.objects.filter(structure=layer.structure, is_rated=True).first()
        assert rating is not None and rating.least_factor < 1.0


def test_a_bridge_whose_stringers_run_through_is_rated_over_its_pier(county):
    """Statics: what runs over a pier hogs there; no simple span does."""
    bridge = county.structures.get(spans__continuous_with_next=True)
    rating = Rating.objects.filter(structure=bridge).first()
    assert rating.is_rated
    states = {row["limit_state"] for span in rating.results["spans"] for row in span["results"]}
    assert "hogging" in states
