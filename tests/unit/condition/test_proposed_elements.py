"""Quantities of elements: arithmetic by hand, and the law that states add up (element manual 2019; SNBI cross-check
B.E.03 = sum of B.CS.01 to 04, from memory)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.element_totals import (
    MemberShape,
    SpanShape,
    StructureShape,
    number_for,
    proposed_totals,
    total_warning,
)
from inspections.rules.evidence import element_faults
from inspections.rules.finding_state import OnMember
from inspections.rules.proposed_elements import APPLIES, affected_by, proposed_states

STRINGER = OnMember(role="stringer", width_in=6.0, depth_in=16.0, span_ft=18.0, count=10)
PLANK = OnMember(role="deck", width_in=12.0, depth_in=3.0, span_ft=18.0, count=18)


def taken(**finding):
    values = {"kind": "surface_decay", "member_number": 4, "station_ft": 8.0, "extent_ft": 2.0, "face": "bottom",
              "depth_in": 2.0} | finding  # fmt: skip
    return affected_by(values, STRINGER, number=117, member_key=1, total=180.0)


def test_totals_of_a_two_span_bridge_by_hand():
    members = (MemberShape(role="stringer", count=10, width_in=6), MemberShape(role="deck", count=18, width_in=12),
               MemberShape(role="cap", count=5, width_in=12))  # fmt: skip
    shape = StructureShape(
        spans=(
            SpanShape(index=1, length_ft=18.0, members=members),
            SpanShape(index=2, length_ft=16.5, members=members),
        ),
        deck_width_ft=20.0,
        roadway_width_ft=18.0,
        railing_sides=2,
        timber_abutments=2,
        timber_piles=15,
        has_surface=True,
    )
    found = {each.number: each.total for each in proposed_totals(shape)}
    assert found == {
        31: 690,  # (18 + 16.5) x 20
        117: 345,  # (18 + 16.5) x 10
        216: 40,  # 20 x 2
        228: 15,
        235: 40,  # 20 x 2 caps, one of each span
        332: 69,  # 34.5 x 2
        510: 621,  # 34.5 x 18
    }
    said = {each.number: each.arithmetic for each in proposed_totals(shape)}
    assert said[117] == "18 ft x 10 + 16.5 ft x 10 = 345 ft"


def test_what_is_not_on_record_is_not_worked_out():
    assert proposed_totals(StructureShape()) == []
    spans = (SpanShape(index=1, length_ft=18.0, members=(MemberShape(role="deck", count=18, width_in=12),)),)
    assert proposed_totals(StructureShape(spans=spans)) == []


def test_a_beam_keeps_the_element_the_sheet_has():
    assert number_for("stringer", "sawn_stringer") == 117
    assert number_for("stringer", "sawn_stringer", present=[111]) == 111
    assert number_for("web", "stress_laminated_box") == 106
    assert number_for("web", "stress_laminated_t") == 111


@pytest.mark.parametrize(("total", "warns"), [(180, False), (189, False), (171, False), (190, True), (170, True)])
def test_a_total_more_than_five_percent_off_is_asked_about(total, warns):
    shape = StructureShape(
        spans=(SpanShape(index=1, length_ft=18.0, members=(MemberShape(role="stringer", count=10, width_in=6),)),)
    )
    (geometry,) = proposed_totals(shape)
    said = total_warning(number=117, total=total, proposed=geometry)
    assert bool(said) is warns and (not warns or "18 ft x 10 = 180 ft" in said)


def test_lengths_on_one_member_that_overlap_count_once():
    # Decay of 2 in (state 3) over 8 to 10 ft and 9 to 13 ft on stringer 4: 5 ft; 1 in (state 2) over 12 to 14.5 ft adds
    # 1.5 ft to what is in state 2 or worse, 6.5 ft, rounded up to 7: state 2 is 7 - 5 = 2 ft.
    found = [taken(), taken(station_ft=9.0, extent_ft=4.0), taken(station_ft=12.0, extent_ft=2.5, depth_in=1.0)]
    made = proposed_states(number=117, total=180.0, affected=found)
    assert made.states == (173.0, 2.0, 5.0, 0.0)


def test_the_same_length_on_two_members_counts_twice():
    found = [taken(), taken(member_number=5)]
    assert proposed_states(number=117, total=180.0, affected=found).states == (176.0, 0.0, 4.0, 0.0)


def test_a_finding_without_a_length_counts_over_the_whole_member():
    found = [taken(extent_ft=None)]
    assert proposed_states(number=117, total=180.0, affected=found).states == (162.0, 0.0, 18.0, 0.0)


def test_planks_count_by_their_area():
    # 6 ft along a plank 12 in wide is 6 sq ft.
    worn = {"kind": "wear", "member_number": 3, "station_ft": 2.0, "extent_ft": 6.0, "face": "top", "depth_in": 0.5}
    found = affected_by(worn, PLANK, number=31, member_key=2)
    assert proposed_states(number=31, total=360.0, affected=[found]).states == (354.0, 0.0, 6.0, 0.0)


def test_surfacing_counts_by_its_share_of_the_area():
    hole = {"kind": "pothole", "value_in": 2.0, "area_pct": 2.0, "station_ft": 5.0}
    found = affected_by(hole, None, number=510, total=324.0)
    # 2 % of 324 is 6.48, rounded up to 7.
    assert proposed_states(number=510, total=324.0, affected=[found]).states == (317.0, 0.0, 7.0, 0.0)


@pytest.mark.parametrize(
    ("number", "kind", "applies"),
    [  # the table "which defects apply to which timber element" (from memory)
        (31, "settlement", False),
        (117, "settlement", False),
        (117, "camber", False),
        (135, "camber", True),
        (216, "settlement", True),
        (228, "scour", True),
        (332, "split", True),
        (332, "scour", False),
        (510, "pothole", True),
        (510, "surface_decay", False),
    ],
)
def test_which_defects_bear_on_which_element(number, kind, applies):
    assert (kind in APPLIES[number]) is applies


def test_state_four_is_never_proposed_and_is_kept():
    found = [taken(condition_state=4)]
    assert proposed_states(number=117, total=180.0, affected=found).states == (178.0, 0.0, 2.0, 0.0)
    kept = proposed_states(number=117, total=180.0, affected=found, given_cs4=6.0)
    assert kept.states == (172.0, 0.0, 2.0, 6.0)


one = st.builds(
    taken,
    kind=st.sampled_from(["surface_decay", "wear", "check", "split", "crack", "broken", "moisture", "scour"]),
    member_number=st.one_of(st.none(), st.integers(1, 10)),
    station_ft=st.one_of(st.none(), st.floats(0, 18)),
    extent_ft=st.one_of(st.none(), st.floats(0, 40)),
    depth_in=st.one_of(st.none(), st.floats(0, 16)),
    condition_state=st.sampled_from([None, 1, 2, 3, 4]),
)


@given(st.lists(one, max_size=12), st.floats(0.5, 5000), st.floats(0, 6000))
def test_states_always_add_up_and_none_is_below_zero(found, total, severe):
    made = proposed_states(number=117, total=total, affected=[each for each in found if each], given_cs4=severe)
    assert sum(made.states) == pytest.approx(total)
    assert all(state >= 0 for state in made.states)
    names = ("cs1", "cs2", "cs3", "cs4")
    row = {"number": 117, "unit": "ft", "total": total, **dict(zip(names, made.states, strict=True))}
    assert element_faults(row) == []


@given(st.lists(one, max_size=8), one)
def test_one_finding_more_never_adds_to_state_one(found, more):
    def states(findings):
        return proposed_states(number=117, total=180.0, affected=[each for each in findings if each]).states

    without, having = states(found), states([*found, more])
    assert having[0] <= without[0] and having[2] >= without[2]
