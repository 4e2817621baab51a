"""Limit states of stressed spans by hand: pressure, bars, anchorages.

Formulas: EM 7700-8 chapter 9, AASHTO Guide Specification 1991, LRFD 9.9.5.6 (memory); the arithmetic stands in each
test. Deck of worked example D3: t 12 in, bars at 48 in, 16 ft wide.
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.mechanics.bars import pressure_worth
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.rating import RatingPolicy, find_design_value
from inventory.mechanics.rating.hardware import BarHardware
from inventory.mechanics.rating.pressed import TransverseDemand, interface_check, pressed_checks
from inventory.mechanics.rating.pressed_span import span_pressed_checks
from tests.unit.mechanics.spans import stressed_span, stringer_span
from tests.unit.mechanics.test_stressed_beams import beam_span

OAK = find_design_value(species="Red oak", grade="No.1", size_class="dimension, 2 to 4 in thick")
BARS = BarHardware(
    spacing_in=48.0, thickness_in=12.0, net_area_in2=0.85, plate_width_in=8.0, plate_height_in=10.0, nut_plate_in=4.0
)

CASE_A = TransverseDemand(
    moment_inlb_in=746.0, shear_lb_in=139.2, thickness_in=12.0, vehicle="HS20", source="plate, bare tire prints"
)


def checks_of(pressure_psi: float = 60.0, demand=None, hardware=BARS, policy=None, **changes):
    case = stressed_span(pressure_psi=pressure_psi, **changes)
    case = replace(case, bars=replace(case.bars, hardware=hardware))
    worth = pressure_worth(
        pressure_psi=pressure_psi,
        needed_psi=case.bars.needed_pressure_psi,
        full_length=True,
        interconnected=False,
    )
    found = pressed_checks(case=case, policy=policy or RatingPolicy(), worth=worth, demand=demand)
    return {check.name: check for check in found}


def test_gap_and_slip_of_the_worked_deck():
    """Case A of the plate page (memory, arithmetic computed): 6 x 746/144 = 31.1; 1.5 x 139.2/(0.35 x 12) = 49.7."""
    found = checks_of(pressure_psi=45.0, demand=CASE_A)
    gap, slip = found["No gap at the soffit, HS20"], found["No slip between laminations, HS20"]
    assert gap.demand == pytest.approx(31.1, abs=0.05) and gap.holds
    assert slip.demand == pytest.approx(49.7, abs=0.05) and slip.holds is False
    assert "HS20" in slip.told and "50 psi" in slip.told
    assert slip.ratio == pytest.approx(49.714 / 45, rel=1e-4)


def test_rough_laminations_slip_later():
    """mu 0.45: 1.5 x 139.2/(0.45 x 12) = 38.7 psi."""
    case = stressed_span(pressure_psi=45.0)
    case = replace(case, bars=replace(case.bars, surface="rough"))
    worth = pressure_worth(pressure_psi=45.0, needed_psi=None, full_length=True, interconnected=False)
    found = {c.name: c for c in pressed_checks(case=case, policy=RatingPolicy(), worth=worth, demand=CASE_A)}
    assert found["No slip between laminations, HS20"].demand == pytest.approx(38.67, abs=0.005)


def test_bars_of_the_worked_deck():
    """60 psi x 48 x 12 = 34,560 lb on 0.85 in2 = 40,659 psi; first 2.5 x 40 = 100 psi: 57,600 lb, 67,765 psi.

    Limit 0.70 x 150,000 = 105,000 psi; steel 0.85/576 = 0.001476 of the wood, allowed 0.0016.
    """
    found = checks_of(60.0)
    assert found["Bar stress standing"].demand == pytest.approx(40658.8, abs=0.1)
    assert found["Bar stress while stressing"].demand == pytest.approx(67764.7, abs=0.1)
    assert found["Bar stress standing"].limit == pytest.approx(105000)
    assert found["Steel to wood"].demand == pytest.approx(0.0014757, abs=1e-7)
    assert found["Steel to wood"].holds


def test_a_design_force_above_the_bar_limit_is_told():
    """0.70 x 150 x 0.85 = 89.25 kip: 90,000 lb is above it."""
    found = checks_of(60.0, hardware=replace(BARS, design_force_lb=90000.0))
    assert found["Bar stress while stressing"].holds is False
    assert "0.70 f_pu" in found["Bar stress while stressing"].told
    assert checks_of(60.0, hardware=replace(BARS, design_force_lb=89249.0))["Bar stress while stressing"].holds


def test_anchorage_bearing_on_fir_and_on_oak():
    """57,600/80 = 720 psi; wet C_M 0.67 (NDS Table 4A, checked-2nd): fir 625 x 0.67 = 418.75, red oak 820 x 0.67."""
    fir = checks_of(60.0)["Anchorage bearing on the edge"]
    assert (fir.demand, fir.limit) == (pytest.approx(720.0), pytest.approx(418.75))
    assert fir.holds is False and "edge lamination not on record" in fir.formula
    oak = checks_of(60.0, hardware=replace(BARS, edge_material=OAK))["Anchorage bearing on the edge"]
    assert oak.limit == pytest.approx(OAK.fc_perp_psi * 0.67)
    assert OAK.fc_perp_psi > 625


def test_plate_thickness():
    """k = (10 - 4)/2 = 3; sqrt(3 x 720 x 9/(0.55 x 36,000)) = 0.991 in."""
    steel = replace(BARS, yield_psi=36000.0, plate_thickness_in=1.0)
    found = checks_of(60.0, hardware=steel)["Plate thickness"]
    assert found.demand == pytest.approx(sqrt(3 * 720 * 9 / 19800)) == pytest.approx(0.991, abs=0.0005)
    assert found.holds
    unknown = checks_of(60.0, hardware=replace(steel, plate_thickness_in=None))["Plate thickness"]
    assert unknown.holds is None and "needs 0.99 in" in unknown.told


def test_channel_serves_one_bar_over_its_length():
    """12 in deep channel over 48 in: 57,600/576 = 100 psi; 60 in of it for each bar at 48 in is too much."""
    channel = replace(BARS, plate_width_in=None, channel_height_in=12.0, channel_length_in=48.0)
    found = checks_of(60.0, hardware=channel)
    assert found["Anchorage bearing on the edge"].demand == pytest.approx(100.0)
    assert found["Channel length for one bar"].holds
    longer = checks_of(60.0, hardware=replace(channel, channel_length_in=60.0))
    assert longer["Channel length for one bar"].holds is False


def test_crushing_over_an_eighth_is_flagged():
    assert checks_of(60.0, hardware=replace(BARS, crushed_in=0.125))["Crushing under a plate"].holds
    deeper = checks_of(60.0, hardware=replace(BARS, crushed_in=0.25))["Crushing under a plate"]
    assert deeper.holds is False and "0.25 in" in deeper.told


def test_what_is_not_on_record_is_not_held():
    bare = checks_of(60.0, hardware=replace(BARS, plate_width_in=None))["Anchorage bearing on the edge"]
    assert bare.holds is None and bare.ratio is None and "not on record" in bare.told
    assert set(checks_of(60.0, hardware=None)) == {"Pressure needed", "Least pressure in service"}


def test_no_pressure_holds_nothing():
    found = checks_of(0.0)
    assert found["Least pressure in service"].holds is False
    assert found["Least pressure in service"].ratio is None


@pytest.mark.parametrize(
    "bad", [{"net_area_in2": 0.0}, {"spacing_in": 0.0}, {"design_force_lb": -1.0}, {"crushed_in": float("nan")}]
)
def test_impossible_hardware_is_refused_in_words(bad):
    with pytest.raises(OutsideValidity, match="outside the range"):
        checks_of(60.0, hardware=replace(BARS, **bad))


@given(st.floats(1.0, 150.0), st.floats(1.0, 1.5))
def test_more_pressure_never_breaks_a_pressure_check(pressure, times):
    for name, check in checks_of(pressure, CASE_A).items():
        more = checks_of(pressure * times, CASE_A)[name]
        if check.unit == "psi" and "bear" not in name and "Bar" not in name:
            assert more.holds or not check.holds


def test_interface_need_is_in_proportion():
    """V slip 12,350 lb at 86.3 psi: 10,000 lb need 86.3 x 10,000/12,350 = 69.9 psi, at whatever pressure it is seen."""
    common = {"member": "web", "shears_lb": {"H15": 10000.0, "TYPE3": 9000.0}}
    low = interface_check(**common, probe_psi=43.15, slip_lb=6175.0, standing_psi=60.0)
    high = interface_check(**common, probe_psi=86.3, slip_lb=12350.0, standing_psi=86.3)
    assert low.demand == pytest.approx(69.88, abs=0.01)
    assert high.demand == pytest.approx(69.88, abs=0.01)
    assert high.holds and low.holds is False
    assert "H15" in low.told and "TYPE3" in low.told


def test_friction_on_the_webs_of_a_whole_span():
    """D4 by hand (model): H15 on 40 ft puts 8,373 lb on a web, which needs 58.5 psi; at 60 psi it holds, at 50 not."""
    for psi, holds in ((60.0, True), (50.0, False), (0.0, False)):
        found = span_pressed_checks(case=beam_span(psi), policy=RatingPolicy(), vehicles=("H15",))
        (friction,) = [check for check in found if check.name.startswith("No slip of web")]
        assert friction.demand == pytest.approx(58.5, abs=0.05)
        assert friction.holds is holds


def test_a_span_says_gap_and_slip_under_its_worst_vehicle():
    """The need that the rating uses is the larger of gap, slip and the floor of the same list."""
    case = stressed_span(pressure_psi=60.0)
    found = {c.name: c for c in span_pressed_checks(case=case, policy=RatingPolicy(), vehicles=("H15", "EV3"))}
    gap, slip = (
        next(c for name, c in found.items() if name.startswith(word)) for word in ("No gap", "No slip between")
    )
    assert found["Pressure needed"].demand == pytest.approx(max(gap.demand, slip.demand, 40.0))
    assert gap.demand > 0 and slip.demand > 0


def test_a_span_without_bars_has_no_such_checks():
    assert span_pressed_checks(case=stringer_span(), policy=RatingPolicy(), vehicles=("H15",)) == ()
