"""Shares of the plate and the pressure its joints need, against the worked decks (all computed or model, see each)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inventory.mechanics.bars import needed_pressure_psi
from inventory.mechanics.distribution import (
    foot_share,
    lane_strip_width_in,
    member_share,
    stressed_deck_width_in,
    wheel_lines_on,
)
from inventory.mechanics.distribution.plate_joints import joint_peaks
from inventory.mechanics.plate import Axle, Deck, Roadway, ribbed_stiffness, slab_stiffness
from inventory.mechanics.rating import rate_span
from inventory.mechanics.vehicle import find_vehicle
from tests.unit.mechanics.spans import factor, stressed_span

HS20 = find_vehicle("HS20")
CASES = {  # span in, width in, t in, E psi, lanes, first wheel line in
    "A": (288, 192, 12, 1.4e6, 1, 60.0),
    "B": (288, 192, 12, 1.4e6, 1, 36.0),
    "C": (240, 312, 10, 1.3e6, 2, 60.0),
}


def worked_roadway(case: str, grown: float = 0.0) -> Roadway:
    span, width, t, e, _lanes, _first = CASES[case]
    stiffness = slab_stiffness(thickness_in=t, e_psi=e, e_ratio=0.013, g_ratio=0.03)
    deck = Deck(span_in=span, width_in=width, stiffness=stiffness)
    return Roadway(deck=deck, near_curb_in=0.0, far_curb_in=width, length_in=10.0 + grown, width_in=20.0 + grown)


def peaks_in_place(case: str) -> tuple[float, float, float]:
    """M_x, |M_y|, |Q_y| with the wheels of the case at midspan in their one place."""
    span, _width, _t, _e, lanes, first = CASES[case]
    lines = wheel_lines_on(worked_roadway(case))
    at = [place.first_wheel_in for place in lines.places(lanes)].index(first)
    axles = (Axle(x_in=span / 2, wheel_lb=16000.0),)
    answers = (
        lines.moments_along_lbin_per_in(axles=axles, x_in=span / 2),
        lines.joint_moments_lbin_per_in(axles=axles, x_in=span / 2),
        lines.joint_shears_lb_per_in(axles=axles, x_in=span / 2),
    )
    return tuple(abs(lines.whole_vehicles(answer, lanes)[:, at]).max() for answer in answers)


@pytest.mark.parametrize(
    ("case", "along", "across", "shear"),
    [("A", 18230, 746, 139.2), ("B", 20010, 741, 140.4), ("C", 19520, 670, 139.7)],
)
def test_worked_decks_by_wheel_lines(case, along, across, shear):
    """Decks A, B, C (computed: other finite strips, bicubic elements, an exact series for the shear)."""
    found = peaks_in_place(case)
    assert found[:2] == pytest.approx((along, across), rel=0.003)
    assert found[2] == pytest.approx(shear, rel=0.004)


@pytest.mark.parametrize(("case", "width"), [("A", 62.0), ("B", 57.0)])
def test_width_that_carries_one_wheel_line(case, width):
    """Computed: 62 in and 57 in, printed to the inch; P/4 (L - u/2) over the peak. The rule: b_t + 2 t = 44 in."""
    line = 16000.0 / 4 * (288 - 10 / 2)
    assert line / peaks_in_place(case)[0] == pytest.approx(width, abs=0.7)
    assert stressed_deck_width_in(wheel_lb=16000, thickness_in=12) == pytest.approx(44.0)


def test_the_sweep_is_not_kinder_than_a_place_in_it():
    """Law: the share with the vehicle moved over the roadway is not below that of its places, and 24 in from the curb
    a wheel line has less deck beside it than at 36 in (case B)."""
    share = foot_share(roadway=worked_roadway("A"), vehicle=HS20, lanes=1)
    assert 12.0 / share.wheel_lines < 57.7
    assert share.from_curb_in == 24.0


@pytest.mark.parametrize(
    ("case", "gap", "surfaced", "rough"), [("A", 31.1, 49.7, 38.7), ("B", 30.9, 50.1, 39.0), ("C", 40.2, 59.9, 46.6)]
)
def test_pressure_needed_under_bare_tire_prints(case, gap, surfaced, rough):
    """Decks A, B, C (computed): 6 M_T/t2 and 1.5 V_T/(mu t), mu 0.35 surfaced and 0.45 rough sawn."""
    _along, moment, shear = peaks_in_place(case)
    common = {"thickness_in": CASES[case][2], "floor_psi": 0.0}
    found = [
        needed_pressure_psi(moment_inlb_in=moment, shear_lb_in=0.0, surface="rough", **common),
        needed_pressure_psi(moment_inlb_in=0.0, shear_lb_in=shear, surface="surfaced", **common),
        needed_pressure_psi(moment_inlb_in=0.0, shear_lb_in=shear, surface="rough", **common),
    ]
    assert found == pytest.approx([gap, surfaced, rough], rel=0.004)


def test_pressure_needed_with_the_wheels_spread():
    """Deck A spread to mid-depth (computed): M_y 518, shear 77, so the floor of 40 psi governs this ordinary deck.

    The sweep over the whole roadway asks a little more than the one place: up to 5 %.
    """
    moment, shear = joint_peaks(roadway=worked_roadway("A", grown=12.0), vehicle=HS20, lanes=1)
    assert 518 * 0.998 < moment < 518 * 1.05
    assert 77 * 0.99 < shear < 77 * 1.05
    assert needed_pressure_psi(moment_inlb_in=moment, shear_lb_in=shear, thickness_in=12, surface="surfaced") == 40.0


def test_worst_web_of_a_tee_deck():
    """D4 (model, computed): 0.2238 lane = S/8.94 on the edge web with the first wheel 24 in from the edge."""
    stiffness = ribbed_stiffness(
        web_e_psi=2.0e6,
        web_inertia_in4=10171,
        web_spacing_in=24,
        flange_e_psi=1.4e6,
        flange_depths_in=(9.0,),
        e_ratio=0.013,
        g_ratio=0.03,
    )
    deck = Deck(span_in=480, width_in=192, stiffness=stiffness)
    share = member_share(
        roadway=Roadway(deck=deck, near_curb_in=0.0, far_curb_in=192.0),
        vehicle=HS20,
        lanes=1,
        edges_in=tuple(24.0 * at for at in range(9)),
        members=tuple(range(8)),
    )
    assert share.wheel_lines / 2.0 == pytest.approx(0.2238, abs=0.0001)
    assert 2.0 / (share.wheel_lines / 2.0) == pytest.approx(8.94, abs=0.01)
    assert share.from_curb_in == 24.0


def test_slab_of_the_worked_example_by_the_plate():
    """D3 rated by rule and by plate: (C - D)/(share x M), so the factors stand as the shares do (arithmetic).

    HS20 by the rule 1.343 inventory (computed). The roadway is 14 ft of D3's 16 here, so the first wheel stands 36 in
    from the edge as in deck B, where 57 in carry a wheel line. At 40 psi, one lane: 1.343 x 57/44 = 1.740.
    """
    ruled = stressed_span(pressure_psi=40.0)
    refined = replace(ruled, distribution="refined")
    by_rule = factor(rate_span(ruled, vehicles=("HS20",)), "HS20", "bending")
    by_plate = factor(rate_span(refined, vehicles=("HS20",)), "HS20", "bending")
    assert by_rule == pytest.approx(1.343, abs=0.005)
    assert by_plate == pytest.approx(1.343 * 57.0 / 44.0, rel=0.012)


def test_lrfd_strip_is_of_the_same_size():
    """Second method, loosely: AASHTO LRFD 4.6.2.3 (memory) gives 107.98 in a lane for 24 ft x 16 ft, presence 1.20 in.

    Half of it carries a wheel line: 54 in, against the plate's with the same 1.20. A code's strip is a fit to many
    plates, so the two are held together within a fifth only.
    """
    strip = lane_strip_width_in(span_ft=24, width_ft=16, lanes=1)
    assert strip == pytest.approx(107.98, abs=0.01)
    share = foot_share(roadway=worked_roadway("A"), vehicle=find_vehicle("HL93"), lanes=1, presence={1: 1.20})
    assert 12.0 / share.wheel_lines == pytest.approx(strip / 2.0, rel=0.20)
