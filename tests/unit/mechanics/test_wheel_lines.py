"""Wheel lines solved once against the deck solved anew for each place, and against laws."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.plate import (
    Axle,
    Deck,
    EdgeBeam,
    PlateStiffness,
    Roadway,
    WheelLines,
    analyse_deck,
    lane_patches,
    standings,
    sweep_roadway,
)
from inventory.mechanics.vehicle import find_vehicle

SLAB = PlateStiffness(dx_lbin=2.016e8, dy_lbin=2.6208e6, dk_lbin=6.048e6)
PLAIN = Roadway(deck=Deck(span_in=288, width_in=336, stiffness=SLAB), near_curb_in=12.0, far_curb_in=324.0)
CURBED = Deck(
    span_in=300, width_in=260, stiffness=SLAB, near_edge=EdgeBeam(e_psi=1.4e6, inertia_in4=2000, torsion_in4=10)
)
UNEVEN = Roadway(deck=CURBED, near_curb_in=6.0, far_curb_in=250.0)
NAILED = PlateStiffness(dx_lbin=2.016e8, dy_lbin=2.016e4, dk_lbin=6.048e6)
TORSION = Roadway(deck=Deck(span_in=240, width_in=240, stiffness=NAILED), near_curb_in=0.0, far_curb_in=240.0)
AXLES = (Axle(x_in=96.0, wheel_lb=8000.0), Axle(x_in=144.0, wheel_lb=16000.0), Axle(x_in=192.0, wheel_lb=16000.0))


@pytest.mark.parametrize("roadway", [PLAIN, UNEVEN, TORSION], ids=["plain", "one curb works", "torsion alone"])
@pytest.mark.parametrize("lanes", [1, 2])
def test_every_place_is_the_deck_solved_for_it(roadway, lanes):
    """Second way through: ``analyse_deck`` place by place. M_x and strips 0.2 %, M_y 0.5 %, Q_y 1 % of the peak."""
    if lanes > roadway.most_lanes:
        pytest.skip("the curbs leave room for one lane")
    lines, x = WheelLines(roadway), 144.0
    edges = tuple(np.linspace(0.0, roadway.deck.width_in, 8))
    along = lines.whole_vehicles(lines.moments_along_lbin_per_in(axles=AXLES, x_in=x), lanes)
    strips = lines.whole_vehicles(lines.strip_moments_lbin(axles=AXLES, x_in=x, edges_in=edges), lanes)
    across = lines.whole_vehicles(lines.joint_moments_lbin_per_in(axles=AXLES, x_in=x), lanes)
    shear = lines.whole_vehicles(lines.joint_shears_lb_per_in(axles=AXLES, x_in=x), lanes)
    for at, place in enumerate(lines.places(lanes)):
        patches = lane_patches(axles=AXLES, first_wheel_in=place.first_wheel_in, lanes=lanes)
        whole = analyse_deck(deck=roadway.deck, patches=patches)
        expected = whole.moment_along_lbin_per_in(x_in=x, y_in=lines.deck_lines_in)
        assert along[:, at] == pytest.approx(expected, abs=0.002 * np.max(expected))
        summed = np.array(whole.strip_moments_lbin(x_in=x, edges_in=edges))
        summed[[0, -1]] += whole.edge_moments_lbin(x_in=x)
        assert strips[:, at] == pytest.approx(summed, abs=0.002 * np.max(summed))
        bent = whole.moment_across_lbin_per_in(x_in=x, y_in=lines.joint_lines_in)
        assert across[:, at] == pytest.approx(bent, abs=0.005 * np.max(np.abs(bent)))
        assert np.max(np.abs(shear[:, at])) == pytest.approx(
            abs(whole.section_peaks(x_in=x).shear_across.value), rel=0.01
        )


def test_places_of_the_sweep():
    """The same places as the sweep's, whose step divides the way from curb to curb here; by hand 288 - 72 = 216 in."""
    sweep = sweep_roadway(deck=PLAIN.deck, axles=AXLES, near_curb_in=12.0, far_curb_in=324.0)
    lines = WheelLines(PLAIN)
    assert [p.first_wheel_in for p in lines.places(1)] == [p.first_wheel_in for p in sweep.placements]
    assert lines.places(1)[-1].first_wheel_in == 12 + 24 + 312 - 48 - 72


def test_an_uneven_roadway_is_walked_from_both_curbs():
    """Both ends are places: first wheel 24 in off the near curb, and the last 24 in off the far one (arithmetic)."""
    firsts = [p.first_wheel_in for p in WheelLines(UNEVEN).places(1)]
    assert 6.0 + 24.0 in firsts and 250.0 - 24.0 - 72.0 in firsts


@pytest.mark.parametrize(("feet", "lanes"), [(10.0, 1), (19.9, 1), (20.0, 2), (29.9, 2), (30.0, 3), (80.0, 6)])
def test_lanes_that_fit(feet, lanes):
    """10 ft a lane: 6 ft gauge, 4 ft between wheels side by side, 2 ft to each curb (arithmetic)."""
    deck = Deck(span_in=288, width_in=12 * feet, stiffness=SLAB)
    assert Roadway(deck=deck, near_curb_in=0.0, far_curb_in=12 * feet).most_lanes == lanes


@settings(max_examples=20, deadline=None)
@given(x=st.floats(20.0, 220.0), first=st.floats(10.0, 230.0), weight=st.floats(1000.0, 30000.0))
def test_strips_add_up_to_the_beam(x, first, weight):
    """Law of equilibrium: strips and edge beams carry the moment of the line on a simple beam, wherever it stands."""
    axles = (Axle(x_in=first, wheel_lb=weight), Axle(x_in=120.0, wheel_lb=5000.0))
    lines = LINES
    total = lines.strip_moments_lbin(axles=axles, x_in=x, edges_in=(0.0, 50.0, 51.0, 200.0, 260.0)).sum(axis=0)
    assert total == pytest.approx(np.full(len(lines.lines_in), lines.line_moment_lbin(axles=axles, x_in=x)), rel=1e-6)


LINES = WheelLines(UNEVEN)


def test_mirror():
    """Law of symmetry: on an even deck the line nearest one curb does on one side what its mirror does on the other."""
    single = WheelLines(PLAIN).moments_along_lbin_per_in(axles=AXLES, x_in=144.0)
    assert single[:, 0] == pytest.approx(single[::-1, -1], abs=1e-4 * single.max())


def test_every_standing_has_an_axle_at_the_station():
    """D4's HS20 on 40 ft at midspan: 8/32/32 at 72, 240, 408 in is the worst; 16 x 240/2 + ... by hand 2,592,000."""
    found = standings(vehicle=find_vehicle("HS20"), span_in=480.0)
    moment, axles = found[0]
    assert [a.x_in for a in axles] in ([72.0, 240.0, 408.0], [72.0, 240.0, 408.0][::-1])
    assert moment == pytest.approx(4000 * 72 / 2 + 16000 * 240 / 2 + 16000 * 72 / 2)
    assert all(any(abs(a.x_in - 100.0) < 1e-9 for a in axles) for _m, axles in _at_100())
    assert [m for m, _axles in _at_100()] == sorted((m for m, _axles in _at_100()), reverse=True)


def _at_100():
    return standings(vehicle=find_vehicle("TYPE3S2"), span_in=480.0, station_in=100.0)


@pytest.mark.parametrize(
    ("attempt", "words"),
    [
        (lambda: Roadway(deck=PLAIN.deck, near_curb_in=0.0, far_curb_in=119.0), "roadway between curbs"),
        (lambda: Roadway(deck=PLAIN.deck, near_curb_in=-30.0, far_curb_in=366.0), "first wheel line"),
        (lambda: Roadway(deck=PLAIN.deck, near_curb_in=0.0, far_curb_in=400.0), "last wheel line"),
        (lambda: standings(vehicle=find_vehicle("H15"), span_in=240.0, station_in=240.1), "station"),
        (lambda: LINES.moments_along_lbin_per_in(axles=(), x_in=20.0), "axles on the span"),
        (
            lambda: Roadway(
                deck=Deck(
                    span_in=240,
                    width_in=240,
                    stiffness=PlateStiffness(dx_lbin=1e8, dy_lbin=1e7, dk_lbin=1e7, d1_lbin=1e6),
                ),
                near_curb_in=0.0,
                far_curb_in=240.0,
            ),
            "D_1",
        ),
    ],
)
def test_refused_in_a_sentence(attempt, words):
    with pytest.raises(OutsideValidity, match=words):
        attempt()
