"""Order of setting, holds and checks of common practice.

The order outward from a reference beam and the practice values are common practice, no source; askew lifts follow from
statics: a uniform beam hangs level when its middle lies midway between its lift points.
"""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.rules.refusals import Refused
from inventory.rules.setting import (
    HOLDS,
    StepState,
    asks_of,
    centred_places,
    is_tall,
    list_faults,
    open_before,
    order_faults,
    proposed_steps,
    setting_order,
)
from inventory.rules.setting_checks import (
    Beam,
    bottom_bar_sentences,
    lift_sentences,
    pass_sentences,
    place_sentences,
    surfacing_sentences,
)

DAY = date(2026, 6, 1)


def test_the_order_goes_outward_in_turn():
    assert setting_order([-2, -1, 0, 1, 2]) == [0, 1, -1, 2, -2]
    assert setting_order(centred_places(4)) == [0, 1, -1, 2]


@given(st.integers(min_value=1, max_value=60))
def test_at_every_moment_the_beams_set_stand_side_by_side_and_balanced(count):
    """Law: after each beam the set ones fill a stretch about the centre line, one longer on one side at the most."""
    order = setting_order(centred_places(count))
    assert sorted(order) == centred_places(count)
    for number in range(1, count + 1):
        standing = sorted(order[:number])
        assert standing == list(range(standing[0], standing[0] + number))
        assert abs(standing[0] + standing[-1]) <= 1


def steps_of(**more):
    given = dict(system="stress_laminated_t", beams=[(0, "A"), (1, "B"), (-1, "C")], tall=True, passes=2,
                 each_beam=True, surfacing="better")  # fmt: skip
    return proposed_steps(**(given | more))


def test_the_checklist_keeps_the_order_of_the_trade():
    keys = [step.key for step in steps_of()]
    assert keys == [
        "delivered", "reference", "beam+1", "beam-1", "tied", "aligned", "bars", "pass-1", "pass-2", "stressed",
        "fastened", "rail", "tack", "thin_lift", "membrane", "final_lift", "opening",
    ]  # fmt: skip
    assert {step.key for step in steps_of() if step.is_hold} == set(HOLDS)


def test_one_step_for_all_further_beams_and_none_where_there_are_none():
    keys = [step.key for step in steps_of(each_beam=False, tall=False, surfacing="least")]
    assert keys[2:4] == ["beams", "aligned"] and "tied" not in keys
    assert [key for key in keys if key in ("tack", "thin_lift", "membrane", "final_lift")] == ["tack", "final_lift"]
    assert not [step for step in steps_of(beams=[(0, "A")], each_beam=False) if step.key.startswith("beam")]


def test_a_span_without_bars_has_no_stressing():
    keys = {step.key for step in steps_of(system="glulam_panel", passes=0)}
    assert not keys & {"aligned", "bars", "pass-1", "stressed"}


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"beams": [(1, "A")]}, "place 0"),
        ({"beams": []}, "place 0"),
        ({"passes": 0}, "from 1 to 8"),
        ({"passes": 9}, "from 1 to 8"),
        ({"surfacing": "paint"}, "among those listed"),
    ],
)
def test_a_checklist_is_refused_in_words(more, words):
    with pytest.raises(Refused, match=words):
        steps_of(**more)


def test_what_a_step_asks():
    assert asks_of("pass-3") == "force_lb" and asks_of("final_lift") == "thickness_in" and asks_of("beams") == "count"
    assert asks_of("tack") == asks_of("reference") == asks_of("beam+2") == asks_of("opening") == ""


def test_tall_is_every_t_beam_and_what_is_deeper_than_wide():
    assert is_tall(system="stress_laminated_t", depth_in=None, width_in=None)
    assert is_tall(system="glulam_stringer", depth_in=36, width_in=9)
    assert not is_tall(system="glulam_panel", depth_in=10, width_in=48)
    assert not is_tall(system="stress_laminated", depth_in=14, width_in=None)


def line(order, done=None, hold=False, reason=""):
    return StepState(order=order, title=f"step {order}", is_hold=hold, done_on=done, passed_over_reason=reason)


def test_earlier_steps_are_open_until_done_by_that_day_or_passed_over():
    steps = [
        line(1, DAY),
        line(2, DAY + timedelta(days=3), hold=True),
        line(3),
        line(4, reason="crane gone"),
        line(5),
        line(6),
    ]
    assert [step.order for step in open_before(steps, 5, DAY)] == [2, 3]
    assert [step.order for step in open_before(steps, 5, DAY + timedelta(days=3))] == [3]
    assert open_before(steps, 2, DAY) == []


def test_a_hold_is_named_first_and_needs_person_and_reason():
    open_steps = [line(2), line(3, hold=True)]
    faults = order_faults(open_steps=open_steps, by="", reason=" ")
    assert set(faults) == {"passed_over_by", "passed_over_reason"}
    assert "the hold 'step 3' and 1 more" in faults["passed_over_reason"]
    assert set(order_faults(open_steps=open_steps, by="P. Stell", reason="")) == {"passed_over_reason"}
    assert set(order_faults(open_steps=open_steps, by="", reason="river rising")) == {"passed_over_by"}
    assert order_faults(open_steps=open_steps, by="P. Stell", reason="river rising") == {}
    assert order_faults(open_steps=[], by="", reason="") == {}


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"mark": " "}, "mark", "as it is painted"),
        ({"place": None}, "place", "0, 1, -1"),
        ({"weight_lb": 0}, "weight_lb", "above 0"),
        ({"weight_lb": -5}, "weight_lb", "above 0"),
        ({"length_ft": float("nan")}, "length_ft", "above 0"),
        ({"lift_second_ft": 41}, "lift_second_ft", "off a beam of 40 ft"),
        ({"lift_second_ft": 8}, "lift_second_ft", "beyond the first"),
    ],
)
def test_a_line_of_the_delivery_list_is_refused_in_words(change, field, words):
    row = {"mark": "A", "place": 0, "length_ft": 40, "weight_lb": 3000, "lift_first_ft": 8, "lift_second_ft": 32}
    assert list_faults([row]) == {}
    assert words in list_faults([row | change])[0][field]


def test_no_mark_and_no_place_comes_twice():
    rows = [{"mark": "A", "place": 0}, {"mark": "A", "place": 1}, {"mark": "B", "place": 0}]
    faults = list_faults(rows)
    assert set(faults) == {1, 2} and "Line 1" in faults[1]["mark"] and "Line 1" in faults[2]["place"]


def test_total_weight_and_heaviest_lift():
    beams = [
        Beam(mark="A", place=0, weight_lb=3000),
        Beam(mark="B", place=1, weight_lb=3250.5),
        Beam(mark="C", place=2),
    ]
    said = lift_sentences(beams)
    # 3,000 + 3,250 = 6,250
    assert "6,250 lb" in said[0] and "3,250 lb (beam B)" in said[0] and "for C" in said[1]


def test_a_beam_hangs_askew_where_its_lift_points_are_not_about_its_middle():
    level = Beam(mark="A", place=0, length_ft=40, weight_lb=1, lift_first_ft=8, lift_second_ft=32)
    # (8 + 36) / 2 = 22, two feet off the middle at 20
    askew = Beam(mark="B", place=1, length_ft=40, weight_lb=1, lift_first_ft=8, lift_second_ft=36)
    assert len(lift_sentences([level])) == 1
    assert "beam B lie 2.0 ft off" in lift_sentences([level, askew])[1]


def test_practice_values_speak_only_outside():
    """About 20,000 lb a pass and a repeated sequence: common practice, no source."""
    assert pass_sentences(pass_forces_lb=[20000, 20000], passes_planned=2, target_force_lb=20000) == []
    assert "One pass" in pass_sentences(pass_forces_lb=[], passes_planned=1, target_force_lb=None)[0]
    assert "43,200" in pass_sentences(pass_forces_lb=[43200], passes_planned=3, target_force_lb=None)[0]
    above = pass_sentences(pass_forces_lb=[22000], passes_planned=3, target_force_lb=20000)
    assert len(above) == 1 and "above the 20,000 lb" in above[0]


def test_bottom_bars_every_twenty_feet():
    """About every 20 ft: common practice, no source. 0 to 20 to 40 ft leaves 20 ft; 0 to 10 to 40 leaves 30."""
    assert bottom_bar_sentences(system="stress_laminated_t", span_ft=40, bottom_stations_ft=[20]) == []
    assert "30 ft" in bottom_bar_sentences(system="stress_laminated_t", span_ft=40, bottom_stations_ft=[10])[0]
    assert "No bottom bar" in bottom_bar_sentences(system="stress_laminated_t", span_ft=40, bottom_stations_ft=[])[0]
    assert bottom_bar_sentences(system="stress_laminated", span_ft=40, bottom_stations_ft=[]) == []


def test_surfacing_is_judged_when_the_list_is_complete():
    """2 to 5 in of asphalt, a final lift of 2 to 3 in, a membrane: common practice, no source."""
    good = {"thin_lift": 1.0, "final_lift": 2.5}
    assert surfacing_sentences(laid_in=good, has_membrane=True, has_tack=True, is_complete=True) == []
    assert surfacing_sentences(laid_in={"thin_lift": 1.0}, has_membrane=False, has_tack=True, is_complete=False) == []
    thick = surfacing_sentences(laid_in={"thin_lift": 2, "final_lift": 4}, has_membrane=True, has_tack=True,
                                is_complete=True)  # fmt: skip
    assert "final lift is 4 in" in thick[0] and "6 in of asphalt" in thick[1]
    bare = surfacing_sentences(laid_in={"final_lift": 1.5}, has_membrane=False, has_tack=False, is_complete=True)
    assert [("1.5 in" in bare[0]), ("tack" in bare[1]), ("membrane" in bare[2])] == [True] * 3


def test_missing_places_are_told():
    assert place_sentences([-1, 0, 2]) == ["No beam is entered for the place +1."]
    assert place_sentences([]) == place_sentences([0, 1, -1]) == []
