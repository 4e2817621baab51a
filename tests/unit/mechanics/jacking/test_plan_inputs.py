"""Bad input to a plan: refused with a sentence that names the bar or jack, or a plan that may not be used."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from inventory.mechanics.bars.jacking import JackKit, plan_stressing
from inventory.mechanics.errors import OutsideValidity
from tests.unit.mechanics.jacking.rows import bars_of, deck_of, jacks_of, plan_input

NAN, INFINITE = float("nan"), float("inf")


def with_bar(place: int, **changes):
    bars = list(bars_of())
    bars[place] = replace(bars[place], **changes)
    return tuple(bars)


@pytest.mark.parametrize(
    "wrong, words",
    [
        ({"bars": with_bar(3, station_in=10.0)}, "station of bar B4 is 10 in.*bars in order"),
        ({"bars": with_bar(3, station_in=120.0)}, "station of bar B4.*no two at one place"),
        ({"bars": with_bar(7, station_in=400.0)}, "station of bar B8 is 400 in"),
        ({"bars": with_bar(2, target_lb=0.0)}, "target of bar B3 is 0 lb"),
        ({"bars": with_bar(2, target_lb=-5.0)}, "target of bar B3 is -5 lb"),
        ({"bars": with_bar(2, target_lb=NAN)}, "target of bar B3 is nan"),
        ({"bars": with_bar(2, standing_lb=-1.0)}, "force of bar B3 is -1 lb"),
        ({"bars": with_bar(2, standing_lb=NAN)}, "force of bar B3"),
        ({"bars": with_bar(2, net_area_in2=0.0)}, "net bar area is 0 in2"),
        ({"bars": with_bar(2, tensile_psi=NAN)}, "bar tensile strength"),
        ({"bars": ()}, "number of bars is 0"),
        ({"bars": tuple(replace(bar, is_planned=False) for bar in bars_of())}, "every bar is set aside"),
        ({"jacks": ()}, "number of jacks is 0"),
        ({"jacks": jacks_of(5)}, "number of jacks is 5"),
        ({"jacks": jacks_of() * 2}, "jack names is two alike"),
        ({"jacks": jacks_of(ram_area_in2=0.0)}, "ram area is 0 in2"),
        ({"jacks": jacks_of(efficiency=1.2)}, "jack efficiency is 1.2"),
        ({"jacks": jacks_of(gauge_division_psi=0.0)}, "gauge division of Jack 1 is 0 psi"),
        ({"jacks": jacks_of(capacity_lb=-1.0)}, "capacity of Jack 1"),
        ({"order": "sideways"}, "stressing order is sideways"),
        ({"order": "given", "given_order": (0, 1)}, "every planned bar once"),
        ({"method": "guess"}, "method is guess"),
        ({"pass_count": 0}, "number of passes is 0"),
        ({"first_pass_ratio": 0.0}, "first pass is 0"),
        ({"first_pass_ratio": 1.5}, "first pass is 1.5"),
        ({"seating_in": -0.01}, "seating is -0.01"),
        ({"seating_in": INFINITE}, "seating"),
        ({"lift_off_ratio": 0.9}, "lift-off ratio is 0.9"),
        ({"reach_ratio": 1.0}, "reach is 1"),
        ({"plate_limit_lb": 0.0}, "plate limit is 0 lb"),
        ({"flange_limit_psi": NAN}, "flange limit"),
        ({"needed_psi": -40.0}, "needed pressure is -40 psi"),
        ({"deck": replace(deck_of(), e_transverse_psi=NAN)}, "transverse modulus"),
        ({"deck": replace(deck_of(), neighbour_losses_ratio=(0.3, 0.3))}, "neighbours cannot lose more"),
    ],
)
def test_input_that_is_no_row_is_refused_in_words(wrong, words):
    with pytest.raises(OutsideValidity, match=words):
        plan_stressing(plan_input(**wrong))


@pytest.mark.parametrize(
    "wish, words",
    [
        ({"bars": bars_of(target_lb=90000.0)}, r"target of bar B1, 90,000 lb, is above 89,250 lb"),
        ({"plate_limit_lb": 50000.0}, r"target of bar B1, 57,600 lb, is above 50,000 lb .*bearing limit"),
        ({"flange_limit_psi": 90.0}, r"is above 51,840 lb .*pressure limit of the deck"),
        ({"jacks": jacks_of(capacity_lb=50000.0)}, r"Jack 1 must show about 57,600 lb.*50,000 lb is the capacity"),
        ({"jacks": jacks_of(gauge_most_psi=4000.0)}, r"end of the gauge's scale"),
        ({"bars": bars_of(target_lb=88000.0)}, r"may peak at 92,400 lb with lift-off; 89,250 lb is 0.70"),
        ({"bars": bars_of(standing_lb=89300.0)}, r"Bar B1 stands at 89,300 lb, above 89,250 lb"),
        ({"plate_limit_lb": 60600.0, "seating_in": 0.1}, r"with the seating of the nut"),
    ],
)
def test_a_plan_that_would_pass_a_limit_is_refused_with_its_figures(wish, words):
    plan = plan_stressing(plan_input(**wish))
    assert not plan.is_usable and plan.pulls == () and plan.final_lb == plan.start_lb
    assert any(re.search(words, refusal) for refusal in plan.refusals), plan.refusals


def test_a_gauge_too_coarse_to_reach_is_refused():
    """A division of 3,000 psi is 37,250 lb: 57,600 lb rounds to 74,500, which the bar forbids with lift-off (68,000
    allowed by the plate), so 37,250 lb is all it can do."""
    plan = plan_stressing(plan_input(jacks=jacks_of(gauge_division_psi=3000.0), plate_limit_lb=70000.0))
    assert not plan.is_usable
    assert "more passes do not help" in plan.refusals[0]
    assert any("a finer gauge would come closer" in sentence for sentence in plan.sentences)


def test_a_number_of_passes_that_falls_short_is_told_not_refused():
    plan = plan_stressing(plan_input(method="equal_passes", pass_count=1))
    assert plan.is_usable and plan.least_ratio < 0.95
    assert any("less than the 95% asked for" in sentence for sentence in plan.sentences)
    enough = plan_stressing(plan_input(method="equal_passes"))
    assert f"{enough.pass_count} equal passes would reach 95%." in plan.sentences


def test_one_bar_only():
    plan = plan_stressing(plan_input(deck=deck_of(count=1), bars=bars_of(count=1)))
    assert plan.is_usable and len(plan.pulls) == 1
    assert any(sentence.startswith("One bar only") for sentence in plan.sentences)


def test_jacks_differ_and_each_bar_is_set_by_its_own():
    """Two jacks of other size: the same force is another reading."""
    small = JackKit(name="small", ram_area_in2=8.0, efficiency=1.0, gauge_division_psi=1.0)
    large = JackKit(name="large", ram_area_in2=16.0, efficiency=1.0, gauge_division_psi=1.0)
    plan = plan_stressing(plan_input(jacks=(small, large)))
    for pull in plan.pulls:
        first, second = pull.bars
        assert (first.jack, second.jack) == ("small", "large")
        assert first.set_lb == pytest.approx(8.0 * first.gauge_psi) and second.set_lb == pytest.approx(
            16.0 * second.gauge_psi
        )
