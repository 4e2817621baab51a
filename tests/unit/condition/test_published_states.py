"""Condition states one published threshold at a time.

AASHTO Manual for Bridge Element Inspection, 2nd ed. 2019, defects 1000, 1020, 1140 to 1180, 1900, 3210, 3220, 4000 and
6000 (all from memory).
"""

import pytest

from inspections.rules.condition import proposed_state
from inspections.rules.finding_state import OnMember, in_tension_zone, shares_of, state_of

STRINGER = OnMember(role="stringer", width_in=6.0, depth_in=16.0, span_ft=18.0, count=10)
THROUGH = OnMember(role="stringer", width_in=6.0, depth_in=16.0, span_ft=18.0, through_far=True)


@pytest.mark.parametrize(
    ("given", "state"),
    [
        # 1020 connection: loose 2, missing 3; not said which counts as the worse.
        ({"kind": "connection", "is_missing": False}, 2),
        ({"kind": "connection", "is_missing": True}, 3),
        ({"kind": "connection"}, 3),
        # 1900 distortion: none 1, needs no mitigation 2, needs it 3.
        ({"kind": "camber", "depth_in": 0.0}, 1),
        ({"kind": "camber", "depth_in": 0.5, "is_tolerable": True}, 2),
        ({"kind": "camber", "depth_in": 0.5, "is_tolerable": False}, 3),
        ({"kind": "camber", "depth_in": 0.5}, 3),
        # 4000 settlement and 6000 scour: none, within what can be borne or arrested, beyond it.
        ({"kind": "settlement", "depth_in": 0.0}, 1),
        ({"kind": "settlement", "depth_in": 1.0, "is_tolerable": True}, 2),
        ({"kind": "settlement", "depth_in": 1.0, "arrested": True}, 2),
        ({"kind": "settlement", "depth_in": 1.0, "is_tolerable": False}, 3),
        ({"kind": "scour", "depth_in": 12.0, "arrested": True}, 2),
        ({"kind": "scour", "depth_in": 12.0}, 3),
        # 3210: 1 in deep or 6 in across is state 3.
        ({"kind": "pothole", "depth_in": 0.99, "across_in": 5.99}, 2),
        ({"kind": "pothole", "depth_in": 1.0, "across_in": 2.0}, 3),
        ({"kind": "pothole", "depth_in": 0.5, "across_in": 6.0}, 3),
        ({"kind": "pothole"}, 3),
        # 3220: 0.012 and 0.05 in wide, 3 and 1 ft apart.
        ({"kind": "surface_crack", "width_in": 0.0119}, 1),
        ({"kind": "surface_crack", "width_in": 0.012}, 2),
        ({"kind": "surface_crack", "width_in": 0.05}, 2),
        ({"kind": "surface_crack", "width_in": 0.051}, 3),
        ({"kind": "surface_crack", "spacing_ft": 3.1}, 1),
        ({"kind": "surface_crack", "spacing_ft": 3.0}, 2),
        ({"kind": "surface_crack", "spacing_ft": 1.0}, 2),
        ({"kind": "surface_crack", "spacing_ft": 0.9}, 3),
        # 1000 on bars and anchorages: corrosion begun 2, section lost 3.
        ({"kind": "bar_defect", "depth_in": 0.0}, 2),
        ({"kind": "bar_defect", "depth_in": 0.02}, 3),
        ({"kind": "bar_defect"}, 3),
    ],
)
def test_state_by_published_limit(given, state):
    proposed = proposed_state(**given)
    assert proposed.state == state
    assert proposed.reason.endswith(".")


# The four percentages of the page, reached by sizes on a 6 x 16 in stringer: 10 % of 16 in is 1.6 in, 10 % of 6 in is
# 0.6 in, 5 % of 6 in is 0.3 in, 50 % of 6 in is 3 in; a void of 2 x 4.8 in is 9.6 of 96 in2, 10 %.
@pytest.mark.parametrize(
    ("finding", "state"),
    [
        ({"kind": "surface_decay", "face": "bottom", "depth_in": 1.59}, 2),
        ({"kind": "surface_decay", "face": "bottom", "depth_in": 1.6}, 3),
        ({"kind": "surface_decay", "face": "left", "depth_in": 0.59}, 2),
        ({"kind": "surface_decay", "face": "left", "depth_in": 0.6}, 3),
        ({"kind": "surface_decay", "face": "top", "depth_in": 0.0}, 1),
        ({"kind": "surface_decay", "face": "end", "depth_in": 0.5}, 3),
        ({"kind": "internal_void", "width_in": 2.0, "height_in": 4.79}, 2),
        ({"kind": "internal_void", "width_in": 2.0, "height_in": 4.8}, 3),
        ({"kind": "drilling", "resistance_pct": 75.0, "width_in": 6.0, "height_in": 16.0}, 1),
        ({"kind": "drilling", "resistance_pct": 60.0, "width_in": 2.0, "height_in": 4.0}, 2),
        ({"kind": "drilling", "resistance_pct": 60.0}, 3),
        ({"kind": "stress_wave", "wave_time_us_per_ft": 300.0}, 1),
        ({"kind": "stress_wave", "wave_time_us_per_ft": 350.0}, 2),
        ({"kind": "stress_wave", "wave_time_us_per_ft": 600.0}, 3),
        ({"kind": "wear", "face": "top", "depth_in": 1.59}, 2),
        ({"kind": "wear", "face": "top", "depth_in": 1.6}, 3),
        ({"kind": "check", "face": "left", "depth_in": 0.29, "station_ft": 1.0, "extent_ft": 2.0}, 1),
        ({"kind": "check", "face": "left", "depth_in": 0.31, "station_ft": 1.0, "extent_ft": 2.0}, 2),
        ({"kind": "check", "face": "left", "depth_in": 3.0, "station_ft": 1.0, "extent_ft": 2.0}, 2),
        ({"kind": "check", "face": "left", "depth_in": 3.1, "station_ft": 1.0, "extent_ft": 2.0}, 3),
        ({"kind": "check", "face": "left", "depth_in": 0.31, "station_ft": 8.0, "extent_ft": 2.0}, 3),
        ({"kind": "check", "face": "bottom", "depth_in": 0.79, "station_ft": 1.0, "extent_ft": 2.0}, 1),
        ({"kind": "check", "face": "bottom", "depth_in": 0.81, "station_ft": 1.0, "extent_ft": 2.0}, 3),
        # 1170: length against the member's depth, 16 in = 1.3333 ft.
        ({"kind": "split", "extent_ft": 1.33}, 2),
        ({"kind": "split", "extent_ft": 1.34}, 3),
        ({"kind": "broken"}, 3),
        ({"kind": "crack", "face": "bottom", "depth_in": 0.5}, 3),
        ({"kind": "surface_crack", "value_in": 0.375}, 3),
        ({"kind": "pothole", "value_in": 0.75}, 2),
        ({"kind": "camber", "value_in": 0.5}, 1),
        ({"kind": "camber", "value_in": -0.5}, 3),
    ],
)
def test_state_of_a_finding_on_a_member(finding, state):
    assert state_of(finding, STRINGER).state == state


def test_nothing_is_said_where_no_size_or_no_member_is_known():
    assert state_of({"kind": "surface_decay", "face": "bottom"}, STRINGER) is None
    assert state_of({"kind": "surface_decay", "face": "bottom", "depth_in": 2.0}, None) is None
    assert state_of({"kind": "moisture", "moisture_pct": 40.0}, STRINGER) is None
    assert state_of({"kind": "crushing", "depth_in": 1.0}, STRINGER) is None


def test_a_slower_wave_never_has_a_better_state():
    for sizes in ({}, {"width_in": 0.0, "height_in": 0.0}, {"width_in": 1.0, "height_in": 1.0}):
        states = [state_of({"kind": "stress_wave", "wave_time_us_per_ft": us, **sizes}, STRINGER).state
                  for us in (259.0, 340.0, 400.0, 600.0)]  # fmt: skip
        assert states == sorted(states) and states[0] == 1 and states[-1] >= 2


@pytest.mark.parametrize(
    ("finding", "member", "pulled"),
    [
        ({"face": "bottom", "station_ft": 1.0}, STRINGER, True),
        ({"face": "top", "station_ft": 9.0}, STRINGER, False),
        ({"face": "end", "station_ft": 0.0}, STRINGER, False),
        ({"face": "left", "station_ft": 9.0}, STRINGER, True),
        ({"face": "left", "station_ft": 1.0, "extent_ft": 3.0}, STRINGER, False),
        ({"face": "left", "station_ft": 1.0, "extent_ft": 4.0}, STRINGER, True),
        ({"face": "top", "station_ft": 17.0}, THROUGH, True),
        ({"face": "top", "station_ft": 2.0}, THROUGH, False),
        ({"face": ""}, STRINGER, True),
    ],
)
def test_tension_zone_of_a_bending_member(finding, member, pulled):
    """A simple span is pulled below, a continuous one also above over its pier (statics); the rest is ours."""
    assert in_tension_zone(finding, member) is pulled


def test_sizes_beyond_the_member_take_no_more_than_all_of_it():
    assert shares_of({"kind": "surface_decay", "face": "left", "depth_in": 60.0}, STRINGER).loss_ratio == 1.0
    hole = {"kind": "internal_void", "width_in": 60.0, "height_in": 60.0}
    assert shares_of(hole, STRINGER).loss_ratio == 1.0
