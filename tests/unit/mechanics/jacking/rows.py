"""Rows of bars for the tests: the standards page's cases, decks drawn by hypothesis, and a crew with a known truth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import strategies as st

from inventory.mechanics.bars.jacking import (
    BarRead,
    JackKit,
    PlanInput,
    PlannedBar,
    PullDone,
    Squeezed,
    SqueezedRow,
    compatibility_matrix,
)


def deck_of(*, count=8, spacing_in=48.0, width_in=192.0, thickness_in=12.0, e_long=1.4e6, e=0.013, g=0.03, **others):
    """`count` bars at (i + 1/2) s in a deck of count x s, bearing over 0.4 s, bars 24 in longer than the width."""
    given = dict(
        deck_length_in=count * spacing_in,
        deck_width_in=width_in,
        thickness_in=thickness_in,
        e_transverse_psi=e * e_long,
        shear_modulus_psi=g * e_long,
        bearing_length_in=0.4 * spacing_in,
        bar_length_in=width_in + 24.0,
    )
    return Squeezed(**(given | others))


def bars_of(*, count=8, spacing_in=48.0, area_in2=0.85, standing_lb=0.0, target_lb=57600.0, stations_in=None):
    stations_in = stations_in or [(i + 0.5) * spacing_in for i in range(count)]
    standing = [standing_lb] * count if np.isscalar(standing_lb) else standing_lb
    return tuple(
        PlannedBar(
            name=f"B{i + 1}",
            station_in=float(station),
            net_area_in2=area_in2,
            tensile_psi=150000.0,
            standing_lb=float(standing[i]),
            target_lb=target_lb,
        )
        for i, station in enumerate(stations_in)
    )


def jacks_of(count=1, **others):
    given = dict(ram_area_in2=12.8, efficiency=0.97, gauge_division_psi=0.01, capacity_lb=120000.0, gauge_most_psi=1e4)
    return tuple(JackKit(name=f"Jack {i + 1}", **(given | others)) for i in range(count))


def plan_input(**others) -> PlanInput:
    """Eight bars of 1 in at 48 in, all loose, to 57,600 lb (100 psi), one jack, end to end, no limit but the bar's."""
    given = dict(deck=deck_of(), bars=bars_of(), jacks=jacks_of(), order="end_to_end", seating_in=0.0)
    return PlanInput(**(given | others))


@st.composite
def decks_and_bars(draw, least=2, most=12):
    """A deck of 4 to 30 ft across and 2 to 16 in deep, soft to stiff, with bars anywhere at least 6 in apart."""
    real = lambda low, high: st.floats(low, high, allow_nan=False)  # noqa: E731
    count = draw(st.integers(least, most))
    gaps = draw(st.lists(real(6.0, 72.0), min_size=count + 1, max_size=count + 1))
    stations = np.cumsum(gaps)
    width = draw(real(48.0, 360.0))
    deck = Squeezed(
        deck_length_in=float(stations[-1]),
        deck_width_in=width,
        thickness_in=draw(real(2.0, 16.0)),
        e_transverse_psi=draw(real(5e3, 6e4)),
        shear_modulus_psi=draw(real(1e4, 2e5)),
        bearing_length_in=draw(real(4.0, min(24.0, float(stations[-1])))),
        bar_length_in=width + 24.0,
        wood_factor=draw(real(0.3, 3.0)),
        reach_factor=draw(real(0.5, 2.0)),
    )
    area = draw(real(0.28, 1.58))
    return deck, bars_of(count=count, stations_in=list(stations[:-1]), area_in2=area)


def crew(
    plan,
    *,
    truth: Squeezed | np.ndarray,
    seating_in: float,
    pulls: int,
    noise: float = 0.0,
    seed: int = 0,
    reach: int = 2,
):
    """What a crew reads that follows the first `pulls` of a plan on a deck of a known truth; and the true forces.

    `truth` is a deck, or its compatibility matrix. Lock-off, elongation and `reach` neighbours on each side are read,
    each with `noise` as a part of itself.
    """
    pick = np.random.default_rng(seed)
    read = lambda value: float(value * (1.0 + noise * pick.normal()))  # noqa: E731
    matrix = truth if isinstance(truth, np.ndarray) else compatibility_matrix(deck=truth, bars=plan.given.bars)
    row = SqueezedRow(matrix)
    state, done = row.standing(plan.start_lb), []
    for pull in plan.pulls[:pulls]:
        held = np.array([each.bar_index for each in pull.bars])
        at_set = row.pulled(state, held, np.array([each.set_lb for each in pull.bars]))
        after = row.locked_off(at_set, held, seating_in)
        stroke = row.matrix @ (at_set.force_lb - state.force_lb)
        for each in pull.bars:
            here = each.bar_index
            beside = [
                i
                for i in range(here - reach, here + reach + 1)
                if 0 <= i < len(plan.given.bars) and i not in held and state.force_lb[i] > 0
            ]
            done.append(
                PullDone(
                    pull_number=pull.number,
                    bar_index=here,
                    before_lb=float(state.force_lb[here]),
                    gauge_psi=each.gauge_psi,
                    locked_lb=read(after.force_lb[here]),
                    elongation_in=read(stroke[here]),
                    neighbours=tuple(
                        BarRead(bar_index=i, before_lb=read(state.force_lb[i]), after_lb=read(after.force_lb[i]))
                        for i in beside
                    ),
                )
            )
        state = after
    return tuple(done), state.force_lb


def stiffer(deck: Squeezed, *, by: float) -> Squeezed:
    """The same wood, stiffer: both moduli times `by`."""
    return replace(deck, e_transverse_psi=deck.e_transverse_psi * by, shear_modulus_psi=deck.shear_modulus_psi * by)
