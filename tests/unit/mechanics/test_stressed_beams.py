"""Webs of stress-laminated T and box spans. All of it model and mechanics; worked values computed by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inventory.mechanics.rating import BarState, MemberCase, NotRated, SpanCase, find_design_value, rate_span
from inventory.mechanics.section import Flange, composite_section, effective_side_in, rectangle_section
from tests.unit.mechanics.spans import DF_DIMENSION

PSL = find_design_value(species="PSL", grade="2.0E", size_class="parallel strand lumber")
FLANGE = replace(DF_DIMENSION, e_psi=1.4e6)


def beam_span(pressure_psi: float | None = 100.0, box: bool = False, butt_jointed=False, **changes) -> SpanCase:
    """40 ft, webs 5.25 x 24 in at 24 in, 9 in flange, 16 ft wide, dry (input of example D4)."""
    web = MemberCase(
        label="web",
        role="web",
        material=PSL,
        width_in=5.25,
        depth_in=24.0,
        spacing_ft=2.0,
        flange_material=FLANGE,
        flange_depth_in=9.0,
        bottom_flange_depth_in=9.0 if box else None,
    )
    case = SpanCase(
        label="1",
        span_ft=40.0,
        system="stress_laminated_box" if box else "stress_laminated_t",
        lanes_loaded=1,
        roadway_width_ft=14.0,
        deck_width_ft=16.0,
        wet_service=False,
        members=(web,),
        bars=BarState(least_local_pressure_psi=pressure_psi, butt_jointed=butt_jointed),
    )
    return replace(case, **changes)


def least(rating, vehicle: str, level: str) -> float:
    return min(r.rating_factor for r in rating.results if r.vehicle == vehicle and r.level == level)


def test_effective_flange_and_transformed_section():
    """D4 (model, computed): b_e 23.253 in, y 15.553 in, I 10,171 in4, S_bottom 654.0 in3."""
    side = effective_side_in(clear_in=18.75, span_ft=40)
    assert 5.25 + 2 * side == pytest.approx(23.253, abs=0.0005)
    flange = Flange(low_in=15, high_in=24, width_in=2 * side, ratio=0.7)
    assert flange.area_in2 == pytest.approx(113.42, abs=0.005)
    whole = composite_section(width_in=5.25, depth_in=24, flanges=(flange,))
    assert whole.centroid_in == pytest.approx(15.553, abs=0.0005)
    assert whole.inertia_in4 == pytest.approx(10171, abs=0.5)
    assert whole.inertia_in4 / whole.centroid_in == pytest.approx(654.0, abs=0.05)


def test_slip_shear_of_the_interface():
    """D4 (model, computed): q = 0.02201 V; at 12.35 kip 86.3 psi is needed (mu 0.35): V slip = mu N t / 0.02201."""
    rating = rate_span(beam_span(86.3), vehicles=("H15",))
    (slip,) = [s.value for heading in rating.trace for s in heading.steps if s.symbol == "V slip"]
    assert slip == pytest.approx(0.35 * 86.3 * 9 / 0.02201, rel=5e-4)
    assert slip == pytest.approx(12350, rel=2e-3)


def test_composite_without_a_flange_is_the_plain_web():
    plain = rectangle_section(width_in=5.25, depth_in=24)
    bare = composite_section(width_in=5.25, depth_in=24, flanges=())
    assert bare.inertia_in4 == pytest.approx(plain.inertia_in4)
    assert bare.shear_in2 == pytest.approx(plain.shear_in2)


def test_box_of_one_material_against_the_handbook():
    """Parallel axis by hand: web 6 x 24 with flanges 10 x 4 top and bottom, n 1; Q = flanges and half web."""
    flanges = (
        Flange(low_in=20, high_in=24, width_in=10, ratio=1.0),
        Flange(low_in=0, high_in=4, width_in=10, ratio=1.0),
    )
    whole = composite_section(width_in=6, depth_in=24, flanges=flanges)
    inertia = 6 * 24**3 / 12 + 2 * (10 * 4**3 / 12 + 40 * 10**2)
    assert whole.inertia_in4 == pytest.approx(inertia)
    assert whole.shear_in2 == pytest.approx(inertia * 6 / (40 * 10 + 6 * 12 * 6))


@pytest.mark.parametrize("box", [False, True])
def test_more_pressure_never_lowers_a_factor(box):
    ratings = [rate_span(beam_span(p, box), vehicles=("H15", "TYPE3", "SU7")) for p in range(0, 161, 10)]
    for vehicle in ("H15", "TYPE3", "SU7"):
        for level in ("inventory", "operating"):
            values = [least(rating, vehicle, level) for rating in ratings]
            assert all(b >= a - 1e-9 for a, b in zip(values, values[1:], strict=False)), (vehicle, level, values)
            assert values[-1] > values[0]


def test_below_friction_the_web_stands_alone():
    """At 60 psi friction carries less than an HS20 truck needs: the bending strength is that of 5.25 x 24 in."""
    rating = rate_span(beam_span(60.0), vehicles=("HS20",))
    bending = next(r for r in rating.results if r.limit_state == "bending" and r.level == "inventory")
    stress = 2900 * 1.15 * (12 / 24) ** 0.111
    assert bending.capacity == pytest.approx(stress * 5.25 * 24**2 / 6 / 12)
    assert not any(r.limit_state == "interface" for r in rating.results)
    assert any("web alone" in note for note in rating.notes)


def test_composite_rating_has_the_interface_among_its_limit_states():
    rating = rate_span(beam_span(150.0), vehicles=("TYPE3",))
    interface = [r for r in rating.results if r.limit_state == "interface"]
    assert interface and all(r.rating_factor >= 1 for r in interface)


def test_butt_jointed_flange_without_pressure_has_no_credit():
    rating = rate_span(beam_span(10.0, butt_jointed=None), vehicles=("TYPE3",))
    assert least(rating, "TYPE3", "operating") == 0
    assert rating.posting.action == "close"


def test_full_length_flange_without_pressure_leaves_the_lever_rule():
    """Lever rule at S 2 ft: a whole wheel line on the web."""
    rating = rate_span(beam_span(30.0), vehicles=("TYPE3",))
    assert next(r.distribution_factor for r in rating.results) == pytest.approx(1.0)


def test_a_box_without_its_bottom_flange_is_not_rated():
    case = beam_span(box=True)
    case = replace(case, members=(replace(case.members[0], bottom_flange_depth_in=None),))
    result = rate_span(case, vehicles=("TYPE3",))
    assert isinstance(result, NotRated)
    assert any("bottom flange" in reason for reason in result.reasons)


def test_outside_web_has_a_flange_on_one_side_only():
    case = beam_span(150.0)
    outside = replace(case, members=(replace(case.members[0], exterior=True, curb_offset_ft=0.0),))
    inner, outer = (
        next(s.value for h in rate_span(c, vehicles=("H15",)).trace for s in h.steps if s.symbol == "I")
        for c in (case, outside)
    )
    assert outer < inner
