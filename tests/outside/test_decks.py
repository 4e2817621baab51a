"""200 seeded decks under wheels: strips and series against a general finite element library.

Slabs, nailed decks that spread by torsion alone, and ribbed decks, with free and stiffened edges, one to three lanes.
Tolerances of the largest value at each station: 1 % for deflection and moment along the span, 5 % for moment and
shear across. The library's mesh is fine enough for a tenth of that in deflection and moments (its own halving below).
"""

from __future__ import annotations

import random

import numpy as np
import pytest

from inventory.mechanics.distribution import foot_share, member_share
from inventory.mechanics.plate import (
    Deck,
    EdgeBeam,
    Patch,
    PlateStiffness,
    Roadway,
    WheelLines,
    analyse_deck,
    lane_patches,
    slab_stiffness,
    stand_vehicle,
    transverse_ratios,
)
from inventory.mechanics.vehicle import STANDARD_VEHICLES, find_vehicle
from tests.outside.plate import PlateByElements
from tests.outside.seeds import seeds

TOLERANCES = {"deflection": 0.01, "moment along": 0.01, "moment across": 0.05, "shear across": 0.05}
ASK = {
    "deflection": "deflection_in",
    "moment along": "moment_along_lbin_per_in",
    "moment across": "moment_across_lbin_per_in",
    "shear across": "shear_across_lb_per_in",
}
KINDS = ("slab", "nailed", "ribbed", "edged")


def stiffness_of(pick: random.Random, kind: str) -> PlateStiffness:
    """Inventor's ranges: slabs of 8 to 18 in at 40 to 100 psi, nailed decks, webs of 15 to 40 in with flanges."""
    if kind == "ribbed":
        along = pick.uniform(1e8, 3e9)
        flange = pick.uniform(1.0e6, 1.8e6) * pick.uniform(6, 12) ** 3 / 12.0
        return PlateStiffness(dx_lbin=along, dy_lbin=0.013 * flange, dk_lbin=0.03 * flange)
    ratios = transverse_ratios(pressure_psi=pick.uniform(40, 100))
    e_ratio = 1e-4 if kind == "nailed" else ratios.e_ratio
    return slab_stiffness(
        thickness_in=pick.uniform(8, 18), e_psi=pick.uniform(0.9e6, 1.9e6), e_ratio=e_ratio, g_ratio=ratios.g_ratio
    )


def deviation(library: PlateByElements, kernel, name: str, station: float) -> float:
    """Largest difference over the width at a station, over the largest value there.

    The third derivative of a cubic element is one number, so shear is held against the kernel's mean over the element.
    """
    column = library.columns(library.column_at(station))[name]
    ask = getattr(kernel, ASK[name])
    if name == "shear across":
        steps = np.diff(library.ys)[:, None] * (np.arange(5) + 0.5) / 5
        within = library.ys[:-1, None] + steps
        found = ask(x_in=column.x_in, y_in=within.ravel()).reshape(within.shape).mean(axis=1)
    else:
        found = ask(x_in=column.x_in, y_in=column.y_in)
    return float(np.max(np.abs(found - column.value)) / np.max(np.abs(column.value)))


def deck_of(seed: int) -> tuple[Deck, tuple[Patch, ...]]:
    """A deck of 10 to 70 ft, 10 to 40 ft wide, and a vehicle somewhere between its curbs in as many lanes as fit."""
    pick = random.Random(4200 + seed)
    kind = KINDS[seed // 10 % len(KINDS)]
    span, width = 12.0 * pick.uniform(10, 70 if kind == "ribbed" else 36), 12.0 * pick.uniform(10, 40)
    edges = {}
    if kind == "edged":
        edges["near_edge"] = EdgeBeam(e_psi=1.4e6, inertia_in4=pick.uniform(200, 5000), g_psi=7e4, torsion_in4=4000)
    deck = Deck(span_in=span, width_in=width, stiffness=stiffness_of(pick, kind), **edges)
    lanes = pick.randint(1, min(3, int((width + 48 - 48) // 120)))
    axles = stand_vehicle(vehicle=find_vehicle(pick.choice(sorted(STANDARD_VEHICLES))), span_in=span)
    last = width - 24.0 - (lanes * 72.0 + (lanes - 1) * 48.0)
    return deck, lane_patches(axles=axles, first_wheel_in=pick.uniform(24.0, max(24.0, last)), lanes=lanes)


@pytest.mark.parametrize("seed", seeds(200))
def test_decks_against_the_library(seed):
    """Deflection, moments and shear over the whole width, beside the axle at midspan and at a third of the span."""
    deck, patches = deck_of(seed)
    library, kernel = PlateByElements(deck, patches), analyse_deck(deck=deck, patches=patches)
    middle = min((p.x_in for p in patches), key=lambda x: abs(x - deck.span_in / 2))
    for station in (middle - 4.99, deck.span_in / 3):
        for name, most in TOLERANCES.items():
            off = deviation(library, kernel, name, station)
            assert off < most, (name, station, off)


def test_the_library_comes_nearer_as_its_mesh_is_halved():
    """Law of convergence: both go to one solution. Shear beside a sharp patch is a cusp, so it goes slowest."""
    deck, patches = deck_of(5)
    kernel = analyse_deck(deck=deck, patches=patches)
    middle = min((p.x_in for p in patches), key=lambda x: abs(x - deck.span_in / 2))
    off: dict[str, list[float]] = {}
    for fine in (4.0, 2.0):
        library = PlateByElements(deck, patches, fine=fine, coarse=4 * fine)
        for name in TOLERANCES:
            off.setdefault(name, []).append(deviation(library, kernel, name, middle - 4.99))
    for name, (coarse, fine) in off.items():
        assert fine < coarse / 1.5 or fine < TOLERANCES[name] / 50, name


@pytest.mark.parametrize(
    ("count", "spacing_in", "off"),
    [(10, 24.0, 0.02), (6, 48.0, 0.03), (5, 60.0, 0.05)],
)
def test_members_smeared_against_members_one_by_one(count, spacing_in, off):
    """Second method: a deck on beams that stand each by itself, inner and outer, with HS20 where the share governs.

    Smearing them into D_x = E I/S errs little for close members and more for wide ones, outer ones most: 5 ft is as far
    as a rating goes. Beams of 40 ft, 8-3/4 x 36 in, E 1.5e6 at 5 ft (closer ones as much lighter); deck of 5-1/8 in.
    """
    beam, across = 1.5e6 * 8.75 * 36.0**3 / 12.0 * spacing_in / 60.0, 1.4e6 * 5.125**3 / 12.0
    width, edges = count * spacing_in, tuple(spacing_in * at for at in range(count + 1))
    smeared = PlateStiffness(dx_lbin=beam / spacing_in, dy_lbin=across, dk_lbin=0.0)
    roadway = Roadway(deck=Deck(span_in=480.0, width_in=width, stiffness=smeared), near_curb_in=0.0, far_curb_in=width)
    bare = Deck(
        span_in=480.0,
        width_in=width,
        stiffness=PlateStiffness(dx_lbin=across / 50.0, dy_lbin=across, dk_lbin=across / 1000.0),
    )
    axles, lines = stand_vehicle(vehicle=find_vehicle("HS20"), span_in=480.0), WheelLines(roadway)
    for members in ((0, count - 1), tuple(range(1, count - 1))):
        share = member_share(roadway=roadway, vehicle=find_vehicle("HS20"), lanes=1, edges_in=edges, members=members)
        patches = lane_patches(axles=axles, first_wheel_in=share.from_curb_in)
        beams = tuple((spacing_in * (at + 0.5), beam) for at in range(count))
        library = PlateByElements(bare, patches, fine=4.0, coarse=12.0, beams=beams)
        column = library.column_at(240.0 + 1e-3)
        one_by_one = np.array([library.beam_moment_lbin(at, column) for at in range(count)])
        middle = float(library.xs[column : column + 2].mean())
        single = lines.strip_moments_lbin(axles=axles, x_in=middle, edges_in=edges)
        at = [place.first_wheel_in for place in lines.places(1)].index(share.from_curb_in)
        spread = lines.whole_vehicles(single, 1)[:, at]
        worst = max(members, key=lambda member: spread[member])
        assert spread[worst] == pytest.approx(one_by_one[worst], rel=off)


@pytest.mark.parametrize("seed", seeds(40))
def test_shares_against_the_library(seed):
    """The share of a foot of deck, and of each strip, from the library with the vehicle in the place that governs.

    Largest M_x of the library over 12 in, over one wheel line's beam moment: within 1 % of the kernel's share.
    """
    pick = random.Random(990 + seed)
    span, width = 12.0 * pick.uniform(14, 34), 12.0 * pick.uniform(14, 30)
    deck = Deck(span_in=span, width_in=width, stiffness=stiffness_of(pick, "slab"))
    roadway = Roadway(deck=deck, near_curb_in=6.0, far_curb_in=width - 6.0)
    vehicle = find_vehicle(pick.choice(["H15", "HS20", "TYPE3", "EV2", "EV3", "SU5"]))
    share = foot_share(roadway=roadway, vehicle=vehicle, lanes=2)
    axles = stand_vehicle(vehicle=vehicle, span_in=span)
    patches = lane_patches(axles=axles, first_wheel_in=6.0 + share.from_curb_in, lanes=share.lanes)
    library = PlateByElements(deck, patches, fine=2.5)
    column = library.columns(library.column_at(span / 2 + 1e-3))["moment along"]
    line = WheelLines(roadway).line_moment_lbin(axles=axles, x_in=column.x_in)
    assert 12.0 * np.max(column.value) / line * share.presence_factor == pytest.approx(share.wheel_lines, rel=0.01)


def test_webs_against_the_library():
    """D4's deck (40 ft, eight webs at 24 in): moments of the webs by integrating the library's M_x over each strip."""
    stiffness = PlateStiffness(dx_lbin=8.476e8, dy_lbin=1.1056e6, dk_lbin=2.5515e6)
    deck = Deck(span_in=480.0, width_in=192.0, stiffness=stiffness)
    vehicle = find_vehicle("HS20")
    roadway = Roadway(deck=deck, near_curb_in=0.0, far_curb_in=192.0)
    edges = tuple(24.0 * at for at in range(9))
    share = member_share(roadway=roadway, vehicle=vehicle, lanes=1, edges_in=edges, members=tuple(range(8)))
    axles = stand_vehicle(vehicle=vehicle, span_in=480.0)
    patches = lane_patches(axles=axles, first_wheel_in=share.from_curb_in)
    library = PlateByElements(deck, patches, fine=2.0, coarse=4.0)
    column = library.columns(library.column_at(240.0 + 1e-3))["moment along"]
    y = np.linspace(0.0, 24.0, 97)
    edge_web = np.trapezoid(np.interp(y, column.y_in, column.value), y)
    whole = WheelLines(roadway).line_moment_lbin(axles=axles, x_in=column.x_in)
    assert edge_web / whole == pytest.approx(share.wheel_lines, rel=0.01)
