"""What a plan cannot be made from: refused with the bar or jack named, before anything is computed."""

from __future__ import annotations

import numpy as np

from inventory.mechanics.bars.anchorage import bar_limit_lb, jack_pressure_psi
from inventory.mechanics.errors import OutsideValidity, require_range

from .flexibility import check_deck
from .orders import JACKS_MOST, pull_groups
from .terms import METHODS, JackKit, PlanInput

SOURCE = "stressing plan"
BARS_MOST = 400
PASSES_MOST = 12


def check_input(given: PlanInput) -> None:
    """``OutsideValidity`` with a clear sentence for the first thing a plan cannot be made from."""
    check_deck(given.deck)
    require_range(name="number of bars", value=len(given.bars), least=1, most=BARS_MOST, source=SOURCE)
    for index in range(len(given.bars)):
        _check_bar(given, index)
    if not any(bar.is_planned for bar in given.bars):
        raise OutsideValidity(
            name="number of planned bars", value=0, valid="at least 1: every bar is set aside", source=SOURCE
        )
    require_range(name="number of jacks", value=len(given.jacks), least=1, most=JACKS_MOST, source=SOURCE)
    for jack in given.jacks:
        _check_jack(jack)
    if len({jack.name for jack in given.jacks}) < len(given.jacks):
        raise OutsideValidity(name="jack names", value="two alike", valid="all different", source=SOURCE)
    _check_wishes(given)


def _check_bar(given: PlanInput, index: int) -> None:
    bar, length_in = given.bars[index], given.deck.deck_length_in
    called = f"of bar {bar.name}"
    require_range(name=f"station {called}", value=bar.station_in, least=0, most=length_in, unit="in", source=SOURCE)
    if index and bar.station_in <= given.bars[index - 1].station_in:
        before = given.bars[index - 1]
        raise OutsideValidity(
            name=f"station {called}",
            value=bar.station_in,
            unit="in",
            valid=f"above {before.station_in:g} in of bar {before.name}: bars in order, no two at one place",
            source=SOURCE,
        )
    bar_limit_lb(net_area_in2=bar.net_area_in2, tensile_psi=bar.tensile_psi)
    require_range(name=f"force {called}", value=bar.standing_lb, least=0, most=1e6, unit="lb", source=SOURCE)
    if bar.is_planned:
        require_range(name=f"target {called}", value=bar.target_lb, above=0, most=1e6, unit="lb", source=SOURCE)


def _check_jack(jack: JackKit) -> None:
    called = f"of {jack.name}"
    jack_pressure_psi(force_lb=0.0, ram_area_in2=jack.ram_area_in2, efficiency=jack.efficiency)
    require_range(name=f"gauge division {called}", value=jack.gauge_division_psi, above=0, most=5000, unit="psi",
                  source=SOURCE)  # fmt: skip
    for name, value, unit in (("capacity", jack.capacity_lb, "lb"), ("gauge scale", jack.gauge_most_psi, "psi")):
        if value is not None:
            require_range(name=f"{name} {called}", value=value, above=0, unit=unit, source=SOURCE)


def _check_wishes(given: PlanInput) -> None:
    if given.method not in METHODS:
        raise OutsideValidity(name="method", value=given.method, valid=", ".join(METHODS), source=SOURCE)
    require_range(name="first pass", value=given.first_pass_ratio, above=0, most=1, source=SOURCE)
    require_range(name="seating", value=given.seating_in, least=0, most=1, unit="in", source=SOURCE)
    require_range(name="lift-off ratio", value=given.lift_off_ratio, least=1, most=1.5, source=SOURCE)
    require_range(name="reach", value=given.reach_ratio, least=0.5, most=0.999, source=SOURCE)
    if given.pass_count is not None:
        require_range(name="number of passes", value=given.pass_count, least=1, most=PASSES_MOST, source=SOURCE)
    pull_groups(
        order=given.order,
        stations_in=tuple(bar.station_in for bar in given.bars),
        planned=tuple(index for index, bar in enumerate(given.bars) if bar.is_planned),
        middle_in=given.deck.deck_length_in / 2.0,
        jack_count=len(given.jacks),
        given_order=given.given_order,
    )
    for name, value, unit in (
        ("plate limit", given.plate_limit_lb, "lb"),
        ("flange limit", given.flange_limit_psi, "psi"),
        ("needed pressure", given.needed_psi, "psi"),
    ):
        if value is not None:
            require_range(name=name, value=value, above=0, unit=unit, source=SOURCE)


def check_matrix(matrix: np.ndarray) -> None:
    """``OutsideValidity`` where arithmetic has lost the balance of the row (sizes that no deck has)."""
    try:
        np.linalg.cholesky(matrix)
    except np.linalg.LinAlgError:
        raise OutsideValidity(
            name="compatibility of the row", value="not positive definite", valid="sizes of a real deck", source=SOURCE
        )
