"""Envelope of all rating vehicles on one span: exact, against two ways of walking the vehicles over it.

All three give the largest moment and shear of every vehicle at 21 sections. The general frame library gets one load
case for each stand, 1 ft apart. The influence-line sweep is plain numpy, stands 0.1 ft apart, all
sections of a train in one product. Aims: 1,000 times the frame library, 20 times the sweep. No cache may win: the
kernel's axle trains are forgotten before each measured run, and nothing else is kept between runs.
"""

from __future__ import annotations

import gc
import time
from functools import _lru_cache_wrapper
from statistics import median

import numpy as np
import pytest
from Pynite import FEModel3D

from inventory.mechanics.beam import span_envelope
from inventory.mechanics.vehicle import STANDARD_VEHICLES

pytestmark = pytest.mark.bench

SPAN_FT = 60.0
SECTIONS = np.linspace(0.0, SPAN_FT, 21)
VEHICLES = tuple(STANDARD_VEHICLES.values())
FRAME_AIM, SWEEP_AIM = 1000.0, 20.0


def forget_everything() -> None:
    """Empty every memory of results in the kernel."""
    for each in gc.get_objects():
        if isinstance(each, _lru_cache_wrapper) and (each.__module__ or "").startswith("inventory.mechanics"):
            each.cache_clear()


def seconds(act, times: int = 9) -> float:
    taken = []
    for _ in range(times):
        forget_everything()
        begin = time.perf_counter()
        act()
        taken.append(time.perf_counter() - begin)
    return median(taken)


def plain_trains(vehicle):
    """(offsets ft, weights lb): both directions, least and greatest of a variable spacing; HL-93's tandem too."""
    sets = [(vehicle.axles_kip, vehicle.spacings_ft)]
    if vehicle.instead_kip:
        sets.append((vehicle.instead_kip, vehicle.instead_spacings_ft))
    for axles, spacings in sets:
        for pick in (0, 1) if any(low != high for low, high in spacings) else (0,):
            offsets = np.concatenate([[0.0], np.cumsum([gap[pick] for gap in spacings])])
            weights = np.array(axles) * 1000.0
            yield offsets, weights
            yield offsets[-1] - offsets[::-1], weights[::-1]


def with_lane(vehicle, moments: np.ndarray, shears: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Uniform load beside the axles, or lane load in their place, in closed form: the same for every method."""
    x, rest = SECTIONS, SPAN_FT - SECTIONS
    moments = moments + vehicle.together_plf * x * rest / 2
    shears = shears + vehicle.together_plf * rest**2 / (2 * SPAN_FT)
    if vehicle.lane is None:
        return moments, shears
    uniform, point, for_shear = (
        1000.0 * load for load in (vehicle.lane.uniform_klf, vehicle.lane.moment_kip, vehicle.lane.shear_kip)
    )
    return (
        np.maximum(moments, uniform * x * rest / 2 + point * x * rest / SPAN_FT),
        np.maximum(shears, uniform * rest**2 / (2 * SPAN_FT) + for_shear * rest / SPAN_FT),
    )


def swept_envelope(step_ft: float = 0.1) -> list[tuple[np.ndarray, np.ndarray]]:
    """Ordinates of all lines at every axle of every stand, by broadcasting; the largest over the stands."""
    found = []
    for vehicle in VEHICLES:
        moments, shears = np.zeros(len(SECTIONS)), np.zeros(len(SECTIONS))
        for offsets, weights in plain_trains(vehicle):
            firsts = np.arange(-offsets[-1], SPAN_FT + step_ft, step_ft)
            places = firsts[:, None] + offsets
            on = np.where((places >= 0) & (places <= SPAN_FT), weights, 0.0)
            for number, x in enumerate(SECTIONS):
                right = places >= x
                line = np.where(right, x * (SPAN_FT - places), (SPAN_FT - x) * places) / SPAN_FT
                moments[number] = max(moments[number], (on * line).sum(axis=1).max())
                cut = np.where(right, 1.0 - places / SPAN_FT, -places / SPAN_FT)
                if vehicle.relieving_axles_dropped:
                    cut = np.maximum(cut, 0.0)
                shears[number] = max(shears[number], (on * cut).sum(axis=1).max())
        found.append(with_lane(vehicle, moments, shears))
    return found


def framed_envelope(vehicle, step_ft: float = 1.0) -> tuple[np.ndarray, np.ndarray]:
    """One load case for each stand of the vehicle, a few at a time, solved by the frame library; largest values read.

    Five stands to a model: every load case looks through all loads of a member, so more to a model are slower.
    """
    stands = [
        [(float(place), float(weight)) for place, weight in zip(first + offsets, weights, strict=True)]
        for offsets, weights in plain_trains(vehicle)
        for first in np.arange(-offsets[-1], SPAN_FT + step_ft, step_ft)
    ]
    moments, shears = np.zeros(len(SECTIONS)), np.zeros(len(SECTIONS))
    for start in range(0, len(stands), 5):
        for moment, shear in framed_stands(stands[start : start + 5]):
            moments, shears = np.maximum(moments, moment), np.maximum(shears, shear)
    return with_lane(vehicle, moments, shears)


def framed_stands(stands):
    """Moments and shears at the sections under each stand; axles off the span carry nothing."""
    model = FEModel3D()
    model.add_material("wood", 1.0, 0.5, 0.0, 0.0)
    model.add_section("S", 1.0, 1e8, 1e8, 1.0)
    model.add_node("A", 0.0, 0.0, 0.0)
    model.add_node("B", SPAN_FT, 0.0, 0.0)
    model.add_member("M", "A", "B", "wood", "S")
    model.def_support("A", True, True, True, True, False, False)
    model.def_support("B", False, True, True, False, False, False)
    for number, stand in enumerate(stands):
        for place, weight in stand:
            if 0.0 <= place <= SPAN_FT:
                model.add_member_pt_load("M", "Fy", -weight, place, case=f"s{number}")
        model.add_load_combo(f"s{number}", {f"s{number}": 1.0})
    model.analyze_linear(log=False)
    member = model.members["M"]
    for number in range(len(stands)):
        yield (
            -member.moment_array("Mz", len(SECTIONS), f"s{number}")[1],
            member.shear_array("Fy", len(SECTIONS), f"s{number}")[1],
        )


def test_exact_envelope_against_walking(capsys):
    exact = span_envelope(vehicles=VEHICLES, span_ft=SPAN_FT, stations_ft=SECTIONS)
    swept = swept_envelope()
    for row, (moments, shears) in enumerate(swept):
        for mine, walked in ((exact.moments_lbft[row], moments), (exact.shears_lb[row], shears)):
            assert (mine >= walked - 1e-6 * mine.max()).all() and (mine <= walked + 0.01 * mine.max()).all()
    mine = seconds(lambda: span_envelope(vehicles=VEHICLES, span_ft=SPAN_FT, stations_ft=SECTIONS), times=21)
    sweep = seconds(swept_envelope, times=3)
    begin = time.perf_counter()
    framed = [framed_envelope(vehicle) for vehicle in VEHICLES]
    frame = time.perf_counter() - begin
    for row, (moments, _shears) in enumerate(framed):
        mine_here = exact.moments_lbft[row]
        assert (mine_here >= moments - 1e-6 * mine_here.max()).all()
        assert (mine_here <= moments + 0.05 * mine_here.max()).all()
    with capsys.disabled():
        print(
            f"\nenvelope of {len(VEHICLES)} vehicles at {len(SECTIONS)} sections of a span: {mine * 1e3:.2f} ms; "
            f"influence-line sweep at 0.1 ft {sweep * 1e3:.0f} ms, ratio {sweep / mine:.0f} (aim {SWEEP_AIM:g}); "
            f"frame library at 1 ft {frame:.1f} s, ratio {frame / mine:,.0f} (aim {FRAME_AIM:,.0f})"
        )
    # Loose: a busy machine may halve a ratio.
    assert sweep / mine > SWEEP_AIM / 2
    assert frame / mine > FRAME_AIM / 2
