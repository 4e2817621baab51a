"""Decayed and round sections against hand calculation (D5, computed); marks beside each."""

from __future__ import annotations

from math import pi

import pytest

from inventory.mechanics.section import SurfaceLoss, Void, rectangle_section, round_section


def test_void_in_a_stringer():
    """D5 (computed): 6 x 16 in with a centred 2.5 x 8 in void: I 1941.3, S 242.67, I b/Q 39.50 of 64.00 in2."""
    sound = rectangle_section(width_in=6, depth_in=16)
    net = rectangle_section(width_in=6, depth_in=16, voids=(Void(width_in=2.5, height_in=8),))
    assert (sound.modulus_in3, sound.shear_in2) == pytest.approx((256.0, 64.0))
    assert net.inertia_in4 == pytest.approx(1941.3, abs=0.05)
    assert net.modulus_in3 == pytest.approx(242.67, abs=0.005)
    assert net.shear_in2 == pytest.approx(39.50, abs=0.005)


def test_surface_decay_of_a_stringer():
    """D5 (computed): 0.75 in off the top, 0.5 in off each side: S 193.80, ratio 0.757."""
    losses = tuple(SurfaceLoss(face=f, depth_in=d) for f, d in (("top", 0.75), ("left", 0.5), ("right", 0.5)))
    net = rectangle_section(width_in=6, depth_in=16, surface=losses)
    assert net.modulus_in3 == pytest.approx(193.80, abs=0.005)
    assert net.modulus_in3 / 256 == pytest.approx(0.757, abs=0.0005)


def test_void_edge_governs_shear_when_it_misses_the_neutral_axis():
    """Arithmetic: 6 x 16, void 4 x 3 in 5 in below mid-depth: I b/Q at its upper edge is the least."""
    net = rectangle_section(width_in=6, depth_in=16, voids=(Void(width_in=4, height_in=3, offset_in=-5),))
    area = 96 - 12
    centroid = (96 * 8 - 12 * 3) / area
    inertia = 6 * 16**3 / 12 + 96 * (centroid - 8) ** 2 - 4 * 3**3 / 12 - 12 * (centroid - 3) ** 2
    at_axis = inertia * 6 / (6 * (16 - centroid) ** 2 / 2)
    top_part = 6 * (16 - 4.5) * ((16 + 4.5) / 2 - centroid)
    at_edge = inertia * 2 / top_part
    assert at_edge < at_axis
    assert net.shear_in2 == pytest.approx(at_edge)


def test_round_pile_and_shell():
    """Handbook: solid circle S = pi D^3/32, largest shear 4V/3A so I b/Q = 3A/4; shell S = pi (D^4 - d^4)/(32 D)."""
    solid = round_section(diameter_in=14)
    assert solid.modulus_in3 == pytest.approx(pi * 14**3 / 32)
    assert solid.shear_in2 == pytest.approx(0.75 * pi * 49)
    shell = round_section(diameter_in=14, shell_in=3)
    assert shell.modulus_in3 == pytest.approx(pi * (14**4 - 8**4) / (32 * 14))
