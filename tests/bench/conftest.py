"""Benches measure; they run only when asked for with `-m bench`, so that an ordinary run stays short."""

import pytest


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config, items):
    if "bench" in (config.option.markexpr or ""):
        return
    dropped = [item for item in items if item.get_closest_marker("bench")]
    if dropped:
        config.hook.pytest_deselected(items=dropped)
        items[:] = [item for item in items if not item.get_closest_marker("bench")]
