"""What the county's other rows of one kind lend to one of them: a hierarchical estimate by quadrature.

Level one: a row's parameters are normal about the mean of its kind, with the spread of its kind. Level two: that mean
is normal about the policy's value, that spread is between 0.65 and 2.2 times the policy's (never less: a few rows alike
by chance must not bind the next). Both are summed over nodes. A row gives one number per pair of mean and spread, from
the likelihoods kept in its `RowFit` by one matrix product, so the work grows linearly with the rows. A row is left out
of its own expectation by taking its numbers off the sum. Which form the
kind follows is lent too, with care. ``model``, decision 0014.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from scipy.special import expit, logsumexp

from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.plain import Plain

from .fit import RowFit, grid_key
from .grid import grid_of, settle_sds, weights_about
from .history import SOURCE
from .terms import LossPolicy

SPREADS_FACTOR = (0.65, 1.0, 1.5, 2.2)
SPREAD_LOG_SD = 0.5
MEAN_NODES, PAIR_NODES = 13, 7
MEAN_REACH_SD = 3.0
FORM_ROWS, FORM_LEAST = 3.0, 0.1
PAIR_SPREADS_FACTOR = (0.65, 1.0, 1.8)


@dataclass(frozen=True, kw_only=True)
class PoolMember(Plain):
    """One row, or ``rows`` rows added up: log of how likely the readings are at every node of mean and spread."""

    label: str
    slopes: tuple[float, ...]
    pairs: tuple[float, ...]
    rows: int = 1


@dataclass(frozen=True, kw_only=True)
class Pool(Plain):
    """The rows of one kind that were fitted under one policy (``grid_key``); goes to JSON and back, and two pools of a
    kind add up by `joined`. A label stands for one row: the last one given counts."""

    kind: str
    grid_key: str
    members: tuple[PoolMember, ...]
    mark: str = "model"

    @cached_property
    def _own(self) -> dict[str, PoolMember]:
        return {member.label: member for member in self.members}

    @cached_property
    def _sums(self) -> tuple[np.ndarray, np.ndarray]:
        members = self._own.values()
        return (
            np.sum([member.slopes for member in members], axis=0),
            np.sum([member.pairs for member in members], axis=0),
        )

    def count_without(self, label: str) -> int:
        """Rows in the pool other than ``label``."""
        return sum(member.rows for member in self._own.values() if member.label != label)

    def is_for(self, policy: LossPolicy) -> bool:
        """Whether it was made under this policy, by this edition of the grid; else pool again."""
        return self.grid_key == grid_key(policy)

    def weights_for(self, label: str, policy: LossPolicy) -> tuple[np.ndarray, np.ndarray]:
        """Weights of the logarithmic and of the exponential nodes for a row, from all rows but itself."""
        if not self.is_for(policy):
            raise OutsideValidity(
                name="policy of the pool", value="another one", valid="the policy of the forecast; pool again",
                source=SOURCE,
            )  # fmt: skip
        population, (slopes, pairs) = _population(policy), self._lent(label, policy)
        return _shares(slopes) @ population.slope_weights, _shares(pairs) @ population.pair_weights

    def logarithmic_weight(self, label: str, policy: LossPolicy) -> float:
        """Weight of the logarithmic form before a row's own readings, from all rows but itself: half without any.

        Together they count as no more than `FORM_ROWS` rows, and never rule a form out (`FORM_LEAST`).
        """
        others = self.count_without(label)
        if not others:
            return 0.5
        population, (slopes, pairs) = _population(policy), self._lent(label, policy)
        told = logsumexp(slopes) - logsumexp(population.slope_prior)
        told -= logsumexp(pairs) - logsumexp(population.pair_prior)
        return float(np.clip(expit(told * min(1.0, FORM_ROWS / others)), FORM_LEAST, 1.0 - FORM_LEAST))

    def _lent(self, label: str, policy: LossPolicy) -> tuple[np.ndarray, np.ndarray]:
        population = _population(policy)
        slopes, pairs = population.slope_prior, population.pair_prior
        if self._own:
            own = self._own.get(label)
            slopes = slopes + self._sums[0] - (np.array(own.slopes) if own else 0.0)
            pairs = pairs + self._sums[1] - (np.array(own.pairs) if own else 0.0)
        return slopes, pairs


def pool(fits: Sequence[RowFit], policy: LossPolicy, kind: str = "") -> Pool:
    """Pool fits of one kind, made under ``policy``. No fits: an empty pool of ``kind``, the policy alone."""
    kinds = {fit.kind for fit in fits} or {kind}
    if len(kinds) > 1:
        raise OutsideValidity(
            name="kinds of rows pooled", value=", ".join(sorted(kinds)), valid="one kind at a time", source=SOURCE
        )
    key = grid_key(policy)
    if any(fit.grid_key != key for fit in fits):
        raise OutsideValidity(
            name="policy of a fit", value="another one", valid="the policy of the pool; fit again", source=SOURCE
        )
    members = _members(fits, _population(policy)) if fits else ()
    return Pool(kind=kinds.pop(), grid_key=key, members=members)


def joined(pools: Sequence[Pool]) -> Pool:
    """One pool of several made in pieces, of one kind and policy."""
    if len({(each.kind, each.grid_key) for each in pools}) != 1:
        raise OutsideValidity(
            name="pools joined", value="of several kinds or policies", valid="one kind and policy", source=SOURCE
        )
    members = tuple(member for each in pools for member in each.members)
    return Pool(kind=pools[0].kind, grid_key=pools[0].grid_key, members=members)


def _members(fits: Sequence[RowFit], population: _Population) -> tuple[PoolMember, ...]:
    likelihood = np.exp(np.array([fit.log_likelihoods for fit in fits]))
    count = population.slope_weights.shape[1]
    least = 1e-300
    slopes = np.log(np.maximum(likelihood[:, :count] @ population.slope_weights.T, least))
    pairs = np.log(np.maximum(likelihood[:, count:] @ population.pair_weights.T, least))
    return tuple(
        PoolMember(label=fit.label, slopes=tuple(a), pairs=tuple(b))
        for fit, a, b in zip(fits, np.round(slopes, 4).tolist(), np.round(pairs, 4).tolist(), strict=True)
    )


@dataclass(frozen=True, eq=False)
class _Population:
    """Nodes of mean and spread: log priors (H,) and the weights each gives the row's nodes (H, nodes), per form."""

    slope_prior: np.ndarray
    slope_weights: np.ndarray
    pair_prior: np.ndarray
    pair_weights: np.ndarray


@lru_cache(maxsize=16)
def _population(policy: LossPolicy) -> _Population:
    grid = grid_of(policy)
    slope_prior, slope_weights = _one(
        grid.slopes, policy.log_slope_ratio, policy.log_slope_sd_ratio, policy.log_slope_spread_ratio,
        MEAN_NODES, SPREADS_FACTOR,
    )  # fmt: skip
    floor_prior, floor_weights = _one(
        grid.floors, policy.floor_ratio, policy.floor_sd_ratio, policy.floor_spread_ratio, PAIR_NODES,
        PAIR_SPREADS_FACTOR,
    )  # fmt: skip
    settle_prior, settle_weights = _one(
        np.log(grid.settles), float(np.log(policy.settle_days)), *settle_sds(policy), PAIR_NODES, PAIR_SPREADS_FACTOR
    )
    return _Population(
        slope_prior=slope_prior,
        slope_weights=slope_weights,
        pair_prior=np.add.outer(floor_prior, settle_prior).ravel(),
        pair_weights=np.kron(floor_weights, settle_weights),
    )


def _one(nodes, middle: float, sd: float, spread: float, count: int, factors) -> tuple[np.ndarray, np.ndarray]:
    """Log prior (H,) over means and spreads, and the weights (H, nodes) each pair gives a row."""
    steps = np.linspace(-MEAN_REACH_SD, MEAN_REACH_SD, count) if sd > 0.0 else np.zeros(1)
    widths = np.array(factors) if spread > 0.0 else np.ones(1)
    prior = np.add.outer(-0.5 * steps**2, -0.5 * (np.log(widths) / SPREAD_LOG_SD) ** 2).ravel()
    mean = np.repeat(middle + sd * steps, len(widths))[:, None]
    # Never narrower than the grid can show.
    gap = np.min(np.diff(nodes)) if len(nodes) > 1 else 1.0
    wide = np.maximum(np.tile(spread * widths, len(steps)), 0.5 * gap)[:, None]
    return prior, weights_about(nodes, mean, wide)


def _shares(logs: np.ndarray) -> np.ndarray:
    raised = np.exp(logs - logs.max())
    return raised / raised.sum()
