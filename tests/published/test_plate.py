"""Decks as orthotropic plates against tabled plates and worked decks; each check names its source and mark."""

from __future__ import annotations

import numpy as np
import pytest

from inventory.mechanics.bars import needed_pressure_psi
from inventory.mechanics.plate import (
    Deck,
    EdgeBeam,
    Patch,
    PlateStiffness,
    analyse_deck,
    lane_patches,
    ribbed_stiffness,
    slab_stiffness,
    spread_patch,
    stand_vehicle,
    sweep_roadway,
)
from inventory.mechanics.vehicle import find_vehicle

SIDE = 200.0
LOAD = 1.0  # lb per in2
RIGID = EdgeBeam(e_psi=1e9, inertia_in4=1e9)
CLAMP = EdgeBeam(e_psi=1e9, inertia_in4=1e9, g_psi=1e9, torsion_in4=1e9)


def plain(width: float, edge: EdgeBeam | None = None, nu: float = 0.3, d: float = 1e6):
    """A plate of one material, D = 1e6 lb-in, uniform load, spans SIDE between bearings."""
    stiffness = PlateStiffness(dx_lbin=d, dy_lbin=d, d1_lbin=nu * d, dk_lbin=(1 - nu) * d / 2)
    edges = {} if edge is None else {"near_edge": edge, "far_edge": edge}
    deck = Deck(span_in=SIDE, width_in=width, stiffness=stiffness, **edges)
    whole = Patch(x_in=SIDE / 2, y_in=width / 2, load_lb=LOAD * SIDE * width, length_in=SIDE, width_in=width)
    return analyse_deck(deck=deck, patches=(whole,))


def centre(response, width: float) -> tuple[float, float, float]:
    """w D/(q a4), M_x/(q a2), M_y/(q a2) at the centre."""
    x, y = SIDE / 2, width / 2
    return (
        response.deflection_in(x_in=x, y_in=y) * 1e6 / (LOAD * SIDE**4),
        response.moment_along_lbin_per_in(x_in=x, y_in=y) / (LOAD * SIDE**2),
        response.moment_across_lbin_per_in(x_in=x, y_in=y) / (LOAD * SIDE**2),
    )


@pytest.mark.parametrize(
    ("ratio", "table"), [(1.0, (0.01309, 0.1225, 0.0271)), (2.0, (0.01289, 0.1235, 0.0364))], ids=["b=a", "b=2a"]
)
def test_two_edges_supported_two_free(ratio, table):
    """Timoshenko and Woinowsky-Krieger, table of plates with two free edges, nu 0.3 (memory)."""
    width = ratio * SIDE
    assert centre(plain(width), width) == pytest.approx(table, rel=0.004)


@pytest.mark.parametrize(("ratio", "edge"), [(1.0, (0.01501, 0.1311)), (2.0, (0.01520, 0.1328))])
def test_free_edge_itself(ratio, edge):
    """Deflection and M_x at the middle of the free edge (computed by a separate program of finite strips)."""
    response = plain(ratio * SIDE)
    found = response.deflection_in(x_in=SIDE / 2, y_in=0.0) * 1e6 / SIDE**4
    moment = response.moment_along_lbin_per_in(x_in=SIDE / 2, y_in=0.0) / SIDE**2
    assert (found, moment) == pytest.approx(edge, rel=0.002)


@pytest.mark.parametrize(
    ("ratio", "alpha"),
    [(1.0, 0.0444), (1.2, 0.0616), (1.4, 0.0770), (1.6, 0.0906), (1.8, 0.1017), (2.0, 0.1110), (3.0, 0.1335)],
)
def test_edges_on_rigid_beams_are_the_plate_supported_all_round(ratio, alpha):
    """Roark Table 11.4, nu 0.3 (checked): w = alpha q b4/(E t3), b the shorter side, so alpha = 10.92 w D/(q b4)."""
    width = ratio * SIDE
    assert 10.92 * centre(plain(width, RIGID), width)[0] == pytest.approx(alpha, rel=0.005)


@pytest.mark.parametrize(("ratio", "beta"), [(1.0, 0.2874), (2.0, 0.6102)])
def test_moments_of_the_plate_supported_all_round(ratio, beta):
    """Roark Table 11.4 (checked): M = beta q b2/6 along the short span; square: both moments alike."""
    width = ratio * SIDE
    _w, along, across = centre(plain(width, RIGID), width)
    assert along == pytest.approx(beta / 6, rel=0.002)
    assert across == pytest.approx(beta / 6 if ratio == 1 else 0.0464, rel=0.002)  # 0.0464: Timoshenko (memory)


def test_edges_on_clamping_beams():
    """Timoshenko, two opposite edges supported and two clamped, square, nu 0.3 (memory): also the twist of the beam."""
    response = plain(SIDE, CLAMP)
    assert centre(response, SIDE) == pytest.approx((0.00192, 0.0244, 0.0332), rel=0.005)
    at_edge = response.moment_across_lbin_per_in(x_in=SIDE / 2, y_in=0.0) / SIDE**2
    assert at_edge == pytest.approx(-0.0697, rel=0.005)


def navier(x: float, y: float, patch: Patch, s: PlateStiffness, a: float, b: float) -> tuple[float, ...]:
    """w, M_x, M_y, Q_y of a plate supported all round: the double sine series, written out here."""
    m, n = np.meshgrid(np.arange(1, 801) * np.pi / a, np.arange(1, 801) * np.pi / b, indexing="ij")
    load = 4 * patch.load_lb / (a * b) * np.sin(m * patch.x_in) * np.sin(n * patch.y_in)
    load *= np.sinc(m * patch.length_in / 2 / np.pi) * np.sinc(n * patch.width_in / 2 / np.pi)
    w = load / (s.dx_lbin * m**4 + 2 * s.h_lbin * m**2 * n**2 + s.dy_lbin * n**4)
    both = np.sin(m * x) * np.sin(n * y)
    shear = np.sin(m * x) * np.cos(n * y) * (s.dy_lbin * n**3 + (s.d1_lbin + 2 * s.dk_lbin) * m**2 * n)
    return (
        float(np.sum(w * both)),
        float(np.sum(w * both * (s.dx_lbin * m**2 + s.d1_lbin * n**2))),
        float(np.sum(w * both * (s.dy_lbin * n**2 + s.d1_lbin * m**2))),
        float(np.sum(w * shear)),
    )


def test_a_wheel_on_a_plate_supported_all_round():
    """Second method: Navier's double series for an orthotropic plate under an eccentric patch, edges on rigid beams."""
    s = PlateStiffness(dx_lbin=2e8, dy_lbin=4e6, dk_lbin=6e6, d1_lbin=2e6)
    patch = Patch(x_in=130, y_in=70, load_lb=10000)
    deck = Deck(span_in=240, width_in=160, stiffness=s, near_edge=RIGID, far_edge=RIGID)
    response = analyse_deck(deck=deck, patches=(patch,))
    for x, y in ((130.0, 70.0), (100.0, 90.0), (60.0, 40.0)):
        found = (
            response.deflection_in(x_in=x, y_in=y),
            response.moment_along_lbin_per_in(x_in=x, y_in=y),
            response.moment_across_lbin_per_in(x_in=x, y_in=y),
            response.shear_across_lb_per_in(x_in=x, y_in=y),
        )
        assert found == pytest.approx(navier(x, y, patch, s, 240, 160), rel=0.004)


def test_navier_itself():
    """The aid above: square plate, nu 0.3, point load at the centre w = 0.01160 P a2/D (Timoshenko, memory)."""
    s = PlateStiffness(dx_lbin=1e6, dy_lbin=1e6, dk_lbin=0.35e6, d1_lbin=0.3e6)
    small = Patch(x_in=100, y_in=100, load_lb=100, length_in=1, width_in=1)
    w = navier(100, 100, small, s, 200, 200)[0]
    assert w * 1e6 / (100 * 200**2) == pytest.approx(0.01160, rel=0.002)


CASES = {
    "A": dict(span=288, width=192, t=12, e=1.4e6, lines=(60, 132)),
    "B": dict(span=288, width=192, t=12, e=1.4e6, lines=(36, 108)),
    "C": dict(span=240, width=312, t=10, e=1.3e6, lines=(60, 132, 180, 252)),
}


def worked_deck(case: str, e_ratio: float = 0.013, g_ratio: float = 0.03, spread: bool = False):
    of = CASES[case]
    stiffness = slab_stiffness(thickness_in=of["t"], e_psi=of["e"], e_ratio=e_ratio, g_ratio=g_ratio)
    deck = Deck(span_in=of["span"], width_in=of["width"], stiffness=stiffness)
    wheels = tuple(Patch(x_in=of["span"] / 2, y_in=y, load_lb=16000) for y in of["lines"])
    if spread:
        wheels = tuple(spread_patch(patch=p, surfacing_in=0, thickness_in=of["t"]) for p in wheels)
    return analyse_deck(deck=deck, patches=wheels)


@pytest.mark.parametrize(
    ("case", "w", "along", "sag", "hog", "shear"),
    [
        ("A", 0.5058, 18230, 746, -176, 139.2),
        ("B", 0.5720, 20010, 741, -223, 140.4),
        ("C", 0.7615, 19520, 670, -344, 139.7),
    ],
)
def test_worked_decks(case, w, along, sag, hog, shear):
    """Cases A, B, C (computed: other finite strips, bicubic finite elements, and an exact series for the shear)."""
    peaks = worked_deck(case).section_peaks(x_in=CASES[case]["span"] / 2)
    assert peaks.deflection.value == pytest.approx(w, rel=0.001)
    assert peaks.moment_along.value == pytest.approx(along, rel=0.001)
    assert peaks.sagging_across.value == pytest.approx(sag, rel=0.002)
    assert peaks.hogging_across.value == pytest.approx(hog, rel=0.005)
    assert abs(peaks.shear_across.value) == pytest.approx(shear, rel=0.004)


def test_case_a_at_the_edge_and_under_the_wheel():
    """Case A (computed): edge w 0.2183 in, M_x 5,202; M_x 18,196 at y = 132; shear peak at y = 50 beside the patch."""
    response = worked_deck("A")
    assert response.deflection_in(x_in=144, y_in=0.0) == pytest.approx(0.2183, abs=5e-5)
    assert response.moment_along_lbin_per_in(x_in=144, y_in=0.0) == pytest.approx(5202, abs=2)
    assert response.moment_along_lbin_per_in(x_in=144, y_in=132.0) == pytest.approx(18196, rel=0.0005)
    peak = response.section_peaks(x_in=144).shear_across
    assert peak.y_in in (50.0, 142.0)
    beside = response.shear_across_lb_per_in(x_in=144, y_in=np.array([49.0, 51.0]))
    assert np.all(np.abs(beside) < 0.9 * abs(peak.value))  # a cusp: 10 % down at 1 in on either side


def test_stiffer_wood_spreads_better_and_asks_more_of_the_joints():
    """Case A with E_T/E_L 0.020, G/E 0.05 (computed): w 0.4793, M_x 17,050, M_y 792, V 155.3."""
    peaks = worked_deck("A", 0.020, 0.05).section_peaks(x_in=144)
    found = (peaks.deflection.value, peaks.moment_along.value, peaks.sagging_across.value)
    assert found == pytest.approx((0.4793, 17050, 792), rel=0.001)
    assert peaks.joint_shear_lb_per_in == pytest.approx(155.3, rel=0.004)


def test_case_a_with_the_wheels_spread():
    """Case A spread at 45 degrees to mid-depth (computed): M_y 518, shear 77."""
    peaks = worked_deck("A", spread=True).section_peaks(x_in=144)
    assert peaks.joint_moment_lbin_per_in == pytest.approx(518, abs=0.6)
    assert peaks.joint_shear_lb_per_in == pytest.approx(77, abs=0.6)


@pytest.mark.parametrize(
    ("case", "gap", "surfaced", "rough"), [("A", 31.1, 49.7, 38.7), ("B", 30.9, 50.1, 39.0), ("C", 40.2, 59.9, 46.6)]
)
def test_pressure_the_joints_need(case, gap, surfaced, rough):
    """6 M_T/t2 and 1.5 V_T/(mu t), mu 0.35 and 0.45 (EM 7700-8 chapter 9, memory; values computed)."""
    peaks = worked_deck(case).section_peaks(x_in=CASES[case]["span"] / 2)
    t = CASES[case]["t"]

    def needed(surface, moment, shear):
        return needed_pressure_psi(
            moment_inlb_in=moment, shear_lb_in=shear, thickness_in=t, surface=surface, floor_psi=0.0
        )

    assert needed("rough", peaks.joint_moment_lbin_per_in, 0.0) == pytest.approx(gap, rel=0.002)
    assert needed("surfaced", 0.0, peaks.joint_shear_lb_per_in) == pytest.approx(surfaced, rel=0.004)
    assert needed("rough", 0.0, peaks.joint_shear_lb_per_in) == pytest.approx(rough, rel=0.004)


def tee_deck() -> Deck:
    """Input of D4: webs at 24 in, I 10,171 in4, E 2.0e6; flange 9 in, E 1.4e6; 40 ft x 16 ft."""
    stiffness = ribbed_stiffness(
        web_e_psi=2.0e6,
        web_inertia_in4=10171,
        web_spacing_in=24,
        flange_e_psi=1.4e6,
        flange_depths_in=(9.0,),
        e_ratio=0.013,
        g_ratio=0.03,
    )
    assert stiffness.dx_lbin == pytest.approx(8.476e8, rel=1e-4)
    assert (stiffness.dy_lbin, stiffness.dk_lbin) == pytest.approx((1.1056e6, 2.5515e6), rel=1e-4)
    return Deck(span_in=480, width_in=192, stiffness=stiffness)


WEB_EDGES = tuple(float(y) for y in range(0, 193, 24))


@pytest.mark.parametrize(
    ("first", "webs", "sag"),
    [
        (60.0, (22.65, 47.38, 79.43, 68.87, 68.87, 79.43, 47.38, 22.65), 632),
        (24.0, (97.72, 88.91, 69.83, 73.76, 62.20, 32.45, 13.24, -1.44), 571),
    ],
    ids=["centred", "two feet from the edge"],
)
def test_webs_of_a_tee_deck(first, webs, sag):
    """D4 (model, computed): moment of each web in kip-ft; the whole 436.66 kip-ft."""
    deck = tee_deck()
    axles = stand_vehicle(vehicle=find_vehicle("HS20"), span_in=480)
    assert [(a.x_in, a.wheel_lb) for a in axles] == [(72, 4000), (240, 16000), (408, 16000)]
    response = analyse_deck(deck=deck, patches=lane_patches(axles=axles, first_wheel_in=first))
    found = response.strip_moments_lbin(x_in=240, edges_in=WEB_EDGES)
    assert np.array(found) / 12000 == pytest.approx(webs, abs=0.006)
    assert sum(found) / 12000 == pytest.approx(436.66, abs=0.01)
    assert response.section_peaks(x_in=240).sagging_across.value == pytest.approx(sag, rel=0.002)


def test_worst_web_of_a_tee_deck():
    """D4 (model, computed): 0.2238 lane = S/8.94 on the edge web with the first wheel 24 in from the edge."""
    axles = stand_vehicle(vehicle=find_vehicle("HS20"), span_in=480)
    sweep = sweep_roadway(
        deck=tee_deck(), axles=axles, near_curb_in=0, far_curb_in=192, web_edges_in=WEB_EDGES, step_in=18
    )
    worst = sweep.worst_web
    assert worst.first_wheel_in == 24.0
    assert max(worst.web_shares) == worst.web_shares[0] == pytest.approx(0.2238, abs=0.0001)
    assert 2.0 / max(worst.web_shares) == pytest.approx(8.94, abs=0.01)
