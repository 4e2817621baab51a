"""Rows of bars for the tests: invented histories with or without scatter."""

from __future__ import annotations

import numpy as np

from inventory.mechanics.bars.loss import BarRow, ForceRead, LossPolicy, Stressed, remaining_ratio

TARGET_LB = 57600.0
"""100 psi on bars at 48 in in a deck of 12 in: 100 x 48 x 12 (arithmetic)."""


def row(
    *,
    count=6,
    stressed=(0.0, 7.0, 49.0),
    read=(),
    slope=0.13,
    seed=None,
    sd=0.05,
    target=TARGET_LB,
    label="A",
    forces_read=False,
    **other,
) -> BarRow:
    """Every bar read on every day of ``read``; without a seed exactly on the logarithmic curve. ``forces_read``: every
    bar was read at its target after each stressing, else the target alone is on record."""
    chance = np.random.default_rng(seed)
    readings = []
    for day in read:
        past = tuple(pulled for pulled in stressed if pulled <= day)
        kept = remaining_ratio(form="logarithmic", day=day, stressed_on=past, log_slope_ratio=slope)
        moved = sd * chance.normal() if seed is not None else 0.0
        for bar in range(count):
            off = moved + (sd * chance.normal() if seed is not None else 0.0)
            force = float((target or TARGET_LB) * kept * np.exp(off))
            readings.append(ForceRead(on_day=float(day), bar_index=bar, force_lb=force))
    left = (TARGET_LB,) * count if forces_read else ()
    values = {
        "label": label, "kind": "deck, mid", "stations_ft": tuple(2.0 + 4.0 * i for i in range(count)),
        "length_ft": 4.0 * count, "thickness_in": 12.0, "target_lb": target,
        "stressed": tuple(Stressed(on_day=day, forces_lb=left) for day in stressed),
        "readings": tuple(readings),
    }  # fmt: skip
    return BarRow(**{**values, **other})


EXACT = LossPolicy(
    log_slope_sd_ratio=0.0, log_slope_spread_ratio=0.0, floor_sd_ratio=0.0, floor_spread_ratio=0.0,
    settle_spread_factor=1.0, reading_sd_ratio=0.0, day_sd_ratio=0.0, bar_sd_ratio=0.0, stressing_sd_ratio=0.0,
)  # fmt: skip
"""Nothing scatters and the parameters are known exactly."""
