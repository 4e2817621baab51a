"""Flexibility of the wood between bars against a general finite element library.

The same scalar problem (E_T v,yy + G v,xx = 0, free ends, even pressure under each bearing): every C_ij of 40 seeded
decks within 0.1 % of itself; the mesh is fine enough for a tenth of that (its own halving below).

A deck in plane stress with free ends (the laminations may also slip along the span, E_L, nu 0.37) is another and
better model, as the project's standards page says. On its first deck (16 ft wide, 12 in, 1 in bars at 48 in) it finds
own flexibilities 17 % (amid the row) to 34 % (at its ends) larger; losses of 0.149, 0.051, 0.015 for the first,
second and third neighbour where the formula has 0.142, 0.057, 0.033; 0.74 for the least bar after one equal pass where
the formula has 0.62, and 0.93 for 0.88 after two. The formula therefore overstates what far bars feel: a plan by it
asks more of the first bars than such a deck would need, which the readings of the first pass put right.
"""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest

from inventory.mechanics.bars.jacking import PlanInput, Squeezed, SqueezedRow, plan_stressing, revise
from inventory.mechanics.bars.jacking.flexibility import bar_flexibility, wood_flexibility
from tests.outside.seeds import seeds
from tests.outside.squeezed import SqueezedByElements
from tests.unit.mechanics.jacking.rows import bars_of, crew, deck_of, jacks_of

TOLERANCE = 1e-3
STATIONS = tuple((np.arange(8) + 0.5) * 48.0)


def deck_of_seed(seed: int) -> tuple[Squeezed, tuple[float, ...]]:
    """A deck 6 to 40 ft wide, 5 to 18 in thick, of 3 to 8 bars 20 to 72 in apart; bearings of 4 to 18 in."""
    pick = random.Random(9100 + seed)
    bearing = pick.uniform(4.0, 18.0)
    gaps = [pick.uniform(20.0, 72.0) for _ in range(pick.randint(3, 8))]
    stations = np.cumsum(gaps)
    width = 12.0 * pick.uniform(6.0, 40.0)
    deck = Squeezed(
        deck_length_in=float(stations[-1] + pick.uniform(bearing / 2.0, 40.0)),
        deck_width_in=width,
        thickness_in=pick.uniform(5.0, 18.0),
        e_transverse_psi=pick.uniform(8e3, 5e4),
        shear_modulus_psi=pick.uniform(2e4, 1e5),
        bearing_length_in=bearing,
        bar_length_in=width + 24.0,
    )
    return deck, tuple(float(station) for station in stations)


@pytest.mark.long
@pytest.mark.parametrize("seed", seeds(40))
def test_flexibility_of_the_same_scalar_problem(seed):
    deck, stations = deck_of_seed(seed)
    library = SqueezedByElements(deck, stations, fine=2).flexibility()
    assert wood_flexibility(deck=deck, stations_in=np.array(stations)) == pytest.approx(library, rel=TOLERANCE)


def test_the_mesh_is_finer_than_the_tolerance():
    """Halved, the library moves by less than a quarter of the tolerance."""
    deck, stations = deck_of_seed(0)
    coarse, fine = (SqueezedByElements(deck, stations, fine=each).flexibility() for each in (2, 4))
    assert np.abs(coarse / fine - 1.0).max() < TOLERANCE / 4.0


def test_reach_is_the_root_of_the_shear_modulus():
    """The learned reach factor means another G in the same problem; the wood factor multiplies the whole of C."""
    deck = deck_of(reach_factor=1.5)
    library = SqueezedByElements(deck, STATIONS, fine=2).flexibility()
    assert wood_flexibility(deck=deck, stations_in=np.array(STATIONS)) == pytest.approx(library, rel=TOLERANCE)
    softer = wood_flexibility(deck=replace(deck, wood_factor=2.0), stations_in=np.array(STATIONS))
    assert softer == pytest.approx(2.0 * library, rel=TOLERANCE)


def least_after_passes(matrix: np.ndarray, passes: int) -> list[float]:
    """Least force after each equal pass to 1 from end to end, on loose bars."""
    row, least = SqueezedRow(matrix), []
    state = row.standing(np.zeros(len(matrix)))
    for _ in range(passes):
        for bar in range(len(matrix)):
            state = row.pulled(state, np.array([bar]), np.array([1.0]))
        least.append(float(state.force_lb.min()))
    return least


def test_plane_stress_interacts_less_at_a_distance():
    """The page's own figure for a deck in plane stress with free ends: least 0.74 after pass 1 (`computed`)."""
    deck = deck_of()
    bars = np.diag(bar_flexibility(deck=deck, areas_in2=np.full(8, 0.85)))
    formula = wood_flexibility(deck=deck, stations_in=np.array(STATIONS))
    plane = SqueezedByElements(deck, STATIONS, fine=2, e_along_psi=1.4e6).flexibility()
    assert plane == pytest.approx(plane.T, rel=1e-9)
    assert least_after_passes(plane + bars, 2) == pytest.approx([0.74, 0.93], abs=0.006)
    assert least_after_passes(formula + bars, 2) == pytest.approx([0.62, 0.88], abs=0.006)
    own = np.diag(plane) / np.diag(formula)
    assert 1.15 < own.min() and own.max() < 1.40
    far = [(matrix[0, 7] + matrix[0, 6]) / matrix[0, 0] for matrix in (plane, formula)]
    assert far[0] < 0.5 * far[1]


def test_a_plan_by_the_formula_on_a_deck_in_plane_stress():
    """What the difference means for a crew: carried out as planned, no bar ends more than 5 % below its target, but the
    first 23 % above, and nothing is lowered: far bars feel less than the formula says. Revised after four pulls the
    readings fit better (a shorter reach is learned, though it is not the deck's own law) and no bar is below 95 %."""
    deck, bars = deck_of(), bars_of(area_in2=1.25, target_lb=57600.0)
    plan = plan_stressing(PlanInput(deck=deck, bars=bars, jacks=jacks_of(), order="end_to_end", seating_in=0.02))
    own = np.diag(bar_flexibility(deck=deck, areas_in2=np.full(8, 1.25)))
    plane = own + SqueezedByElements(deck, STATIONS, fine=2, e_along_psi=1.4e6).flexibility()
    done, forces = crew(plan, truth=plane, seating_in=0.02, pulls=4)
    _, unrevised = crew(plan, truth=plane, seating_in=0.02, pulls=8)
    assert unrevised.min() > 0.95 * 57600.0 and 1.2 < unrevised.max() / 57600.0 < 1.3
    revision = revise(plan, done, 1e6)
    row = SqueezedRow(plane)
    state = row.standing(forces)
    for pull in revision.plan.pulls[4:]:
        held = np.array([each.bar_index for each in pull.bars])
        at_set = row.pulled(state, held, np.array([each.set_lb for each in pull.bars]))
        state = row.locked_off(at_set, held, 0.02)
    ends = state.force_lb / 57600.0
    assert ends.min() > 0.95 and revision.relearned.deck.reach_factor < 0.95
    assert revision.relearned.misfit_after_pct < revision.relearned.misfit_before_pct
