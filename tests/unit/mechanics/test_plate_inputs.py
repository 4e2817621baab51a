"""Stiffness, wheels and places of a plate analysis; what is refused and how."""

from __future__ import annotations

import numpy as np
import pytest

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.plate import (
    Axle,
    Deck,
    EdgeBeam,
    Fineness,
    Patch,
    PlateStiffness,
    analyse_deck,
    butt_joint_factor,
    first_wheel_range_in,
    joint_demand,
    lane_patches,
    ribbed_stiffness,
    slab_stiffness,
    spread_patch,
    stand_vehicle,
    sweep_roadway,
    transverse_ratios,
)
from inventory.mechanics.vehicle import Vehicle, find_vehicle

DECK = Deck(
    span_in=288, width_in=192, stiffness=slab_stiffness(thickness_in=12, e_psi=1.4e6, e_ratio=0.013, g_ratio=0.03)
)
AXLES = (Axle(x_in=144.0, wheel_lb=16000.0),)


def test_slab_stiffness():
    """Plate input of the worked decks (computed): 1.4e6 x 12^3/12 = 2.016e8; x 0.013 = 2.6208e6; x 0.03 = 6.048e6."""
    s = DECK.stiffness
    assert (s.dx_lbin, s.dy_lbin, s.dk_lbin, s.d1_lbin) == pytest.approx((2.016e8, 2.6208e6, 6.048e6, 0))
    jointed = slab_stiffness(thickness_in=12, e_psi=1.4e6, e_ratio=0.013, g_ratio=0.03, joint_factor=0.75)
    assert (jointed.dx_lbin, jointed.dy_lbin, jointed.dk_lbin) == pytest.approx((1.512e8, 2.6208e6, 6.048e6))


def test_torsion_and_second_flange_of_a_box():
    """Arithmetic: E t3/12 of 9 and 6 in flanges, 1.4e6 x (729 + 216)/12 = 1.1025e8; cell G J/(4 S) added to D_k."""
    box = ribbed_stiffness(
        web_e_psi=2e6,
        web_inertia_in4=12000,
        web_spacing_in=24,
        flange_e_psi=1.4e6,
        flange_depths_in=(9.0, 6.0),
        e_ratio=0.013,
        g_ratio=0.03,
        web_g_psi=1e5,
        web_torsion_in4=4800,
    )
    assert box.dx_lbin == pytest.approx(1e9)
    assert box.dy_lbin == pytest.approx(0.013 * 1.1025e8)
    assert box.dk_lbin == pytest.approx(0.03 * 1.1025e8 + 1e5 * 4800 / 96)


@pytest.mark.parametrize(
    ("pressure", "e_ratio", "g_ratio", "mark"),
    [
        (40, 0.013, 0.03, "memory"),
        (70, 0.0165, 0.04, "model"),
        (100, 0.020, 0.05, "model"),
        (140, 0.020, 0.05, "model"),
    ],
)
def test_stiffness_at_a_measured_pressure(pressure, e_ratio, g_ratio, mark):
    """Linear between 40 and 100 psi (ends EM 7700-8 chapter 9, memory; line model), held above 100."""
    found = transverse_ratios(pressure_psi=pressure)
    assert (found.e_ratio, found.g_ratio) == pytest.approx((e_ratio, g_ratio))
    assert found.mark == mark


@pytest.mark.parametrize("pressure", [39.9, 0.0, float("nan")])
def test_no_stiffness_is_guessed_below_forty_psi(pressure):
    with pytest.raises(OutsideValidity, match="at least 40"):
        transverse_ratios(pressure_psi=pressure)


@pytest.mark.parametrize(
    ("count", "safe", "published"),
    [(4, 0.75, 0.80), (5, 0.80, 0.85), (8, 0.875, 0.93), (9, 8 / 9, 0.93), (12, 11 / 12, 0.94)],
)
def test_butt_joints(count, safe, published):
    """(j-1)/j (model) and EM 7700-8 chapter 9 (memory, low confidence); the table's next lower line between lines."""
    assert butt_joint_factor(one_joint_in=count) == pytest.approx(safe)
    assert butt_joint_factor(one_joint_in=count, published=True) == published
    assert butt_joint_factor(one_joint_in=None) == 1.0


def test_wheels_spread_and_stand_in_lanes():
    """Arithmetic: 45 degrees through 3 in and half of 12 in adds 2 x 3 + 12 = 18 in; lanes 6 ft + 4 ft apart."""
    grown = spread_patch(patch=Patch(x_in=1, y_in=50, load_lb=1), surfacing_in=3, thickness_in=12)
    assert (grown.length_in, grown.width_in) == (28, 38)
    patches = lane_patches(axles=AXLES, first_wheel_in=30, lanes=2)
    assert [p.y_in for p in patches] == [30, 102, 150, 222]


def test_places_between_the_curbs():
    """AASHTO 3.7 (memory): first wheel 24 in off a curb; two lanes take 72 + 48 + 72 and 24 on either side = 240 in."""
    assert first_wheel_range_in(near_curb_in=6, far_curb_in=186, lanes=1) == (30, 90)
    assert first_wheel_range_in(near_curb_in=0, far_curb_in=240, lanes=2) == (24, 24)
    with pytest.raises(OutsideValidity, match="at least 240 in for 2 loaded lanes"):
        first_wheel_range_in(near_curb_in=0, far_curb_in=239, lanes=2)


@pytest.mark.parametrize(("key", "span_ft"), [("HS20", 40), ("HS20", 24), ("H15", 24), ("TYPE3S2", 60)])
def test_vehicle_stands_where_it_bends_midspan_most(key, span_ft):
    """Second method: the train walked across in steps of an inch, either way round, never bends midspan more."""
    vehicle, span = find_vehicle(key), 12 * span_ft
    axles = stand_vehicle(vehicle=vehicle, span_in=span)
    found = sum(a.wheel_lb * min(a.x_in, span - a.x_in) / 2 for a in axles)
    best, gaps = 0.0, np.array([least for least, _most in vehicle.spacings_ft]) * 12
    for weights, spaces in ((vehicle.axles_kip, gaps), (vehicle.axles_kip[::-1], gaps[::-1])):
        offsets = np.concatenate([[0.0], np.cumsum(spaces)])
        for first in range(-int(offsets[-1]), span):
            at = offsets + first
            on = (at > 0) & (at < span)
            best = max(best, float(np.sum(np.where(on, np.minimum(at, span - at), 0) * np.array(weights) * 250)))
    assert found == pytest.approx(best, rel=1e-9)


def test_sweep_finds_the_mirror_and_the_shares():
    """Symmetry and equilibrium: mirror places give mirror shares; shares of a lane add to the lanes loaded."""
    edges = tuple(float(y) for y in range(0, 193, 12))
    sweep = sweep_roadway(deck=DECK, axles=AXLES, near_curb_in=6, far_curb_in=186, web_edges_in=edges, thickness_in=12)
    first, last = sweep.placements[0], sweep.placements[-1]
    assert (first.first_wheel_in, last.first_wheel_in) == (30, 90)
    assert first.web_shares == pytest.approx(last.web_shares[::-1], rel=1e-6)
    assert all(sum(place.web_shares) == pytest.approx(1.0, rel=1e-8) for place in sweep.placements)
    assert sweep.worst_moment.first_wheel_in == sweep.worst_web.first_wheel_in == 30
    assert max(first.web_shares) < first.peak_share_per_ft < 1.1 * max(first.web_shares)
    assert sweep.worst_deflection.peaks.deflection.value >= first.peaks.deflection.value


def test_two_lanes_add_to_two():
    """Equilibrium: with two lanes loaded the shares of one lane's moment add to 2."""
    wide = Deck(span_in=288, width_in=336, stiffness=DECK.stiffness)
    edges = tuple(float(y) for y in range(0, 337, 24))
    sweep = sweep_roadway(
        deck=wide, axles=AXLES, near_curb_in=12, far_curb_in=324, lanes=2, web_edges_in=edges, step_in=24
    )
    one = sweep_roadway(deck=wide, axles=AXLES, near_curb_in=12, far_curb_in=324, web_edges_in=edges, step_in=24)
    assert [sum(p.web_shares) for p in sweep.placements] == pytest.approx([2.0] * len(sweep.placements), rel=1e-8)
    assert sweep.worst_moment.peak_share_per_ft > one.worst_moment.peak_share_per_ft


def test_joint_demand_spread_and_bare():
    """The print asks more than the spread wheel (mechanics); both are the largest of their own sweep."""
    common = dict(deck=DECK, axles=AXLES, near_curb_in=6, far_curb_in=186)
    demand = joint_demand(thickness_in=12, surfacing_in=2, **common)
    spread = sweep_roadway(thickness_in=12, surfacing_in=2, **common)
    bare = sweep_roadway(**common)
    assert demand.shear_lb_per_in == spread.joint_shear_lb_per_in < demand.print_shear_lb_per_in
    assert demand.print_shear_lb_per_in == bare.joint_shear_lb_per_in
    assert demand.moment_lbin_per_in == spread.joint_moment_lbin_per_in < demand.print_moment_lbin_per_in
    assert demand.print_moment_lbin_per_in == bare.joint_moment_lbin_per_in


def test_joints_feel_the_heaviest_axle_wherever_it_stands():
    """Mechanics: shear beside a wheel is local, so a heavy axle off midspan asks about what it would at midspan."""
    common = dict(deck=DECK, near_curb_in=6, far_curb_in=186, thickness_in=12, step_in=48)
    light = joint_demand(axles=(Axle(x_in=144.0, wheel_lb=4000.0),), **common)
    both = joint_demand(axles=(Axle(x_in=144.0, wheel_lb=4000.0), Axle(x_in=216.0, wheel_lb=16000.0)), **common)
    assert both.shear_lb_per_in == pytest.approx(4 * light.shear_lb_per_in, rel=0.1)


def test_a_wheel_that_would_spread_over_the_edge_keeps_its_load():
    """Equilibrium: 30 in wide at 8 in from the edge: all of P L/4 - P u/8 is carried."""
    patch = Patch(x_in=144, y_in=8, load_lb=1000, length_in=30, width_in=30)
    response = analyse_deck(deck=DECK, patches=(patch,))
    assert sum(response.strip_moments_lbin(x_in=144, edges_in=(0, 192))) == pytest.approx(
        1000 * (72 - 30 / 8), rel=1e-8
    )


def one_off(**changes):
    return lambda: PlateStiffness(**{"dx_lbin": 1e8, "dy_lbin": 1e6, "dk_lbin": 1e6, **changes})


@pytest.mark.parametrize(
    ("attempt", "words"),
    [
        (one_off(dx_lbin=0.0), "D_x is 0"),
        (one_off(dy_lbin=0.0), "D_y/D_x is 0"),
        (one_off(dk_lbin=-1.0), "D_k/D_x"),
        (one_off(d1_lbin=2e7), "D_1"),
        (lambda: EdgeBeam(e_psi=-1, inertia_in4=1), "edge beam e_psi"),
        (lambda: Deck(span_in=10, width_in=192, stiffness=DECK.stiffness), "span is 10 in"),
        (lambda: Deck(span_in=288, width_in=float("nan"), stiffness=DECK.stiffness), "deck width"),
        (lambda: butt_joint_factor(one_joint_in=3), "at least 4"),
        (lambda: Patch(x_in=1, y_in=1, load_lb=0), "patch load is 0 lb"),
        (lambda: analyse_deck(deck=DECK, patches=(Patch(x_in=144, y_in=193, load_lb=1),)), "0 to 192"),
        (lambda: analyse_deck(deck=DECK, patches=(Patch(x_in=300, y_in=90, load_lb=1),)), "patches on the span"),
        (lambda: analyse_deck(deck=DECK, patches=()), "patches on the span"),
        (lambda: lane_patches(axles=AXLES, first_wheel_in=30, lanes=0), "loaded lanes is 0"),
        (
            lambda: sweep_roadway(deck=DECK, axles=AXLES, near_curb_in=0, far_curb_in=200),
            "far curb is 200 in",
        ),
        (lambda: sweep_roadway(deck=DECK, axles=AXLES, near_curb_in=0, far_curb_in=192, x_in=0.0), "station is 0 in"),
        (lambda: sweep_roadway(deck=DECK, axles=AXLES, near_curb_in=0, far_curb_in=192, step_in=0.0), "step is 0 in"),
        (lambda: stand_vehicle(vehicle=find_vehicle("HS20"), span_in=0), "span is 0 in"),
        (lambda: Fineness(fine_in=0.0), "fine element is 0 in"),
        (lambda: Fineness(peak_reach=0), "peak reach is 0"),
        (
            lambda: joint_demand(deck=DECK, axles=(), near_curb_in=0, far_curb_in=192, thickness_in=12),
            "patches on the span",
        ),
    ],
)
def test_refused_in_a_sentence(attempt, words):
    with pytest.raises(OutsideValidity) as refusal:
        attempt()
    assert words in str(refusal.value)


def test_points_off_the_deck_are_refused():
    response = analyse_deck(deck=DECK, patches=(Patch(x_in=144, y_in=90, load_lb=1000),))
    for ask in (response.deflection_in, response.twist_lbin_per_in, response.shear_across_lb_per_in):
        with pytest.raises(OutsideValidity, match="station is 289"):
            ask(x_in=289.0, y_in=5.0)
        with pytest.raises(OutsideValidity, match="line y is -1"):
            ask(x_in=100.0, y_in=np.array([5.0, -1.0]))
    with pytest.raises(OutsideValidity, match="rising"):
        response.strip_moments_lbin(x_in=144.0, edges_in=(20.0, 10.0))


def test_one_axle_vehicle():
    """A single axle stands at midspan."""
    roller = Vehicle(id="R", name="roller", axles_kip=(20.0,), spacings_ft=())
    assert stand_vehicle(vehicle=roller, span_in=240) == (Axle(x_in=120.0, wheel_lb=10000.0),)
