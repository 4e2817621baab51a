"""Time to seed the demonstration county, against the general tool that copies its finished rows.

The general tool is the SQLite library's own dump and load of the same rows: what any program would need to write them.
"""

import sqlite3
import time
from datetime import date

import pytest
from django.db import connection

from ops.demo.seed import seed_county

pytestmark = [pytest.mark.bench, pytest.mark.only_long, pytest.mark.django_db(transaction=True)]


def test_seeding_time_is_reported(capsys):
    begun = time.perf_counter()
    agency, _ = seed_county(today=date(2026, 11, 2))
    seeding = time.perf_counter() - begun
    with capsys.disabled():
        if connection.vendor != "sqlite":
            print(f"\nseed: {agency.structures.count()} structures in {seeding:.1f} s on {connection.vendor}")
            return
        begun = time.perf_counter()
        with sqlite3.connect(":memory:") as copy:
            copy.executescript("\n".join(connection.connection.iterdump()))
        copying = time.perf_counter() - begun
        print(
            f"\nseed: {agency.structures.count()} structures with their ratings in {seeding:.1f} s; "
            f"copying the finished rows takes {copying:.2f} s, ratio {seeding / copying:.0f}"
        )
    # A person waits for this once, at the first start: a minute on a loaded machine is the most.
    assert seeding < 60
