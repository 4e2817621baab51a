"""Sections, bars and distribution against worked values; each names its source and mark."""

from __future__ import annotations

from math import pi

import pytest

from inventory.mechanics.bars import (
    anchor_plate_thickness_in,
    bar_force_lb,
    bar_limit_lb,
    initial_pressure_psi,
    jack_pressure_psi,
    least_bar_spacing_in,
    needed_pressure_psi,
    plate_area_in2,
    pressure_psi,
    steel_ratio,
)
from inventory.mechanics.distribution import (
    dowelled_panel_moment,
    lane_strip_width_in,
    panel_bending_share,
    stressed_deck_width_in,
    tire_width_in,
)
from inventory.mechanics.material import (
    Service,
    Use,
    beam_stability_factor,
    bearing_area_factor,
    bearing_stress,
    bending_stress,
    volume_factor,
)
from inventory.mechanics.section import SurfaceLoss, Void, rectangle_section, round_section
from tests.unit.mechanics.spans import DF_DIMENSION, DF_GLULAM


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


def test_bar_forces_of_a_48_in_spacing():
    """D6 and B6 (computed; LRFD 9.9.5.6.3 P_pt = 0.1 s h kip, memory): 57,600 lb at 100 psi, 23,040 at 40 psi."""
    assert bar_force_lb(pressure_psi=100, spacing_in=48, thickness_in=12) == pytest.approx(57600)
    assert bar_force_lb(pressure_psi=100, spacing_in=48, thickness_in=12) == pytest.approx(0.1 * 48 * 12 * 1000)
    assert bar_force_lb(pressure_psi=40, spacing_in=48, thickness_in=12) == pytest.approx(23040)
    assert pressure_psi(force_lb=57600, spacing_in=48, thickness_in=12) == pytest.approx(100)
    assert initial_pressure_psi(design_psi=40) == pytest.approx(100)


def test_bar_limits_of_a_one_inch_bar():
    """D6 (computed): 0.70 f_pu A = 89,250 lb; rho 0.001476; least spacing 44.27 in."""
    assert bar_limit_lb(net_area_in2=0.85) == pytest.approx(89250)
    assert steel_ratio(bar_area_in2=0.85, spacing_in=48, thickness_in=12) == pytest.approx(0.001476, abs=5e-7)
    assert least_bar_spacing_in(bar_area_in2=0.85, thickness_in=12) == pytest.approx(44.27, abs=0.005)


def test_anchorage_and_jack():
    """D6 (computed): wet F_cp' 418.75 psi, A_p 137.6 in2; 10 x 14 plate 0.93 in thick; 4,500 psi on 12.8 in2."""
    wet = bearing_stress(value=DF_DIMENSION, service=Service(wet=True), length_in=10)
    assert wet.stress_psi == pytest.approx(418.75)
    assert plate_area_in2(force_lb=57600, bearing_psi=418.75) == pytest.approx(137.6, abs=0.05)
    thickness = anchor_plate_thickness_in(force_lb=57600, plate_area_in2=140, overhang_in=3.75, steel_psi=20000)
    assert thickness == pytest.approx(0.93, abs=0.005)
    assert jack_pressure_psi(force_lb=57600, ram_area_in2=12.8) == pytest.approx(4500)


def test_needed_pressure_from_moment_and_shear():
    """Plate case A (computed): M_T 746 in-lb/in gives 31.1 psi, V_T 139.2 lb/in 49.7 psi smooth and 38.7 rough."""
    given = {"moment_inlb_in": 746, "thickness_in": 12, "floor_psi": 1}
    assert needed_pressure_psi(shear_lb_in=0, surface="surfaced", **given) == pytest.approx(31.1, abs=0.05)
    assert needed_pressure_psi(shear_lb_in=139.2, surface="surfaced", **given) == pytest.approx(49.7, abs=0.05)
    assert needed_pressure_psi(shear_lb_in=139.2, surface="rough", **given) == pytest.approx(38.7, abs=0.05)


@pytest.mark.parametrize(("wheel", "width"), [(16000, 20.00), (12000, 17.32), (8500, 14.58)])
def test_tire_width(wheel, width):
    """A7, B4: b_t = sqrt(0.025 P); form checked-2nd, 17.32 in for 12,000 lb in EM 7700-8 (memory)."""
    assert tire_width_in(wheel_lb=wheel) == pytest.approx(width, abs=0.005)


def test_stressed_deck_width():
    """D3 (computed): HS20 wheel on 12 in: 20 + 24 = 44 in."""
    assert stressed_deck_width_in(wheel_lb=16000, thickness_in=12) == pytest.approx(44.0)


@pytest.mark.parametrize(("lanes", "share"), [(1, 0.7832), (2, 0.8682)])
def test_glulam_panel_fraction(lanes, share):
    """D9 (computed; AASHTO Standard Specifications 3.25.3, memory): 4 ft panel, L 24 ft."""
    found = panel_bending_share(panel_in=48, span_ft=24, lanes=lanes).wheel_lines
    assert found == pytest.approx(share, abs=0.00005)


def test_lane_strips():
    """D9, D3 (computed; AASHTO LRFD 4.6.2.3, memory): two lanes 121.33 in, one lane 107.98 in."""
    assert lane_strip_width_in(span_ft=24, width_ft=28, lanes=2) == pytest.approx(121.33, abs=0.005)
    assert lane_strip_width_in(span_ft=24, width_ft=16, lanes=1) == pytest.approx(107.98, abs=0.005)


def test_transverse_dowelled_panel():
    """D9 (computed; AASHTO Standard Specifications 3.25.1, memory): 12,000 lb, 50 in, K 0.51: 4,278 in-lb/in."""
    assert dowelled_panel_moment(wheel_lb=12000, span_in=50, k=0.51) == pytest.approx(4278, abs=1)


@pytest.mark.parametrize(
    ("length", "factor"), [(0.5, 1.75), (1.0, 1.38), (1.5, 1.25), (2.0, 1.19), (3.0, 1.13), (4.0, 1.10)]
)
def test_bearing_area_factor(length, factor):
    """A6: NDS 3.10.4 (checked-2nd), printed to two places; 1 in an end bearing."""
    assert bearing_area_factor(length_in=length, end_distance_in=3).value == pytest.approx(factor, abs=0.0065)
    assert bearing_area_factor(length_in=length, end_distance_in=1).value == 1.0


def test_volume_and_stability_factors_of_a_glulam_girder():
    """D2 (computed): C_V 0.7963 for 8-3/4 x 36, 40 ft; l_u 10 ft: C_L 0.9794 with E_y,min' 708,050 psi."""
    volume = volume_factor(span_ft=40, depth_in=36, width_in=8.75, exponent=10)
    assert volume.value == pytest.approx(0.7963, abs=0.00005)
    stability = beam_stability_factor(fb_star_psi=2208, e_min_psi=708050, width_in=8.75, depth_in=36, unbraced_ft=10)
    assert stability.value == pytest.approx(0.9794, abs=0.00005)
    use = Use(width_in=8.75, depth_in=36, span_ft=40)
    assert bending_stress(value=DF_GLULAM, service=Service(wet=True), use=use).stress_psi == pytest.approx(
        1758.2, abs=0.05
    )
