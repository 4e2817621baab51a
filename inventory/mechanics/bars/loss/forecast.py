"""The forecast of one row of bars: bands of least local pressure and mean force, and when a pressure is reached.

A mixture over both forms, their parameters and the scatter, weighed by the row's own readings and, where the pool is
given, by the county's other rows of the kind. The band is of the force that stands on a day, moisture and temperature
of that day included, the error of reading it not. An aid to the engineer (``model`` throughout, decision 0014).
"""

from __future__ import annotations

import numpy as np
from scipy.interpolate import PchipInterpolator

from inventory.mechanics.bars.local import served_edges, stretches
from inventory.mechanics.errors import OutsideValidity, require_range

from .fit import Solved, form_fits, solve
from .grid import own_weights
from .history import SOURCE
from .pool import Pool
from .standing import standing_forces
from .terms import BandPoint, BarEstimate, BarRow, ForceForecast, LossPolicy, Reaching

MONTH_DAYS = 30.4375
FIRST_DAYS = (0.0, 1.0, 2.0, 4.0, 7.0, 14.0, 21.0)
MOST_DAYS_AHEAD = 200 * 365.25
KNOTS = 20


def forecast(
    row: BarRow,
    *,
    policy: LossPolicy,
    from_day: float,
    days_ahead: float,
    pool: Pool | None = None,
    need_psi: tuple[float, ...] = (),
) -> ForceForecast:
    """Forecast from ``from_day`` over ``days_ahead`` (1 day to 200 years), for each pressure of ``need_psi`` when it is
    reached (above 0, at most 10,000 psi). Days are counted from any one origin, the same for row and forecast.

    What is dated after ``from_day`` does not enter. ``OutsideValidity`` where nothing can be said (`history_of`).
    Band and chances are a `model`: both forms of `forms`, weighted by the row's readings and by ``pool``.
    """
    require_range(name="days ahead", value=days_ahead, least=1.0, most=MOST_DAYS_AHEAD, unit="days", source=SOURCE)
    require_range(name="first day of the forecast", value=from_day, unit="", source=SOURCE, least=-1e7, most=1e7)
    for psi in need_psi:
        require_range(name="pressure asked for", value=psi, above=0.0, most=10000.0, unit="psi", source=SOURCE)
    solved = solve(row, policy, from_day)
    prior, pooled_with = _expected(row, policy, pool)
    fits = form_fits(solved.grid, prior, solved.node_likelihood)
    knots = _knots(from_day - solved.history.stressed_days[-1], days_ahead)
    forces = standing_forces(solved, _node_weights(solved, prior), from_day + knots)
    least, mean = least_pressures_psi(row, forces), forces.mean(axis=2)
    edge = (1.0 - policy.band_ratio) / 2.0
    offsets = _offsets(days_ahead)
    curves = _curves(knots, offsets, least, edge) + _curves(knots, offsets, mean, edge)
    return ForceForecast(
        label=row.label,
        from_day=float(from_day),
        fits=fits,
        points=tuple(
            BandPoint(
                on_day=from_day + each[0], least_lower_psi=each[1], least_middle_psi=each[2], least_upper_psi=each[3],
                mean_lower_lb=each[4], mean_middle_lb=each[5], mean_upper_lb=each[6],
            )
            for each in np.stack([offsets, *curves], axis=1).tolist()
        ),
        reachings=tuple(_reaching(psi, from_day, offsets, curves, least[:, 0]) for psi in need_psi),
        bars=_bars(solved, forces[:, 0]),
        readings_used=solved.history.readings_used,
        readings_left_out=solved.history.readings_left_out,
        pooled_with=pooled_with,
        band_ratio=policy.band_ratio,
        sentences=solved.history.sentences + _pool_words(pooled_with),
    )  # fmt: skip


def least_pressures_psi(row: BarRow, forces_lb: np.ndarray) -> np.ndarray:
    """Least local pressure, psi, of forces (..., bars), by the rule of `bars.local`: three bars or 10 ft."""
    edges = served_edges(list(row.stations_ft), row.length_ft)
    pairs = sorted(set(stretches(edges)))
    share = np.zeros((len(row.stations_ft), len(pairs)))
    for column, (first, last) in enumerate(pairs):
        share[first : last + 1, column] = 1.0 / ((edges[last + 1] - edges[first]) * 12.0 * row.thickness_in)
    return (forces_lb @ share).min(axis=-1)


def _expected(row: BarRow, policy: LossPolicy, pool: Pool | None):
    """Weights of the nodes before the row's own readings, both forms together 1, and how many rows lent to them."""
    if pool is None:
        return 0.5 * np.concatenate(own_weights(policy)), 0
    if pool.kind != row.kind:
        raise OutsideValidity(
            name=f"{row.label}: kind of the pool", value=pool.kind, valid=f"the row's own, {row.kind}", source=SOURCE
        )
    slopes, pairs = pool.weights_for(row.label, policy)
    form = pool.logarithmic_weight(row.label, policy)
    return np.concatenate([form * slopes, (1.0 - form) * pairs]), pool.count_without(row.label)


def _pool_words(others: int) -> tuple[str, ...]:
    if not others:
        return ("No other bridge of this kind lends its losses: the policy stands in their place.",)
    rows = "row of bars of the same kind lends its" if others == 1 else "rows of bars of the same kind lend their"
    return (f"{others} other {rows} losses.",)


def _node_weights(solved: Solved, prior: np.ndarray) -> np.ndarray:
    """(S, G) weights of every scale and node; sum to 1."""
    seen = np.exp(solved.log_likelihood - solved.log_likelihood.max())
    weights = solved.grid.scale_weights[:, None] * prior * seen
    return weights / weights.sum()


def _offsets(days_ahead: float) -> np.ndarray:
    monthly = np.arange(1.0, days_ahead / MONTH_DAYS + 1.0) * MONTH_DAYS
    every = np.concatenate([FIRST_DAYS, monthly])
    return np.concatenate([every[every < days_ahead], [days_ahead]])


def _knots(elapsed: float, days_ahead: float) -> np.ndarray:
    """Offsets at which the forces are met: even in the log of the age of the stressing, and in the first weeks."""
    age = np.expm1(np.linspace(np.log1p(elapsed), np.log1p(elapsed + days_ahead), KNOTS)) - elapsed
    ahead = np.expm1(np.linspace(0.0, np.log1p(days_ahead), KNOTS // 2))
    every = np.unique(np.round(np.concatenate([age, ahead]), 3))
    every = every[(every > 0.0) & (every < days_ahead)]
    kept = [0.0]
    for each in every:
        if each - kept[-1] > 0.02 * (1.0 + kept[-1]):
            kept.append(float(each))
    if days_ahead - kept[-1] < 0.02 * days_ahead and len(kept) > 1:
        kept.pop()
    return np.array([*kept, days_ahead])


def _curves(knots: np.ndarray, offsets: np.ndarray, values: np.ndarray, edge: float) -> list[np.ndarray]:
    """Lower, middle and upper of ``values`` (members, knots) on every offset."""
    at = np.quantile(values, [edge, 0.5, 1.0 - edge], axis=0)
    line = PchipInterpolator(np.log1p(knots), at, axis=1)
    return list(np.maximum(line(np.log1p(offsets)), 0.0))


def _reaching(psi: float, from_day: float, offsets: np.ndarray, curves: list[np.ndarray], now: np.ndarray) -> Reaching:
    return Reaching(
        psi=psi,
        chance_already_ratio=float(np.mean(now <= psi)),
        early_day=_first_at(psi, from_day, offsets, curves[0]),
        middle_day=_first_at(psi, from_day, offsets, curves[1]),
    )


def _first_at(psi: float, from_day: float, offsets: np.ndarray, curve: np.ndarray) -> float | None:
    below = np.flatnonzero(curve <= psi)
    if not len(below):
        return None
    first = int(below[0])
    if first == 0:
        return float(from_day)
    part = (curve[first - 1] - psi) / (curve[first - 1] - curve[first])
    return float(from_day + offsets[first - 1] + part * (offsets[first] - offsets[first - 1]))


def _bars(solved: Solved, forces: np.ndarray) -> tuple[BarEstimate, ...]:
    middle, spread = np.median(forces, axis=0), forces.std(axis=0)
    return tuple(
        BarEstimate(
            bar_index=index,
            middle_lb=float(middle[index]),
            sd_lb=float(spread[index]),
            is_read=index in solved.history.read_bars or bool(solved.history.is_slack[index]),
        )
        for index in range(forces.shape[1])
    )
