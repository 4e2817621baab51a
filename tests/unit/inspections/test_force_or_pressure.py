"""A pressure typed as a force is asked about; a slack bar and an ordinary force are not.

F = N s t: 55 psi on bars 48 in apart through 12 in is 55 x 48 x 12 = 31,680 lb. F = p A eff: 3,000 psi on a ram of
20 in2 at 0.97 is 58,200 lb (statics).
"""

from __future__ import annotations

import math

import pytest

from inspections.rules.force_or_pressure import looks_like_pressure

ROW = {"spacing_in": 48.0, "thickness_in": 12.0}


def test_a_pressure_between_laminations_is_asked_about_with_the_force_it_would_be():
    told = looks_like_pressure(force_lb=55.0, expected_lb=40_000.0, **ROW)
    assert "55 psi between laminations" in told and "31,680 lb" in told
    assert looks_like_pressure(force_lb=55.0, expected_lb=None, **ROW)


def test_a_gauge_pressure_is_asked_about_where_the_jack_is_known():
    told = looks_like_pressure(force_lb=3_000.0, expected_lb=60_000.0, ram_lb_per_psi=20 * 0.97, **ROW)
    assert "3,000 psi on the gauge" in told and "58,200 lb" in told
    assert not looks_like_pressure(force_lb=3_000.0, expected_lb=60_000.0, **ROW)


@pytest.mark.parametrize(
    ("force_lb", "expected_lb"),
    [
        (0.0, 40_000.0),  # loose to the hand
        (31_680.0, 40_000.0),
        (15_000.0, 40_000.0),  # low, and a force
        (900.0, 40_000.0),  # too much for a pressure between laminations
        (2.0, 40_000.0),  # 2 psi would be 1,152 lb: no better
        (math.nan, 40_000.0),
        (-55.0, 40_000.0),
    ],
)
def test_forces_that_are_forces_are_not_asked_about(force_lb, expected_lb):
    assert looks_like_pressure(force_lb=force_lb, expected_lb=expected_lb, **ROW) == ""


def test_what_is_not_known_is_not_held_against_it():
    assert looks_like_pressure(force_lb=55.0, expected_lb=40_000.0) == ""
    assert looks_like_pressure(force_lb=3_000.0, expected_lb=None, ram_lb_per_psi=19.4) == ""
