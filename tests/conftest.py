"""Fixtures shared by every suite."""

import os
import zlib
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import settings as hypothesis_settings

# The same examples at every run; the long run looks for new ones.
LONG = os.environ.get("SPANLEDGER_LONG") == "1"
hypothesis_settings.register_profile("same", derandomize=not LONG)
hypothesis_settings.load_profile("same")

REQUIRE_ALL = os.environ.get("SPANLEDGER_REQUIRE_ALL") == "1"


def absent(what: str) -> None:
    """Skip where a check's outside material is missing; fail where everything is required."""
    if REQUIRE_ALL:
        pytest.fail(f"{what} is missing, and SPANLEDGER_REQUIRE_ALL=1 says that nothing may be left out.")
    pytest.skip(f"{what} is missing")


def pytest_addoption(parser):
    parser.addoption(
        "--share", type=int, default=1, metavar="N", help="run one in N, chosen by name; all of tests/faults"
    )


def pytest_collection_modifyitems(config, items):
    """Whatever touches the database belongs to the suite that runs again on PostgreSQL, whole or a share of it."""
    for item in items:
        touches = {"db", "transactional_db", "live_server"} & set(getattr(item, "fixturenames", ()))
        if touches or item.get_closest_marker("django_db"):
            item.add_marker(pytest.mark.database)
    left_out = {item for item in items if item.get_closest_marker("only_long") and not LONG}
    share = config.getoption("--share")
    for item in items:
        if "tests/faults/" not in item.nodeid and zlib.crc32(item.nodeid.encode()) % share:
            left_out.add(item)
    if left_out:
        config.hook.pytest_deselected(items=list(left_out))
        items[:] = [item for item in items if item not in left_out]


@pytest.fixture(scope="session")
def shared_data() -> Path:
    """The folder of public data files, which are not shipped with the project."""
    root = Path(__file__).resolve().parent.parent
    folder = Path(os.environ.get("SPANLEDGER_SHARED", root.parent / "shared")) / "data"
    if not folder.is_dir():
        absent(f"the public data folder ({folder})")
    return folder


@pytest.fixture(autouse=True)
def plain_static(settings):
    """Pages under test need no collected static files."""
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def now() -> datetime:
    """A fixed moment: time is an argument everywhere."""
    return datetime(2026, 6, 15, 12, 0, tzinfo=UTC)


@pytest.fixture
def county(db):
    """An agency with one person in every role; `county.people["engineer"]`, `county.client("engineer")`."""
    from tests.makers.county import make_county

    return make_county()
