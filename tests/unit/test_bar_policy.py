"""The table of the bar policy holds together with the model's columns, the kernel's defaults and its terms."""

from dataclasses import fields, replace
from math import isfinite

import pytest

from inspections.assembly.bar_policy import loss_policy_of
from inventory.mechanics.bars.jacking.terms import LIFT_OFF_RATIO, REACH_RATIO, SEATING_IN
from inventory.mechanics.bars.loss import forecast
from inventory.mechanics.bars.loss.terms import BarRow, ForceRead, LossPolicy, Stressed
from inventory.models import BarPolicy
from inventory.rules.bar_policy import GROUPS, SETTINGS, WHOLE, bar_policy_faults

COLUMNS = {
    field.name: field.default
    for field in BarPolicy._meta.concrete_fields
    if field.name not in ("agency", "revision", "last_change")
}
DEFAULTS = {name: setting.default for name, setting in SETTINGS.items()}


def test_every_column_is_a_setting_with_the_same_default():
    assert COLUMNS == DEFAULTS
    assert sum(len(group) for _heading, group in GROUPS) == len(SETTINGS), "no name twice"


def test_defaults_are_the_kernels():
    for field in fields(LossPolicy):
        assert COLUMNS[field.name] == field.default, field.name
    assert COLUMNS["seating_in"] == SEATING_IN
    assert COLUMNS["lift_off_ratio"] == LIFT_OFF_RATIO
    assert COLUMNS["reach_ratio"] == REACH_RATIO


def test_every_setting_says_what_it_does_and_that_it_is_a_model():
    for setting in SETTINGS.values():
        assert setting.meaning.endswith(".") and setting.source and setting.mark == "model"
        assert setting.least < setting.most and setting.least <= setting.default <= setting.most


def test_published_and_usual_values_lie_within_the_ranges():
    """Loss a 0.08 dry to 0.18 green hardwood, floor 0.4 to 0.6, 90 to 365 days: ranges of the two forms (model)."""
    for name, low, high in (
        ("log_slope_ratio", 0.08, 0.18),
        ("floor_ratio", 0.4, 0.6),
        ("settle_days", 90, 365),
        ("e_transverse_ratio", 0.013, 0.020),
        ("shear_ratio", 0.03, 0.05),
    ):
        assert SETTINGS[name].least <= low and high <= SETTINGS[name].most


def test_defaults_pass():
    assert bar_policy_faults(DEFAULTS) == {}


@pytest.mark.parametrize("name", sorted(SETTINGS))
@pytest.mark.parametrize("bad", [None, float("nan"), float("inf"), "below", "above"])
def test_what_is_out_of_range_is_refused_by_name(name, bad):
    setting = SETTINGS[name]
    value = {"below": setting.least - 1, "above": setting.most + 1}.get(bad, bad) if isinstance(bad, str) else bad
    faults = bar_policy_faults(DEFAULTS | {name: value})
    assert list(faults) == [name] and setting.label in faults[name]


@pytest.mark.parametrize("name", sorted(WHOLE))
def test_counts_are_whole(name):
    assert "whole number" in bar_policy_faults(DEFAULTS | {name: SETTINGS[name].least + 0.5})[name]


def test_both_ends_of_every_range_reach_the_forecast():
    for end in ("least", "most"):
        policy = BarPolicy(**{name: getattr(setting, end) for name, setting in SETTINGS.items()})
        told = loss_policy_of(policy)
        for field in fields(LossPolicy):
            assert getattr(told, field.name) == getattr(SETTINGS[field.name], end)


ROW = BarRow(
    label="row",
    kind="stress_laminated mid",
    stations_ft=tuple(2.0 + 4.0 * n for n in range(6)),
    length_ft=24.0,
    thickness_in=12.0,
    target_lb=57_600.0,
    stressed=(Stressed(on_day=0.0), Stressed(on_day=7.0), Stressed(on_day=49.0)),
    readings=tuple(ForceRead(on_day=400.0, bar_index=n, force_lb=45_000.0 + 500.0 * n) for n in range(6)),
)


@pytest.mark.parametrize("name", [field.name for field in fields(LossPolicy)])
def test_the_forecast_takes_every_value_the_county_may_choose(name):
    for value in (SETTINGS[name].least, SETTINGS[name].most):
        told = forecast(ROW, policy=replace(LossPolicy(), **{name: value}), from_day=500.0, days_ahead=365.0)
        first = told.points[0]
        edges = (first.least_lower_psi, first.least_middle_psi, first.least_upper_psi)
        assert all(isfinite(psi) for psi in edges) and list(edges) == sorted(edges)
