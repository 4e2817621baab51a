"""The envelope of many vehicles at once against the one-by-one search, and against printed tables."""

from __future__ import annotations

import random

import numpy as np
import pytest

from inventory.mechanics.beam import absolute_moment, moment_at, shear_at, span_envelope
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.vehicle import STANDARD_VEHICLES, Vehicle, find_vehicle

VEHICLES = tuple(STANDARD_VEHICLES.values())


def county_vehicle(seed: int) -> Vehicle:
    pick = random.Random(seed)
    count = pick.randint(1, 20)
    gaps = [(round(pick.uniform(3, 20), 2),) * 2 for _ in range(count - 1)]
    if count > 1 and pick.random() < 0.5:
        gaps[0] = (gaps[0][0], gaps[0][0] + 11.0)
    axles = tuple(round(pick.uniform(2, 40), 1) for _ in range(count))
    return Vehicle(
        id=f"C{seed}", name="c", axles_kip=axles, spacings_ft=tuple(gaps), relieving_axles_dropped=bool(seed % 2)
    )


@pytest.mark.parametrize("span", [6.0, 14.0, 23.7, 61.0, 150.0])
def test_same_as_one_vehicle_and_section_at_a_time(span):
    """Second method: every vehicle and section by itself, by the closed forms (which stand against printed tables)."""
    vehicles = VEHICLES + tuple(county_vehicle(seed) for seed in range(8))
    stations = np.linspace(0.0, span, 12)
    found = span_envelope(vehicles=vehicles, span_ft=span, stations_ft=stations)
    for row, vehicle in enumerate(vehicles):
        one = {"vehicle": vehicle, "span_ft": span}
        moments = [moment_at(**one, station_ft=float(x)).value for x in stations]
        shears = [shear_at(**one, station_ft=float(x)).value for x in stations]
        assert found.moments_lbft[row] == pytest.approx(moments, rel=1e-12, abs=1e-6)
        assert found.shears_lb[row] == pytest.approx(shears, rel=1e-12, abs=1e-6)
        top = absolute_moment(**one)
        assert found.largest_lbft[row] == pytest.approx(top.value, rel=1e-12)
        there = moment_at(**one, station_ft=float(found.largest_at_ft[row])).value
        assert there == pytest.approx(top.value, rel=1e-9)


@pytest.mark.parametrize(("span", "moment", "shear"), [(20, 160.0, 41.6), (40, 449.8, 55.2), (60, 806.5, 60.8)])
def test_hs20_against_appendix_a(span, moment, shear):
    """AASHTO Standard Specifications, appendix A (memory)."""
    found = span_envelope(vehicles=(find_vehicle("HS20"),), span_ft=span, stations_ft=(0.0,))
    assert found.largest_lbft[0] / 1000 == pytest.approx(moment, abs=0.11)
    assert found.shears_lb[0, 0] / 1000 == pytest.approx(shear, abs=0.06)


def test_mirrored_stations_have_the_same_moments():
    """Symmetry: both directions of travel are in the envelope."""
    stations = np.linspace(0.0, 47.0, 33)
    found = span_envelope(vehicles=VEHICLES, span_ft=47.0, stations_ft=stations)
    assert found.moments_lbft == pytest.approx(found.moments_lbft[:, ::-1], rel=1e-9, abs=1e-6)
    assert (found.moments_lbft <= found.largest_lbft[:, None] * (1 + 1e-12)).all()


@pytest.mark.parametrize(
    "wrong",
    [{"span_ft": 0.0}, {"span_ft": 2000.0}, {"span_ft": float("nan")}, {"stations_ft": (-1.0,)}, {"stations_ft": ()},
     {"stations_ft": (31.0,)}, {"stations_ft": (float("nan"),)}, {"vehicles": ()}],
)  # fmt: skip
def test_what_is_outside_is_refused(wrong):
    with pytest.raises(OutsideValidity):
        span_envelope(**{"vehicles": VEHICLES, "span_ft": 30.0, "stations_ft": (1.0,), **wrong})
