"""Imports under bad luck: mutilated files, a process killed in the middle, two imports at once."""

import contextlib
import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inventory.models import FederalRecord, Standing, Structure
from tests.makers.record_files import record, write_records

ROOT = Path(__file__).resolve().parents[2]
LINES = 3000


@pytest.mark.django_db
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_mutilated_files_get_a_sentence_or_are_read(tmp_path, data):
    """Any cut, any run of strange bytes anywhere: a sentence or a report, never a traceback, never half a structure."""
    records = [record(i008=f"{number:015d}") for number in range(1, 4)]
    content = bytearray(write_records(tmp_path / "a.txt", records).read_bytes())
    start = data.draw(st.integers(0, len(content)))
    length = data.draw(st.integers(0, 200))
    junk = data.draw(st.binary(max_size=60))
    content[start : start + length] = junk
    path = tmp_path / "b.txt"
    path.write_bytes(bytes(content[: data.draw(st.integers(0, len(content)))]))
    out = StringIO()
    with contextlib.suppress(CommandError, SystemExit):
        call_command("import_records", str(path), "--json", stdout=out)
    report = json.loads(out.getvalue())
    if "error" in report:
        assert report["error"].endswith((".", ")."))
    else:
        counted = ("new", "changed", "same", "held", "refused_rows", "under_routes", "not_asked")
        assert report["read"] == sum(report[name] for name in counted)
    assert Structure.objects.count() == FederalRecord.objects.count() == Standing.objects.count()


@pytest.fixture
def site(tmp_path):
    """A site of its own on disk, for processes of their own."""
    environment = os.environ | {"SPANLEDGER_STATE": str(tmp_path / "state")}
    environment.pop("DATABASE_URL", None)

    def manage(*arguments) -> subprocess.Popen:
        return subprocess.Popen(
            [sys.executable, "manage.py", *arguments],
            cwd=ROOT,
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    assert manage("migrate", "-v0").wait(120) == 0
    manage.database = tmp_path / "state" / "spanledger.sqlite3"
    return manage


def counts(database: Path) -> set[int]:
    with contextlib.closing(sqlite3.connect(database)) as connection:
        tables = ("structure", "federalrecord", "standing")
        return {connection.execute(f"SELECT count(*) FROM inventory_{table}").fetchone()[0] for table in tables}


def many(path: Path) -> Path:
    return write_records(path, [record(i008=f"{number:015d}") for number in range(1, LINES + 1)])


def test_killed_in_the_middle_leaves_all_or_nothing(site, tmp_path):
    """Kill -9 at moments of a seeded dice, from start-up to after the commit."""
    path = many(tmp_path / "a.txt")
    dice = random.Random(1995)
    for _ in range(5):
        process = site("import_records", str(path))
        time.sleep(dice.uniform(0.3, 2.2))
        process.send_signal(signal.SIGKILL)
        process.wait(30)
        assert counts(site.database) in ({0}, {LINES})
    assert site("import_records", str(path)).wait(120) == 0
    assert counts(site.database) == {LINES}


def test_two_at_once_make_no_doubles(site, tmp_path):
    path = many(tmp_path / "a.txt")
    together = [site("import_records", str(path), "--json") for _ in range(2)]
    reports = [json.loads(process.communicate(timeout=120)[0]) for process in together]
    assert sorted((report["new"], report["same"]) for report in reports) == [(0, LINES), (LINES, 0)]
    assert counts(site.database) == {LINES}
