"""Laws that any right answer of a deck obeys: equilibrium, symmetry, reciprocity, limits, convergence."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from inventory.mechanics.plate import (
    Deck,
    EdgeBeam,
    Fineness,
    Patch,
    PlateStiffness,
    analyse_deck,
    slab_stiffness,
    stand_vehicle,
    sweep_roadway,
)
from inventory.mechanics.vehicle import find_vehicle

SLAB = slab_stiffness(thickness_in=12, e_psi=1.4e6, e_ratio=0.013, g_ratio=0.03)
DECK = Deck(span_in=288, width_in=192, stiffness=SLAB)
TWISTED = Deck(
    span_in=288,
    width_in=192,
    stiffness=replace(SLAB, d1_lbin=4e6),
    near_edge=EdgeBeam(e_psi=1.4e6, inertia_in4=3000, g_psi=6e4, torsion_in4=4000),
    far_edge=EdgeBeam(e_psi=1.4e6, inertia_in4=800),
)
WHEELS = (
    Patch(x_in=144, y_in=40.3, load_lb=16000),
    Patch(x_in=144, y_in=112.3, load_lb=12000, width_in=16),
    Patch(x_in=3, y_in=150, load_lb=9000),  # partly beyond the bearing
)


def beam_moment(x: float, span: float, patches) -> float:
    """Simple beam under pieces of even load, by summing 4,000 small forces."""
    total = 0.0
    for p in patches:
        at = p.x_in + p.length_in * ((np.arange(4000) + 0.5) / 4000 - 0.5)
        at = at[(at > 0) & (at < span)]
        total += p.load_lb / 4000 * np.sum(np.where(at <= x, at * (span - x), x * (span - at)) / span)
    return total


@pytest.mark.parametrize("deck", [DECK, TWISTED], ids=["free edges", "edge beams and D_1"])
@pytest.mark.parametrize("x", [40.0, 144.0, 146.5, 250.0])
def test_moments_over_the_width_are_the_beam_moment(deck, x):
    """Equilibrium: M_x over the width and the edge beams together carry what a simple beam would."""
    response = analyse_deck(deck=deck, patches=WHEELS)
    strips = response.strip_moments_lbin(x_in=x, edges_in=(0.0, 17.0, 55.5, 120.0, 192.0))
    whole = sum(strips) + sum(response.edge_moments_lbin(x_in=x))
    assert whole == pytest.approx(response.beam_moment_lbin(x_in=x), rel=1e-8)
    assert whole == pytest.approx(beam_moment(x, 288, WHEELS), rel=1e-5)


def test_edges_of_patches_that_nearly_meet():
    """Equilibrium to eight figures although two patches end a hair apart and one a hair from the free edge."""
    wheels = (
        Patch(x_in=144, y_in=10 + 1e-7, load_lb=5000),
        Patch(x_in=144, y_in=60, load_lb=9000),
        Patch(x_in=100, y_in=80 + 1e-5, load_lb=9000),
    )
    response = analyse_deck(deck=DECK, patches=wheels)
    (whole,) = response.strip_moments_lbin(x_in=120.0, edges_in=(0.0, 192.0))
    assert whole == pytest.approx(response.beam_moment_lbin(x_in=120.0), rel=1e-8)


def test_strip_moments_are_the_sum_of_the_moment_per_inch():
    """Two roads to one number: moment of a strip and trapezoids of M_x between the same lines."""
    response = analyse_deck(deck=TWISTED, patches=WHEELS)
    y = np.linspace(60, 84, 481)
    fine = response.moment_along_lbin_per_in(x_in=144, y_in=y)
    (strip,) = response.strip_moments_lbin(x_in=144, edges_in=(60.0, 84.0))
    assert strip == pytest.approx(np.trapezoid(fine, y), rel=1e-4)


@pytest.mark.parametrize("deck", [DECK, TWISTED], ids=["free edges", "edge beams and D_1"])
def test_shear_is_the_slope_of_the_moments(deck):
    """Equilibrium of a small piece: Q_y = dM_y/dy + dM_xy/dx, by central differences away from the patches."""
    response, step = analyse_deck(deck=deck, patches=WHEELS[:2]), 0.05
    for x, y in ((100.0, 75.0), (60.0, 30.0), (190.0, 160.0)):
        across = [response.moment_across_lbin_per_in(x_in=x, y_in=y + side) for side in (-step, step)]
        twist = [response.twist_lbin_per_in(x_in=x + side, y_in=y) for side in (-step, step)]
        slope = (across[1] - across[0] + twist[1] - twist[0]) / (2 * step)
        assert response.shear_across_lb_per_in(x_in=x, y_in=y) == pytest.approx(slope, rel=2e-3)


def test_strips_and_series_agree():
    """Two methods inside the kernel: curvature w,yy of the strips against M_y of the series; free edges carry none."""
    response = analyse_deck(deck=DECK, patches=WHEELS, fineness=Fineness(fine_in=0.5, coarse_in=1, strip_reach=18))
    y, h = np.array([20.0, 76.0, 130.0]), 0.25
    w = [response.deflection_in(x_in=144, y_in=y + side) for side in (-h, 0.0, h)]
    bent = -SLAB.dy_lbin * (w[0] - 2 * w[1] + w[2]) / h**2
    assert response.moment_across_lbin_per_in(x_in=144, y_in=y) == pytest.approx(bent, rel=0.01)
    edges = response.moment_across_lbin_per_in(x_in=144, y_in=np.array([0.0, 192.0]))
    assert edges == pytest.approx([0.0, 0.0], abs=1e-6)


def test_mirror():
    """Symmetry: the deck turned end for end and side for side gives the same answers at the turned points."""
    turned_wheels = tuple(replace(p, x_in=288 - p.x_in, y_in=192 - p.y_in) for p in WHEELS)
    turned_deck = replace(TWISTED, near_edge=TWISTED.far_edge, far_edge=TWISTED.near_edge)
    one = analyse_deck(deck=TWISTED, patches=WHEELS)
    other = analyse_deck(deck=turned_deck, patches=turned_wheels)
    for x, y in ((144.0, 40.0), (70.0, 100.0), (200.0, 0.0)):
        there = {"x_in": 288 - x, "y_in": 192 - y}
        assert one.deflection_in(x_in=x, y_in=y) == pytest.approx(other.deflection_in(**there), rel=1e-5)
        assert one.twist_lbin_per_in(x_in=x, y_in=y) == pytest.approx(other.twist_lbin_per_in(**there), rel=1e-6)
        shears = one.shear_across_lb_per_in(x_in=x, y_in=y), other.shear_across_lb_per_in(**there)
        assert shears[0] == pytest.approx(-shears[1], rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("deck", [DECK, TWISTED], ids=["free edges", "edge beams and D_1"])
def test_reciprocity(deck):
    """Maxwell: the deflection at B under a load at A equals that at A under the same load at B."""
    spots = ((100.0, 50.0), (180.0, 150.0))
    small = {"load_lb": 10000, "length_in": 2, "width_in": 2}
    found = []
    for here, there in (spots, spots[::-1]):
        response = analyse_deck(deck=deck, patches=(Patch(x_in=here[0], y_in=here[1], **small),))
        found.append(response.deflection_in(x_in=there[0], y_in=there[1]))
    assert found[0] == pytest.approx(found[1], rel=2e-5)
    assert found[0] > 0.01


def test_loads_add_up():
    """Linearity: two wheels together give the sum of each alone."""
    both = analyse_deck(deck=DECK, patches=WHEELS)
    each = [analyse_deck(deck=DECK, patches=(wheel,)) for wheel in WHEELS]
    for ask in ("deflection_in", "moment_across_lbin_per_in", "shear_across_lb_per_in"):
        total = sum(getattr(one, ask)(x_in=120.0, y_in=90.0) for one in each)
        assert getattr(both, ask)(x_in=120.0, y_in=90.0) == pytest.approx(total, rel=2e-4)


def test_even_load_bends_a_deck_without_poisson_as_beams():
    """Mechanics: nu 0, even load on the whole deck: w = 5 q a4/(384 D_x), M = q a2/8 on every line, M_y = 0."""
    whole = Patch(x_in=144, y_in=96, load_lb=0.5 * 288 * 192, length_in=288, width_in=192)
    response = analyse_deck(deck=DECK, patches=(whole,))
    for y in (0.0, 31.0, 96.0):
        assert response.deflection_in(x_in=144, y_in=y) == pytest.approx(
            5 * 0.5 * 288**4 / (384 * SLAB.dx_lbin), rel=1e-6
        )
        along = response.moment_along_lbin_per_in(x_in=144, y_in=y)
        assert along == pytest.approx(0.5 * 288**2 / 8, rel=1e-6)
        assert response.moment_across_lbin_per_in(x_in=144, y_in=y) == pytest.approx(0.0, abs=1e-6)


def test_stiff_across_shares_like_a_rigid_body():
    """Limit: no twist stiffness, very stiff across: M_x = M/b (1 + 12 e (y - b/2)/b2), the rigid cross-beam rule."""
    stiff = PlateStiffness(dx_lbin=2e8, dy_lbin=2e10, dk_lbin=0.0)
    deck = Deck(span_in=480, width_in=60, stiffness=stiff)
    response = analyse_deck(deck=deck, patches=(Patch(x_in=240, y_in=42, load_lb=10000),))
    mean = response.beam_moment_lbin(x_in=200.0) / 60
    for y in (0.0, 15.0, 42.0, 60.0):
        expected = mean * (1 + 12 * 12 * (y - 30) / 60**2)
        assert response.moment_along_lbin_per_in(x_in=200.0, y_in=y) == pytest.approx(
            expected, rel=0.01, abs=0.01 * mean
        )


def test_nothing_across_leaves_the_load_to_its_own_lines():
    """Limit: D_y and D_k nearly nought: the lines under the wheel carry P L/4 - P u/8 alone, the others nothing."""
    slack = PlateStiffness(dx_lbin=2e8, dy_lbin=2.0, dk_lbin=0.0)
    deck = Deck(span_in=288, width_in=192, stiffness=slack)
    response = analyse_deck(deck=deck, patches=(Patch(x_in=144, y_in=60, load_lb=16000),))
    under = 16000 * (288 / 4 - 10 / 8) / 20
    assert response.moment_along_lbin_per_in(x_in=144, y_in=60.0) == pytest.approx(under, rel=2e-3)
    (strip,) = response.strip_moments_lbin(x_in=144, edges_in=(38.0, 82.0))
    assert strip == pytest.approx(under * 20, rel=1e-3)
    assert abs(response.moment_along_lbin_per_in(x_in=144, y_in=100.0)) < 1e-3 * under


def test_stiffer_across_spreads_more():
    """Monotony: the peak of M_x falls as E_T and G rise; a stiffer edge beam takes more and deflects less."""
    wheel = (Patch(x_in=144, y_in=40, load_lb=16000),)
    peaks = []
    for scale in (0.2, 1.0, 5.0):
        stiffness = replace(SLAB, dy_lbin=SLAB.dy_lbin * scale, dk_lbin=SLAB.dk_lbin * scale)
        response = analyse_deck(deck=replace(DECK, stiffness=stiffness), patches=wheel)
        peaks.append(response.section_peaks(x_in=144).moment_along.value)
    assert peaks[0] > 1.2 * peaks[1] > 1.2 * 1.2 * peaks[2]
    taken, sunk = [], []
    for inertia in (0.0, 500.0, 5000.0):
        deck = replace(DECK, near_edge=EdgeBeam(e_psi=1.4e6, inertia_in4=inertia))
        response = analyse_deck(deck=deck, patches=wheel)
        taken.append(response.edge_moments_lbin(x_in=144)[0])
        sunk.append(response.deflection_in(x_in=144, y_in=0.0))
    assert taken[0] == 0 < taken[1] < taken[2]
    assert sunk[0] > sunk[1] > sunk[2] > 0


def test_elements_converge():
    """Law of cubic elements: the error of w falls as h4 (16 times per halving) once the elements are small."""
    patch = (Patch(x_in=144, y_in=64, load_lb=16000, length_in=64, width_in=32),)
    found = []
    for h in (32.0, 16.0, 8.0, 4.0):
        fineness = Fineness(fine_in=min(h, 24.0), coarse_in=min(h, 24.0), least_harmonics=9, strip_reach=1)
        found.append(analyse_deck(deck=DECK, patches=patch, fineness=fineness).deflection_in(x_in=144, y_in=64.0))
    best = Fineness(fine_in=1, coarse_in=1, least_harmonics=9, strip_reach=1)
    limit = analyse_deck(deck=DECK, patches=patch, fineness=best).deflection_in(x_in=144, y_in=64.0)
    errors = [abs(value - limit) for value in found[1:]]
    assert errors[0] / errors[1] == pytest.approx(16, rel=0.35)
    assert errors[1] / errors[2] == pytest.approx(16, rel=0.35)


def test_harmonics_converge():
    """Law of the series: w falls off as 1/m5, the shear at the edge of a patch as about 1/m2 and no slower than 1/m."""
    wheel, limit = (Patch(x_in=144, y_in=60, load_lb=16000),), 8000
    response = analyse_deck(deck=DECK, patches=wheel)

    def shear(count: int) -> float:
        return response.shear_across_lb_per_in(x_in=144, y_in=50.0, harmonics=count)

    errors = [max(abs(shear(m + more) - shear(limit)) for more in range(0, 60, 7)) for m in (150, 300, 600, 1200)]
    assert all(one / two > 2.0 for one, two in zip(errors, errors[1:], strict=False))
    assert errors[-1] < 0.005 * shear(limit)


def test_defaults_are_within_their_stated_errors():
    """Convergence: four times the harmonics and a quarter of the elements move w, M_x by 0.1 %, M_y, Q_y by 0.5 %."""
    fine = Fineness(strip_reach=36, series_reach=72, peak_reach=520, fine_in=0.25, coarse_in=0.5)
    axles = stand_vehicle(vehicle=find_vehicle("HS20"), span_in=288)
    wheels = tuple(Patch(x_in=a.x_in, y_in=y, load_lb=a.wheel_lb) for a in axles for y in (31.3, 103.3))
    one, two = (analyse_deck(deck=DECK, patches=wheels, fineness=f).section_peaks(x_in=144) for f in (Fineness(), fine))
    for name, error in (
        ("deflection", 0.001),
        ("moment_along", 0.001),
        ("sagging_across", 0.005),
        ("hogging_across", 0.005),
        ("shear_across", 0.005),
    ):
        assert abs(getattr(one, name).value) == pytest.approx(abs(getattr(two, name).value), rel=error), name


def test_step_of_the_sweep():
    """Convergence: steps of 12 in find the greatest within 1 % of steps of 2 in."""
    axles = stand_vehicle(vehicle=find_vehicle("HS20"), span_in=288)
    common = dict(deck=DECK, axles=axles, near_curb_in=9, far_curb_in=183, thickness_in=12, surfacing_in=3)
    wide, close = (sweep_roadway(step_in=step, **common) for step in (12, 2))
    for ask in ("joint_moment_lbin_per_in", "joint_shear_lb_per_in"):
        assert getattr(close, ask) * 0.99 <= getattr(wide, ask) <= getattr(close, ask) * 1.001
    near, far = (s.worst_moment.peaks.moment_along.value for s in (wide, close))
    assert near == pytest.approx(far, rel=0.01)
