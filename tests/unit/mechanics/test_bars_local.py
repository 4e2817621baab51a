"""The least local pressure, and what pressure is worth."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.bars import BarReading, least_local_pressure, pressure_worth
from inventory.mechanics.errors import OutsideValidity


def bars(*forces, spacing=4.0, first=2.0) -> tuple[BarReading, ...]:
    return tuple(BarReading(station_ft=first + i * spacing, force_lb=f) for i, f in enumerate(forces))


def test_even_bars_give_f_over_s_t():
    """Arithmetic: 23,040 lb at 48 in on 12 in = 40 psi everywhere."""
    found = least_local_pressure(bars=bars(*[23040.0] * 6), length_ft=24, thickness_in=12)
    assert (found.least_psi, found.mean_psi) == pytest.approx((40.0, 40.0))


def test_one_slack_bar_pulls_down_its_stretch_not_the_mean():
    """Arithmetic: 0 between two of 57,600: (57,600 x 2)/(144 x 12) = 66.7 psi; mean of six 83.3 psi."""
    found = least_local_pressure(bars=bars(57600, 57600, 0, 57600, 57600, 57600), length_ft=24, thickness_in=12)
    assert found.least_psi == pytest.approx(57600 * 2 / (144 * 12))
    assert found.mean_psi == pytest.approx(57600 * 5 / (288 * 12))
    assert found.to_ft - found.from_ft == pytest.approx(12)


def test_wide_spacing_uses_the_ten_foot_stretch():
    """Arithmetic: bars at 6 ft; two bars already make 12 ft: (0 + 40,000)/(144 x 12) = 23.1 psi, three 30.9."""
    found = least_local_pressure(bars=bars(40000, 0, 40000, 40000, spacing=6, first=3), length_ft=24, thickness_in=12)
    assert found.least_psi == pytest.approx(40000 / (144 * 12))


def test_unread_bars_take_the_lower_neighbour_and_long_gaps_count_as_nothing():
    short = least_local_pressure(bars=bars(50000, None, 30000, 30000), length_ft=16, thickness_in=12)
    filled = least_local_pressure(bars=bars(50000, 30000, 30000, 30000), length_ft=16, thickness_in=12)
    assert short.least_psi == filled.least_psi
    assert short.bars_filled == (1,)
    long = least_local_pressure(bars=bars(50000, None, None, None, 50000), length_ft=20, thickness_in=12)
    assert long.bars_absent == (1, 2, 3)
    assert long.least_psi == 0
    end = least_local_pressure(bars=bars(None, 50000, 50000), length_ft=12, thickness_in=12)
    assert end.bars_absent == (0,)


def test_a_broken_bar_carries_nothing_whatever_it_read():
    broken = (*bars(50000, 50000), BarReading(station_ft=10, force_lb=50000, broken=True))
    found = least_local_pressure(bars=broken, length_ft=12, thickness_in=12)
    assert found.least_psi == pytest.approx(100000 / (144 * 12))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(min_value=0, max_value=80000), min_size=1, max_size=12), st.integers(0, 11), st.floats(0, 1))
def test_least_is_never_above_the_mean_and_falls_with_any_bar(forces, index, ratio):
    """Law: the deck as a whole is one of the stretches; less force on a bar never raises the least."""
    index %= len(forces)
    length = 4.0 * len(forces)
    before = least_local_pressure(bars=bars(*forces), length_ft=length, thickness_in=12)
    assert before.least_psi <= before.mean_psi + 1e-9
    forces[index] *= ratio
    after = least_local_pressure(bars=bars(*forces), length_ft=length, thickness_in=12)
    assert after.least_psi <= before.least_psi + 1e-9


@pytest.mark.parametrize("wrong", [(), bars(1000, first=-1), bars(1000, 1000, spacing=0), bars(-5.0)])
def test_bars_that_cannot_be_are_refused(wrong):
    with pytest.raises(OutsideValidity):
        least_local_pressure(bars=wrong, length_ft=20, thickness_in=12)


@pytest.mark.parametrize(
    ("pressure", "need", "full", "nailed", "treatment", "retension", "close"),
    [
        (60, 45, False, False, "stressed", False, False),
        (42, 45, True, False, "loose", True, False),
        (42, 45, False, True, "loose", True, False),
        (42, 45, False, False, "none", True, False),
        (38, 30, False, False, "stressed", True, False),
        (15, 10, False, False, "stressed", True, True),
        (None, None, True, False, "loose", True, True),
        (None, None, False, False, "none", True, True),
        (40, None, False, False, "stressed", False, False),
    ],
)
def test_worth_of_pressure(pressure, need, full, nailed, treatment, retension, close):
    """Owner policy (model), every row of it; between two readings the lower counts, unknown counts as absent."""
    found = pressure_worth(pressure_psi=pressure, needed_psi=need, full_length=full, interconnected=nailed)
    assert (found.treatment, found.retension_due, found.close_recommended) == (treatment, retension, close)
    assert found.sentences
