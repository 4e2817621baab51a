"""Ratings by both methods, all vehicles: one structure, and a county's or a State's worth on two worker processes.

There is no general tool that rates, so time and growth are reported: ten times the structures should take ten times as
long. A worker gets plain snapshots, as the queue's does, and keeps what the kernel remembers between structures, as the
queue's does; one structure alone is measured with nothing remembered. By default 20 and 200 structures, with
ops/check --long 200 and 2,000.
"""

from __future__ import annotations

import os
import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from statistics import median

import pytest

from inspections.assembly.snapshot import Snapshot
from inspections.reckoning.rating import rate_snapshot
from inventory.mechanics.rating import RatingPolicy
from tests.bench.test_envelope_bench import forget_everything
from tests.makers.mixed_structures import ALL_VEHICLES, SYSTEMS, mixed_snapshot, mixed_span

pytestmark = pytest.mark.bench

FEW, MANY = (200, 2000) if os.environ.get("SPANLEDGER_LONG") == "1" else (20, 200)
WORKERS, AT_ONCE = 2, 20


def one_structure(system: str, refined: bool) -> Snapshot:
    case = mixed_span(5, system=system, refined=refined)
    return Snapshot(as_of=mixed_snapshot(0).as_of, cases=(case,), policy=RatingPolicy(), vehicles=ALL_VEHICLES)


def fresh_seconds(snapshot: Snapshot, times: int = 5) -> float:
    taken = []
    for _ in range(times):
        forget_everything()
        begin = time.perf_counter()
        assert rate_snapshot(snapshot).is_rated
        taken.append(time.perf_counter() - begin)
    return median(taken)


def test_one_structure_by_both_methods(capsys):
    wanted = [(system, False) for system in SYSTEMS] + [("stress_laminated_deck", True), ("stress_laminated_t", True)]
    lines, slowest = [], 0.0
    for system, refined in wanted:
        taken = fresh_seconds(one_structure(system, refined))
        slowest = max(slowest, taken)
        lines.append(f"{system}{', refined distribution' if refined else ''} {taken * 1e3:.0f} ms")
    with capsys.disabled():
        print(f"\none span, both methods, {len(ALL_VEHICLES)} vehicles and HL-93: " + "; ".join(lines))
    # A person waits for a trial on the page.
    assert slowest < 5.0


def rate_some(plain: list[dict]) -> int:
    """In a worker process: how many of these snapshots were rated."""
    return sum(rate_snapshot(Snapshot.from_dict(each)).is_rated for each in plain)


def rated_by_workers(snapshots: list[dict]) -> tuple[float, int]:
    """Seconds on two worker processes that are already up, and how many were rated."""
    parts = [snapshots[start : start + AT_ONCE] for start in range(0, len(snapshots), AT_ONCE)]
    with ProcessPoolExecutor(WORKERS, mp_context=get_context("fork")) as workers:
        list(workers.map(rate_some, [[], []]))
        begin = time.perf_counter()
        rated = sum(workers.map(rate_some, parts))
        return time.perf_counter() - begin, rated


def test_growth_with_the_number_of_structures(capsys):
    forget_everything()
    plain = [mixed_snapshot(seed).as_dict() for seed in range(MANY)]
    speed = {}
    for count in (FEW, MANY):
        taken, rated = rated_by_workers(plain[:count])
        speed[count] = count / taken
        assert rated > 0.75 * count  # the others are refused in words: early decay of wood without grades
    growth = (MANY / speed[MANY]) / (FEW / speed[FEW]) / (MANY / FEW)
    with capsys.disabled():
        print(
            f"\nmixed structures on {WORKERS} worker processes: {FEW} at {speed[FEW]:.1f} a second, {MANY} at "
            f"{speed[MANY]:.1f} a second; time grows {growth:.2f} times as fast as the number (linear: 1)"
        )
    assert growth < 1.5
