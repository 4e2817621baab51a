"""Laws of the two forms of loss: superposition, monotony, bounds, refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.mechanics.bars.loss import days_to_ratio, remaining_ratio
from inventory.mechanics.errors import OutsideValidity

FORMS = (
    {"form": "logarithmic", "log_slope_ratio": 0.13},
    {"form": "exponential", "floor_ratio": 0.5, "settle_days": 180.0},
)
anyform = st.sampled_from(FORMS)
days = st.floats(0.0, 20000.0)
schedules = st.lists(st.integers(0, 3000), min_size=1, max_size=5, unique=True).map(sorted)


def single(form, t: float) -> float:
    """The published formulas, written out again."""
    if form["form"] == "logarithmic":
        return max(1 - form["log_slope_ratio"] * math.log10(1 + t), 0.0)
    return form["floor_ratio"] + (1 - form["floor_ratio"]) * math.exp(-t / form["settle_days"])


@pytest.mark.parametrize("form", FORMS)
def test_two_stressings_by_hand(form):
    """F(t) = R(t) + (1 - R(30)) R(t - 30), written out for a second pull on day 30."""
    for t in (30.0, 31.0, 400.0, 9000.0):
        expected = single(form, t) + (1 - single(form, 30.0)) * single(form, t - 30.0)
        assert remaining_ratio(day=t, stressed_on=(0.0, 30.0), **form) == pytest.approx(expected, rel=1e-12)


@settings(max_examples=60, deadline=None)
@given(anyform, schedules, days, st.floats(0.0, 5000.0))
def test_force_never_rises_unless_pulled_and_stays_between_nothing_and_target(form, schedule, ahead, further):
    early = remaining_ratio(day=schedule[-1] + ahead, stressed_on=tuple(schedule), **form)
    late = remaining_ratio(day=schedule[-1] + ahead + further, stressed_on=tuple(schedule), **form)
    assert 0.0 <= late <= early + 1e-12 <= 1.0 + 2e-12
    assert remaining_ratio(day=schedule[-1], stressed_on=tuple(schedule), **form) == pytest.approx(1.0)


@settings(max_examples=60, deadline=None)
@given(anyform, schedules, days)
def test_one_more_stressing_never_leaves_less(form, schedule, ahead):
    day = schedule[-1] + ahead + 1.0
    with_it = remaining_ratio(day=day, stressed_on=tuple(schedule), **form)
    without = remaining_ratio(day=day, stressed_on=tuple(schedule[:-1]) or (schedule[-1],), **form)
    assert with_it >= without - 1e-12


@settings(max_examples=40, deadline=None)
@given(anyform, schedules, days, st.integers(-700000, 700000))
def test_the_origin_of_days_does_not_matter(form, schedule, ahead, shift):
    here = remaining_ratio(day=schedule[-1] + ahead, stressed_on=tuple(schedule), **form)
    moved = tuple(pulled + shift for pulled in schedule)
    assert remaining_ratio(day=schedule[-1] + ahead + shift, stressed_on=moved, **form) == pytest.approx(here, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.02, 0.3), st.floats(0.3, 0.999))
def test_days_to_a_ratio_are_the_inverse_of_the_ratio_left(slope, kept):
    reached = days_to_ratio(form="logarithmic", kept_ratio=kept, log_slope_ratio=slope)
    if reached is not None and reached < 1e9:
        assert remaining_ratio(form="logarithmic", day=reached, log_slope_ratio=slope) == pytest.approx(kept, abs=1e-9)
    form = {"form": "exponential", "floor_ratio": 0.25, "settle_days": 200.0}
    reached = days_to_ratio(kept_ratio=kept, **form)
    assert remaining_ratio(day=reached, **form) == pytest.approx(kept, abs=1e-9)


def test_steeper_loss_leaves_less():
    left = [remaining_ratio(form="logarithmic", day=900.0, log_slope_ratio=a) for a in (0.0, 0.08, 0.13, 0.18, 0.6)]
    assert left == sorted(left, reverse=True)
    assert left[0] == 1.0 and left[-1] == 0.0  # 1 - 0.6 log10(901) is below nothing


@pytest.mark.parametrize(
    "wrong",
    [
        {"form": "linear", "day": 1.0},
        {"form": "logarithmic", "day": 1.0},
        {"form": "logarithmic", "day": -1.0, "log_slope_ratio": 0.1},
        {"form": "logarithmic", "day": 1.0, "log_slope_ratio": math.nan},
        {"form": "logarithmic", "day": 1.0, "log_slope_ratio": 0.1, "stressed_on": ()},
        {"form": "logarithmic", "day": 1.0, "log_slope_ratio": 0.1, "stressed_on": (0.0, 2.0)},
        {"form": "exponential", "day": 1.0, "floor_ratio": 0.5, "settle_days": 0.0},
        {"form": "exponential", "day": 1.0, "floor_ratio": 1.2, "settle_days": 9.0},
    ],
)
def test_what_is_outside_is_refused_in_words(wrong):
    with pytest.raises(OutsideValidity, match="outside the range"):
        remaining_ratio(**wrong)
