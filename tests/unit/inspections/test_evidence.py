"""One evidence table for form and server: whole, sensible, and it refuses in sentences."""

import pytest

from inspections.models import Finding
from inspections.rules.completeness import submission_faults
from inspections.rules.evidence import (
    EVIDENCE,
    READINGS,
    element_faults,
    evidence_faults,
    missing_from,
    range_faults,
)
from inspections.vocabulary.findings import FindingKind

DECAY = {
    "kind": "surface_decay",
    "span_index": 1,
    "member": 3,
    "member_number": 2,
    "station_ft": 4.0,
    "extent_ft": 2.0,
    "face": "bottom",
    "depth_in": 0.75,
}


def test_every_kind_of_finding_has_its_evidence_and_every_field_is_a_column():
    assert set(EVIDENCE) == set(FindingKind)
    columns = {field.name for field in Finding._meta.concrete_fields}
    assert set(READINGS) <= columns
    for evidence in EVIDENCE.values():
        assert set(evidence.needs) | set(evidence.asks) <= set(READINGS)
        assert not set(evidence.needs) & set(evidence.asks)


def test_a_complete_finding_is_accepted():
    assert evidence_faults(DECAY, 1) == []
    assert range_faults(DECAY, 1, span_ft=18.0) == []


@pytest.mark.parametrize("field", EVIDENCE["surface_decay"].needs)
def test_each_thing_missing_is_asked_for_by_name(field):
    (sentence,) = evidence_faults(DECAY | {field: None}, 3)
    assert sentence.startswith("Finding 3 ") and READINGS[field].label in sentence


def test_a_timber_defect_needs_place_and_size():
    """A member is rated from the place and size of its losses (Manual for Bridge Evaluation, section 4, memory)."""
    for kind in ("surface_decay", "internal_void", "check", "split", "crack", "wear", "drilling"):
        assert {"span_index", "member", "member_number", "station_ft"} <= set(EVIDENCE[kind].needs)
    for kind in ("surface_decay", "check", "wear"):
        assert {"depth_in", "extent_ft", "face"} <= set(EVIDENCE[kind].needs)
    assert {"width_in", "height_in", "extent_ft"} <= set(EVIDENCE["internal_void"].needs)


def test_decay_without_depth_is_not_decay():
    assert "depth_in" in missing_from(DECAY | {"depth_in": 0})


def test_weak_drilling_asks_for_the_size_of_the_zone():
    """75 % of sound resistance is where a zone begins to count as lost (owner policy, model)."""
    drilled = {"kind": "drilling", "span_index": 1, "member": 3, "member_number": 2, "station_ft": 4.0}
    assert missing_from(drilled | {"resistance_pct": 76}) == []
    assert missing_from(drilled | {"resistance_pct": 74}) == ["extent_ft", "width_in", "height_in"]


def test_a_bar_reading_needs_its_force_unless_the_bar_is_loose_to_the_hand():
    reading = {"kind": "bar_force", "bar": 1}
    assert missing_from(reading | {"force_method": "lift_off"}) == ["force_lb"]
    assert missing_from(reading | {"force_method": "hand_loose"}) == []
    assert missing_from(reading | {"force_method": "lift_off", "force_lb": 0}) == []


@pytest.mark.parametrize(
    ("field", "value"), [("depth_in", -0.1), ("station_ft", -1), ("moisture_pct", 400), ("force_lb", 9e6)]
)
def test_what_cannot_be_is_refused_with_its_range(field, value):
    (sentence,) = range_faults({"kind": "other", field: value}, 2)
    assert sentence.startswith("Finding 2 (other)") and "outside" in sentence


@pytest.mark.parametrize("value", ["two", True, float("nan")])
def test_what_is_no_number_is_refused(value):
    assert len(range_faults({"kind": "other", "depth_in": value}, 1)) == 1


def test_a_place_beyond_the_span_is_refused():
    assert range_faults(DECAY | {"station_ft": 18.0}, 1, span_ft=18.0) == []
    assert "beyond the span" in range_faults(DECAY | {"station_ft": 25.0}, 1, span_ft=18.0)[0]


def test_end_grain_can_decay_but_not_wear():
    assert range_faults(DECAY | {"face": "end"}, 1) == []
    assert "face must be" in range_faults(DECAY | {"kind": "wear", "face": "end"}, 1)[0]


# Quantities by condition state add up to the total: AASHTO Manual for Bridge Element Inspection (memory).
def test_element_quantities_must_add_up():
    row = {"number": 111, "unit": "ft", "total": 180, "cs1": 100, "cs2": 60, "cs3": 20, "cs4": 0}
    assert element_faults(row) == []
    (sentence,) = element_faults(row | {"cs3": 30})
    assert "190" in sentence and "180" in sentence
    assert element_faults(row | {"cs1": 100.4}) == []
    assert element_faults(row | {"cs1": -100, "cs2": 260})
    assert element_faults(row | {"cs4": None})
    assert element_faults(row | {"total": 0, "cs1": 0, "cs2": 0, "cs3": 0})


def test_submission_wants_date_and_ratings(now):
    today = now.date()
    faults = submission_faults({"kind": "routine", "deck_rating": "7"}, [], today)
    assert any("day on which" in fault for fault in faults)
    assert any("superstructure" in fault and "substructure" in fault and "deck" not in fault for fault in faults)
    culvert = {"kind": "routine", "field_completed_on": today, "culvert_rating": "6"}
    assert submission_faults(culvert, [], today) == []
    assert submission_faults({"kind": "bar_check", "field_completed_on": today}, [], today)
    assert not submission_faults({"kind": "bar_check", "field_completed_on": today}, [{"kind": "bar_force"}], today)
    ahead = today.replace(year=today.year + 1)
    assert "still to come" in submission_faults({"kind": "special", "field_completed_on": ahead}, [], today)[0]
