"""What makes a critical finding: the least list of 23 CFR 650.313(q), as a State's manual restates it (second hand):
components 01 to 04 at 2 or less, scour or channel at 2 or less, an imminent threat to the public, closure.
"""

import uuid

import pytest

from inspections.rules.critical import (
    critical_of,
    critical_of_restriction,
    identity_from,
    is_critical_code,
    joined,
)
from inspections.vocabulary.findings import CriticalKind


def kinds(inspection: dict, findings=()) -> list[CriticalKind]:
    return [row.kind for row in critical_of(inspection, findings)]


@pytest.mark.parametrize("part", ["deck_rating", "superstructure_rating", "substructure_rating", "culvert_rating"])
def test_a_component_at_two_is_critical_and_at_three_is_not(part):
    assert kinds({part: "2"}) == [CriticalKind.COMPONENT]
    assert kinds({part: "3"}) == []


@pytest.mark.parametrize("part", ["channel_rating", "scour_rating"])
def test_scour_or_channel_at_two_is_critical_and_at_three_is_not(part):
    assert kinds({part: "2"}) == [CriticalKind.SCOUR]
    assert kinds({part: "3"}) == []


def test_two_low_components_are_one_finding_that_names_both():
    (row,) = critical_of({"deck_rating": "1", "substructure_rating": "2"}, [])
    assert row.words == "Rated 2 or less: deck 1, substructure 2."


@pytest.mark.parametrize("code", ["", None, "N", "3", "9", "²"])
def test_only_digits_of_two_or_less_count(code):
    assert not is_critical_code(code)


def test_a_broken_member_is_a_threat_with_its_place():
    (row,) = critical_of({}, [{"kind": "broken", "where": "span 1, stringer 4"}])
    assert row.kind == CriticalKind.THREAT
    assert "broken or missing (span 1, stringer 4)" in row.words


def test_an_ordinary_finding_proposes_nothing():
    assert kinds({"deck_rating": "6"}, [{"kind": "surface_decay", "face": "top", "depth_in": 0.25}]) == []


def test_a_closing_is_critical_and_one_from_the_old_record_is_not():
    made = critical_of_restriction(restriction="closed", source="immediate", reason="Pile gone.")
    assert made.kind == CriticalKind.CLOSURE
    assert made.words == "The bridge was closed. Pile gone."
    assert critical_of_restriction(restriction="closed", source="record", reason="") is None


def test_a_posting_at_once_is_critical_and_an_adopted_one_is_not():
    made = critical_of_restriction(restriction="posted", source="immediate", reason="")
    assert made.kind == CriticalKind.RESTRICTION
    assert critical_of_restriction(restriction="posted", source="adopted", reason="") is None


def test_what_does_not_fit_is_counted():
    sentences = [f"Sentence number {number} of twenty." for number in range(20)]
    said = joined(sentences, limit=200)
    assert len(said) <= 200
    kept = said.count("Sentence number")
    assert said.endswith(f"And {20 - kept} more: see the inspection.")


def test_one_endless_word_is_cut_and_says_so():
    assert joined(["a b " + "x" * 900]).endswith(" ...")


def test_the_same_inspection_and_kind_have_one_identity():
    inspection = uuid.UUID(int=7)
    assert identity_from(inspection, "threat") == identity_from(inspection, "threat")
    assert identity_from(inspection, "threat") != identity_from(inspection, "scour")
