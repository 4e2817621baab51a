"""The deck by an independent method: rectangular plate elements of 12 unknowns, written out here."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

from inventory.mechanics.plate import Deck, EdgeBeam, Patch, PlateStiffness, analyse_deck

POWERS = ((0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2), (3, 0), (2, 1), (1, 2), (0, 3), (3, 1), (1, 3))
GAUSS = (-np.sqrt(0.6), 0.0, np.sqrt(0.6)), (5 / 9, 8 / 9, 5 / 9)


def terms(x: float, y: float, dx: int = 0, dy: int = 0) -> np.ndarray:
    """Derivatives of the twelve terms x^i y^j."""

    def one(power, order, at):
        factor = np.prod([power - n for n in range(order)]) if order else 1.0
        return 0.0 if power < order else factor * at ** (power - order)

    return np.array([one(i, dx, x) * one(j, dy, y) for i, j in POWERS])


def element(dx: float, dy: float, s: PlateStiffness):
    """Stiffness and load under unit pressure of an element dx by dy; unknowns w, w,x, w,y at four corners."""
    corners = ((0, 0), (dx, 0), (dx, dy), (0, dy))
    inverse = np.linalg.inv(np.array([terms(x, y, *d) for x, y in corners for d in ((0, 0), (1, 0), (0, 1))]))
    law = np.array([[s.dx_lbin, s.d1_lbin, 0], [s.d1_lbin, s.dy_lbin, 0], [0, 0, s.dk_lbin]])
    stiff, load = np.zeros((12, 12)), np.zeros(12)
    for gx, wx in zip(*GAUSS, strict=True):
        for gy, wy in zip(*GAUSS, strict=True):
            x, y, weight = dx * (1 + gx) / 2, dy * (1 + gy) / 2, wx * wy * dx * dy / 4
            bent = np.array([terms(x, y, 2, 0), terms(x, y, 0, 2), 2 * terms(x, y, 1, 1)])
            stiff += weight * bent.T @ law @ bent
            load += weight * terms(x, y)
    middle = terms(dx / 2, dy / 2) @ inverse
    bends = np.array([terms(dx / 2, dy / 2, 2, 0), terms(dx / 2, dy / 2, 0, 2)]) @ inverse
    return inverse.T @ stiff @ inverse, inverse.T @ load, middle, bends


def edge_element(h: float, beam: EdgeBeam) -> np.ndarray:
    """Beam along x on w, w,x (bending) and w,y (twist) of two nodes."""
    found, ei, gj = np.zeros((6, 6)), beam.e_psi * beam.inertia_in4, beam.g_psi * beam.torsion_in4
    bend = np.array(
        [
            [12, 6 * h, -12, 6 * h],
            [6 * h, 4 * h * h, -6 * h, 2 * h * h],
            [-12, -6 * h, 12, -6 * h],
            [6 * h, 2 * h * h, -6 * h, 4 * h * h],
        ]
    )
    found[np.ix_((0, 1, 3, 4), (0, 1, 3, 4))] = ei / h**3 * bend
    found[np.ix_((2, 5), (2, 5))] = gj / h * np.array([[1, -1], [-1, 1]])
    return found


def plate_of_elements(deck: Deck, patches, nx: int, ny: int):
    """w and M_x, M_y at the middle of every element, with its coordinates; patches must end on lines of the mesh."""
    dx, dy = deck.span_in / nx, deck.width_in / ny
    stiff, pressed, middle, bends = element(dx, dy, deck.stiffness)
    number = np.arange((nx + 1) * (ny + 1)).reshape(nx + 1, ny + 1)
    i, j = (each.ravel() for each in np.meshgrid(np.arange(nx), np.arange(ny), indexing="ij"))
    nodes = np.stack([number[i, j], number[i + 1, j], number[i + 1, j + 1], number[i, j + 1]], axis=1)
    unknowns = (3 * nodes[:, :, None] + np.arange(3)).reshape(-1, 12)
    x, y = (i + 0.5) * dx, (j + 0.5) * dy
    load = np.zeros(3 * number.size)
    for p in patches:
        inside = (abs(x - p.x_in) < p.length_in / 2) & (abs(y - p.y_in) < p.width_in / 2)
        assert inside.sum() * dx * dy == pytest.approx(p.length_in * p.width_in)
        each = np.tile(p.load_lb / (p.length_in * p.width_in) * pressed, inside.sum())
        load += np.bincount(unknowns[inside].ravel(), weights=each, minlength=load.size)
    rows, columns = [np.repeat(unknowns, 12, axis=1).ravel()], [np.tile(unknowns, (1, 12)).ravel()]
    values = [np.tile(stiff.ravel(), len(unknowns))]
    for line, beam in ((0, deck.near_edge), (ny, deck.far_edge)):
        along = (3 * np.stack([number[:-1, line], number[1:, line]], axis=1)[:, :, None] + np.arange(3)).reshape(-1, 6)
        rows.append(np.repeat(along, 6, axis=1).ravel())
        columns.append(np.tile(along, (1, 6)).ravel())
        values.append(np.tile(edge_element(dx, beam).ravel(), len(along)))
    matrix = coo_matrix((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))).tocsc()
    ends = number[[0, nx]].ravel()
    held = np.concatenate([3 * ends, 3 * ends + 2])
    free = np.setdiff1d(np.arange(3 * number.size), held)
    answer = np.zeros(3 * number.size)
    answer[free] = spsolve(matrix[free][:, free], load[free])
    here, s = answer[unknowns], deck.stiffness
    curved = here @ bends.T
    along = -(s.dx_lbin * curved[:, 0] + s.d1_lbin * curved[:, 1])
    across = -(s.dy_lbin * curved[:, 1] + s.d1_lbin * curved[:, 0])
    return x, y, here @ middle, along, across


FREE = Deck(span_in=288, width_in=192, stiffness=PlateStiffness(dx_lbin=2.016e8, dy_lbin=2.6208e6, dk_lbin=6.048e6))
EDGED = Deck(
    span_in=288,
    width_in=192,
    stiffness=PlateStiffness(dx_lbin=2e8, dy_lbin=1e7, dk_lbin=1e7, d1_lbin=6e6),
    near_edge=EdgeBeam(e_psi=1.4e6, inertia_in4=4000, g_psi=7e4, torsion_in4=9000),
    far_edge=EdgeBeam(e_psi=1.4e6, inertia_in4=1000),
)
WHEELS = (
    Patch(x_in=162, y_in=42, load_lb=16000, length_in=12, width_in=20),
    Patch(x_in=162, y_in=114, load_lb=16000, length_in=12, width_in=20),
    Patch(x_in=42, y_in=42, load_lb=8000, length_in=12, width_in=20),
)


@pytest.mark.parametrize("deck", [FREE, EDGED], ids=["free edges", "edge beams and D_1"])
def test_deck_by_rectangular_elements(deck):
    """Second method: 96 x 96 non-conforming rectangles (Zienkiewicz, memory) against strips and series."""
    x, y, w, along, across = plate_of_elements(deck, WHEELS, 96, 96)
    response = analyse_deck(deck=deck, patches=WHEELS)
    for station in (43.5, 100.5, 160.5):
        line = np.abs(x - station) < 1e-6
        lines = y[line]
        for found, expected, share in (
            (response.deflection_in(x_in=station, y_in=lines), w[line], 0.003),
            (response.moment_along_lbin_per_in(x_in=station, y_in=lines), along[line], 0.01),
            (response.moment_across_lbin_per_in(x_in=station, y_in=lines), across[line], 0.015),
        ):
            assert np.max(np.abs(found - expected)) < share * np.max(np.abs(expected))
