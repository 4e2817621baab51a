"""Readings below the band lower the dates, but for frost: which of the last two days was low decides (law; figures by
division)."""

from types import SimpleNamespace

import pytest

from inspections.reckoning.forecast import _read_ratio

FROST = "read in frost"


def ratio(*days, rated_psi=40.0, lower_psi=50.0):
    """`days`: (day, force lb, why left out) of one bar stressed on day 0; 40 of 50 psi are 0.8."""
    readings = [SimpleNamespace(on_day=day, force_lb=force, left_out=why) for day, force, why in days]
    row = SimpleNamespace(stressed=[SimpleNamespace(on_day=0.0)], readings=readings)
    return _read_ratio(SimpleNamespace(row=row), SimpleNamespace(rated_psi=rated_psi), lower_psi, None)


def test_a_low_reading_lowers_the_dates_and_one_in_frost_does_not():
    assert ratio((100.0, 23_000.0, "")) == pytest.approx(0.8)
    assert ratio((100.0, 23_000.0, FROST)) == 1.0
    assert ratio((100.0, 30_000.0, ""), (200.0, 23_000.0, FROST)) == 1.0


def test_frost_the_winter_before_does_not_excuse_a_low_reading_in_summer():
    assert ratio((100.0, 30_000.0, FROST), (200.0, 23_000.0, "")) == pytest.approx(0.8)
    assert ratio((100.0, 23_000.0, ""), (200.0, 30_000.0, FROST)) == pytest.approx(0.8)
