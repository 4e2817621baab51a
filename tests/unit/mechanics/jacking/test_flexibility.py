"""Flexibility of wood and bars: the plain series, laws of symmetry and energy, and the band of measured losses."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from inventory.mechanics.bars.jacking import compatibility_matrix
from inventory.mechanics.bars.jacking.flexibility import bar_flexibility, locked_band, wood_flexibility
from inventory.mechanics.errors import OutsideValidity
from tests.unit.mechanics.jacking.rows import bars_of, deck_of, decks_and_bars


def plain_series(deck, stations_in, terms: int = 40000) -> np.ndarray:
    """The formula of the standards page summed term by term: what is left out is below 1e-7 of the greatest."""
    length, width, modulus = deck.deck_length_in, deck.deck_width_in, deck.e_transverse_psi
    k = np.arange(1, terms + 1) * np.pi / length
    lam = k * np.sqrt(deck.shear_modulus_psi / modulus) * deck.reach_factor
    each = 2.0 * np.tanh(lam * width / 2.0) / (modulus * lam)
    half = k * deck.bearing_length_in / 2.0
    waves = np.cos(np.outer(stations_in, k))
    local = (waves * each * (np.sin(half) / half) ** 2) @ waves.T
    even = width / (modulus * deck.thickness_in * length)
    return deck.wood_factor * (even + 2.0 / (length * deck.thickness_in) * local)


@settings(max_examples=25, deadline=None)
@given(decks_and_bars())
def test_closed_form_is_the_plain_series(drawn):
    """Second method: the slow sum of 40,000 terms, whose tail is 8 L2/(t E_T r b2 pi3 M2) at most."""
    deck, bars = drawn
    stations = np.array([bar.station_in for bar in bars])
    slow, quick = plain_series(deck, stations), wood_flexibility(deck=deck, stations_in=stations)
    reach = np.sqrt(deck.shear_modulus_psi / deck.e_transverse_psi) * deck.reach_factor
    tail = deck.wood_factor * 8.0 * deck.deck_length_in**2 / (
        deck.thickness_in * deck.e_transverse_psi * reach * deck.bearing_length_in**2 * np.pi**3 * 40000**2
    )  # fmt: skip
    assert np.abs(quick - slow).max() <= 1e-8 * slow.max() + tail


@settings(max_examples=60, deadline=None)
@given(decks_and_bars(least=1))
def test_compatibility_is_symmetric_and_positive_definite(drawn):
    """Maxwell's law (symmetry) and positive strain energy, and more than the bars' own energy: C is positive too."""
    deck, bars = drawn
    matrix = compatibility_matrix(deck=deck, bars=bars)
    assert np.array_equal(matrix, matrix.T)
    own = bar_flexibility(deck=deck, areas_in2=np.array([bar.net_area_in2 for bar in bars]))
    assert np.linalg.eigvalsh(matrix).min() >= own.min() * (1 - 1e-9)


def test_even_squeeze_closes_the_wood_by_p_b_over_e():
    """Bars that cover the whole edge (b = s) at even force: closing = N B/E_T everywhere, by Hooke's law alone."""
    deck = deck_of(bearing_length_in=48.0)
    stations = (np.arange(8) + 0.5) * 48.0
    closing = wood_flexibility(deck=deck, stations_in=stations) @ np.full(8, 57600.0)
    assert closing == pytest.approx(np.full(8, 100.0 * 192.0 / 18200.0), rel=1e-9)


def test_wood_that_shears_not_at_all_closes_evenly():
    """G without end: every bar feels every other alike, C_ij = B/(E_T t L), as springs in a rigid frame."""
    deck = deck_of(shear_modulus_psi=1e6, reach_factor=100.0)
    wood = wood_flexibility(deck=deck, stations_in=(np.arange(8) + 0.5) * 48.0)
    assert wood == pytest.approx(np.full((8, 8), 192.0 / (18200.0 * 12.0 * 384.0)), rel=0.02)


def test_wide_decks_and_factors_act_as_they_are_named():
    """The wood factor multiplies C alone; the reach factor is sqrt(G), so 2 is four times the shear modulus / 2."""
    stations = (np.arange(8) + 0.5) * 48.0
    plain = wood_flexibility(deck=deck_of(), stations_in=stations)
    assert wood_flexibility(deck=deck_of(wood_factor=1.7), stations_in=stations) == pytest.approx(1.7 * plain)
    far = wood_flexibility(deck=deck_of(reach_factor=2.0), stations_in=stations)
    four = wood_flexibility(deck=deck_of(g=0.12), stations_in=stations)
    assert far == pytest.approx(four)


def test_measured_losses_come_back_from_their_matrix():
    """alpha_ij = -P_ij/P_jj with P = M^-1: 0.15, 0.06, 0.03 on both sides, none beyond; own flexibility as modelled."""
    deck = deck_of(neighbour_losses_ratio=(0.15, 0.06, 0.03))
    matrix = compatibility_matrix(deck=deck, bars=bars_of())
    stiffness = np.linalg.inv(matrix)
    losses = -stiffness[:, 3] / stiffness[3, 3]
    assert losses == pytest.approx([0.03, 0.06, 0.15, -1.0, 0.15, 0.06, 0.03, 0.0], abs=1e-12)
    modelled = compatibility_matrix(deck=deck_of(), bars=bars_of())
    assert np.diag(matrix).mean() == pytest.approx(np.diag(modelled).mean())
    assert np.linalg.eigvalsh(matrix).min() > 0


@pytest.mark.parametrize("losses", [(0.30, 0.15, 0.05), (0.5,), (-0.1,), (float("nan"),), (0.6,)])
def test_losses_no_row_can_have_are_refused(losses):
    """Twice the sum at 1 or more: neighbours would lose all that a bar gains, and P is no longer dominant."""
    with pytest.raises(OutsideValidity):
        compatibility_matrix(deck=deck_of(neighbour_losses_ratio=losses), bars=bars_of())


@pytest.mark.parametrize("losses", [(0.45,), (0.2, 0.15, 0.14), (0.0, 0.0, 0.49)])
def test_dominant_bands_are_positive_definite(losses):
    """Gershgorin: every eigenvalue of I - alpha is at least 1 - 2 x the sum."""
    least = np.linalg.eigvalsh(locked_band(losses_ratio=losses, count=12)).min()
    assert least >= 1.0 - 2.0 * sum(losses) - 1e-12


@pytest.mark.parametrize(
    "wrong",
    [
        {"deck_length_in": 0.0}, {"deck_width_in": -1.0}, {"thickness_in": float("nan")}, {"e_transverse_psi": 0.0},
        {"shear_modulus_psi": float("inf")}, {"bearing_length_in": 0.0}, {"bar_length_in": 100.0},
        {"bearing_length_in": 1e-6}, {"reach_factor": 1e-5}, {"deck_width_in": 1e-4},
        {"e_transverse_psi": 1e6, "shear_modulus_psi": 1e-6}, {"bar_modulus_psi": 0.0},
        {"wood_factor": 0.0}, {"reach_factor": -1.0},
    ],
)  # fmt: skip
def test_sizes_no_deck_has_are_refused(wrong):
    with pytest.raises(OutsideValidity, match="outside the range"):
        compatibility_matrix(deck=replace(deck_of(), **wrong), bars=bars_of())
