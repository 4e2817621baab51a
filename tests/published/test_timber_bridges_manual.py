"""Tire width and plate parameters against EM 7700-8 (A7, B4, B5).

Source: Timber Bridges: Design, Construction, Inspection, and Maintenance, EM 7700-8 (memory; the form of the tire width
checked-2nd).
"""

from __future__ import annotations

from math import sqrt

import pytest

from inventory.mechanics.distribution import stressed_deck_width_in, tire_width_in
from inventory.mechanics.plate import slab_stiffness


@pytest.mark.parametrize(("wheel", "width"), [(16000, 20.00), (12000, 17.32), (8500, 14.58)])
def test_tire_width(wheel, width):
    """A7, B4: b_t = sqrt(0.025 P); form checked-2nd, 17.32 in for 12,000 lb in EM 7700-8 (memory)."""
    assert tire_width_in(wheel_lb=wheel) == pytest.approx(width, abs=0.005)


def test_stressed_deck_width():
    """D3 (computed): HS20 wheel on 12 in: 20 + 24 = 44 in."""
    assert stressed_deck_width_in(wheel_lb=16000, thickness_in=12) == pytest.approx(44.0)


def test_torsion_parameter_of_a_stressed_deck():
    """B5: alpha = 2 G_LT/sqrt(E_L E_T) = 0.526 with E_T 0.013 and G 0.03 of E_L (chapter 9, memory).

    Of the plate, with D_1 = 0: H/sqrt(D_x D_y) = 2 D_k/sqrt(D_x D_y), the same whatever the thickness and E_L.
    """
    for thickness, e_psi in ((12.0, 1.4e6), (7.25, 1.8e6)):
        deck = slab_stiffness(thickness_in=thickness, e_psi=e_psi, e_ratio=0.013, g_ratio=0.03)
        assert deck.h_lbin / sqrt(deck.dx_lbin * deck.dy_lbin) == pytest.approx(0.526, abs=0.0005)


def test_width_parameter_of_a_stressed_deck():
    """B5: theta = (W/2L)(E_L/E_T)^0.25 = 2.96 W/2L (chapter 9, memory); of the plate (W/2L)(D_x/D_y)^0.25."""
    deck = slab_stiffness(thickness_in=12.0, e_psi=1.4e6, e_ratio=0.013, g_ratio=0.03)
    assert (deck.dx_lbin / deck.dy_lbin) ** 0.25 == pytest.approx(2.96, abs=0.005)
