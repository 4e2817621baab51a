"""The kernel works where no framework is installed: every module of it imports with the framework blocked."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BLOCKED = ("django", "celery", "redis", "geopandas", "shapely")
ALLOWED = ("numpy", "scipy", "inventory")

SCRIPT = """
import importlib, pkgutil, sys

class Refuse:
    def find_spec(self, name, path=None, target=None):
        if name.split('.')[0] in {blocked!r}:
            raise ImportError('the kernel may not import ' + name)
        return None

sys.meta_path.insert(0, Refuse())
import inventory.mechanics
names = [m.name for m in pkgutil.walk_packages(inventory.mechanics.__path__, 'inventory.mechanics.')]
for name in names:
    importlib.import_module(name)
from inventory.mechanics import rating
outside = sorted({{m.split('.')[0] for m in sys.modules}} & {blocked_set!r})
print(len(names), outside)
"""


def test_kernel_imports_with_the_frameworks_blocked():
    script = SCRIPT.format(blocked=BLOCKED, blocked_set=set(BLOCKED))
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    count, outside = done.stdout.split(maxsplit=1)
    assert int(count) > 20
    assert outside.strip() == "[]"


def test_the_block_itself_works():
    """The hook above must refuse, or the test before proves nothing."""
    script = SCRIPT.format(blocked=BLOCKED, blocked_set=set(BLOCKED)) + "\nimport django\n"
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, timeout=120)
    assert done.returncode != 0
    assert "may not import django" in done.stderr


def test_kernel_reads_no_clock_file_or_chance():
    """Words that would give the kernel a clock, a file, a log or random numbers do not stand in its sources."""
    sources = sorted((ROOT / "inventory" / "mechanics").rglob("*.py"))
    assert sources
    for forbidden in ("import datetime", "import time", "import random", "import logging", "open(", "import os"):
        holders = [str(path.relative_to(ROOT)) for path in sources if forbidden in path.read_text(encoding="utf-8")]
        assert holders == [], f"{forbidden} in {holders}"
