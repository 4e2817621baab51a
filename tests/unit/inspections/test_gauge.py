"""Pressure to force, repeats, what cannot be and what is asked about; arithmetic shown beside each number."""

from datetime import date

import pytest

from inspections.rules.gauge import BarKnown, Gauge, Repeats, beyond_gauge, impossible, questions
from inspections.vocabulary.findings import ForceMethod
from inventory.mechanics.bars import jack_pressure_psi

RAM = Gauge(name="Jack 1", ram_area_in2=12.8, efficiency=1.0, capacity_lb=120_000, gauge_most_psi=10_000)
BAR = BarKnown(net_area_in2=0.85, tensile_psi=150_000, last_lb=45_000, last_on=date(2026, 5, 3))


def asked(*forces, bar=BAR, method="lift_off", in_psi=False, jack=None, jacks=(RAM,), within=5.0):
    read = Repeats(forces_lb=forces)
    return questions(read, bar, method=method, in_psi=in_psi, jack=jack, jacks=jacks, repeat_within_pct=within)


@pytest.mark.parametrize(
    ("psi", "efficiency", "force"),
    [
        (4500, 1.0, 57_600),  # 4,500 x 12.8: the worked deck of 48 in by 12 in at 100 psi (F = N s t, statics)
        (4500, 0.95, 54_720),  # 57,600 x 0.95
        (0, 0.95, 0),
    ],
)
def test_pressure_to_force_by_arithmetic(psi, efficiency, force):
    gauge = Gauge(name="J", ram_area_in2=12.8, efficiency=efficiency)
    assert gauge.force_lb(psi) == pytest.approx(force)
    assert jack_pressure_psi(force_lb=force, ram_area_in2=12.8, efficiency=efficiency) == pytest.approx(psi)


def test_limits_of_a_one_inch_bar():
    """ASTM A722 bar of 1 in (0.85 in2, 150 ksi, memory): 0.70 x 150,000 x 0.85 = 89,250 lb; strength 127,500 lb."""
    assert BAR.limit_lb == pytest.approx(89_250)
    assert BAR.strength_lb == pytest.approx(127_500)


def test_repeats_keep_all_and_show_mean_lowest_and_spread():
    """Arithmetic: (40 + 42 + 41)/3 = 41 thousand; (42 - 40)/41 = 4.88 percent."""
    read = Repeats(forces_lb=(40_000, 42_000, 41_000))
    assert read.mean_lb == pytest.approx(41_000) and read.least_lb == 40_000
    assert read.spread_pct == pytest.approx(100 * 2 / 41)
    for said in ("40,000", "42,000", "mean 41,000", "lowest 40,000", "4.9 %"):
        assert said in read.words
    assert Repeats(forces_lb=(40_000,)).words == "" and Repeats(forces_lb=(0.0, 0.0)).spread_pct == 0.0


def test_repeats_within_five_percent_are_accepted_and_wider_ones_asked_about():
    """Five percent: lift-off readings in practice (common practice, no source)."""
    assert asked(40_000, 42_000) == []  # 2/41 = 4.9 percent
    (sentence,) = asked(40_000, 42_100)  # 2.1/41.05 = 5.1 percent
    assert "5.1 percent apart" in sentence
    assert asked(40_000, 42_100, within=6.0) == []


@pytest.mark.parametrize("forces", [(-1.0,), (40_000, -0.5), (float("nan"),), (float("inf"),), (127_501.0,)])
def test_what_cannot_be_is_refused(forces):
    assert impossible(Repeats(forces_lb=forces), BAR)


@pytest.mark.parametrize("force", [0.0, 89_250.0, 127_500.0])
def test_up_to_the_strength_of_the_bar_a_reading_can_be(force):
    assert impossible(Repeats(forces_lb=(force,)), BAR) == ""


def test_above_the_bars_limit_is_asked_about_at_once():
    assert asked(60_000, bar=BarKnown(net_area_in2=0.85, tensile_psi=150_000)) == []
    (sentence,) = asked(89_300, bar=BarKnown(net_area_in2=0.85, tensile_psi=150_000))
    assert "89,250" in sentence and "engineer" in sentence


def test_a_pressure_typed_as_a_force_is_asked_about():
    """4,500 lb against 45,000 expected; 4,500 psi on a ram of 12.8 in2 is 57,600 lb, which the bar can hold."""
    (sentence,) = asked(4500)
    assert "57,600" in sentence and "psi" in sentence
    assert asked(4500, in_psi=True, jack=RAM)[0].startswith("4,500 lb is 90% less"), "typed as psi it is another matter"


def test_no_jack_on_record_still_notices_a_pressure():
    (sentence,) = asked(4500, jacks=())
    assert "gauge pressure" in sentence


def test_a_pressure_between_laminations_typed_as_a_force_is_asked_about():
    """90 psi x 48 in x 12 in = 51,840 lb, near the 45,000 lb expected."""
    bar = BarKnown(net_area_in2=0.85, tensile_psi=150_000, last_lb=45_000, spacing_in=48, thickness_in=12)
    assert any("51,840" in sentence for sentence in asked(90, bar=bar))


def test_a_load_cell_shows_no_pressure_and_a_loose_bar_no_question():
    assert all("psi" not in sentence for sentence in asked(4500, method=ForceMethod.LOAD_CELL))
    assert asked(0.0, method=ForceMethod.HAND_LOOSE) == []


@pytest.mark.parametrize(
    ("force", "pulled", "asks"),
    [
        (22_500, False, False),  # exactly half of 45,000
        (22_400, False, True),
        (67_500, False, False),  # half more
        (67_600, False, True),
        (67_600, True, False),  # it was pulled for that
        (20_000, True, True),  # a fall after a pull is asked about all the same
    ],
)
def test_a_jump_of_more_than_half_is_asked_about(force, pulled, asks):
    bar = BarKnown(
        net_area_in2=0.85, tensile_psi=150_000, last_lb=45_000, last_on=date(2026, 5, 3), pulled_since=pulled
    )
    assert bool(asked(force, bar=bar)) is asks


def test_beyond_the_end_of_the_gauge_is_refused_and_the_capacity_asked_about():
    assert "10,000" in beyond_gauge([57_600], RAM) and beyond_gauge([10_000], RAM) == ""
    assert beyond_gauge([57_600], Gauge(name="J", ram_area_in2=12.8, efficiency=1.0)) == ""
    small = Gauge(name="J", ram_area_in2=5.0, efficiency=1.0, capacity_lb=50_000)
    assert any("capacity" in sentence for sentence in asked(50_001, jack=small))
    assert asked(50_000, jack=small) == []
