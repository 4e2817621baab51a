"""The rows of the evidence table: whole, of one language, and saying what the trade asks for."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.models import Finding
from inspections.rules import evidence_table as table_module
from inspections.rules.evidence import EVIDENCE, is_grave, missing_from, questions_of, wanted_of
from inspections.rules.evidence_kinds import EVERY
from inspections.rules.evidence_readings import READINGS
from inspections.rules.evidence_table import evidence_table
from inspections.rules.evidence_terms import When, holds, in_figures
from inspections.rules.grave import grave_sentences
from inspections.vocabulary.findings import FindingKind
from tests.makers.hostile_findings import findings

OPERATORS = {"is", "isnt", "in", "below", "above", "least", "under", "over", "off", "given"}
KNOWN = {"before", "member", "bar", "span"}
ROWS = [*EVIDENCE.values(), EVERY]
BROKEN = {"kind": "broken", "span_index": 1, "member": 3, "member_number": 2}


def _conditions(row):
    for needs in row.further:
        yield from needs.when
    for asks in row.questions:
        yield from asks.when
    for way in row.grave:
        yield from way


@pytest.mark.parametrize("row", ROWS)
def test_every_word_of_a_row_is_known(row):
    columns = {field.name for field in Finding._meta.concrete_fields}
    for needs in row.further:
        assert set(needs.fields) <= set(READINGS)
    for asks in row.questions:
        assert asks.field in READINGS and asks.when, "a question without a condition is always asked"
        assert ("{other}" in asks.words) <= bool(asks.when[0].of)
    for when in _conditions(row):
        assert when.op in OPERATORS and when.field in columns
        owner, _, name = when.of.rpartition(".")
        assert not when.of or owner in {*KNOWN, ""}
        assert bool(when.of) == (when.op in ("under", "over", "off"))


def test_the_table_is_plain_data_and_its_version_follows_its_content(monkeypatch):
    table = evidence_table()
    assert json.loads(json.dumps(table)) == table
    assert set(table["kinds"]) == set(FindingKind)
    assert {kind for group in table["groups"] for kind in group["kinds"]} == set(FindingKind)
    assert evidence_table()["version"] == table["version"]
    monkeypatch.setattr(table_module, "BEYOND_FT", 2.0)
    table_module._as_text.cache_clear()
    try:
        assert evidence_table()["version"] != table["version"]
    finally:
        monkeypatch.undo()
        table_module._as_text.cache_clear()


def test_who_asks_for_the_table_cannot_change_it():
    evidence_table()["kinds"].clear()
    assert evidence_table()["kinds"]


@given(findings())
def test_grave_by_the_table_is_grave_by_its_sentences(finding):
    """Second method: the sentences of rules/grave, which the rating and the engineer's desk use."""
    plain = {name: value if not isinstance(value, str) or name in ("kind", "face", "force_method", "note") else None
             for name, value in finding.items()}  # fmt: skip
    if plain.get("kind") in EVIDENCE:
        assert is_grave(plain) == bool(grave_sentences(plain))


@pytest.mark.parametrize(
    "finding",
    [
        BROKEN,
        {"kind": "crack", "span_index": 1, "member": 3, "member_number": 2, "station_ft": 4, "face": "bottom",
         "depth_in": 1},
        {"kind": "camber", "span_index": 1, "value_in": -0.5},
        {"kind": "slip", "span_index": 1, "station_ft": 4, "value_in": 0.375},
        {"kind": "crushing", "span_index": 1, "depth_in": 0.25, "bar": 9},
        {"kind": "pothole", "span_index": 1, "station_ft": 4, "condition_state": 4},
    ],
)  # fmt: skip
def test_what_is_grave_is_shown_or_said_why_not(finding):
    """A photograph of what closes a bridge: common practice, no source."""
    (wanted,) = wanted_of(finding)
    assert wanted.field == "note" and "photograph" in wanted.words
    assert missing_from(finding | {"photo": 12}) == []
    assert missing_from(finding | {"note": "dark, and the water was high"}) == []


def test_what_is_small_needs_no_photograph():
    assert missing_from({"kind": "camber", "span_index": 1, "value_in": 0.5}) == []
    assert missing_from({"kind": "slip", "span_index": 1, "station_ft": 4, "value_in": 0.25}) == []
    assert missing_from({"kind": "crushing", "span_index": 1, "depth_in": 0.125, "bar": 9}) == []


def asked(finding, **known):
    return [told.words for told in questions_of(finding, known)]


def test_a_meter_only_says_wet_above_30_percent():
    """Above fibre saturation, near 30 percent, resistance meters do not read true (Wood Handbook chapter 4, memory)."""
    reading = {"kind": "moisture", "moisture_pct": 30}
    assert asked(reading) == []
    (words,) = asked(reading | {"moisture_pct": 31})
    assert "31 %" in words and "wet" in words


def test_a_force_far_from_the_last_is_asked_about_both_ways():
    """Half of 40,000 is 20,000: asked about under 20,000 and over 60,000."""
    bar = {"last_force_lb": 40_000}
    for force, is_asked in ((19_999, True), (20_000, False), (60_000, False), (60_001, True)):
        reading = {"kind": "bar_force", "force_method": "lift_off", "force_lb": force}
        assert bool(asked(reading, bar=bar)) is is_asked
        assert asked(reading) == [] == asked(reading, bar={"last_force_lb": None})


def test_decay_does_not_grow_back_unless_the_inspector_says_so():
    decay = {"kind": "surface_decay", "depth_in": 1.0}
    (words,) = asked(decay, before={"depth_in": 2.0})
    assert "2 in" in words and "1 in" in words
    assert asked(decay | {"change": "less"}, before={"depth_in": 2.0}) == []
    assert asked(decay | {"change": "gone"}, before={"depth_in": 2.0}) == []
    assert asked(decay, before={"depth_in": 1.0}) == [] == asked(decay, before=None)


def test_a_sag_and_a_place_past_the_end_are_asked_about():
    assert "sags" in asked({"kind": "camber", "value_in": -1})[0]
    assert "past the end" in asked({"kind": "pothole", "station_ft": 18.5}, span={"length_ft": 18})[0]
    assert asked({"kind": "pothole", "station_ft": 18}, span={"length_ft": 18}) == []


def test_more_than_half_a_member_is_asked_about_by_the_face():
    member = {"width_in": 6.0, "depth_in": 16.0}
    decay = {"kind": "surface_decay", "depth_in": 3.5}
    assert asked(decay | {"face": "bottom"}, member=member) == []
    assert "6 in wide" in asked(decay | {"face": "left"}, member=member)[0]


@pytest.mark.parametrize("value", [True, float("nan"), float("inf"), "4", None])
def test_what_is_no_number_meets_no_condition_on_a_number(value):
    for op in ("below", "above", "least"):
        assert not holds(When("depth_in", op, 4), {"depth_in": value})
    assert not holds(
        When("depth_in", "off", 0.1, of="before.depth_in"), {"depth_in": value}, {"before": {"depth_in": 4}}
    )


@pytest.mark.parametrize(
    ("value", "words"),
    [(0, "0"), (-0.0, "0"), (12.0, "12"), (0.75, "0.75"), (-0.5, "-0.5"), (250_000, "250000"), (0.03125, "0.0313"),
     (1 / 3, "0.3333"), (-0.00001, "0"), (1e20, "a number far too large")],
)  # fmt: skip
def test_numbers_in_words(value, words):
    """Rounded half up at the fourth digit: 0.03125 is 0.0313."""
    assert in_figures(value) == words


@given(st.floats(-1e9, 1e9))
def test_a_number_in_words_is_the_number(value):
    assert float(in_figures(value)) == pytest.approx(value, abs=5.1e-5)
