from datetime import timedelta

import pytest

from inspections.actions.restrict_now import restrict_now
from inventory.models import Sign
from tests.makers.county import make_stringer_bridge


@pytest.fixture(autouse=True)
def own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def sign(county, bridge, now) -> Sign:
    """One of the two signs ordered when the bridge was posted at 10 tons, ten days ago."""
    then, supervisor = now - timedelta(days=10), county.people["supervisor"]
    restrict_now(structure=bridge, restriction="posted", single_ton=10.0, reason="decay", by=supervisor, at=then)
    return Sign.objects.filter(posting__structure=bridge).order_by("pk").first()
