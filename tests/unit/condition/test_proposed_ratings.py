"""Proposals of component ratings: the national scale's own words (SNBI, component conditions, from memory), and laws.

The table from sizes to severity is a model, so its numbers are not held here; that it never rewards damage is."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.rules.finding_state import OnMember
from inspections.rules.proposed_ratings import (
    CODES,
    STEPS,
    Earlier,
    ElementShare,
    StreamFacts,
    extent_of,
    propose_channel,
    propose_ratings,
    propose_scour,
    seen_of,
    table_json,
    table_rows,
)
from inspections.rules.proposed_ratings.table import Severity
from inspections.vocabulary.findings import FindingKind

STRINGER = OnMember(role="stringer", width_in=6.0, depth_in=16.0, span_ft=18.0, count=10)
COUNTS = {"deck": 40, "superstructure": 10, "substructure": 2}


def proposed(findings, *, elements=(), earlier=None, member=STRINGER):
    seen = [seen_of(each, member, member_key=1) for each in findings]
    return propose_ratings(seen=seen, elements=elements, member_counts=COUNTS, earlier=earlier)


def code(findings, part="superstructure", **more):
    rating = proposed(findings, **more)[part].rating
    return 10 if rating == "" else int(rating)


def decay(number, depth_in, **more):
    return {"kind": "surface_decay", "span_index": 1, "member_number": number, "station_ft": 8.0, "extent_ft": 2.0,
            "face": "bottom", "depth_in": depth_in} | more  # fmt: skip


# SNBI component scale (from memory): 7 some minor; 6 widespread minor or isolated moderate; 5 some moderate;
# 4 widespread moderate or isolated major; 3 major; 2 severely compromised.
def test_the_codes_are_those_of_the_scale():
    assert CODES == {
        ("minor", "isolated"): 7,
        ("minor", "some"): 7,
        ("minor", "widespread"): 6,
        ("moderate", "isolated"): 6,
        ("moderate", "some"): 5,
        ("moderate", "widespread"): 4,
        ("major", "isolated"): 4,
        ("major", "some"): 3,
        ("major", "widespread"): 2,
    }


@pytest.mark.parametrize(
    ("findings", "expected"),
    [
        # 1 in of 16 in is 6 %, state 2, minor; 2 in is 12.5 %, state 3, moderate; 4 in is 25 %, major.
        ([decay(4, 1.0)], 7),
        ([decay(n, 1.0) for n in range(1, 7)], 6),
        ([decay(4, 2.0)], 6),
        ([decay(n, 2.0) for n in (2, 5)], 5),
        ([decay(n, 2.0) for n in (2, 5, 6, 8)], 4),
        ([decay(4, 4.0)], 4),
        ([decay(n, 4.0) for n in (2, 5)], 3),
        ([decay(n, 4.0) for n in (2, 5, 6, 8)], 2),
        ([{"kind": "broken", "span_index": 1, "member_number": 4}], 3),
    ],
)
def test_severity_and_extent_give_the_code_of_the_scale(findings, expected):
    assert code(findings) == expected


def test_two_findings_on_one_member_are_one_place():
    twice = [decay(4, 2.0), decay(4, 2.0, station_ft=1.0, face="top")]
    assert code(twice) == code([decay(4, 2.0)])


def test_the_reasons_name_the_finding_and_the_words_of_the_code():
    said = " ".join(proposed([decay(4, 4.0)])["superstructure"].reasons)
    for word in ("Decay on a face, span 1, stringer 4, at 8 ft", "25%", "Code 4", "isolated major"):
        assert word in said


def test_nothing_found_and_nothing_rated_before_proposes_nothing_and_says_so():
    for proposal in proposed([]).values():
        assert proposal.rating == "" and "Nothing is proposed" in proposal.reasons[0]


def test_surfacing_is_no_part_of_the_decks_rating():
    crack = {"kind": "surface_crack", "span_index": 1, "station_ft": 5.0, "value_in": 0.5}
    assert proposed([crack], member=None)["deck"].rating == ""


def test_the_last_rating_bounds_the_proposal_unless_repair_is_on_record():
    before = Earlier(code="5", on=date(2024, 5, 14))
    assert code([decay(4, 1.0)], earlier={"superstructure": before}) == 5
    repaired = Earlier(code="5", on=date(2024, 5, 14), repaired_on=date(2025, 6, 1))
    made = proposed([decay(4, 1.0)], earlier={"superstructure": repaired})["superstructure"]
    assert made.rating == "7" and any("Repair is on record" in reason for reason in made.reasons)
    assert code([], earlier={"superstructure": repaired}) == 10
    assert code([decay(4, 4.0)], earlier={"superstructure": before}) == 4


def test_a_component_that_is_not_there_gets_no_number():
    made = proposed([decay(4, 4.0)], earlier={"superstructure": Earlier(code="N")})["superstructure"]
    assert made.rating == "" and "not applicable" in made.reasons[0]


def test_a_slab_type_deck_is_coded_deck_and_superstructure_from_the_same_member():
    """SNBI asks for both on slab bridges (from memory)."""
    lamination = OnMember(role="lamination", width_in=1.5, depth_in=12.0, span_ft=24.0, count=128)
    made = proposed([decay(7, 3.0)], member=lamination)
    assert made["deck"].rating == made["superstructure"].rating == "4"


def test_elements_in_state_four_are_major():
    element = ElementShare(number=117, words="117 Timber stringer", shares=(0.0, 0.0, 0.05))
    assert code([], elements=[element]) == 4
    element = ElementShare(number=117, words="117 Timber stringer", shares=(0.0, 0.5, 0.0))
    assert code([], elements=[element]) == 4


KINDS = [kind.value for kind in FindingKind]
SIZES = ("depth_in", "width_in", "height_in", "extent_ft", "value_in", "wave_time_us_per_ft", "moisture_pct")
number = st.one_of(st.none(), st.floats(0, 20, allow_nan=False))
finding = st.fixed_dictionaries(
    {
        "kind": st.sampled_from(KINDS),
        "span_index": st.integers(1, 2),
        "member_number": st.one_of(st.none(), st.integers(1, 10)),
        "station_ft": st.floats(0, 18),
        "face": st.sampled_from(["", "top", "bottom", "left", "right", "end"]),
        "depth_in": number,
        "width_in": number,
        "height_in": number,
        "extent_ft": number,
        "value_in": number,
        "moisture_pct": st.one_of(st.none(), st.floats(5, 60)),
        "resistance_pct": st.one_of(st.none(), st.floats(0, 120)),
        "wave_time_us_per_ft": st.one_of(st.none(), st.floats(100, 900)),
        "force_method": st.sampled_from(["", "lift_off", "hand_loose"]),
        "condition_state": st.sampled_from([None, 1, 2, 3, 4]),
    }
)
earlier_codes = st.sampled_from([None, "9", "7", "5", "3", "N"])


def lowest_codes(findings, code_before):
    earlier = {} if code_before is None else {part: Earlier(code=code_before) for part in COUNTS}
    made = proposed(findings, earlier=earlier)
    return {part: 10 if each.rating == "" else int(each.rating) for part, each in made.items()}


@settings(max_examples=50, deadline=None)
@given(st.lists(finding, max_size=8), earlier_codes, st.randoms(use_true_random=False))
def test_the_order_of_findings_does_not_matter(findings, before, random):
    shuffled = list(findings)
    random.shuffle(shuffled)
    earlier = {} if before is None else {part: Earlier(code=before) for part in COUNTS}
    assert proposed(findings, earlier=earlier) == proposed(shuffled, earlier=earlier)


@settings(max_examples=50, deadline=None)
@given(st.lists(finding, max_size=6), finding, earlier_codes)
def test_one_finding_more_never_raises_a_proposal(findings, more, before):
    less, now = lowest_codes(findings, before), lowest_codes([*findings, more], before)
    assert all(now[part] <= less[part] for part in COUNTS)


@settings(max_examples=100, deadline=None)
@given(st.lists(finding, max_size=4), finding, st.sampled_from(SIZES), st.floats(0.01, 10), earlier_codes)
def test_a_worse_finding_never_raises_a_proposal(others, one, size, growth, before):
    """Larger in any size that was given; more sag is a lower value."""
    if one[size] is None:
        return
    worse = one | {size: one[size] + growth}
    if one["kind"] == "camber" and size == "value_in":
        one, worse = one | {size: -one[size]}, worse | {size: -worse[size]}
    was, now = lowest_codes([*others, one], before), lowest_codes([*others, worse], before)
    assert all(now[part] <= was[part] for part in COUNTS)


@settings(max_examples=100, deadline=None)
@given(st.lists(finding, max_size=6), st.integers(1, 3), earlier_codes)
def test_a_worse_state_never_raises_a_proposal(findings, state, before):
    if not findings:
        return
    was = lowest_codes([findings[0] | {"condition_state": state}, *findings[1:]], before)
    now = lowest_codes([findings[0] | {"condition_state": state + 1}, *findings[1:]], before)
    assert all(now[part] <= was[part] for part in COUNTS)


@given(st.integers(1, 30), st.one_of(st.none(), st.floats(0.0, 1.0)))
def test_more_places_are_never_less_spread(places, share):
    order = ["isolated", "some", "widespread"]
    ranks = [order.index(extent_of(n, share if n > 1 else None)) for n in (places, places + 1)]
    assert ranks == sorted(ranks)


def test_one_and_zero_are_never_proposed():
    """They mean closed (SNBI, from memory): a person closes, not a table."""
    everything = [decay(n, 16.0, kind=kind) for n in range(1, 11) for kind in ("broken", "surface_decay")]
    assert code(everything) == 2


def test_the_table_of_the_page_and_the_file_hold_every_kind_and_the_mark():
    assert len(table_rows()) == len(STEPS) and table_json()["mark"] == "model"
    assert {row["kind"] for row in table_json()["steps"]} == {kind.value for kind in STEPS}
    assert len(table_json()["codes"]) == 9


def test_channel_and_scour_say_nothing_from_one_survey():
    for made in (propose_channel(StreamFacts(surveys=1)), propose_scour(StreamFacts(surveys=1))):
        assert made.rating == "" and made.reasons
    assert propose_channel(StreamFacts(over_water=False)).rating == "N"


def test_a_bed_below_the_footing_is_critical():
    """23 CFR 650.313(q): scour condition 2 or less is a critical finding (checked at second hand)."""
    assert propose_scour(StreamFacts(over_water=True, over_foundation_ft=-0.1, surveys=1)).rating == "2"


@given(st.floats(-5, 20), st.floats(0, 5), st.floats(-10, 10), st.floats(0, 5))
def test_a_lower_bed_never_raises_the_scour_rating(lowered, more, over, less):
    def rating(lowered_ft, over_ft):
        facts = StreamFacts(over_water=True, lowered_ft=lowered_ft, over_foundation_ft=over_ft, surveys=3)
        found = propose_scour(facts).rating
        return 10 if found == "" else int(found)

    assert rating(lowered + more, over - less) <= rating(lowered, over)


def test_holes_at_a_foundation_are_rated_by_the_table_and_more_or_deeper_never_raises():
    """Isolated moderate 6, isolated major 4, some major 3 (descriptions of the SNBI scale [memory])."""
    moderate, major = ("a hole", Severity.MODERATE), ("a deep hole", Severity.MAJOR)

    def scour(*found):
        return int(propose_scour(StreamFacts(over_water=True, scour_findings=found)).rating)

    assert (scour(moderate), scour(major), scour(major, major, major)) == (6, 4, 3)
    assert scour(major, moderate) <= scour(major) and scour(moderate, moderate) <= scour(moderate)
