"""Factors and shares: table boundaries, laws, refusals."""

from __future__ import annotations

import pytest

from inventory.mechanics.distribution import (
    exterior_lever,
    exterior_share,
    interior_lever,
    interior_share,
    loose_deck_width_in,
    panel_bending_share,
    panel_shear_share,
    tire_width_in,
    wood_shear_lb,
)
from inventory.mechanics.errors import OutsideValidity
from inventory.mechanics.material import (
    MakerWetFactors,
    Service,
    Use,
    beam_stability_factor,
    bending_stress,
    modulus,
    shear_stress,
)
from inventory.mechanics.rating import DESIGN_VALUES, find_design_value
from inventory.mechanics.tables.design_values import next_lower_grade
from tests.unit.mechanics.spans import DF_DIMENSION, DF_GLULAM, DF_TIMBER, PANEL_GLULAM

DRY, WET = Service(wet=False), Service(wet=True)
SP_2 = find_design_value(species="Southern pine", grade="No.2", size_class="dimension, 12 in nominal width")
SP_TIMBER = find_design_value(species="Southern pine", grade="No.1", size_class="timbers, 5x5 and larger")


def factors(allowable) -> dict[str, float]:
    return {factor.symbol: factor.value for factor in allowable.factors}


def use(width=1.5, depth=11.25, sharing="single", unbraced=0.0) -> Use:
    return Use(width_in=width, depth_in=depth, span_ft=20, sharing=sharing, unbraced_ft=unbraced)


@pytest.mark.parametrize(
    ("width", "depth", "factor"),
    [
        (1.5, 3.5, 1.5), (1.5, 5.5, 1.3), (1.5, 7.25, 1.2), (1.5, 9.25, 1.1), (1.5, 11.25, 1.0), (1.5, 13.25, 0.9),
        (3.5, 7.25, 1.3), (3.5, 9.25, 1.2), (3.5, 11.25, 1.1), (3.5, 13.25, 1.0), (2.0, 12.0, 1.0),
    ],
)  # fmt: skip
def test_size_factor_of_dimension_lumber(width, depth, factor):
    """NDS Supplement 4A (checked-2nd), by nominal width; 4 in thick in the second column."""
    assert factors(bending_stress(value=DF_DIMENSION, service=DRY, use=use(width, depth)))["C_F"] == factor


def test_size_factor_of_southern_pine_is_in_the_value():
    """NDS Supplement 4B (memory): 1.0, 1.1 for 4 in thick and 8 in or wider, 0.9 over 12 in."""
    for width, depth, factor in ((1.5, 11.25, 1.0), (3.5, 11.25, 1.1), (3.5, 5.5, 1.0), (1.5, 13.25, 0.9)):
        assert factors(bending_stress(value=SP_2, service=DRY, use=use(width, depth)))["C_F"] == factor


def test_size_factor_of_timbers_starts_above_12_in():
    """NDS 4.3.6 (checked-2nd): (12/d)^(1/9); 16 in 0.9685."""
    assert factors(bending_stress(value=DF_TIMBER, service=DRY, use=use(6, 12)))["C_F"] == 1.0
    deep = factors(bending_stress(value=DF_TIMBER, service=DRY, use=use(6, 16)))["C_F"]
    assert deep == pytest.approx(0.9685, abs=5e-5)


def test_wet_service_factors():
    """NDS Supplement 4A, 4D, 5A (checked-2nd)."""
    select = find_design_value(
        species="Douglas fir-larch", grade="Select Structural", size_class="dimension, 2 to 4 in thick"
    )
    assert factors(bending_stress(value=select, service=WET, use=use()))["C_M"] == 0.85
    assert factors(bending_stress(value=DF_DIMENSION, service=WET, use=use()))["C_M"] == 1.0  # F_b C_F <= 1150
    assert factors(shear_stress(value=DF_DIMENSION, service=WET))["C_M"] == 0.97
    assert factors(shear_stress(value=DF_GLULAM, service=WET))["C_M"] == 0.875
    assert factors(modulus(value=DF_GLULAM, service=WET))["C_M"] == 0.833
    assert factors(modulus(value=SP_TIMBER, service=WET))["C_M"] == 1.0
    assert factors(shear_stress(value=DF_DIMENSION, service=DRY))["C_M"] == 1.0


def test_stressed_deck_factor_and_its_loss():
    """AASHTO Guide Specification 1991 (memory): 1.50 No.1 and No.2, 1.30 Select Structural; nail-laminated 1.15."""
    stressed = factors(bending_stress(value=DF_DIMENSION, service=DRY, use=use(sharing="stress_laminated")))
    loose = factors(bending_stress(value=DF_DIMENSION, service=DRY, use=use(sharing="nail_laminated")))
    assert stressed["C_LS"] == 1.5
    assert loose["C_r"] == 1.15
    assert "C_r" not in stressed
    single = factors(bending_stress(value=DF_TIMBER, service=DRY, use=use(6, 16, "repetitive")))
    assert single["C_r"] == 1.0  # never for timbers 5 in and thicker


def test_glulam_takes_the_smaller_of_volume_and_stability():
    """NDS 5.3.6 (checked-2nd): never the product."""
    braced = factors(bending_stress(value=DF_GLULAM, service=WET, use=Use(width_in=8.75, depth_in=36, span_ft=40)))
    free = Use(width_in=5.125, depth_in=36, span_ft=40, unbraced_ft=40)
    slender = factors(bending_stress(value=DF_GLULAM, service=WET, use=free))
    assert "C_V" in braced and "C_L" not in braced
    assert "C_L" in slender and "C_V" not in slender
    assert slender["C_L"] < braced["C_V"]


def test_stability_factor_falls_with_free_length_and_stops_at_slenderness_50():
    given = {"fb_star_psi": 1500, "e_min_psi": 580000, "width_in": 4, "depth_in": 16}
    values = [beam_stability_factor(unbraced_ft=length, **given).value for length in (0, 4, 8, 16, 32)]
    assert values == sorted(values, reverse=True)
    assert values[0] == 1.0
    with pytest.raises(OutsideValidity, match="R_B"):
        beam_stability_factor(unbraced_ft=200, **given)


def test_flat_use_of_a_panel():
    """NDS 5.3.7 (checked-2nd): (12/8.75)^(1/9) = 1.0357."""
    found = factors(bending_stress(value=PANEL_GLULAM, service=DRY, use=use(48, 8.75)))
    assert found["C_fu"] == pytest.approx(1.0357, abs=5e-5)


def test_duration_incising_and_heat():
    """Std Spec 13.5.5A (memory) 1.15 and 0.90; NDS 4.3.8 0.80; NDS 2.3.3 wet 100 to 125 F 0.7 (checked-2nd)."""
    hot = Service(wet=True, incised=True, temperature_f=110)
    found = factors(bending_stress(value=DF_TIMBER, service=hot, use=use(6, 12)))
    assert (found["C_D"], found["C_i"], found["C_t"]) == (1.15, 0.80, 0.7)
    alone = factors(bending_stress(value=DF_TIMBER, service=DRY, use=use(6, 12), duration="permanent"))
    assert alone["C_D"] == 0.90


def test_wet_composites_use_the_makers_factors_or_none():
    psl = find_design_value(species="PSL", grade="2.0E", size_class="parallel strand lumber")
    with pytest.raises(OutsideValidity, match="maker"):
        shear_stress(value=psl, service=WET)
    given = MakerWetFactors(bending=0.71, shear=0.72, bearing=0.73, modulus=0.74)
    assert factors(shear_stress(value=psl, service=Service(wet=True, maker_wet=given)))["C_M"] == 0.72


@pytest.mark.parametrize(
    ("value", "width", "depth"), [(DF_DIMENSION, 6, 12), (DF_TIMBER, 3.5, 12), (DF_TIMBER, 12, 12)]
)
def test_values_of_another_size_class_are_refused(value, width, depth):
    with pytest.raises(OutsideValidity, match="size class"):
        bending_stress(value=value, service=DRY, use=use(width, depth))


def test_every_row_of_the_table_is_usable_and_marked():
    assert len(DESIGN_VALUES) == 65
    keys = {(row.species, row.grade, row.size_class) for row in DESIGN_VALUES}
    assert len(keys) == len(DESIGN_VALUES)
    for row in DESIGN_VALUES:
        assert row.mark in ("checked-2nd", "memory")
        assert row.source and row.edition
        assert 500 < row.fb_psi < 3500 and 80 < row.fv_psi < 350 and 1e6 < row.e_psi < 2.5e6, row.title
        # trade fact: E_min is near E (1 - 1.645 COV) 1.03 / 1.66, 0.3 to 0.6 of E for all products
        assert row.e_min_psi is None or 0.3 < row.e_min_psi / row.e_psi < 0.6, row.title


def test_no_lower_grade_is_stronger():
    """Trade fact: a step down the visual grades never raises bending."""
    stepped = [(row, next_lower_grade(row)) for row in DESIGN_VALUES if next_lower_grade(row)]
    assert len(stepped) > 20
    for row, lower in stepped:
        assert lower.fb_psi < row.fb_psi, row.title


@pytest.mark.parametrize(
    ("kind", "thickness", "lanes", "divisor"),
    [
        ("plank", 3, 1, 4.0), ("plank", 3, 2, 3.75), ("nail_laminated", 3.5, 1, 4.5), ("nail_laminated", 3.5, 2, 4.0),
        ("nail_laminated", 5.5, 1, 5.0), ("nail_laminated", 5.5, 2, 4.25), ("glulam_panel", 3.125, 2, 4.0),
        ("glulam_panel", 5.125, 1, 6.0), ("glulam_panel", 5.125, 3, 5.0),
    ],
)  # fmt: skip
def test_wheel_line_divisors(kind, thickness, lanes, divisor):
    """AASHTO Standard Specifications Table 3.23.1 (memory)."""
    found = interior_share(deck_kind=kind, deck_thickness_in=thickness, spacing_ft=3.0, lanes=lanes)
    assert found.wheel_lines == pytest.approx(3.0 / divisor)


def test_beyond_the_limit_the_deck_is_a_simple_beam():
    """Arithmetic, S 8 ft, one lane: wheel over the stringer 1, the other 6 ft off (8 - 6)/8 = 0.25."""
    found = interior_share(deck_kind="glulam_panel", deck_thickness_in=5.125, spacing_ft=8.0, lanes=1)
    assert found.wheel_lines == pytest.approx(1.25)
    assert "simple-beam" in found.rule


def test_lever_rule_with_two_lanes():
    """Arithmetic, S 8 ft: a wheel over the stringer, the next lane's 4 ft off 0.5, own other wheel 6 ft off 0.25."""
    assert interior_lever(spacing_ft=8.0, lanes=2).wheel_lines == pytest.approx(1.75)
    # S 12: 1 + 8/12 + 6/12 + 2/12
    assert interior_lever(spacing_ft=12.0, lanes=2).wheel_lines == pytest.approx(1 + (8 + 6 + 2) / 12)


def test_lever_of_the_outside_stringer():
    """Arithmetic: S 6, curb 2.5 ft out: first wheel 0.5 ft outside: 6.5/6, second 5.5 ft inside 0.5/6."""
    assert exterior_lever(spacing_ft=6.0, curb_offset_ft=2.5, lanes=1).wheel_lines == pytest.approx(7 / 6)
    assert exterior_lever(spacing_ft=3.0, curb_offset_ft=-2.0, lanes=1).wheel_lines == 0.0


def test_outside_stringer_is_never_below_the_interior():
    """AASHTO Standard Specifications 3.23.2.3 (memory): an outside stringer is not to be weaker than an inside one."""
    inside = interior_share(deck_kind="plank", deck_thickness_in=3, spacing_ft=4.0, lanes=2)
    for offset in (-6.0, -3.0, 0.0):
        found = exterior_share(interior=inside, spacing_ft=4.0, curb_offset_ft=offset, lanes=2)
        assert found.wheel_lines == inside.wheel_lines
    far_out = exterior_share(interior=inside, spacing_ft=4.0, curb_offset_ft=3.0, lanes=2)
    assert far_out.wheel_lines == pytest.approx(5 / 4)


def test_shear_rule_for_wood():
    """Std Spec 13.6.5 (memory), arithmetic: 0.5 (0.6 x 10,000 + 0.5333 x 10,000) = 5,667 lb."""
    assert wood_shear_lb(wheel_line_shear_lb=10000, bending_wheel_lines=0.53333) == pytest.approx(5666.7, abs=0.1)


def test_loose_deck_is_not_wider_than_its_panel():
    assert loose_deck_width_in(wheel_lb=16000, thickness_in=12, panel_in=24) == 24
    assert loose_deck_width_in(wheel_lb=16000, thickness_in=12) == pytest.approx(32)


@pytest.mark.parametrize(
    "call",
    [
        lambda: interior_share(deck_kind="plank", deck_thickness_in=3, spacing_ft=0, lanes=1),
        lambda: interior_share(deck_kind="plank", deck_thickness_in=3, spacing_ft=21, lanes=1),
        lambda: interior_share(deck_kind="plank", deck_thickness_in=3, spacing_ft=2, lanes=0),
        lambda: interior_share(deck_kind="", deck_thickness_in=3, spacing_ft=2, lanes=1),
        lambda: panel_bending_share(panel_in=41.9, span_ft=24, lanes=1),
        lambda: panel_shear_share(panel_in=54.1),
        lambda: tire_width_in(wheel_lb=0),
    ],
)
def test_shares_outside_their_range_are_refused(call):
    with pytest.raises(OutsideValidity) as refusal:
        call()
    assert refusal.value.source in str(refusal.value)
    assert refusal.value.name in str(refusal.value)
