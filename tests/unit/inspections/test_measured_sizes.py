"""Sizes measured on a member against the member: geometry, nothing else.

The member is 6 in wide and 16 in deep; what fits is 6 across, 16 down, and a hole whose top and bottom lie within 8 in
of mid-depth. Law: whatever the form lets in, the rating can rate; what it clips is never more than the member.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.rules.losses import Found, section_loss
from inspections.rules.measured_sizes import SLACK_IN, size_faults
from inventory.mechanics.rating import SectionLoss, rate_span
from inventory.mechanics.rating.limits import loss_sentences
from tests.unit.mechanics.spans import stringer_span

SIZES = {"width_in": 6.0, "depth_in": 16.0}


@pytest.mark.parametrize(
    ("finding", "field"),
    [
        ({"kind": "surface_decay", "face": "top", "depth_in": 17.0}, "depth_in"),
        ({"kind": "wear", "face": "left", "depth_in": 7.0}, "depth_in"),
        ({"kind": "check", "face": "right", "depth_in": 6.5}, "depth_in"),
        ({"kind": "crushing", "depth_in": 18.0}, "depth_in"),
        ({"kind": "split", "depth_in": 17.0}, "depth_in"),
        ({"kind": "internal_void", "width_in": 8.0, "height_in": 2.0}, "width_in"),
        ({"kind": "internal_void", "width_in": 2.0, "height_in": 20.0}, "height_in"),
        ({"kind": "internal_void", "width_in": 2.0, "height_in": 6.0, "offset_in": 6.0}, "offset_in"),
        ({"kind": "drilling", "width_in": 2.0, "height_in": 6.0, "offset_in": -6.0}, "offset_in"),
    ],
)
def test_what_the_member_has_no_room_for_is_told_beside_its_field(finding, field):
    faults = size_faults(finding, role="stringer", **SIZES)
    assert list(faults) == [field]
    assert "record" in faults[field] and faults[field].endswith(".")


@pytest.mark.parametrize(
    "finding",
    [
        {"kind": "surface_decay", "face": "top", "depth_in": 16.0},
        {"kind": "surface_decay", "face": "end", "depth_in": 30.0},
        {"kind": "internal_void", "width_in": 6.0, "height_in": 16.0, "offset_in": 0.0},
        {"kind": "internal_void", "width_in": 2.0, "height_in": 6.0, "offset_in": 5.0},
        {"kind": "internal_void", "width_in": None, "height_in": None, "offset_in": None},
        {"kind": "split", "depth_in": None},
        {"kind": "camber", "value_in": -30.0},
        {"kind": "surface_decay", "face": "left", "depth_in": 6.0 + SLACK_IN},
    ],
)
def test_what_fits_or_is_not_known_is_let_in(finding):
    assert size_faults(finding, role="stringer", **SIZES) == {}


def test_damage_may_run_over_several_laminations():
    wide = {"kind": "internal_void", "width_in": 9.0, "height_in": 4.0}
    assert size_faults(wide, role="lamination", width_in=1.5, depth_in=12.0) == {}
    assert size_faults(wide | {"height_in": 13.0}, role="lamination", width_in=1.5, depth_in=12.0)


sizes = st.one_of(st.none(), st.floats(0, 60))


@settings(max_examples=150, deadline=None)
@given(
    kind=st.sampled_from(["surface_decay", "internal_void", "drilling", "split", "check", "crushing", "wear"]),
    face=st.sampled_from(["top", "bottom", "left", "right", "end"]),
    depth=sizes,
    width=sizes,
    height=sizes,
    offset=st.one_of(st.none(), st.floats(-40, 40)),
)
def test_a_loss_from_the_register_is_never_more_than_the_member(kind, face, depth, width, height, offset):
    """Law: clipped to the section it either fits it, or is a hole wholly outside, which goes to the engineer."""
    found = Found(
        kind=kind, face=face, depth_in=depth, width_in=width, height_in=height, offset_in=offset, resistance_pct=20
    )
    loss = section_loss(found, span_ft=18.0, **SIZES)
    if loss is None or not loss_sentences(loss=loss, **SIZES):
        return
    assert loss.kind in ("void", "low_resistance")
    assert abs(loss.offset_in) - loss.height_in / 2.0 >= 8.0 - 1e-9


def test_a_hole_half_outside_takes_what_is_inside():
    """Arithmetic: centre 7 in up, 6 in high: from 4 to 10 in, of which 4 to 8 in is wood: 4 in high, centre at 6."""
    found = Found(kind="internal_void", width_in=2.0, height_in=6.0, offset_in=7.0, station_ft=8.0, extent_ft=2.0)
    loss = section_loss(found, span_ft=18.0, **SIZES)
    assert (loss.height_in, loss.offset_in) == (4.0, 6.0)
    notch = SectionLoss(kind="void", from_ft=8.0, to_ft=10.0, width_in=2.0, height_in=4.0, offset_in=6.0)
    assert rate_span(stringer_span(losses=(loss,)), vehicles=("TYPE3",)).results == (
        rate_span(stringer_span(losses=(notch,)), vehicles=("TYPE3",)).results
    )
