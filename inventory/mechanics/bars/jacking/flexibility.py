"""How much the wood and the bars give: the compatibility matrix M = F + C of one row of bars.

T are the bar forces, C T the closing of the wood at each bar, f_i = L / (A_i E_s) the stretch of a bar, and
(F + C) T = a the take-up of the nuts. Wood: displacement v(x, y) across with E_T v,yy + G v,xx = 0, free ends, width
B between bulkheads, length L, bar pressure even over b (`model`: it holds the laminations still along the span, so it
passes more of a pull to far bars than a deck in plane stress):

    C_ij = B/(E_T t L) + (2/(L t)) sum_m c_m cos(k x_i) cos(k x_j) sinc2(k b/2)
    k = m pi/L, lam = k sqrt(G/E_T), c_m = 2 tanh(lam B/2)/(E_T lam)

Source: compatibility of bolted joints (Bibel and Ezell 1992, memory) with a wood model of our own; no published
coefficient for timber decks is known, so all of this is `model`.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from scipy.linalg import toeplitz
from scipy.special import bernoulli, factorial, zeta

from inventory.mechanics.errors import OutsideValidity, require_range

from .terms import PlannedBar, Squeezed

SOURCE = "elastic interaction of bars, model"
TOLERANCE = 1e-9
"""Error of any C_ij over the greatest: where the series of tanh(lam B/2) - 1 is cut; the rest is summed exactly."""
POWERS = 22
BEARING_LEAST_IN = 0.5
WAVES_MOST = 20000
"""Sizes at which the sums stay exact and small; no deck comes near them."""
LOSSES_BELOW_RATIO = 1.0 - 1e-9
"""Twice the sum of measured losses stays below 1, but for rounding."""


def compatibility_matrix(*, deck: Squeezed, bars: tuple[PlannedBar, ...]) -> np.ndarray:
    """M, in per lb, (n, n), symmetric and positive definite; from the wood model, or from measured neighbour losses.

    ``OutsideValidity`` for sizes outside their range, or measured losses whose sum on both sides reaches 1.
    """
    check_deck(deck)
    stations_in = np.array([bar.station_in for bar in bars], dtype=float)
    areas_in2 = np.array([bar.net_area_in2 for bar in bars], dtype=float)
    modelled = np.diag(bar_flexibility(deck=deck, areas_in2=areas_in2)) + wood_flexibility(
        deck=deck, stations_in=stations_in
    )
    if not deck.neighbour_losses_ratio:
        return modelled
    measured = np.linalg.inv(locked_band(losses_ratio=measured_losses(deck), count=len(bars)))
    # Losses say how bars share, not how far a bar moves: the mean own flexibility stays that of the geometry.
    return (measured + measured.T) / 2.0 * np.mean(np.diag(modelled)) / np.mean(np.diag(measured))


def check_deck(deck: Squeezed) -> None:
    """``OutsideValidity`` for a size or modulus outside its range."""
    for name, value, most, unit in (
        ("deck length", deck.deck_length_in, 12000, "in"),
        ("deck width between bulkheads", deck.deck_width_in, 2400, "in"),
        ("deck thickness", deck.thickness_in, 60, "in"),
        ("transverse modulus of the wood", deck.e_transverse_psi, 1e6, "psi"),
        ("shear modulus of the wood", deck.shear_modulus_psi, 1e6, "psi"),
        ("bearing length of a bar", deck.bearing_length_in, deck.deck_length_in, "in"),
        ("modulus of the bars", deck.bar_modulus_psi, 6e7, "psi"),
        ("wood factor", deck.wood_factor, 100, ""),
        ("reach factor", deck.reach_factor, 100, ""),
    ):
        require_range(name=name, value=value, above=0, most=most, unit=unit, source=SOURCE)
    require_range(
        name="bearing length of a bar", value=deck.bearing_length_in, least=BEARING_LEAST_IN, unit="in", source=SOURCE
    )
    require_range(
        name="waves along the deck before it is deep (length over width and root of G/E_T)",
        value=_waves(deck),
        most=WAVES_MOST,
        source=SOURCE,
    )
    require_range(
        name="bar length", value=deck.bar_length_in, least=deck.deck_width_in, most=3000, unit="in", source=SOURCE
    )


def _reach(deck: Squeezed) -> float:
    """lam / k: how much shorter than the deck's length along it a wave reaches across."""
    return float(np.sqrt(deck.shear_modulus_psi / deck.e_transverse_psi) * deck.reach_factor)


def _waves(deck: Squeezed) -> float:
    """Number of waves after which tanh(lam B/2) is 1 within ``TOLERANCE``."""
    return float(-np.log(TOLERANCE) * deck.deck_length_in / (np.pi * _reach(deck) * deck.deck_width_in))


def bar_flexibility(*, deck: Squeezed, areas_in2: np.ndarray) -> np.ndarray:
    """f_i = L / (A_i E_s), in per lb, (n,)."""
    return deck.bar_length_in / (areas_in2 * deck.bar_modulus_psi)


def wood_flexibility(*, deck: Squeezed, stations_in: np.ndarray) -> np.ndarray:
    """C_ij, in per lb, (n, n): closing of the wood at bar i for 1 lb in bar j.

    Where a bearing passes the deck's end its load is folded back (the series' own mirror). ``wood_factor`` multiplies
    C and ``reach_factor`` sqrt(G/E_T). tanh = 1 + (tanh - 1): the first part is summed in closed form, the second
    dies out like exp(-lam B) and is cut at ``TOLERANCE``.
    """
    length, width = deck.deck_length_in, deck.deck_width_in
    reach = _reach(deck)
    phase = np.pi * stations_in / length
    opening = np.pi * deck.bearing_length_in / length
    even = width / (deck.e_transverse_psi * deck.thickness_in * length)
    # 2/(L t) c_m = scale/m (tanh), and sinc2(k b/2) = (1 - cos(m opening)) 2 / (m opening)2.
    scale = 4.0 / (deck.thickness_in * deck.e_transverse_psi * reach * np.pi)
    deep = scale * 2.0 / opening**2 * _cosines_over_cubes(phase, opening)
    orders = np.arange(1, 2 + int(np.ceil(_waves(deck))))
    shallow = scale / orders * (np.tanh(orders * np.pi * reach * width / (2.0 * length)) - 1.0)
    waves = np.cos(np.outer(phase, orders))
    shallow = (waves * (shallow * np.sinc(orders * opening / (2.0 * np.pi)) ** 2)) @ waves.T
    wood = deck.wood_factor * (even + deep + shallow)
    return (wood + wood.T) / 2.0


def _cosines_over_cubes(phase: np.ndarray, opening: float) -> np.ndarray:
    """sum_m cos(m a) cos(m b) (1 - cos(m opening)) / m3 for every pair (a, b) of phases."""
    total = np.zeros((len(phase), len(phase)))
    for between in (phase[:, None] - phase[None, :], phase[:, None] + phase[None, :]):
        total += 0.5 * _cube_sum(between) - 0.25 * (_cube_sum(between - opening) + _cube_sum(between + opening))
    return total


def _cube_sum(angle: np.ndarray) -> np.ndarray:
    """sum_m cos(m u) / m3 = zeta(3) + u2/2 ln u - 3 u2/4 - sum_n |B_2n| u^(2n+2) / (2n (2n+2)!), 0 <= u <= pi.

    Twice integrated from sum_m cos(m u)/m = -ln(2 sin(u/2)) (Gradshteyn and Ryzhik 1.441, memory; held in the tests
    against the plain sum).
    """
    folded = np.abs(np.mod(angle + np.pi, 2.0 * np.pi) - np.pi)
    square = folded**2
    logarithm = np.log(np.where(folded > 0.0, folded, 1.0))
    return zeta(3) + square * (logarithm / 2.0 - 0.75) - square * np.polyval(_cube_powers(), square)


@cache
def _cube_powers() -> np.ndarray:
    """Coefficients of u^(2n), n = POWERS to 0, for ``numpy.polyval``."""
    n = np.arange(1, POWERS + 1)
    return np.append((np.abs(bernoulli(2 * POWERS)[2::2]) / (2 * n * factorial(2 * n + 2)))[::-1], 0.0)


def measured_losses(deck: Squeezed) -> tuple[float, ...]:
    """Measured losses of the first, second, third neighbour with the learned factors in them."""
    return tuple(
        loss * deck.wood_factor * deck.reach_factor**place for place, loss in enumerate(deck.neighbour_losses_ratio)
    )


def locked_band(*, losses_ratio: tuple[float, ...], count: int) -> np.ndarray:
    """I - alpha, (n, n): alpha_ij the loss of bar i for 1 lb gained by bar j, all others locked, same both ways.

    With P = M^-1, alpha_ij = -P_ij/P_jj, so P = p (I - alpha). Positive definite because diagonally dominant while
    twice the sum of the losses is below 1; refused otherwise.
    """
    for place, loss in enumerate(losses_ratio, start=1):
        require_range(name=f"measured loss of neighbour {place}", value=loss, least=0, most=0.5, source=SOURCE)
    if 2.0 * sum(losses_ratio) >= LOSSES_BELOW_RATIO:
        raise OutsideValidity(
            name="sum of the measured neighbour losses on both sides",
            value=2.0 * sum(losses_ratio),
            valid="below 1: neighbours cannot lose more than a bar gains; read them again",
            source=SOURCE,
        )
    first = np.zeros(count)
    first[0] = 1.0
    kept = min(len(losses_ratio), count - 1)
    first[1 : kept + 1] = -np.array(losses_ratio[:kept])
    return toeplitz(first)
