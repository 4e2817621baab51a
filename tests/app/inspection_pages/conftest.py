"""A bridge that can be rated, and a draft on it."""

import pytest

from inspections.actions.receive import open_inspection
from tests.makers.county import make_stringer_bridge


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def draft(county, bridge, now):
    return open_inspection(structure=bridge, kind="routine", by=county.people["inspector"], at=now)
