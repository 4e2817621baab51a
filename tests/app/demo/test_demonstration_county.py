"""The demonstration county: complete, telling, and the same for the same seed and date."""

import hashlib
import json
from datetime import date

import pytest
from django.db import transaction

from inspections.models import Finding, Inspection, Rating, Recommendation, Reminder
from inventory.models import Bar, MemberGroup, Posting, Structure, SurfacingLayer, Treatment, Work
from inventory.vocabulary.structures import System
from ops.demo.seed import seed_county

TODAY = date(2026, 11, 2)
pytestmark = pytest.mark.django_db


def fingerprint() -> str:
    """Everything that would be seen, without the numbers the database gave the rows."""
    seen = []
    for model, fields in (
        (Structure, ("number", "road_name", "feature_crossed", "lon_deg", "lat_deg", "length_ft", "installed_on")),
        (MemberGroup, ("span__structure__number", "role", "count", "width_in", "depth_in", "grade")),
        (Inspection, ("structure__number", "kind", "state", "field_completed_on", "superstructure_rating")),
        (Finding, ("inspection__structure__number", "kind", "station_ft", "force_lb", "depth_in")),
        (SurfacingLayer, ("structure__number", "material", "thickness_in", "laid_on", "removed_on")),
        (Rating, ("structure__number", "is_rated", "least_factor", "as_of")),
        (Recommendation, ("structure__number", "state", "restriction", "single_ton", "made_on")),
        (Posting, ("structure__number", "restriction", "single_ton", "decided_on")),
        (Reminder, ("structure__number", "kind", "due_on", "state", "reason")),
    ):
        rows = sorted(json.dumps(row, default=str) for row in model.objects.values_list(*fields))
        seen.append(f"{model.__name__}: {rows}")
    return hashlib.sha256("\n".join(seen).encode()).hexdigest()


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


def test_same_seed_and_date_give_the_same_county(db):
    found = []
    for _ in range(2):
        with transaction.atomic():
            seed_county(today=TODAY)
            found.append(fingerprint())
            transaction.set_rollback(True)
    assert found[0] == found[1]
