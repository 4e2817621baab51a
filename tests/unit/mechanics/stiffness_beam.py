"""A second method for continuous stringers: a small stiffness-method solver with a node every 0.05 ft, and stepping.

Beam elements with two degrees of freedom a node (deflection, turn) are exact for loads at nodes. Every node is loaded
in turn, so the columns are influence lines of all sections; trucks are then stepped from node to node. Nothing of the
kernel is used. Source: stiffness matrix of a prismatic beam, any handbook of structural analysis (memory).
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

STEP_FT = 0.05


class SteppedBeam:
    """Influence of a unit load at every node: ``moments[section, load]``, ``left`` and ``right`` shears, ``lifts``.

    Shears ``left`` and ``right`` of a section: the element on that side. Span lengths in whole steps.
    """

    def __init__(self, spans_ft, stiffnesses, step_ft=STEP_FT):
        self.step_ft = step_ft
        counts = [round(span / step_ft) for span in spans_ft]
        assert all(abs(n * step_ft - span) < 1e-9 for n, span in zip(counts, spans_ft, strict=True))
        self.supports = np.concatenate([[0], np.cumsum(counts)])
        self.places = np.arange(self.supports[-1] + 1) * step_ft
        ei = np.repeat(np.asarray(stiffnesses, float), counts)
        self._solve(ei / ei[0])

    def _solve(self, ei):
        h, nodes = self.step_ft, len(self.places)
        unit = np.array(
            [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
             [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]]
        ) / h**3  # fmt: skip
        at = 2 * np.arange(nodes - 1)[:, None] + np.arange(4)
        rows, columns = np.repeat(at, 4, axis=1).ravel(), np.tile(at, (1, 4)).ravel()
        whole = coo_matrix(((ei[:, None] * unit.ravel()).ravel(), (rows, columns))).tocsc()
        free = np.setdiff1d(np.arange(2 * nodes), 2 * self.supports)
        loads = np.zeros((2 * nodes, nodes))
        loads[2 * np.arange(nodes), np.arange(nodes)] = -1.0
        moved = np.zeros_like(loads)
        moved[free] = splu(whole[free][:, free]).solve(loads[free])
        ends = np.einsum("ij,ejl->eil", unit, moved[at]) * ei[:, None, None]
        self.moments = np.vstack([-ends[:, 1], ends[-1:, 3]])
        zero = np.zeros((1, nodes))
        self.right = np.vstack([ends[:, 0], zero])
        self.left = np.vstack([zero, -ends[:, 2]])
        self.lifts = (self.right - self.left)[self.supports] + (self.supports[:, None] == np.arange(nodes))

    def uniform(self, lines, loads_plf):
        """Effect of a uniform load of each span on every row of ``lines``: trapezoids between nodes."""
        weights = np.zeros(len(self.places))
        for (low, high), load in zip(pairwise(self.supports), loads_plf, strict=True):
            weights[low : high + 1] += load * self.step_ft
            weights[[low, high]] -= load * self.step_ft / 2
        return lines @ weights


def effects(lines, axles, step_ft):
    """Effect on every row for every place of the first axle from off the one end to off the other: (rows, places)."""
    reach = round(axles[-1][0] / step_ft)
    rows, nodes = lines.shape
    found = np.zeros((rows, nodes + reach))
    for offset, weight in axles:
        shift = reach - round(offset / step_ft)
        found[:, shift : shift + nodes] += weight * lines
    return found


def both_ways(weights, gaps):
    """Axles (offset ft, lb) there and back."""
    places = np.concatenate([[0.0], np.cumsum(gaps)])
    there = list(zip(places, weights, strict=True))
    return [there, [(places[-1] - place, weight) for place, weight in reversed(there)]]


def worst_train(beam, lines, trains, drop):
    """Largest effect of any train on every row, not below 0; ``drop`` leaves out axles that relieve."""
    kept = np.maximum(lines, 0.0) if drop else lines
    return np.max([effects(kept, train, beam.step_ft).max(axis=1) for train in trains] + [np.zeros(len(lines))], axis=0)


def worst_pair(beam, lines, trains, gap_ft):
    """Two like trains one behind the other, ``gap_ft`` or more apart, relieving axles left out."""
    best = np.zeros(len(lines))
    for train in trains:
        alone = effects(np.maximum(lines, 0.0), train, beam.step_ft)
        apart = round((train[-1][0] + gap_ft) / beam.step_ft)
        behind = np.maximum.accumulate(alone[:, ::-1], axis=1)[:, ::-1]
        best = np.maximum(best, alone.max(axis=1))
        if apart < alone.shape[1]:
            best = np.maximum(best, (alone[:, :-apart] + behind[:, apart:]).max(axis=1))
    return best


def peaks(beam, lines, count):
    """Sum of the ``count`` highest ordinates, one a span."""
    highest = [np.maximum(lines[:, low : high + 1], 0.0).max(axis=1) for low, high in pairwise(beam.supports)]
    return np.sort(np.array(highest), axis=0)[::-1][:count].sum(axis=0)
