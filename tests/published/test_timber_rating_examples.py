"""Whole ratings against worked examples whose steps are shown; marks are those of the examples.

The examples (computed by hand calculation from the rules named in each test) combine the largest dead with the
largest live moment. The kernel takes both at one section and searches for the worst, which lies up to 0.5 % above
that combination and never below it. Whole inputs are read from the files in ``examples``, as a county's own would be.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from inventory.mechanics.rating import RatingPolicy, SectionLoss, rate_span
from tests.published.examples import span_of
from tests.unit.mechanics.spans import DF_GLULAM, factor, stressed_span, stringer_span

SAWN = span_of("sawn-stringers-18-ft")
GLULAM = span_of("glulam-stringers-40-ft")
STRESSED = span_of("stressed-deck-24-ft")

# D1: vehicle, inventory bending and shear, operating bending and shear (computed).
D1 = [
    ("H15", 1.032, 2.281, 1.399, 3.062),
    ("HS20", 0.774, 1.711, 1.050, 2.296),
    ("TYPE3", 0.922, 1.879, 1.250, 2.522),
    ("TYPE3S2", 1.011, 2.060, 1.371, 2.766),
    ("TYPE3-3", 1.119, 2.281, 1.518, 3.062),
    ("SU4", 0.799, 1.681, 1.084, 2.256),
    ("SU5", 0.778, 1.624, 1.055, 2.180),
    ("SU6", 0.756, 1.624, 1.026, 2.180),
    ("SU7", 0.756, 1.624, 1.026, 2.180),
    ("EV2", 0.739, 1.634, 1.003, 2.194),
    ("EV3", 0.505, 1.030, 0.686, 1.383),
]


def no_lower_and_close(found: float, combined: float) -> bool:
    """The search is never below the combination of maxima (printing apart) and at most 0.5 % above."""
    return combined - 0.0006 <= found <= combined * 1.005 + 0.0006


@pytest.mark.parametrize(("vehicle", "inv_m", "inv_v", "op_m", "op_v"), D1)
def test_sawn_stringer_bridge(vehicle, inv_m, inv_v, op_m, op_v):
    """Allowable stress rating of 6x16 stringers, 18 ft; rules MBE 6B, Std Spec 3.23, 13.6.5 (memory), computed."""
    rating = rate_span(SAWN, vehicles=(vehicle,))
    assert no_lower_and_close(factor(rating, vehicle, "bending"), inv_m)
    assert no_lower_and_close(factor(rating, vehicle, "bending", "operating"), op_m)
    assert factor(rating, vehicle, "shear") == pytest.approx(inv_v, abs=0.0006)
    assert factor(rating, vehicle, "shear", "operating") == pytest.approx(op_v, abs=0.0006)


def test_sawn_stringer_bridge_step_by_step():
    """Same example, intermediate values by arithmetic: F_b' = 1350 (12/16)^(1/9) 1.15, F_v' = 170 x 1.15."""
    rating = rate_span(SAWN, vehicles=("HS20",))
    bending = next(r for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
    assert bending.capacity == pytest.approx(1350 * (12 / 16) ** (1 / 9) * 1.15 * 256 / 12)
    assert bending.dead_effect == pytest.approx((6 * 16 / 144 * 50 + 3 / 12 * 50 * 2) * 18**2 / 8)
    assert bending.lane_effect == pytest.approx(32000 * 18 / 4)
    assert bending.live_effect == pytest.approx(144000 * 2 / 3.75 / 2)
    shear = next(r for r in rating.results if r.limit_state == "shear" and r.level == "inventory")
    assert shear.capacity == pytest.approx(170 * 1.15 * 64)
    assert shear.dead_effect == pytest.approx(58.3333 * (9 - 16 / 12), rel=1e-5)
    assert shear.live_effect == pytest.approx(7052, abs=1)


def test_sawn_stringer_bridge_is_quoted_as_hs():
    """HS(20 RF): 20 x 0.774 = 15.5 (arithmetic on the example)."""
    rating = rate_span(SAWN, vehicles=("HS20",))
    assert rating.hs_inventory == pytest.approx(20 * 0.774, abs=0.02)
    assert rating.hs_operating == pytest.approx(20 * 1.050, abs=0.02)


def test_sawn_stringer_with_surface_decay_scales_with_the_section_modulus():
    """0.75 in off the top and 0.5 in off each side: S 193.80 of 256 in3 (computed); RF from (C - D)/L by hand."""
    losses = tuple(
        SectionLoss(kind="surface", face=face, depth_in=depth, from_ft=0, to_ft=18)
        for face, depth in (("top", 0.75), ("left", 0.5), ("right", 0.5))
    )
    policy = RatingPolicy(transition_in=0.0)
    rating = rate_span(stringer_span(losses=losses), vehicles=("HS20",), policy=policy)
    capacity = 1350 * (12 / 16) ** (1 / 9) * 1.15 * 193.80 / 12
    assert factor(rating, "HS20", "bending") == pytest.approx((capacity - 2362.5) / 38400, abs=0.0005)


def test_glulam_stringer_bridge():
    """D2 (computed): HS20 bending inventory 0.883, operating 1.290; shear 3.163 and 4.348."""
    rating = rate_span(GLULAM, vehicles=("HS20",))
    assert no_lower_and_close(factor(rating, "HS20", "bending"), 0.883)
    assert no_lower_and_close(factor(rating, "HS20", "bending", "operating"), 1.290)
    assert factor(rating, "HS20", "shear") == pytest.approx(3.163, abs=0.001)
    assert factor(rating, "HS20", "shear", "operating") == pytest.approx(4.348, abs=0.001)


def test_glulam_stringer_bridge_bends_more_than_the_limit():
    """D2 (computed): HS20 truck bends the girder 1.211 in = L/396, which is flagged above L/425."""
    rating = rate_span(GLULAM, vehicles=("HS20",))
    (step,) = [s for heading in rating.trace for s in heading.steps if s.symbol == "delta HS20"]
    assert step.value == pytest.approx(1.211, abs=0.001)
    assert any("L/396" in note for note in rating.notes)


# D3: vehicle, inventory, operating (computed).
D3 = [("H15", 1.687, 2.341), ("HS20", 1.343, 1.863), ("TYPE3", 1.323, 1.836), ("SU7", 0.958, 1.329)]


@pytest.mark.parametrize(("vehicle", "inventory", "operating"), D3)
def test_stress_laminated_deck(vehicle, inventory, operating):
    """D_w = b_t + 2 t and C_LS 1.50, AASHTO Guide Specification 1991 (memory); factors computed."""
    rating = rate_span(STRESSED, vehicles=(vehicle,))
    assert no_lower_and_close(factor(rating, vehicle, "bending"), inventory)
    assert no_lower_and_close(factor(rating, vehicle, "bending", "operating"), operating)


def test_stress_laminated_deck_wheel_width():
    """D3 (computed): HS20 D_w = 20.00 + 24 = 44.00 in, H15 41.32, Type 3 38.58."""
    rating = rate_span(STRESSED, vehicles=("HS20", "H15", "TYPE3"))
    widths = {
        r.vehicle: 12 / r.distribution_factor for r in rating.results if (r.limit_state, r.method) == ("bending", "ASR")
    }
    assert widths == pytest.approx({"HS20": 44.00, "H15": 41.32, "TYPE3": 38.58}, abs=0.005)


def test_slack_deck_loses_the_stressed_factor():
    """Arithmetic: below need 12 in laminations take D_w = b_t + t = 32 in and C_r 1.15 for 44 in and 1.50."""
    loose = rate_span(stressed_span(pressure_psi=30.0), vehicles=("HS20",))
    capacity = 1000 * 1.15 * 1.15 * 288 / 12
    live = 192700 / 2 * 12 / 32
    expected = (capacity - 85 * 24**2 / 8) / live
    assert factor(loose, "HS20", "bending") == pytest.approx(expected, rel=0.004)


def test_replacing_the_grade_changes_the_factor_in_proportion():
    """Law: without dead load RF is proportional to F_b; here the capacity is, C_F C_M being the same."""
    better = replace(DF_GLULAM, fb_psi=DF_GLULAM.fb_psi * 1.1)
    base = rate_span(GLULAM, vehicles=("HS20",))
    case = GLULAM
    more = rate_span(replace(case, members=(replace(case.members[0], material=better),)), vehicles=("HS20",))
    one, two = (next(r.capacity for r in x.results if r.limit_state == "bending") for x in (base, more))
    assert two == pytest.approx(1.1 * one)


def test_tee_of_strand_lumber_transformed_section():
    """D4 (mechanics, shear lag a model): b_e 23.253 in, y bar 15.553 in, I 10,171 in4, Q of one side 223.8 in3."""
    rating = rate_span(span_of("stressed-t-40-ft"), vehicles=("TYPE3",))
    steps = {step.symbol: step.value for heading in rating.trace for step in heading.steps}
    found = [steps[symbol] for symbol in ("n", "b_e", "y bar", "I", "Q side")]
    assert found == pytest.approx([0.700, 23.253, 15.553, 10171.0, 223.8], rel=2e-4)
