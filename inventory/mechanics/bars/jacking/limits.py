"""What a bar, its plate, the flange, the jack and the gauge may see, and the worst moment of each over a sequence.

Every limit holds at every moment, also for bars that are not pulled: before the first pull, at the jack's peak
(lift-off included) and after each lock-off. Sources: 0.70 f_pu of the net area (EM 7700-8 chapter 9, ASTM A722,
memory); the others come from the record or the engineer and are told as unknown where nobody gave them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.mechanics.bars.anchorage import bar_limit_lb
from inventory.mechanics.bars.local import BarReading, least_local_pressure

from .terms import JackKit, PlanCheck, PlanInput, Pull

SLIP = 1e-9
"""Relative error of arithmetic allowed before a limit counts as passed."""


@dataclass(frozen=True, eq=False)
class Moment:
    """Force in every bar, lb, (n,), during or after pull ``pull_number`` (0: before the first)."""

    pull_number: int
    force_lb: np.ndarray


def served_in(given: PlanInput) -> np.ndarray:
    """Length of deck each bar serves: to halfway to its neighbours, to the deck's ends for the outer two, (n,)."""
    stations = np.array([bar.station_in for bar in given.bars])
    edges = np.concatenate([[0.0], (stations[1:] + stations[:-1]) / 2.0, [given.deck.deck_length_in]])
    return np.diff(edges)


def force_limits_lb(given: PlanInput) -> dict[str, np.ndarray]:
    """Most force in each bar by the bar, its plate and the flange it presses, (n,) each; infinite where unknown."""
    unknown = np.full(len(given.bars), np.inf)
    limits = {
        "bar": np.array(
            [bar_limit_lb(net_area_in2=bar.net_area_in2, tensile_psi=bar.tensile_psi) for bar in given.bars]
        ),
        "plate": unknown,
        "flange": unknown,
    }
    if given.plate_limit_lb is not None:
        limits["plate"] = np.full(len(given.bars), given.plate_limit_lb)
    if given.flange_limit_psi is not None:
        limits["flange"] = given.flange_limit_psi * served_in(given) * given.deck.thickness_in
    return limits


def ram_lb_per_psi(jack: JackKit) -> float:
    """Force for each psi on the gauge, A_ram eff."""
    return jack.ram_area_in2 * jack.efficiency


def jack_limits_lb(jack: JackKit) -> dict[str, float]:
    """Most force of a jack by its capacity and by the end of its gauge's scale; infinite where unknown."""
    return {
        "jack": np.inf if jack.capacity_lb is None else jack.capacity_lb,
        "gauge": np.inf if jack.gauge_most_psi is None else jack.gauge_most_psi * ram_lb_per_psi(jack),
    }


LIMIT_WORDS = {
    "bar": "0.70 of the bar's tensile strength on its net area",
    "plate": "the bearing limit under its plate",
    "flange": "the pressure limit of the deck or flange",
    "jack": "the capacity of the jack",
    "gauge": "the end of the gauge's scale",
}


def most_set_lb(given: PlanInput, jack: JackKit) -> list[tuple[float, str]]:
    """For each bar the most this jack may show on it so that its peak breaks no limit, lb, and which limit that is."""
    limits = force_limits_lb(given) | {name: np.full(len(given.bars), lb) for name, lb in jack_limits_lb(jack).items()}
    names, table = list(limits), np.array(list(limits.values()))
    return [(float(each.min() / given.lift_off_ratio), names[int(each.argmin())]) for each in table.T]


def plan_checks(given: PlanInput, moments: list[Moment], pulls: tuple[Pull, ...]) -> tuple[PlanCheck, ...]:
    """The worst moment of every limit, then the least local pressure at the end against the need."""
    over_moments = [_force_check(given, moments, name, each) for name, each in force_limits_lb(given).items()]
    by_jack = [_jack_check(given, pulls, name) for name in ("jack", "gauge")]
    return (*over_moments, *by_jack, _pressure_check(given, moments[-1].force_lb))


def _force_check(given: PlanInput, moments: list[Moment], name: str, limits_lb: np.ndarray) -> PlanCheck:
    """In the limit's own unit: stress on the net area, force on the plate, pressure in the flange."""
    per_lb = {
        "bar": 1.0 / np.array([bar.net_area_in2 for bar in given.bars]),
        "plate": np.ones(len(given.bars)),
        "flange": 1.0 / (served_in(given) * given.deck.thickness_in),
    }[name]
    forces = np.array([moment.force_lb for moment in moments])
    known = bool(np.isfinite(limits_lb).all())
    measure = forces / limits_lb if known else forces * per_lb
    at, bar = np.unravel_index(int(np.argmax(measure)), measure.shape)
    demand = float(forces[at, bar] * per_lb[bar])
    return _check(
        name=name,
        demand=demand,
        limit=float(limits_lb[bar] * per_lb[bar]) if known else None,
        unit={"bar": "psi", "plate": "lb", "flange": "psi"}[name],
        pull_number=moments[at].pull_number,
        bar=given.bars[bar].name,
    )


TITLES = {
    "bar": "Stress in a bar",
    "plate": "Force on a bearing plate",
    "flange": "Pressure in the deck or flange at one bar",
    "jack": "Force of a jack",
    "gauge": "Pressure on a gauge",
}


def _check(*, name: str, demand: float, limit: float | None, unit: str, pull_number: int, bar: str) -> PlanCheck:
    when = "before the first pull" if pull_number == 0 else f"pull {pull_number}"
    shown = f"{TITLES[name]}: {demand:,.0f} {unit} at bar {bar}, {when}"
    if limit is None:
        words = f"{shown}; its limit is not on record and was not checked."
    elif demand <= limit * (1.0 + SLIP):
        words = f"{shown}, within {limit:,.0f} {unit} ({LIMIT_WORDS[name]})."
    else:
        words = f"{shown}, above {limit:,.0f} {unit} ({LIMIT_WORDS[name]})."
    holds = None if limit is None else demand <= limit * (1.0 + SLIP)
    return PlanCheck(
        name=name, demand=demand, limit=limit, unit=unit, pull_number=pull_number, bar=bar, holds=holds, words=words
    )


def _jack_check(given: PlanInput, pulls: tuple[Pull, ...], name: str) -> PlanCheck:
    kits = {jack.name: jack for jack in given.jacks}
    worst = None
    for pull in pulls:
        for each in pull.bars:
            limit_lb = jack_limits_lb(kits[each.jack])[name]
            use = each.peak_lb / limit_lb if np.isfinite(limit_lb) else each.peak_lb * 1e-12
            if worst is None or use > worst[0]:
                worst = (use, pull.number, each, limit_lb)
    unit = {"jack": "lb", "gauge": "psi"}[name]
    if worst is None:
        return PlanCheck(
            name=name, demand=None, limit=None, unit=unit, pull_number=None, bar="", holds=None,
            words=f"{TITLES[name]}: nothing is pulled.",
        )  # fmt: skip
    _, number, each, limit_lb = worst
    divisor = 1.0 if name == "jack" else ram_lb_per_psi(kits[each.jack])
    return _check(
        name=name,
        demand=each.peak_lb / divisor,
        limit=float(limit_lb / divisor) if np.isfinite(limit_lb) else None,
        unit=unit,
        pull_number=number,
        bar=given.bars[each.bar_index].name,
    )


def _pressure_check(given: PlanInput, final_lb: np.ndarray) -> PlanCheck:
    """The least mean over three bars or 10 ft once all jacks are off, as the rating counts it."""
    local = least_local_pressure(
        bars=tuple(
            BarReading(station_ft=bar.station_in / 12.0, force_lb=float(force), broken=force <= 0.0)
            for bar, force in zip(given.bars, final_lb, strict=True)
        ),
        length_ft=given.deck.deck_length_in / 12.0,
        thickness_in=given.deck.thickness_in,
    )
    place = f"from {local.from_ft:.1f} to {local.to_ft:.1f} ft"
    words = f"Least local pressure at the end: {local.least_psi:.1f} psi {place}"
    holds = None
    if given.needed_psi is None:
        words += "; the need is not on record and was not checked."
    else:
        holds = local.least_psi >= given.needed_psi * (1.0 - SLIP)
        words += f", {'meets' if holds else 'below'} the {given.needed_psi:.0f} psi needed."
    return PlanCheck(
        name="least pressure", demand=local.least_psi, limit=given.needed_psi, unit="psi", pull_number=None, bar="",
        holds=holds, words=words,
    )  # fmt: skip
