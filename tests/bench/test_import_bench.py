"""Import of 10,000 rows against pandas reading and storing the same rows, in one run on one machine.

The rows are the public sample repeated under new structure numbers. The general tool does read_csv and to_sql into
SQLite: 123 columns of one table, nothing checked, no index. The import checks every value, tells new from changed, and
writes structures, records, standings and postings with their indexes and constraints. Both write to a file and commit.
"""

import sqlite3
import time
from datetime import date

import pandas
import pytest
from django.conf import settings
from django.db import connection
from django.utils import timezone

from inventory.actions.import_records import import_records
from inventory.models import Structure
from inventory.reckoning.import_report import report_of
from inventory.reckoning.record_import import Asked
from inventory.records.record_file import open_record_file
from tests.makers.record_files import repeated

ROWS = 10_000
AIM = 3.0
# The machine of a test run is shared and its database may live in memory or far away: only a collapse fails the run.
FAIL_OVER = 12.0


def with_pandas(path, database) -> float:
    database.unlink(missing_ok=True)
    start = time.perf_counter()
    frame = pandas.read_csv(path, quotechar="'", encoding="latin-1", dtype=str)
    with sqlite3.connect(database) as target:
        for pragma in ("journal_mode=WAL", "synchronous=FULL"):
            target.execute(f"PRAGMA {pragma}")
        frame.to_sql("records", target, index=False)
    target.close()
    assert len(frame) == ROWS
    return time.perf_counter() - start


def with_import(path) -> float:
    start = time.perf_counter()
    record_file = open_record_file(path, max_bytes=settings.RECORD_FILE_MAX_BYTES)
    report = report_of(record_file.header, path.name, record_file.sha256())
    asked = Asked(date(2026, 6, 15))
    import_records(record_file.rows(asked.as_of), asked, report, by=None, at=timezone.now())
    assert report.read == ROWS
    return time.perf_counter() - start


@pytest.mark.bench
@pytest.mark.django_db(transaction=True)
def test_import_against_a_general_tool(shared_data, tmp_path, capsys):
    path = repeated(shared_data / "nbi/AK19-timber.txt", tmp_path / "many.txt", ROWS)
    imports, again, general = [], [], []
    for _ in range(3):
        Structure.objects.all().delete()
        imports.append(with_import(path))
        assert Structure.objects.count() == ROWS
        again.append(with_import(path))
        general.append(with_pandas(path, tmp_path / "pandas.sqlite3"))
    ratio = min(imports) / min(general)
    with capsys.disabled():
        print(
            f"\nimport of {ROWS} rows ({connection.vendor}): {min(imports):.2f} s; again: {min(again):.2f} s; "
            f"pandas read_csv and to_sql: {min(general):.2f} s; ratio {ratio:.1f}, aim {AIM:g}"
        )
    if connection.vendor == "sqlite":  # a server across a socket is no measure against a file
        assert ratio < FAIL_OVER
