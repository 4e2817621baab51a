"""The table of settings holds together with the kernel: every value it allows is one the kernel takes."""

from dataclasses import replace

import pytest

from inventory.mechanics.rating import DEFAULT_VEHICLES, RatingPolicy, rate_structure
from inventory.mechanics.vehicle import STANDARD_VEHICLES
from inventory.rules.rating_settings import GROUPS, SELECTABLE, SETTINGS, settings_faults
from inventory.vocabulary.vehicles import USUAL_SET
from tests.unit.mechanics.spans import stringer_span

OF_THE_KERNEL = [name for name in SETTINGS if name in RatingPolicy.__dataclass_fields__]


def extremes(name):
    setting = SETTINGS[name]
    if setting.kind == "choice":
        return [code for code, _word in setting.choices]
    return [True, False] if setting.kind == "yesno" else [setting.least, setting.most]


@pytest.mark.parametrize("name", OF_THE_KERNEL)
def test_the_kernel_takes_every_value_the_county_may_choose(name):
    for value in extremes(name):
        answer = rate_structure((stringer_span(),), ("TYPE3",), replace(RatingPolicy(), **{name: value}))
        assert answer.is_rated, answer.reasons


def test_the_policy_has_no_setting_that_the_county_cannot_see():
    """Law fixes the smallest posting; the permit factor is chosen with each question."""
    hidden = set(RatingPolicy.__dataclass_fields__) - set(SETTINGS)
    assert hidden == {"close_below_tons", "permit_live_factor"}


def test_every_setting_has_its_mark_source_and_meaning():
    marks = {"checked", "checked-2nd", "memory", "computed", "model"}
    for setting in SETTINGS.values():
        assert setting.mark in marks and setting.source and setting.meaning.endswith(".")
    assert sum(len(group) for _heading, group in GROUPS) == len(SETTINGS), "no name twice"


def test_defaults_pass_and_vehicles_are_known():
    values = {name: setting.default for name, setting in SETTINGS.items()}
    values |= {"standard_vehicles": list(USUAL_SET), "pressure_reason": ""}
    assert settings_faults(values, own_general=False) == {}
    assert set(USUAL_SET) <= set(SELECTABLE) <= set(STANDARD_VEHICLES)
    assert set(DEFAULT_VEHICLES) - {"H15"} <= set(USUAL_SET)


def test_a_state_may_replace_every_standard_truck_by_its_own():
    values = {name: setting.default for name, setting in SETTINGS.items()}
    values |= {"standard_vehicles": ["EV2", "EV3"], "pressure_reason": ""}
    assert settings_faults(values, own_general=True) == {}
    assert "standard_vehicles" in settings_faults(values, own_general=False)
