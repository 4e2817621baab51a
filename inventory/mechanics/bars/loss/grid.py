"""The parameters of the two forms on one fixed grid, so that rows under one policy can be pooled by matrix products.

The kernel has no random numbers: what is not Gaussian is summed over nodes. Ranges follow the policy: five standard
deviations of one bridge about the policy's mean, cut to what a loss can be. A standard deviation of nothing gives one
node: the value is then known exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from inventory.mechanics.errors import require_range

from .forms import logarithmic_ratio
from .terms import LossPolicy

SOURCE = "policy of bar force"
GRID_EDITION = 2
"""Raised whenever a node here or in `pool` changes: fits and pools kept from before do not fit any more."""
SLOPE_NODES, FLOOR_NODES, SETTLE_NODES = 41, 21, 11
REACH_SD = 5.0
SLOPE_BOUNDS, FLOOR_BOUNDS = (0.002, 0.6), (0.01, 0.99)
SCALE_SD = 0.4
"""Standard deviation of the log of a scatter against the policy's: a row may scatter half or twice as much (model)."""
SCALE_STEPS_SD = (-2.0, -1.0, 0.0, 1.0, 2.0)


@dataclass(frozen=True, eq=False)
class Grid:
    """Nodes: ``slopes`` (A,) of the logarithmic form, then all pairs of ``floors`` (B,) and ``settles`` (C,), floors
    slowest; ``scales`` (S, 2) factors on the scatter of bars' losses (slowest) and of days,
    with ``scale_weights`` (S,)."""

    slopes: np.ndarray
    floors: np.ndarray
    settles: np.ndarray
    scales: np.ndarray
    scale_weights: np.ndarray

    @property
    def pair_floors(self) -> np.ndarray:
        return np.repeat(self.floors, len(self.settles))

    @property
    def pair_settles(self) -> np.ndarray:
        return np.tile(self.settles, len(self.floors))

    def kept(self, elapsed_days: np.ndarray) -> np.ndarray:
        """R of both forms: shape of ``elapsed_days`` (negative counts as 0) plus one axis of A + B C nodes."""
        elapsed = np.maximum(np.asarray(elapsed_days, dtype=float), 0.0)[..., None]
        settled = np.exp(-elapsed / self.settles)
        pairs = self.floors[:, None] + (1.0 - self.floors[:, None]) * settled[..., None, :]
        shape = (*elapsed.shape[:-1], len(self.floors) * len(self.settles))
        return np.concatenate([logarithmic_ratio(elapsed, self.slopes), pairs.reshape(shape)], axis=-1)


def weights_about(nodes: np.ndarray, mean: np.ndarray, sd: np.ndarray) -> np.ndarray:
    """Weights of ``nodes`` (last axis) under a normal law; mean and sd broadcast against (..., 1). Sums to 1."""
    if nodes.shape[-1] == 1:
        return np.ones(np.broadcast_shapes(np.shape(mean)[:-1], np.shape(sd)[:-1]) + (1,))
    apart = -0.5 * ((nodes - mean) / sd) ** 2
    raised = np.exp(apart - apart.max(axis=-1, keepdims=True))
    return raised / raised.sum(axis=-1, keepdims=True)


def settle_sds(policy: LossPolicy) -> tuple[float, float]:
    """Standard deviations of ln tau: of the mean over bridges and of one bridge about it. The policy gives one factor
    for both together; half of its variance each (model)."""
    both = float(np.log(policy.settle_spread_factor))
    return both / 2**0.5, both / 2**0.5


@lru_cache(maxsize=16)
def grid_of(policy: LossPolicy) -> Grid:
    """The grid of a policy; ``OutsideValidity`` for a policy that means nothing."""
    check_policy(policy)
    slope_sd = float(np.hypot(policy.log_slope_sd_ratio, policy.log_slope_spread_ratio))
    floor_sd = float(np.hypot(policy.floor_sd_ratio, policy.floor_spread_ratio))
    settle_sd = float(np.hypot(*settle_sds(policy)))
    steps = np.array(SCALE_STEPS_SD)
    each = np.exp(-0.5 * steps**2)
    each = each / each.sum()
    factors = np.exp(SCALE_SD * steps)
    return Grid(
        slopes=_nodes(policy.log_slope_ratio, slope_sd, SLOPE_NODES, SLOPE_BOUNDS),
        floors=_nodes(policy.floor_ratio, floor_sd, FLOOR_NODES, FLOOR_BOUNDS),
        settles=np.exp(_nodes(float(np.log(policy.settle_days)), settle_sd, SETTLE_NODES, (-2.0, 12.0), reach=4.0)),
        scales=np.array([(losses, days) for losses in factors for days in factors]),
        scale_weights=np.outer(each, each).ravel(),
    )


def own_weights(policy: LossPolicy) -> tuple[np.ndarray, np.ndarray]:
    """Weights of the logarithmic and of the exponential nodes for a bridge nothing else is known of."""
    grid = grid_of(policy)
    slope_sd = np.hypot(policy.log_slope_sd_ratio, policy.log_slope_spread_ratio)
    floor_sd = np.hypot(policy.floor_sd_ratio, policy.floor_spread_ratio)
    settle_sd = np.hypot(*settle_sds(policy))
    slopes = weights_about(grid.slopes, np.array([policy.log_slope_ratio]), np.array([slope_sd]))
    floors = weights_about(grid.floors, np.array([policy.floor_ratio]), np.array([floor_sd]))
    settles = weights_about(np.log(grid.settles), np.array([np.log(policy.settle_days)]), np.array([settle_sd]))
    return slopes, np.outer(floors, settles).ravel()


def _nodes(middle: float, sd: float, count: int, bounds: tuple[float, float], reach: float = REACH_SD) -> np.ndarray:
    if sd == 0.0:
        return np.array([middle])
    return np.linspace(max(middle - reach * sd, bounds[0]), min(middle + reach * sd, bounds[1]), count)


def check_policy(policy: LossPolicy) -> None:
    """Refuse a policy whose values cannot be what their names say."""
    ratios = {"log_slope_ratio": (0.0, 0.5), "floor_ratio": (0.0, 0.98), "band_ratio": (0.01, 0.998)}
    for name, (least, most) in ratios.items():
        require_range(name=name, value=getattr(policy, name), least=least, most=most, source=SOURCE)
    for name in ("log_slope_sd_ratio", "log_slope_spread_ratio", "floor_sd_ratio", "floor_spread_ratio"):
        require_range(name=name, value=getattr(policy, name), least=0.0, most=0.5, source=SOURCE)
    for name in ("reading_sd_ratio", "day_sd_ratio", "bar_sd_ratio", "stressing_sd_ratio"):
        require_range(name=name, value=getattr(policy, name), least=0.0, most=1.0, source=SOURCE)
    require_range(name="settle_days", value=policy.settle_days, least=1.0, most=20000.0, unit="days", source=SOURCE)
    require_range(name="settle_spread_factor", value=policy.settle_spread_factor, least=1.0, most=10.0, source=SOURCE)
