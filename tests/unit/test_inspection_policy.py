"""The table of the inspection policy: its columns, its numbers and marks against the published rule, its ranges.

Numbers and marks from 23 CFR 650 subpart C (rule of 2022) as it could be read: 24 and 60 months in a State's inspection
manual (checked for 60), 24, 12, 60 and 24 in research notes that quote 650.311 (checked-2nd), three months after the
month of completion in 650.315 (checked); the rest from memory. Where the rule sets no number the mark is `model`.
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.clocks import POLICY_FIELDS, Policy
from inspections.rules.inspection_needs import event_faults, need_faults
from inventory.models import InspectionPolicy
from inventory.rules.inspection_policy import (
    AT_LEAST,
    AT_MOST,
    DEFAULTS,
    GROUPS,
    SETTINGS,
    inspection_policy_faults,
    longer_than_rule,
)

PUBLISHED = {
    "routine_months": (24, "checked-2nd"),
    "routine_reduced_months": (12, "checked-2nd"),
    "serious_rating": (3, "checked-2nd"),
    "routine_most_months": (24, "memory"),
    "initial_months": (3, "memory"),
    "underwater_months": (60, "checked"),
    "underwater_reduced_months": (24, "checked-2nd"),
    "tolerance_short_months": (2, "memory"),
    "tolerance_long_months": (3, "memory"),
    "sign_up_days": (30, "memory"),
    "sign_missing_days": (30, "memory"),
    "posting_days": (30, "memory"),
    "rating_months": (3, "memory"),
    "record_months": (3, "checked"),
    "critical_tell_hours": (24, "memory"),
    "critical_plan_days": (30, "checked"),
    "critical_status_days": (30, "checked-2nd"),
    "refresher_months": (60, "memory"),
    "refresher_hours": (18, "memory"),
    "special_months": (12, "memory"),
}
NO_NUMBER = {
    "short_months", "in_depth_months", "in_depth_from_years", "bar_check_months", "scour_visit_days",
    "damage_visit_days", "qa_sample_pct", "qa_rating_differs",
}  # fmt: skip


def test_every_number_and_mark_is_the_published_one():
    assert set(PUBLISHED) | NO_NUMBER == set(SETTINGS) and not set(PUBLISHED) & NO_NUMBER
    for name, (number, mark) in PUBLISHED.items():
        assert (SETTINGS[name].default, SETTINGS[name].mark) == (number, mark), name
    assert {SETTINGS[name].mark for name in NO_NUMBER} == {"model"}


def test_in_depth_lies_within_timber_practice():
    """Every 4 to 6 years after age 20 (timber practice, policy)."""
    assert 48 <= DEFAULTS["in_depth_months"] <= 72 and DEFAULTS["in_depth_from_years"] == 20


def test_every_column_is_a_setting_with_the_same_default():
    columns = {
        field.name: field.default
        for field in InspectionPolicy._meta.concrete_fields
        if field.name not in ("agency", "revision", "last_change")
    }
    assert columns == DEFAULTS
    assert sum(len(group) for _heading, group in GROUPS) == len(SETTINGS), "no name twice"
    assert set(POLICY_FIELDS) <= set(SETTINGS)
    assert all(getattr(Policy(), name) == DEFAULTS[name] for name in POLICY_FIELDS)


def test_every_setting_says_what_it_does_and_lies_in_its_range():
    for setting in SETTINGS.values():
        assert setting.meaning.endswith(".") and setting.source and setting.mark
        assert setting.least < setting.most and setting.least <= setting.default <= setting.most
    assert inspection_policy_faults(DEFAULTS) == {} and longer_than_rule(DEFAULTS) == {}


@pytest.mark.parametrize("name", sorted(SETTINGS))
@pytest.mark.parametrize("bad", [None, float("nan"), float("inf"), "below", "above", "half"])
def test_what_cannot_be_is_refused_by_name(name, bad):
    setting = SETTINGS[name]
    value = {"below": setting.least - 1, "above": setting.most + 1, "half": setting.least + 0.5}.get(bad, bad)
    faults = inspection_policy_faults(DEFAULTS | {name: value})
    assert list(faults) == [name] and setting.label in faults[name]


@given(data=st.data())
def test_what_asks_for_less_than_the_rule_is_told_and_nothing_else(data):
    """Law: a setting is told of exactly where it lies on the slack side of the published number."""
    values = {
        name: data.draw(st.integers(int(setting.least), int(setting.most)), label=name)
        for name, setting in SETTINGS.items()
    }
    slack = {name for name in AT_MOST if values[name] > PUBLISHED[name][0]}
    slack |= {name for name in AT_LEAST if values[name] < PUBLISHED[name][0]}
    told = longer_than_rule(values)
    assert set(told) == slack
    assert all(SETTINGS[name].label in sentence for name, sentence in told.items())


def test_routine_above_what_timber_may_have_is_refused_until_both_are_raised():
    assert "24" in inspection_policy_faults(DEFAULTS | {"routine_months": 36})["routine_months"]
    both = DEFAULTS | {"routine_months": 36, "routine_most_months": 36}
    assert inspection_policy_faults(both) == {} and set(longer_than_rule(both)) == {
        "routine_months",
        "routine_most_months",
    }


TODAY = date(2026, 6, 15)


def faults_of_need(**changed) -> list[str]:
    asked = {"kind": "special", "months": 6, "first_due_on": None, "reason": "Split cap", "is_federal": True}
    return need_faults(**(asked | changed), policy=Policy(), today=TODAY)


@pytest.mark.parametrize(
    ("changed", "word"),
    [
        ({"kind": "damage"}, "Choose the kind"),
        ({"months": 0}, "from 1"),
        ({"months": None}, "from 1"),
        ({"months": 241}, "from 1"),
        ({"kind": "routine", "months": 25}, "24 months"),
        ({"kind": "underwater", "months": 61}, "60 months"),
        ({"reason": "  "}, "Reason"),
        ({"first_due_on": date(1920, 1, 1)}, "1 Jan 1920"),
        ({"first_due_on": date(2090, 1, 1)}, "1 Jan 2090"),
    ],
)
def test_interval_that_cannot_be_set(changed, word):
    (sentence,) = faults_of_need(**changed)
    assert word in sentence


def test_interval_that_can_be_set():
    assert faults_of_need() == []
    assert faults_of_need(kind="routine", months=24) == []
    assert faults_of_need(kind="routine", months=60, is_federal=False) == []


@pytest.mark.parametrize(
    ("changed", "word"),
    [
        ({"cause": "quake"}, "What happened"),
        ({"kind": "routine"}, "What is owed"),
        ({"happened_on": None}, "Day"),
        ({"happened_on": date(2026, 6, 16)}, "future"),
        ({"happened_on": date(2025, 6, 13)}, "more than a year"),
        ({"cause": "other", "words": " "}, "In words"),
    ],
)
def test_event_that_sets_nothing_off(changed, word):
    asked = {"kind": "scour", "cause": "flood", "happened_on": date(2026, 6, 14), "words": ""}
    assert event_faults(**asked, today=TODAY) == []
    (sentence,) = event_faults(**(asked | changed), today=TODAY)
    assert word in sentence
