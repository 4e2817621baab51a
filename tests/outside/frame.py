"""A stringer on its supports as a frame of a general finite element library, and vehicles slid over it by brute force.

The library (a development dependency, pyproject.toml) knows nothing of bridges: it is given one member to a span, unit
loads, and asked for moments, shears, reactions and deflections. From these an influence line is drawn as the cubic
through four of the library's ordinates in each stretch (the elastic line of a member is a cubic of the load's place;
a fifth ordinate is held against it). Axles are then slid over the line in small steps. Signs are the kernel's.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np
from Pynite import FEModel3D

SUPPORT_SPREAD = (0.02, 0.3, 0.5, 0.7, 0.98)
"""Places of unit loads in a stretch, parts of its length; the middle one only checks the other four."""


@dataclass(frozen=True)
class Line:
    """Pieces (start ft, end ft, coefficients of t = place - start) of an influence line drawn by the library."""

    pieces: tuple[tuple[float, float, np.ndarray], ...]

    @property
    def start(self) -> float:
        return self.pieces[0][0]

    @property
    def end(self) -> float:
        return self.pieces[-1][1]

    def at(self, places: np.ndarray, side: str = "right") -> np.ndarray:
        """Ordinates; 0 off the line; at the joint of two pieces the one to the named side."""
        found = np.zeros_like(places)
        for low, high, cubic in self.pieces:
            if side == "right":
                inside = (places >= low) & ((places < high) | ((high == self.end) & (places == high)))
            else:
                inside = (places <= high) & ((places > low) | ((low == self.start) & (places == low)))
            found[inside] = np.polynomial.polynomial.polyval(places[inside] - low, cubic)
        return found


class Frame:
    """A beam over supports; EI of each span in lb-ft2. Unit loads stand in the stretches between ``cuts``."""

    def __init__(self, spans_ft: tuple[float, ...], stiffnesses: tuple[float, ...], cuts_ft: tuple[float, ...] = ()):
        self.ends = np.concatenate([[0.0], np.cumsum(spans_ft)])
        self.model = FEModel3D()
        self.model.add_material("wood", 1.0, 0.5, 0.0, 0.0)
        for support, place in enumerate(self.ends):
            self.model.add_node(f"N{support}", float(place), 0.0, 0.0)
        for span, stiffness in enumerate(stiffnesses):
            self.model.add_section(f"S{span}", 1.0, stiffness, stiffness, 1.0)
            self.model.add_member(f"M{span}", f"N{span}", f"N{span + 1}", "wood", f"S{span}")
        for support in range(len(self.ends)):
            first = support == 0
            self.model.def_support(f"N{support}", first, True, True, first, False, False)
        marks = sorted({*self.ends, *cuts_ft})
        self.stretches = [(a, b) for a, b in zip(marks, marks[1:], strict=False) if b - a > 1e-6]
        self.unit_loads = [a + part * (b - a) for a, b in self.stretches for part in SUPPORT_SPREAD]
        for number, place in enumerate(self.unit_loads):
            self.load(f"u{number}", [(place, 1.0)])

    def member_of(self, place_ft: float) -> tuple[int, float]:
        assert -1e-6 < place_ft < self.ends[-1] + 1e-6, f"a load at {place_ft} ft is off the beam"
        place_ft = min(max(place_ft, 0.0), self.ends[-1])
        span = min(int(np.searchsorted(self.ends, place_ft, side="right")) - 1, len(self.ends) - 2)
        return span, float(place_ft - self.ends[span])

    def load(self, name: str, spots: list[tuple[float, float]], uniform: list[tuple[float, float, float]] = ()):
        """A load case of downward forces (place ft, lb) and uniform loads (from ft, to ft, lb/ft)."""
        for place, weight in spots:
            span, x = self.member_of(place)
            self.model.add_member_pt_load(f"M{span}", "Fy", -weight, x, case=name)
        for low, high, weight in uniform:
            for span, (start, end) in enumerate(zip(self.ends, self.ends[1:], strict=False)):
                a, b = max(low, start), min(high, end)
                if b > a:
                    x1, x2 = float(a - start), float(b - start)
                    self.model.add_member_dist_load(f"M{span}", "Fy", -weight, -weight, x1, x2, case=name)
        self.model.add_load_combo(name, {name: 1.0})

    def solve(self) -> None:
        self.model.analyze_linear(log=False)

    def moment(self, span: int, x_ft: float, name: str) -> float:
        return -float(self.model.members[f"M{span}"].moment("Mz", x_ft, name))

    def shear(self, span: int, x_ft: float, name: str) -> float:
        return float(self.model.members[f"M{span}"].shear("Fy", x_ft, name))

    def deflection(self, span: int, x_ft: float, name: str) -> float:
        """Downwards, ft."""
        return -float(self.model.members[f"M{span}"].deflection("dy", x_ft, name))

    def reaction(self, support: int, name: str) -> float:
        return float(self.model.nodes[f"N{support}"].RxnFY[name])

    def line(self, read) -> Line:
        """The influence line of ``read(load case)``: ordinates of the library, joined by cubics, each checked."""
        ordinates = np.array([read(f"u{number}") for number in range(len(self.unit_loads))]).reshape(-1, 5)
        largest, pieces = np.abs(ordinates).max(), []
        for (low, high), row in zip(self.stretches, ordinates, strict=True):
            at = (high - low) * np.array(SUPPORT_SPREAD)
            keep = [0, 1, 3, 4]
            cubic = np.linalg.solve(np.vander(at[keep], 4, increasing=True), row[keep])
            miss = abs(np.polynomial.polynomial.polyval(at[2], cubic) - row[2])
            assert miss <= 1e-6 * largest + 1e-9, "the library's line is no cubic in this stretch"
            pieces.append((low, high, cubic))
        return Line(tuple(pieces))


Train = tuple[tuple[float, float], ...]


def groups_of(vehicle, factor: float = 1.0) -> list[tuple[Train, Train, float, float]]:
    """Both directions: (front axles, rear axles, least and most ft between them); rear is empty where all is rigid.

    Axles are (offset ft from the first of the group, lb).
    """
    weights = [axle * 1000.0 * factor for axle in vehicle.axles_kip]
    found = []
    for loads, gaps in ((weights, list(vehicle.spacings_ft)), (weights[::-1], list(vehicle.spacings_ft)[::-1])):
        free = [number for number, (least, most) in enumerate(gaps) if most > least]
        cut = free[0] + 1 if free else len(loads)
        front = _train(loads[:cut], gaps[: cut - 1])
        rear = _train(loads[cut:], gaps[cut:])
        found.append((front, rear, *(gaps[cut - 1] if rear else (0.0, 0.0))))
    return found


def _train(loads, gaps) -> Train:
    places = np.concatenate([[0.0], np.cumsum([least for least, _most in gaps])])
    return tuple(zip(places.tolist(), loads, strict=True)) if loads else ()


def _stands(line: Line, train: Train, dropped: bool, step: float) -> tuple[np.ndarray, np.ndarray]:
    """Places of the first axle and what the train then does: every ``step`` ft, each axle on each joint and just off.

    ``dropped``: axles that would reduce the effect are left out. At a jump the better side counts.
    """
    offsets, weights = np.array(train).T
    marks = np.array([piece[0] for piece in line.pieces] + [line.end])
    firsts = [np.arange(line.start - offsets[-1] - step, line.end + 2 * step, step)]
    just_off = np.array([line.start - 1e-6, line.end + 1e-6])
    firsts += [np.concatenate([marks, just_off]) - offset for offset in offsets]
    firsts = np.unique(np.concatenate(firsts))
    places = firsts[:, None] + offsets
    # An axle set on a joint must stand on it whatever the rounding of the subtraction.
    nearest = marks[np.abs(places[..., None] - marks).argmin(axis=-1)]
    places = np.where(np.abs(places - nearest) < 1e-9, nearest, places)
    sides = []
    for side in ("left", "right"):
        each = weights * line.at(places, side)
        sides.append(np.maximum(each, 0.0).sum(axis=1) if dropped else each.sum(axis=1))
    return firsts, np.maximum(*sides)


def slid(line: Line, front: Train, rear: Train, least: float, most: float, *, dropped: bool, step: float = 0.05):
    """The most one train, or two with ``least`` to ``most`` ft between them, does to a line; never below 0."""
    if not rear:
        return max(0.0, float(_stands(line, front, dropped, step)[1].max()))
    length, best = front[-1][0], 0.0
    for gap in {least, min(most, 1e4)}:
        joined = front + tuple((length + gap + offset, weight) for offset, weight in rear)
        best = max(best, float(_stands(line, joined, dropped, step)[1].max()))
    ahead, ahead_does = _stands(line, front, dropped, step)
    behind, behind_does = _stands(line, rear, dropped, step)
    low = np.searchsorted(behind, ahead + length + least, side="left")
    high = np.searchsorted(behind, ahead + length + most, side="right")
    for first, last, does in zip(low, high, ahead_does, strict=True):
        if last > first:
            best = max(best, float(does + behind_does[first:last].max()))
    return best


def adding_area(line: Line, step: float = 0.02) -> float:
    """Area of the parts above 0, by the trapezoidal rule in each piece."""
    total = 0.0
    for low, high, cubic in line.pieces:
        t = np.linspace(0.0, high - low, ceil((high - low) / step) + 1)
        total += np.trapezoid(np.maximum(np.polynomial.polynomial.polyval(t, cubic), 0.0), t)
    return float(total)


def peaks(line: Line, ends: np.ndarray, step: float = 0.01) -> list[float]:
    """The highest ordinate in each span, from the highest down, those above 0 only."""
    found = []
    for low, high in zip(ends, ends[1:], strict=False):
        tops = [0.0]
        for start, end, cubic in line.pieces:
            if start >= low - 1e-9 and end <= high + 1e-9:
                t = np.linspace(0.0, end - start, ceil((end - start) / step) + 1)
                tops.append(float(np.polynomial.polynomial.polyval(t, cubic).max()))
        found.append(max(tops))
    return sorted((top for top in found if top > 0.0), reverse=True)


def turned(line: Line, sign: int) -> Line:
    return Line(tuple((low, high, sign * cubic) for low, high, cubic in line.pieces))
