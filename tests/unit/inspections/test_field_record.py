"""The form of a record from the field: whatever is put anywhere, sentences come back and nothing breaks."""

from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, given, settings

from inspections.actions.field.inspection_values import comparable, element_values, finding_values, visit_values
from inspections.rules.field_record import envelope_faults, format_faults
from inspections.rules.field_text import read_record, storable
from inspections.rules.refusals import Refused
from tests.makers.field_records import inspection_record
from tests.makers.hostile_records import ANYTHING, PLACES, changed

BRIDGE = SimpleNamespace(pk=7, number="Q-7")
FINDING = {"identity": "00000000-0000-4000-8000-000000000001", "kind": "other", "note": "x", "repeats_lb": [1.0]}
ELEMENT = {"number": 117, "unit": "ft", "total": 1, "cs1": 1, "cs2": 0, "cs3": 0, "cs4": 0, "note": ""}
PHOTO = {"identity": "00000000-0000-4000-8000-000000000002", "caption": "x", "finding": None}


def whole() -> dict:
    return inspection_record(BRIDGE, findings=[FINDING], photos=[PHOTO]) | {"elements": [ELEMENT], "channel": [{}]}


def test_a_whole_record_has_no_fault():
    assert envelope_faults(whole()) == format_faults(whole()) == []


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(place=PLACES, value=ANYTHING)
def test_anything_anywhere_is_a_fault_in_words_or_can_be_read(place, value):
    record = storable(changed(whole(), place, value))
    faults = format_faults(record)
    assert all(isinstance(sentence, str) and sentence for sentence in faults)
    if not faults:
        comparable(record)
        visit_values(record["inspection"])
        for finding in record.get("findings") or []:
            finding_values(finding)
        for element in record.get("elements") or []:
            element_values(element)


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"x" * (2 * 1024 * 1024 + 1), "2 MB"),
        (b"[1]", "JSON object"),
        (b"\xff", "UTF-8"),
        (b'{"a": Infinity}', "cannot be read"),
        (b'{"a": ' + b"[" * 40 + b"]" * 40 + b"}", "nested"),
        (b'{"a": 90071992547409930}', "number"),
        (b'{"a": [' + b"0," * 100_001 + b"0]}", "divided"),
    ],
)
def test_what_no_record_can_be_is_refused_in_words(raw, words):
    with pytest.raises(Refused, match=words):
        read_record(raw)
