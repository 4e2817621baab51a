"""Photographs of a test go into its own folder."""

import pytest


@pytest.fixture(autouse=True)
def own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
