"""Interaction of pulls: equilibrium by a second method, seating, slack nuts, several jacks, superposition, monotony."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import nnls

from inventory.mechanics.bars.jacking import SqueezedRow, compatibility_matrix, forces_after_pull, interaction_ratios
from tests.unit.mechanics.jacking.rows import bars_of, deck_of, decks_and_bars, stiffer

NOBODY, NO_FORCE = np.array([], dtype=int), np.array([])


def turned_nuts(matrix: np.ndarray, take_up_in: np.ndarray) -> np.ndarray:
    """Forces of the whole row from the take-up of every nut, all at once: min T'MT/2 - a'T over T >= 0.

    The energy of (F + C) T = a with nuts that cannot push, by a general non-negative least squares solver; exact
    equilibrium where no nut is slack.
    """
    lower = np.linalg.cholesky(matrix)
    return nnls(lower.T, np.linalg.solve(lower, take_up_in), maxiter=10000)[0]


@settings(max_examples=40, deadline=None)
@given(decks_and_bars(), st.data())
def test_pulls_one_by_one_are_the_equilibrium_of_the_nuts(drawn, data):
    """The recursion over pulls against one solve for the nuts as they end up turned."""
    deck, bars = drawn
    matrix, count = compatibility_matrix(deck=deck, bars=bars), len(bars)
    row = SqueezedRow(matrix)
    state = row.standing(np.zeros(count))
    for _ in range(2):
        for bar in data.draw(st.permutations(range(count))):
            held = np.array([bar])
            force = data.draw(st.floats(20000.0, 60000.0))
            state = row.locked_off(row.pulled(state, held, np.array([force])), held, 0.01)
    scale = np.abs(state.take_up_in).max()
    assert state.force_lb / 60000.0 == pytest.approx(turned_nuts(matrix, state.take_up_in) / 60000.0, abs=1e-6)
    assert (matrix @ state.force_lb - state.take_up_in).min() >= -1e-7 * scale


def test_recursion_against_explicit_take_ups():
    """First pass on a loose deck: after each pull solve (F + C) T = a for the bars engaged so far, nuts as locked."""
    matrix = compatibility_matrix(deck=deck_of(), bars=bars_of())
    row, state = SqueezedRow(matrix), None
    state = row.standing(np.zeros(8))
    take_up, engaged, seating = {}, [], 0.02
    for bar in (3, 4, 2, 5, 1, 6, 0, 7):
        state = row.locked_off(row.pulled(state, np.array([bar]), np.array([50000.0])), np.array([bar]), seating)
        engaged.append(bar)
        # unknown: forces of the others (their nuts known) and the take-up of this nut (its force known)
        others = engaged[:-1]
        forces = np.zeros(8)
        forces[bar] = 50000.0
        if others:
            known = np.array([take_up[i] for i in others]) - matrix[np.ix_(others, [bar])][:, 0] * 50000.0
            forces[others] = np.linalg.solve(matrix[np.ix_(others, others)], known)
        take_up[bar] = float(matrix[bar] @ forces) - seating
        forces[engaged] = np.linalg.solve(matrix[np.ix_(engaged, engaged)], [take_up[i] for i in engaged])
        assert state.force_lb == pytest.approx(forces, rel=1e-9, abs=1e-6)


@settings(max_examples=30, deadline=None)
@given(decks_and_bars(least=3, most=20), st.data())
def test_bordered_inverses_are_inverses(drawn, data):
    """Bars that join one by one, in any order, and sets met again: always P M = 1 over the carrying bars."""
    deck, bars = drawn
    matrix, count = compatibility_matrix(deck=deck, bars=bars), len(bars)
    row, carrying = SqueezedRow(matrix), np.full(count, False)
    for bar in (*data.draw(st.permutations(range(count))), *data.draw(st.lists(st.integers(0, count - 1), max_size=6))):
        carrying[bar] = ~carrying[bar]
        stiffness = row.stiffness(carrying)
        places = np.ix_(carrying, carrying)
        assert stiffness[places] @ matrix[places] == pytest.approx(np.eye(carrying.sum()), abs=1e-8)
        assert not stiffness[~carrying].any() and not stiffness[:, ~carrying].any()


def test_two_bars_by_hand():
    """M = [[3, 1], [1, 2]]: bar 2 from 0 to 30 with bar 1 at 90: bar 1 loses 30/3 = 10. A nut back by 1: P = M^-1 =
    [[2, -1], [-1, 3]]/5, so bar 2 loses 0.6 and bar 1 gains 0.2."""
    matrix = np.array([[3.0, 1.0], [1.0, 2.0]])
    assert forces_after_pull(matrix=matrix, force_lb=(90.0, 0.0), pulled=(1,), set_lb=(30.0,)) == pytest.approx(
        (80, 30)
    )
    seated = forces_after_pull(matrix=matrix, force_lb=(90.0, 0.0), pulled=(1,), set_lb=(30.0,), seating_in=1.0)
    assert seated == pytest.approx((80.2, 29.4))
    assert interaction_ratios(matrix=matrix, pulled=(1,), engaged=(0, 1))[:, 0] == pytest.approx([1 / 3, 0])
    assert interaction_ratios(matrix=matrix, pulled=(1,), engaged=()) == pytest.approx(np.zeros((2, 1)))


def test_a_bar_emptied_by_its_neighbour_goes_slack_and_comes_back():
    """M = [[3, 1], [1, 2]]: bar 1 at 3, bar 2 pulled to 30 would leave 3 - 10 < 0: slack at 0, its nut off the plate
    by 30 - 9 = 21 in. With bar 2 let back by 60 in the row is 3 T1 = 9 again."""
    row = SqueezedRow(np.array([[3.0, 1.0], [1.0, 2.0]]))
    held = np.array([1])
    at_set = row.pulled(row.standing(np.array([3.0, 0.0])), held, np.array([30.0]))
    assert at_set.force_lb == pytest.approx([0.0, 30.0])
    assert row.matrix[0] @ at_set.force_lb - at_set.take_up_in[0] == pytest.approx(21.0)
    assert row.locked_off(at_set, held, 60.0).force_lb == pytest.approx([3.0, 0.0])


@settings(max_examples=60, deadline=None)
@given(decks_and_bars(least=4, most=16), st.data())
def test_slack_nuts_find_the_one_balance(drawn, data):
    """Nuts turned at random, many of them slack: against the general solver, also where bars change one by one."""
    deck, bars = drawn
    matrix, count = compatibility_matrix(deck=deck, bars=bars), len(bars)
    forces = np.array(data.draw(st.lists(st.floats(-6e4, 6e4), min_size=count, max_size=count)))
    take_up = matrix @ forces
    row, everyone = SqueezedRow(matrix), np.full(count, True)
    for at_once in (30, 0):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr("inventory.mechanics.bars.jacking.interaction.ROUNDS_AT_ONCE", at_once)
            found = row.settled(take_up_in=take_up, engaged=everyone, held=NOBODY, held_lb=NO_FORCE)
        assert found / 6e4 == pytest.approx(turned_nuts(matrix, take_up) / 6e4, abs=1e-6)


def test_jacks_on_every_bar_at_once_lose_nothing():
    """The limit of simultaneous jacks: all bars pulled together stand where they were set, whatever the wood."""
    matrix = compatibility_matrix(deck=deck_of(), bars=bars_of())
    target = np.linspace(30000, 60000, 8)
    after = forces_after_pull(matrix=matrix, force_lb=(0.0,) * 8, pulled=tuple(range(8)), set_lb=tuple(target))
    assert after == pytest.approx(tuple(target))


@settings(max_examples=40, deadline=None)
@given(decks_and_bars(), st.data())
def test_superposition(drawn, data):
    """While no nut is slack the loss is proportional to the rise: two small steps are one large step."""
    deck, bars = drawn
    matrix, count = compatibility_matrix(deck=deck, bars=bars), len(bars)
    bar, rise = data.draw(st.integers(0, count - 1)), data.draw(st.floats(10.0, 500.0))
    start = (50000.0,) * count
    at_once = forces_after_pull(matrix=matrix, force_lb=start, pulled=(bar,), set_lb=(50000.0 + rise,))
    half = forces_after_pull(matrix=matrix, force_lb=start, pulled=(bar,), set_lb=(50000.0 + rise / 2,))
    twice = forces_after_pull(matrix=matrix, force_lb=half, pulled=(bar,), set_lb=(50000.0 + rise,))
    losses = interaction_ratios(matrix=matrix, pulled=(bar,), engaged=tuple(range(count)))[:, 0]
    losses[bar] = -1.0
    assert np.subtract(start, at_once) == pytest.approx(losses * rise, abs=1e-5)
    assert twice == pytest.approx(at_once, abs=1e-5)


@settings(max_examples=40, deadline=None)
@given(decks_and_bars(least=3), st.floats(1.2, 4.0), st.data())
def test_stiffer_wood_interacts_less(drawn, by, data):
    """A neighbour that alone is engaged loses alpha = C_12/(f + C_11), which falls as C does."""
    deck, bars = drawn
    bar = data.draw(st.integers(1, len(bars) - 1))
    losses = [
        interaction_ratios(matrix=compatibility_matrix(deck=each, bars=bars), pulled=(bar,), engaged=(bar - 1,))
        for each in (deck, stiffer(deck, by=by))
    ]
    assert losses[1][bar - 1, 0] < losses[0][bar - 1, 0] < 1.0


def test_rigid_wood_hardly_interacts():
    """C goes as 1/E while the bars keep their stretch: 24 times stiffer wood, less than 1/7 of the losses."""
    rigid = stiffer(deck_of(), by=1e6 / 42000.0)
    matrix = compatibility_matrix(deck=rigid, bars=bars_of())
    losses = interaction_ratios(matrix=matrix, pulled=(3,), engaged=tuple(range(8)))
    soft = interaction_ratios(
        matrix=compatibility_matrix(deck=deck_of(), bars=bars_of()), pulled=(3,), engaged=tuple(range(8))
    )
    assert losses.max() < 0.15 * soft.max()


def test_equal_passes_follow_the_law_of_gauss_and_seidel():
    """Repeated equal pulls are Gauss-Seidel on P = M^-1 for the take-ups: the error shrinks by the spectral radius of
    (D + L)^-1 U each pass, which is below 1 because M is positive definite (any text on iterative methods)."""
    matrix = compatibility_matrix(deck=deck_of(), bars=bars_of())
    stiffness = np.linalg.inv(matrix)
    step = np.linalg.solve(np.tril(stiffness), np.triu(stiffness, 1))
    radius = np.abs(np.linalg.eigvals(step)).max()
    force, off = (1.0,) * 8, []
    force = tuple(0.3 for _ in range(8))
    for _ in range(14):
        for bar in range(8):
            force = forces_after_pull(matrix=matrix, force_lb=force, pulled=(bar,), set_lb=(1.0,))
        off.append(np.abs(np.subtract(force, 1.0)).max())
    assert 0.0 < radius < 1.0
    assert off[-1] / off[-2] == pytest.approx(radius, rel=0.01)
    assert off[-1] < 1e-4 < off[0]
