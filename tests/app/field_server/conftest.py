"""A bridge, an inspector signed in, and a folder of files of its own."""

import pytest

from tests.makers.county import make_stringer_bridge


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


@pytest.fixture
def inspector(county):
    return county.client("inspector")


@pytest.fixture(autouse=True)
def own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return tmp_path
