"""What may be asked of a stressing day: each refusal at its field.

Outside: a bar's limit 0.70 x 150,000 psi x 0.85 in2 = 89,250 lb (EM 7700-8 chapter 9, ASTM A722, memory); pressure of a
bar F/(s t), statics: 57,600/(48 x 12) = 100 psi, the usual pressure at stressing (LRFD 9.9.5.6.3, memory).
"""

from dataclasses import replace
from datetime import date

import pytest

from inspections.rules.stressing.asked import DayAsked, asked_faults, order_faults, place_faults, standing_faults

TODAY = date(2026, 6, 15)
ROW = {
    "today": TODAY,
    "spacing_in": 48.0,
    "thickness_in": 12.0,
    "net_area_in2": 0.85,
    "tensile_psi": 150_000.0,
    "jacks": (1, 2, 3, 4, 5),
    "bar_numbers": (1, 2, 3, 4, 5, 6),
    "left_out": (),
}
GOOD = DayAsked(target_lb=57_600.0, target_source="design sheet", planned_for="2026-06-15", jack_ids=(1,))


def faults(**changed):
    return asked_faults(replace(GOOD, **changed), **ROW)


def fields(**changed):
    return [field for field, _sentence in faults(**changed)]


def test_what_is_right_is_not_refused():
    assert faults() == []


def test_a_target_needs_its_source():
    assert fields(target_source="  ") == ["target_source"]


@pytest.mark.parametrize(("target_lb", "is_refused"), [(89_250.0, False), (89_251.0, True), (200_000.0, True)])
def test_no_target_above_the_bars_limit(target_lb, is_refused):
    """The limit itself is allowed here: whether a jack's peak may go there is the kernel's to say."""
    assert ("target_lb" in fields(target_lb=target_lb)) is is_refused


def test_the_limit_is_named():
    assert "89,250 lb" in faults(target_lb=95_000.0)[0][1]


@pytest.mark.parametrize("target_lb", [57.6, 2_880.0, 8_000.0])
def test_a_pressure_or_kip_typed_for_a_force_is_asked_about(target_lb):
    """57.6 kip typed as lb, or 2,880 psi of the gauge (57,600/20 in2): 2,880/576 = 5 psi in the wood."""
    (field, sentence), *_ = faults(target_lb=target_lb)
    assert field == "target_lb" and "gauge pressure" in sentence and f"{target_lb / 576.0:.1f} psi" in sentence


@pytest.mark.parametrize("target_lb", [25_000.0, 80_000.0])
def test_usual_forces_are_not_asked_about(target_lb):
    """25,000 to 80,000 lb per bar: Ritter, Wacker and Duwadi 1995 (checked)."""
    assert faults(target_lb=target_lb) == []


def test_a_day_that_is_past_is_refused_and_none_is_not():
    assert fields(planned_for="2026-06-14") == ["planned_for"]
    assert fields(planned_for="") == []


@pytest.mark.parametrize(
    ("jack_ids", "said"),
    [((), "at least one jack"), ((1, 2, 3, 4, 5), "At most 4"), ((2, 2), "twice"), ((9,), "not among")],
)
def test_jacks(jack_ids, said):
    (field, sentence) = faults(jack_ids=jack_ids)[0]
    assert field == "jacks" and said in sentence


@pytest.mark.parametrize("losses", [(0.6,), (-0.1,), (0.1, 0.05, 0.02, 0.01)])
def test_measured_losses_are_parts_of_a_rise(losses):
    assert fields(neighbour_losses_ratio=losses) == ["neighbour_losses"]


@pytest.mark.parametrize("count", [0, 13])
def test_passes(count):
    assert fields(pass_count=count) == ["pass_count"]


@pytest.mark.parametrize(
    ("order", "said"),
    [
        ((3, 4, 2, 5, 1), "missing: 6"),
        ((3, 4, 2, 5, 1, 6, 7), "not in this plan: 7"),
        ((3, 3, 4, 2, 5, 1, 6), "twice: 3"),
        ((), "missing: 1, 2, 3, 4, 5, 6"),
    ],
)
def test_an_order_written_out_names_each_bar_once(order, said):
    (field, sentence) = faults(order="given", given_order=order)[0]
    assert field == "given_order" and said in sentence


def test_a_bar_left_out_is_not_in_the_order():
    asked = replace(GOOD, order="given", given_order=(1, 2, 3, 4, 5, 6))
    assert "not in this plan: 4" in order_faults(asked, (1, 2, 3, 4, 5, 6), (4,))[0][1]
    assert order_faults(replace(asked, given_order=(6, 5, 3, 2, 1)), (1, 2, 3, 4, 5, 6), (4,)) == []


def test_forces_entered_by_hand():
    told = dict(standing_faults({"1": -1.0, "2": 89_251.0, "3": 0.0, "9": 10.0}, (1, 2, 3), 89_250.0))
    assert set(told) == {"standing-1", "standing-2", ""}
    assert "never negative" in told["standing-1"] and "89,250" in told["standing-2"] and "no bar 9" in told[""]


def test_bars_at_one_place_or_off_the_deck():
    told = [sentence for _field, sentence in place_faults([(1, 2.0), (2, 2.0), (3, 30.0)], 24.0)]
    assert any("Bars 1, 2 stand at one place" in line for line in told)
    assert any("Bar 3 stands at 30 ft, off the deck" in line for line in told)
    assert place_faults([(2, 6.0), (1, 2.0)], 24.0) == []
