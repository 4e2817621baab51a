"""What is missing before a span can be rated (what each system needs: trade practice, no single source)."""

from dataclasses import replace

import pytest

from inventory.rules.completeness import MemberFacts, SpanFacts, StructureFacts, missing_before_rating

STRINGERS = MemberFacts(role="stringer", count=8, spacing_ft=2.0, species="Douglas Fir-Larch", grade="No. 1")
SPAN = SpanFacts(index=1, length_ft=18.0, system="sawn_stringer", members=(STRINGERS,), deck_thickness_in=3.0)
BRIDGE = StructureFacts(spans=(SPAN,), span_count=1, max_span_ft=18.0, roadway_width_ft=20.0)
LAMINATIONS = MemberFacts(role="lamination", count=60, species="Red Oak", grade="No. 2")
SQUEEZED = SpanFacts(
    index=1,
    length_ft=24.0,
    system="stress_laminated",
    members=(LAMINATIONS,),
    has_stressing=True,
    bar_count=8,
    usable_bar_count=8,
    design_force_lb=40_000,
)
SQUEEZED_BRIDGE = replace(BRIDGE, spans=(SQUEEZED,), has_bar_reading=True)


def test_complete_bridges_lack_nothing():
    assert missing_before_rating(BRIDGE) == []
    assert missing_before_rating(SQUEEZED_BRIDGE) == []


def test_a_record_alone():
    (sentence,) = missing_before_rating(StructureFacts(span_count=3, max_span_ft=28.87, roadway_width_ft=20.0))
    assert "No span is entered" in sentence and "3 spans, the longest 28.9 ft" in sentence


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        (replace(BRIDGE, span_count=2), "1 of the 2 spans"),
        (replace(BRIDGE, roadway_width_ft=None), "roadway width"),
        (replace(BRIDGE, surface_material="asphalt"), "no layer is entered"),
        (replace(BRIDGE, recorded_faults=("048 0, item 48 cannot be zero",)), "was not taken"),
        (replace(BRIDGE, spans=(replace(SPAN, length_ft=None),)), "length centre to centre"),
        (replace(BRIDGE, spans=(replace(SPAN, length_ft=0),)), "length centre to centre"),
        (replace(BRIDGE, spans=(replace(SPAN, system="unknown"),)), "system is not chosen"),
        (replace(BRIDGE, spans=(replace(SPAN, members=()),)), "no members are entered"),
        (replace(BRIDGE, spans=(replace(SPAN, deck_thickness_in=None),)), "no thickness"),
        (replace(BRIDGE, spans=(replace(SPAN, members=(replace(STRINGERS, grade=""),)),)), "bending value"),
        (replace(BRIDGE, spans=(replace(SPAN, members=(replace(STRINGERS, grade="", fb_psi=1000),)),)), "shear value"),
        (replace(BRIDGE, spans=(replace(SPAN, members=(replace(STRINGERS, spacing_ft=None),)),)), "no spacing"),
        (replace(BRIDGE, spans=(replace(SPAN, members=(LAMINATIONS,)),)), "no stringer is entered"),
        (replace(SQUEEZED_BRIDGE, has_bar_reading=False), "No bar force reading"),
        (replace(SQUEEZED_BRIDGE, spans=(replace(SQUEEZED, has_stressing=False),)), "stressing system"),
        (replace(SQUEEZED_BRIDGE, spans=(replace(SQUEEZED, bar_count=0, usable_bar_count=0),)), "no bars"),
        (replace(SQUEEZED_BRIDGE, spans=(replace(SQUEEZED, usable_bar_count=0),)), "fit for use"),
        (replace(SQUEEZED_BRIDGE, spans=(replace(SQUEEZED, design_force_lb=None),)), "design force"),
    ],
)
def test_each_gap_is_one_sentence(facts, words):
    (sentence,) = missing_before_rating(facts)
    assert words in sentence and sentence.endswith(".")


def test_values_with_their_source_need_no_species():
    member = replace(STRINGERS, species="", grade="", fb_psi=1450, fv_psi=85)
    assert missing_before_rating(replace(BRIDGE, spans=(replace(SPAN, members=(member,)),))) == []
