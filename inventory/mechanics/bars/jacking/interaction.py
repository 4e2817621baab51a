"""What one pull does to every bar of a row: neighbours lose, nuts seat, and a bar that is emptied goes slack.

With the nuts of the engaged bars e locked (take-ups a_e fixed) and bars J pulled to S_J:

    dT_e = -M_ee^-1 M_eJ (S_J - T_J)          at the pull
    dT   = M^-1 da, da_J = -seating           at lock-off, when the nuts take the load

Bars not engaged carry nothing and are left out. A nut cannot push: a bar whose force would fall below zero is slack,
its nut off its plate, until its neighbours let it be taken up again. Source: `flexibility`; all `model`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from inventory.mechanics.errors import OutsideValidity

from .flexibility import SOURCE

ROUNDS_AT_ONCE, SETTLING_ROUNDS = 30, 2000
INVERSES_KEPT = 16
SLACK_LB, GAP_RATIO = 1e-6, 1e-9


@dataclass(frozen=True, eq=False)
class RowState:
    """A row at one moment: ``force_lb`` (n,), ``take_up_in`` of every nut (n,), ``engaged`` (n,) bool."""

    force_lb: np.ndarray
    take_up_in: np.ndarray
    engaged: np.ndarray


class SqueezedRow:
    """A row of bars on its wood. Keeps the inverses of M over the sets of carrying bars it met last."""

    def __init__(self, matrix: np.ndarray) -> None:
        self.matrix = matrix
        self._inverses: dict[bytes, np.ndarray] = {}
        self._last: np.ndarray | None = None

    def standing(self, force_lb: np.ndarray) -> RowState:
        """The state of bars that stand at these forces; 0 is a bar not engaged."""
        force_lb = np.asarray(force_lb, dtype=float)
        return RowState(force_lb=force_lb, take_up_in=self.matrix @ force_lb, engaged=force_lb > 0.0)

    def stiffness(self, carrying: np.ndarray) -> np.ndarray:
        """P = M_cc^-1 over the carrying bars, in full size (n, n), zero elsewhere, lb per in."""
        key = carrying.tobytes()
        if key not in self._inverses:
            if len(self._inverses) >= INVERSES_KEPT:
                del self._inverses[next(iter(self._inverses))]
            self._inverses[key] = self._one_more(carrying)
        self._last = carrying.copy()
        return self._inverses[key]

    def _one_more(self, carrying: np.ndarray) -> np.ndarray:
        """The inverse anew, or bordered from that of the set looked at last where one bar has joined it."""
        base = None if self._last is None else self._inverses.get(self._last.tobytes())
        joined = carrying if self._last is None else carrying ^ self._last
        if base is not None and joined.sum() == 1 and (carrying & joined).any():
            bar = int(np.flatnonzero(joined)[0])
            step = base @ self.matrix[:, bar]
            left = self.matrix[bar, bar] - self.matrix[bar] @ step
            step[bar] = -1.0
            return base + np.outer(step, step) / left
        full = np.zeros_like(self.matrix)
        places = np.ix_(carrying, carrying)
        full[places] = np.linalg.inv(self.matrix[places])
        return full

    def settled(self, *, take_up_in: np.ndarray, engaged: np.ndarray, held: np.ndarray, held_lb: np.ndarray):
        """Forces (n,) with ``held`` bars (indexes) at ``held_lb`` and the others' nuts at ``take_up_in``.

        Equilibrium is unique (M positive definite): T >= 0, M T - a >= 0 at a slack nut. Found by an active set: all
        wrong bars change at once, after ``ROUNDS_AT_ONCE`` only the last of them (Murty's rule, which always ends).
        """
        carrying = engaged.copy()
        carrying[held] = True
        for turn in range(SETTLING_ROUNDS):
            force_lb = self._balanced(carrying, take_up_in, held, held_lb)
            wrong = carrying & (force_lb < -SLACK_LB)
            slack = engaged & ~carrying
            if slack.any():
                gap_in = self.matrix @ force_lb - take_up_in
                wrong |= slack & (gap_in < -GAP_RATIO * max(1.0, np.abs(take_up_in).max()))
            wrong[held] = False
            if not wrong.any():
                return np.maximum(force_lb, 0.0)
            if turn >= ROUNDS_AT_ONCE:
                wrong[: np.flatnonzero(wrong)[-1]] = False
            carrying = carrying ^ wrong
        raise OutsideValidity(
            name="forces after a pull", value="not settled", valid="bars that find one balance", source=SOURCE
        )

    def _balanced(self, carrying, take_up_in, held, held_lb) -> np.ndarray:
        stiffness = self.stiffness(carrying)
        force_lb = stiffness @ take_up_in  # rows and columns of bars that do not carry are zero
        if len(held) == 1:
            column = stiffness[:, held[0]]
            force_lb += column * ((held_lb[0] - force_lb[held[0]]) / column[held[0]])
            force_lb[held] = held_lb
        elif len(held):
            columns = stiffness[:, held]
            force_lb = force_lb + columns @ np.linalg.solve(columns[held], held_lb - force_lb[held])
            force_lb[held] = held_lb
        return force_lb

    def pulled(self, state: RowState, held: np.ndarray, held_lb: np.ndarray) -> RowState:
        """The moment the jacks hold ``held_lb`` in the bars ``held`` (indexes), all other nuts locked."""
        force_lb = self.settled(take_up_in=state.take_up_in, engaged=state.engaged, held=held, held_lb=held_lb)
        engaged, take_up_in = state.engaged.copy(), state.take_up_in.copy()
        engaged[held] = True
        take_up_in[held] = (self.matrix @ force_lb)[held]
        return RowState(force_lb=force_lb, take_up_in=take_up_in, engaged=engaged)

    def locked_off(self, state: RowState, held: np.ndarray, seating_in: float) -> RowState:
        """The jacks taken off: the nuts of ``held`` have given back ``seating_in``."""
        take_up_in = state.take_up_in.copy()
        take_up_in[held] -= seating_in
        nobody = np.array([], dtype=int)
        force_lb = self.settled(take_up_in=take_up_in, engaged=state.engaged, held=nobody, held_lb=np.array([]))
        return replace(state, force_lb=force_lb, take_up_in=take_up_in)

    def set_for(self, state: RowState, held: np.ndarray, locked_lb: np.ndarray, seating_in: float) -> np.ndarray:
        """The forces the jacks must show so that ``locked_lb`` stand in the bars ``held`` after lock-off."""
        locked = self.pulled(state, held, locked_lb)
        take_up_in = locked.take_up_in.copy()
        take_up_in[held] += seating_in
        nobody = np.array([], dtype=int)
        return self.settled(take_up_in=take_up_in, engaged=locked.engaged, held=nobody, held_lb=np.array([]))[held]


def interaction_ratios(*, matrix: np.ndarray, pulled: tuple[int, ...], engaged: tuple[int, ...]) -> np.ndarray:
    """Loss of every bar for each lb a pulled bar gains, (n, len(pulled)): M_ee^-1 M_eJ; 0 for bars not engaged.

    With several pulled at once column j is the loss for 1 lb more in the j-th of them, the others' forces held.
    """
    losses = np.zeros((len(matrix), len(pulled)))
    others = [index for index in engaged if index not in pulled]
    if others:
        losses[others] = np.linalg.solve(matrix[np.ix_(others, others)], matrix[np.ix_(others, pulled)])
    return losses


def forces_after_pull(
    *,
    matrix: np.ndarray,
    force_lb: tuple[float, ...],
    pulled: tuple[int, ...],
    set_lb: tuple[float, ...],
    seating_in: float = 0.0,
) -> tuple[float, ...]:
    """Force of every bar, lb, once the bars ``pulled`` were set to ``set_lb`` and locked off; 0 is not engaged.

    ``matrix`` of `flexibility.compatibility_matrix`, in per lb, (n, n); ``seating_in`` what each nut gives at lock-off.
    """
    row, held = SqueezedRow(matrix), np.array(pulled, dtype=int)
    state = row.pulled(row.standing(force_lb), held, np.array(set_lb, dtype=float))
    return tuple(float(lb) for lb in row.locked_off(state, held, seating_in).force_lb)
