"""Forecast of bar force: one row of 200 readings, growth with the number of rows, a general tool on the same work.

The general tool is used plainly, as a person would: `scipy.optimize.least_squares` fits each published form to a row's
readings, and a bootstrap of 40 resamples gives the band on every day the forecast shows. It pools nothing, so it does
less. Histories are simulated with known losses (logarithmic, a 0.08 to 0.18), eight bars, three stressings.
"""

from __future__ import annotations

import os
import time
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context

import numpy as np
import pytest
from scipy.optimize import least_squares

from inventory.mechanics.bars.loss import (
    BarRow,
    ForceRead,
    LossPolicy,
    Stressed,
    fit_row,
    forecast,
    pool,
    remaining_ratio,
)

pytestmark = pytest.mark.bench

POLICY = LossPolicy()
STRESSED_ON = (0.0, 7.0, 49.0)
TARGET_LB, TODAY, AHEAD_DAYS, RESAMPLES = 57_600.0, 3650.0, 20 * 365.25, 40
SIZES = (250, 500, 1000) if os.environ.get("SPANLEDGER_LONG") == "1" else (60, 120, 240)
NIGHT_ROWS = 5000
ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS")


def history(seed: int, reading_count: int = 40) -> BarRow:
    """A row of eight bars read four at a time over ten years."""
    random = np.random.default_rng(seed)
    slope = random.uniform(0.08, 0.18)
    days = np.sort(random.uniform(60.0, TODAY, reading_count // 4))
    own = random.normal(0.0, 0.08, 8)
    readings = []
    for day in days:
        left = remaining_ratio(form="logarithmic", day=float(day), stressed_on=STRESSED_ON, log_slope_ratio=slope)
        for bar in random.choice(8, 4, replace=False):
            force = TARGET_LB * left * np.exp(own[bar] + random.normal(0.0, 0.06))
            readings.append(ForceRead(on_day=float(round(day)), bar_index=int(bar), force_lb=float(force)))
    return BarRow(
        label=f"row {seed}",
        kind="deck mid",
        stations_ft=tuple(2.0 + 4.0 * at for at in range(8)),
        length_ft=32.0,
        thickness_in=12.0,
        target_lb=TARGET_LB,
        stressed=tuple(Stressed(on_day=day) for day in STRESSED_ON),
        readings=tuple(readings),
    )


def whole_night(rows: list[BarRow]) -> list:
    """What the night does with rows of one kind: fit all, pool, forecast each."""
    lent = pool([fit_row(row, POLICY, TODAY) for row in rows], POLICY)
    return [ahead(row, lent) for row in rows]


def ahead(row: BarRow, lent=None):
    return forecast(row, policy=POLICY, pool=lent, from_day=TODAY, days_ahead=AHEAD_DAYS, need_psi=(52.0, 40.0))


def part_of_night(first: int, count: int) -> tuple[float, float]:
    """Seconds on the clock and of the processor for the night of ``count`` rows."""
    rows = [history(seed) for seed in range(first, first + count)]
    clock, processor = time.perf_counter(), time.process_time()
    whole_night(rows)
    return time.perf_counter() - clock, time.process_time() - processor


@contextmanager
def workers(count: int):
    """Processes as the night has them: fresh, one thread of arithmetic each, their grids already made."""
    kept = {name: os.environ.get(name) for name in ONE_THREAD}
    os.environ.update(dict.fromkeys(ONE_THREAD, "1"))
    try:
        with ProcessPoolExecutor(count, mp_context=get_context("spawn")) as pool_of:
            list(pool_of.map(part_of_night, range(count), [3] * count))
            yield pool_of
    finally:
        for name, value in kept.items():
            os.environ.pop(name) if value is None else os.environ.update({name: value})


def by_general_tool(row: BarRow, days: np.ndarray) -> np.ndarray:
    """(2 forms, 2 edges, days) of mean force over target, by least squares and a bootstrap over readings."""
    random = np.random.default_rng(1)
    read_on = np.array([each.on_day for each in row.readings])
    forces = np.array([each.force_lb for each in row.readings]) / TARGET_LB

    def kept(form: str, values, day):
        def one(elapsed):
            if form == "logarithmic":
                return np.maximum(1.0 - values[0] * np.log10(1.0 + np.maximum(elapsed, 0.0)), 0.0)
            return values[0] + (1.0 - values[0]) * np.exp(-np.maximum(elapsed, 0.0) / values[1])

        steps = []
        for at, on in enumerate(STRESSED_ON):
            steps.append(
                1.0 - sum(step * one(on - before) for step, before in zip(steps, STRESSED_ON[:at], strict=True))
            )
        return sum(step * one(day - on) for step, on in zip(steps, STRESSED_ON, strict=True))

    edges = []
    for form, start, bounds in (
        ("logarithmic", [0.13], ([0.0], [0.6])),
        ("exponential", [0.5, 180.0], ([0.01, 10.0], [0.99, 3000.0])),
    ):
        found = []
        for resample in range(RESAMPLES + 1):
            of = np.arange(len(forces)) if not resample else random.integers(0, len(forces), len(forces))
            fitted = least_squares(
                lambda values, of=of, form=form: (kept(form, values, read_on[of]) - forces[of]) / (0.05 * forces[of]),
                start,
                bounds=bounds,
                x_scale=start,
            )
            found.append(kept(form, fitted.x, days))
        edges.append(np.quantile(found, [0.1, 0.9], axis=0))
    return np.array(edges)


def one_row(reading_count: int) -> tuple[float, float, float]:
    """Seconds on the clock, of the processor, and of the processor by the general tool, for one row's forecast."""
    row = history(1, reading_count)
    assert len(row.readings) == reading_count
    clock, processor = time.perf_counter(), time.process_time()
    made = ahead(row)
    clock, processor = time.perf_counter() - clock, time.process_time() - processor
    before = time.process_time()
    by_general_tool(row, np.array([point.on_day for point in made.points]))
    return clock, processor, time.process_time() - before


def test_one_row_of_200_readings(capsys):
    """Interactive: well under a second, with nothing kept but what a running site keeps (its grids)."""
    with workers(1) as one:
        clock, ours, theirs = min(one.submit(one_row, 200).result() for _ in range(3))
    with capsys.disabled():
        print(
            f"\nforecast: one row, 200 readings: {ours * 1e3:.0f} ms of one processor ({clock * 1e3:.0f} ms on the "
            f"clock); least squares with {RESAMPLES} resamples of both forms {theirs * 1e3:.0f} ms, "
            f"{theirs / ours:.1f} times as long"
        )
    assert ours < 2.0


def test_both_see_the_same_loss():
    """The two agree on the mean force of the last reading day within a tenth where there are 200 readings."""
    row = history(1, 200)
    first = ahead(row).points[0]
    tool = by_general_tool(row, np.array([TODAY])).mean() * TARGET_LB
    assert first.mean_middle_lb == pytest.approx(tool, rel=0.10)


def test_rows_of_forty_readings_grow_linearly(capsys):
    """Four times the rows take about four times the processor time; and the general tool on some of the same rows."""
    with workers(1) as one:
        taken = {size: one.submit(part_of_night, 0, size).result() for size in SIZES}
    growth = taken[SIZES[-1]][1] / taken[SIZES[0]][1] / (SIZES[-1] / SIZES[0])
    days = np.array([point.on_day for point in ahead(history(0)).points])
    some = [history(seed) for seed in range(5)]
    before = time.process_time()
    for row in some:
        by_general_tool(row, days)
    theirs, ours = (time.process_time() - before) / len(some), taken[SIZES[-1]][1] / SIZES[-1]
    with capsys.disabled():
        each = ", ".join(
            f"{size} rows {cpu:.1f} s ({clock:.1f} s on the clock)" for size, (clock, cpu) in taken.items()
        )
        print(
            f"\nforecast: {each} of one processor, {growth:.2f} of linear; {ours * 1e3:.1f} ms a row with pooling, the "
            f"general tool without {theirs * 1e3:.1f} ms, {theirs / ours:.1f} times as long"
        )
    assert 0.75 < growth < 1.3


def test_two_processes(capsys):
    """The rate of two processes, and what a night of 5,000 rows would take."""
    half = SIZES[0]
    with workers(2) as two:
        start = time.perf_counter()
        list(two.map(part_of_night, (0, half), (half, half)))
        taken = time.perf_counter() - start
    rate = 2 * half / taken
    with capsys.disabled():
        print(
            f"\nforecast: {2 * half} rows on two processes {taken:.1f} s, {rate:.0f} rows a second; "
            f"{NIGHT_ROWS} rows in about {NIGHT_ROWS / rate:.0f} s without the database"
        )
    assert taken < 600
