import pytest

from inspections.models import Inspection, Recommendation
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import decay, submitted


@pytest.fixture(autouse=True)
def own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def people(county):
    return county.people


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def judged(bridge, people, now):
    """Rated and awaiting review, by the shortest way to that state."""
    inspection = submitted(bridge, people["inspector"], now, [decay(bridge)])
    Inspection.objects.filter(pk=inspection.pk).update(state="rated")
    inspection.refresh_from_db()
    return inspection


@pytest.fixture
def proposal(bridge, now):
    """A recommendation that waits for the engineer: 12 tons."""
    return Recommendation.objects.create(
        structure=bridge,
        restriction="posted",
        single_ton=12.0,
        reasons=["The stringers are decayed."],
        changes_sign=True,
        needs_review_now=True,
        made_on=now.date(),
    )
