"""What the site's forms let in, the kernel can rate: the two tables of limits hold the same ranges, field by field."""

import pytest

from inspections.rules.evidence import READINGS
from inventory.forms.structures import BarsForm, MemberForm, SpanForm
from inventory.mechanics.rating import BarState, DeadLayer, DesignValue, MemberCase, SpanCase
from inventory.mechanics.rating.hardware import BarHardware
from inventory.mechanics.rating.limits import LIMITS
from inventory.rules import sizes
from inventory.rules.sizes import limit_faults

# field of the site: where the kernel has it. A span may be longer on record than any rule reaches: the rating says so.
SAME = {
    ("SPAN_LIMITS", "deck_thickness_in"): (SpanCase, "deck_thickness_in"),
    ("SPAN_LIMITS", "lanes_loaded"): (SpanCase, "lanes_loaded"),
    ("SPAN_LIMITS", "skew_deg"): (SpanCase, "skew_deg"),
    ("SPAN_LIMITS", "joint_every"): (BarState, "joint_every"),
    ("STRUCTURE_LIMITS", "roadway_width_ft"): (SpanCase, "roadway_width_ft"),
    ("STRUCTURE_LIMITS", "deck_width_ft"): (SpanCase, "deck_width_ft"),
    ("STRUCTURE_LIMITS", "adtt"): (SpanCase, "adtt"),
    **{
        ("MEMBER_LIMITS", name): (MemberCase, name)
        for name in ("count", "width_in", "depth_in", "spacing_ft", "bearing_length_in", "unbraced_ft")
    },
    **{("MEMBER_LIMITS", name): (DesignValue, name) for name in ("fb_psi", "fv_psi", "fc_perp_psi", "e_psi")},
    ("STRESSING_LIMITS", "needed_pressure_psi"): (BarState, "needed_pressure_psi"),
    ("STRESSING_LIMITS", "bar_area_in2"): (BarHardware, "net_area_in2"),
    ("STRESSING_LIMITS", "spacing_in"): (BarHardware, "spacing_in"),
    ("STRESSING_LIMITS", "stressed_depth_in"): (BarHardware, "thickness_in"),
    ("STRESSING_LIMITS", "design_force_lb"): (BarHardware, "design_force_lb"),
    ("STRESSING_LIMITS", "plate_width_in"): (BarHardware, "plate_width_in"),
    ("STRESSING_LIMITS", "plate_height_in"): (BarHardware, "plate_height_in"),
    ("LAYER_LIMITS", "thickness_in"): (DeadLayer, "thickness_in"),
    ("LAYER_LIMITS", "unit_weight_pcf"): (DeadLayer, "unit_weight_pcf"),
}
FORMS = {SpanForm: "SPAN_LIMITS", MemberForm: "MEMBER_LIMITS", BarsForm: "STRESSING_LIMITS"}


@pytest.mark.parametrize("place", SAME)
def test_what_a_form_lets_in_the_kernel_can_rate(place):
    table, field = place
    owner, name = SAME[place]
    limits, limit = getattr(sizes, table), LIMITS[owner][name]
    _name, edge, least, most, _unit = limits[field]
    if edge == "from":
        assert limit.holds(least)
    else:
        assert limit.holds(least + 1e-6)
    assert limit.holds(most)


@pytest.mark.parametrize("form", FORMS)
def test_every_number_of_a_form_has_a_limit(form):
    numbers = {
        name
        for name, field in form().fields.items()
        if "Float" in type(field).__name__ or "Integer" in type(field).__name__
    }
    assert numbers <= set(getattr(sizes, FORMS[form]))


@pytest.mark.parametrize("table", sorted(set(FORMS.values()) | {"LAYER_LIMITS", "STRUCTURE_LIMITS"}))
@pytest.mark.parametrize("hostile", [float("nan"), float("inf"), -1e12, 1e12])
def test_a_hostile_number_is_told_beside_its_field_with_the_range(table, hostile):
    limits = getattr(sizes, table)
    for field, (name, _edge, least, most, _unit) in limits.items():
        (sentence,) = limit_faults({field: hostile}, limits).values()
        assert sentence.startswith(name) and f"{least:g} to {most:g}" in sentence


def test_findings_hold_no_size_the_kernel_does_not_know():
    for name in ("depth_in", "width_in", "height_in"):
        assert READINGS[name].least == 0 and READINGS[name].most <= 120


def test_members_that_would_overlap_are_told_beside_their_spacing():
    """Geometry: 12 in wide members stand at least 1 ft apart, centre to centre."""
    values = {"role": "stringer", "width_in": 12.0, "depth_in": 16.0, "count": 3}
    assert "1.00 ft" in sizes.member_faults(values | {"spacing_ft": 0.9}, 20.0)["spacing_ft"]
    assert sizes.member_faults(values | {"spacing_ft": 1.0}, 20.0) == {}
    assert sizes.member_faults(values | {"role": "lamination", "spacing_ft": 0.9}, 20.0) == {}
