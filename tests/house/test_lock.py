"""The locks: hashes everywhere, no addresses, one release of each package, and the check lock holds all of the other.

That every pin has a wheel for Python 3.11 and 3.13 needs a network: `ops/check` asks it (python -m ops.launch.lock).
"""

import re
import tomllib

import pytest
from packaging.requirements import Requirement

from ops.launch.lock import on_python, pins
from tests.house.tree import ROOT

LOCKS = {each: (ROOT / "ops" / each).read_text() for each in ("requirements.lock", "requirements-check.lock")}


@pytest.mark.parametrize("lock", LOCKS)
def test_every_pin_is_exact_and_has_hashes(lock):
    found = pins(LOCKS[lock])
    assert len(found) > 30
    for requirement, hashes in found:
        assert [each.operator for each in requirement.specifier] == ["=="], requirement
        assert hashes and all(re.fullmatch(r"sha256:[0-9a-f]{64}", each) for each in hashes), requirement


@pytest.mark.parametrize("lock", LOCKS)
def test_no_addresses(lock):
    """Nor a line of options, by which one would come in; hashes stand indented under their pin."""
    assert "://" not in LOCKS[lock]
    assert [line for line in LOCKS[lock].splitlines() if line.startswith("-")] == []


@pytest.mark.parametrize("version", ["3.11", "3.12", "3.13"])
def test_the_check_lock_holds_the_runtime_lock(version):
    small, large = (set(on_python(LOCKS[lock], version)) for lock in ("requirements.lock", "requirements-check.lock"))
    assert small <= large, small - large


@pytest.mark.parametrize("version", ["3.11", "3.13"])
def test_every_dependency_named_in_pyproject_is_locked(version):
    named = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    surroundings = {"python_version": version, "python_full_version": f"{version}.9"}
    for lock, wanted in (
        ("requirements.lock", named["dependencies"]),
        ("requirements-check.lock", named["dependencies"] + named["optional-dependencies"]["check"]),
    ):
        locked = {
            Requirement(line.split(" --hash")[0]).name.lower(): Requirement(line.split(" --hash")[0])
            for line in on_python(LOCKS[lock], version)
        }
        for text in wanted:
            requirement = Requirement(text)
            if requirement.marker is None or requirement.marker.evaluate(surroundings):
                pin = next(iter(locked[requirement.name.lower()].specifier)).version
                assert requirement.specifier.contains(pin), f"{lock}: {requirement} but locked at {pin}"
