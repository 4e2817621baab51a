"""Where a train of axles does most: exact positions on influence lines made of cubic pieces, no stepping.

With the first axle at u the effect is f(u) = sum of P I(u + offset). Between two crossings of an end of a piece by an
axle (support, section, or a place where the line changes its sign) f is one cubic, so its largest value stands at an
end of that stretch or where f' = 0, a quadratic. Every stretch of every line is tried; both sides of a jump are.

Two groups of axles with a free distance between them: inside the range of that distance each group must stand where
it alone is at a maximum (f is a sum of a function of the one place and a function of the other); at the least and the
greatest distance the two are one train. All pairs of single maxima and both ends of the range are tried, so a variable
axle spacing and two trucks behind each other are exact as well. Source: mechanics.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import NamedTuple

import numpy as np

from inventory.mechanics.vehicle import Vehicle

from .influence import InfluenceLine
from .moving import Train

_LINES_AT_ONCE = 128
_ROUNDING = 1e-12


@dataclass(frozen=True, kw_only=True)
class Arrangement:
    """A rigid train, or two with a distance from ``least_gap_ft`` to ``most_gap_ft`` between them; weights in lb."""

    front: Train
    rear: Train = ()
    least_gap_ft: float = 0.0
    most_gap_ft: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Found:
    """The largest effect, and the axles that give it: (place along the beam ft, weight lb)."""

    value: float
    axles: tuple[tuple[float, float], ...] = ()


class _Table(NamedTuple):
    starts: np.ndarray  # line, piece
    ends: np.ndarray
    cubics: np.ndarray  # line, piece, power
    noise: np.ndarray  # line: an ordinate this small is rounding


class _Scan(NamedTuple):
    values: np.ndarray  # line, stretch, 4 candidates; minus infinity where there is none
    firsts: np.ndarray  # place of the first axle, ft
    standing: np.ndarray  # line, stretch, axle: whether it counts


def _train(weights_lb: list[float], gaps_ft: list[float]) -> Train:
    offset, train = 0.0, [(0.0, weights_lb[0])]
    for gap, weight in zip(gaps_ft, weights_lb[1:], strict=True):
        offset += gap
        train.append((offset, weight))
    return tuple(train)


def _joined(front: Train, rear: Train, gap_ft: float) -> Train:
    start = front[-1][0] + gap_ft
    return front + tuple((start + offset, weight) for offset, weight in rear)


def arrangements(*, vehicle: Vehicle, factor: float = 1.0) -> tuple[Arrangement, ...]:
    """One vehicle, both directions, its variable spacing free between its two values; weights lb times ``factor``."""
    weights, gaps = [axle * 1000.0 * factor for axle in vehicle.axles_kip], list(vehicle.spacings_ft)
    found: list[Arrangement] = []
    for w, g in ((weights, gaps), (weights[::-1], gaps[::-1])):
        least = [gap[0] for gap in g]
        free = next((i for i, (low, high) in enumerate(g) if high > low), None)
        if free is None:
            one = Arrangement(front=_train(w, least))
        else:
            front, rear = _train(w[: free + 1], least[:free]), _train(w[free + 1 :], least[free + 1 :])
            one = Arrangement(front=front, rear=rear, least_gap_ft=g[free][0], most_gap_ft=g[free][1])
        if one not in found:
            found.append(one)
    return tuple(found)


def following(
    *, vehicle: Vehicle, least_gap_ft: float, most_gap_ft: float = inf, factor: float = 1.0
) -> tuple[Arrangement, ...]:
    """Two such vehicles one behind the other, same direction, both directions, each at its least axle spacing.

    The gap runs from the last axle of the one to the first of the next, ft; it may be fixed or without an upper end.
    """
    weights = [axle * 1000.0 * factor for axle in vehicle.axles_kip]
    gaps = [gap[0] for gap in vehicle.spacings_ft]
    found: list[Arrangement] = []
    for train in (_train(weights, gaps), _train(weights[::-1], gaps[::-1])):
        one = Arrangement(front=train, rear=train, least_gap_ft=least_gap_ft, most_gap_ft=most_gap_ft)
        if one not in found:
            found.append(one)
    return tuple(found)


def _table(lines: list[InfluenceLine]) -> _Table:
    """The pieces of all lines side by side, the short ones filled up with pieces of no length."""
    most = max(1, *(len(line.pieces) for line in lines))
    starts, ends = np.zeros((len(lines), most)), np.zeros((len(lines), most))
    cubics = np.zeros((len(lines), most, 4))
    for row, line in enumerate(lines):
        count = len(line.pieces)
        for column, piece in enumerate(line.pieces):
            starts[row, column], ends[row, column] = piece.start_ft, piece.end_ft
            cubics[row, column] = piece.cubic
        if count:
            starts[row, count:] = ends[row, count:] = line.pieces[-1].end_ft
    lengths = (ends - starts)[..., None] ** np.arange(4.0)
    return _Table(starts, ends, cubics, _ROUNDING * (np.abs(cubics) * lengths).max(axis=(1, 2)))


def _stretches(table: _Table, train: Train) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """(middle, half length, cubic about the middle, axles that count) of every stretch between two crossings."""
    offsets, weights = np.array(train).T
    edges = np.concatenate([table.starts, table.ends], axis=1)
    marks = np.sort((edges[:, :, None] - offsets).reshape(len(edges), -1), axis=1)
    middles, halves = (marks[:, 1:] + marks[:, :-1]) / 2.0, (marks[:, 1:] - marks[:, :-1]) / 2.0
    at = middles[:, :, None] + offsets
    index = np.full(at.shape, -1)
    for column in range(table.starts.shape[1]):
        index += at >= table.starts[:, column, None, None]
    rows = np.arange(len(edges))[:, None, None]
    held = np.maximum(index, 0)
    standing = (index >= 0) & (at < table.ends[rows, held])
    t = at - table.starts[rows, held]
    loads = np.where(standing, weights, 0.0)
    c0, c1, c2, c3 = np.moveaxis(table.cubics[rows, held], -1, 0)
    cubic = np.stack(
        [
            (loads * (c0 + t * (c1 + t * (c2 + t * c3)))).sum(axis=2),
            (loads * (c1 + t * (2.0 * c2 + 3.0 * c3 * t))).sum(axis=2),
            (loads * (c2 + 3.0 * c3 * t)).sum(axis=2),
            (loads * c3).sum(axis=2),
        ]
    )
    return middles, halves, cubic, standing


def _scan(table: _Table, train: Train) -> _Scan:
    """All candidates of a rigid train: both ends of every stretch and the places inside where the slope is 0."""
    middles, halves, (d0, d1, d2, d3), standing = _stretches(table, train)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        root = np.sqrt(d2 * d2 - 3.0 * d1 * d3)
        q = -(d2 + np.where(d2 >= 0.0, root, -root))
        flat = [q / (3.0 * d3), d1 / q]
    moves = [-halves, halves]
    for place in flat:
        moves.append(np.where(np.abs(place) < halves, place, np.nan))
    move = np.stack(moves, axis=-1)
    values = d0[..., None] + move * (d1[..., None] + move * (d2[..., None] + move * d3[..., None]))
    values = np.where(np.isnan(values) | (halves <= 0.0)[..., None], -np.inf, values)
    return _Scan(values, middles[..., None] + np.nan_to_num(move), standing)


def _axles(scan: _Scan, row: int, candidate: int, train: Train) -> tuple[tuple[float, float], ...]:
    first, on = scan.firsts[row].ravel()[candidate], scan.standing[row, candidate // 4]
    return tuple((float(first + offset), weight) for (offset, weight), here in zip(train, on, strict=True) if here)


def _largest_rigid(table: _Table, train: Train, best: list[Found]) -> None:
    scan = _scan(table, train)
    flat, gross = scan.values.reshape(len(best), -1), sum(weight for _offset, weight in train)
    for row, candidate in enumerate(flat.argmax(axis=1)):
        value = float(flat[row, candidate])
        if value > max(best[row].value * (1.0 + _ROUNDING), gross * table.noise[row]):
            best[row] = Found(value=value, axles=_axles(scan, row, int(candidate), train))


def _largest_pair(table: _Table, arrangement: Arrangement, best: list[Found]) -> None:
    """Pairs of places at which each group alone is at a maximum, with a distance inside the range between them."""
    front, rear = _scan(table, arrangement.front), _scan(table, arrangement.rear)
    length = arrangement.front[-1][0]
    for row in range(len(best)):
        ahead, behind = front.values[row].ravel(), rear.values[row].ravel()
        if ahead.max() + behind.max() <= best[row].value * (1.0 + _ROUNDING):
            continue
        first, second = np.flatnonzero(ahead > -np.inf), np.flatnonzero(behind > -np.inf)
        gaps = rear.firsts[row].ravel()[second] - front.firsts[row].ravel()[first, None] - length
        fits = (gaps >= arrangement.least_gap_ft) & (gaps <= arrangement.most_gap_ft)
        sums = np.where(fits, ahead[first, None] + behind[second], -np.inf)
        one, two = np.unravel_index(sums.argmax(), sums.shape)
        if sums[one, two] > best[row].value * (1.0 + _ROUNDING):
            axles = _axles(front, row, int(first[one]), arrangement.front)
            axles += _axles(rear, row, int(second[two]), arrangement.rear)
            best[row] = Found(value=float(sums[one, two]), axles=axles)


def largest(*, lines: list[InfluenceLine], loads: tuple[Arrangement, ...]) -> list[Found]:
    """For each line the largest effect of any arrangement anywhere, not below 0 (no load on the beam).

    Value in lb times the unit of the line. Every axle on a piece counts, so a line cut down to the parts that add
    leaves out the axles that relieve. Source: mechanics.
    """
    found: list[Found] = []
    for start in range(0, len(lines), _LINES_AT_ONCE):
        part = lines[start : start + _LINES_AT_ONCE]
        table, best = _table(part), [Found(value=0.0) for _line in part]
        for load in loads:
            if not load.rear:
                _largest_rigid(table, load.front, best)
                continue
            _largest_rigid(table, _joined(load.front, load.rear, load.least_gap_ft), best)
            if load.most_gap_ft > load.least_gap_ft:
                if load.most_gap_ft < inf:
                    _largest_rigid(table, _joined(load.front, load.rear, load.most_gap_ft), best)
                _largest_pair(table, load, best)
        found += best
    return found
