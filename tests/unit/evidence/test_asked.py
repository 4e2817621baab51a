"""What is asked for when an inspection goes back: only what the evidence table knows, marked by what stands now."""

import pytest

from inspections.rules.asked import MOST_ROWS, asked_faults, asked_rows, may_ask, with_answers

DECAY = {"kind": "surface_decay", "depth_in": 1.0, "face": "bottom", "note": "", "photos": {"kept:1"}}
FOUND = {"a": DECAY}
VISIT = {"notes": "", "deck_rating": "6"}


def ask(*rows):
    made, faults = asked_rows(rows, FOUND, VISIT)
    assert faults == []
    return made


def after(rows, change=None, reasons=(), visit=None):
    found = {"a": DECAY | change} if change is not None else {}
    return [row["answered"] for row in with_answers(rows, found, VISIT | (visit or {}), reasons)]


def test_a_field_is_answered_by_another_value_and_not_by_the_same():
    rows = ask({"finding": "a", "field": "depth_in", "words": "Probe deeper."})
    assert after(rows, {}) == [False]
    assert after(rows, {"depth_in": 1.5}) == [True]
    assert after(rows, {"depth_in": None}) == [False]


def test_a_photograph_is_answered_by_a_new_one():
    rows = ask({"finding": "a", "field": "photo"})
    assert rows[0]["words"] == "Give a photograph."
    assert after(rows, {"photos": {"kept:1"}}) == [False]
    assert after(rows, {"photos": {"kept:1", "sent:9"}}) == [True]


def test_words_alone_and_what_cannot_be_given_are_answered_in_words():
    rows = ask({"finding": "", "field": "", "words": "Was the deck wet?"}, {"finding": "a", "field": "depth_in"})
    assert after(rows, {"depth_in": 2}) == [False, True]
    said = [row | {"why_not": "It had rained."} for row in rows[:1]]
    assert after(rows, {}, said) == [True, False]
    assert after(rows, {}, [row | {"why_not": "   "} for row in rows]) == [False, False]


def test_a_finding_taken_out_needs_words():
    rows = ask({"finding": "a", "field": "depth_in"})
    assert after(rows) == [False]
    assert after(rows, None, [rows[0] | {"why_not": "It was dirt."}]) == [True]


def test_a_mark_follows_what_stands_and_not_what_stood():
    """Given, then emptied again: open again."""
    rows = ask({"finding": "", "field": "notes"})
    given = with_answers(rows, FOUND, VISIT | {"notes": "seen"})
    assert given[0]["answered"]
    assert not with_answers(given, FOUND, VISIT)[0]["answered"]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({"finding": "b", "field": "note"}, "not one of this inspection"),
        ({"finding": "a", "field": "force_lb"}, "not a field"),
        ({"finding": "", "field": "depth_in"}, "not a field"),
        ({"finding": "a", "field": "", "words": " "}, "say in words"),
    ],
)
def test_what_the_table_does_not_know_cannot_be_asked(row, words):
    rows, (fault,) = asked_rows([row], FOUND, VISIT)
    assert rows == [] and words in fault


def test_not_more_than_a_person_reads():
    _rows, (fault,) = asked_rows([{"finding": "a", "field": "note"}] * (MOST_ROWS + 1), FOUND, VISIT)
    assert str(MOST_ROWS) in fault


def test_reasons_in_a_wild_form_are_no_reasons():
    rows = ask({"finding": "a", "field": "depth_in"})
    assert after(rows, {}, ["x", None, {"finding": ["a"], "why_not": "x"}, {"why_not": "x"}]) == [False]


def test_each_open_row_is_one_sentence_naming_its_finding():
    rows = ask({"finding": "a", "field": "depth_in"}, {"finding": "a", "field": "photo"})
    marked = with_answers(rows, {"a": DECAY | {"depth_in": 3}}, VISIT)
    (sentence,) = asked_faults(marked, lambda row: "finding 1 (decay): ")
    assert "finding 1 (decay): Give a photograph." in sentence


def test_every_kind_may_be_asked_for_a_photograph():
    assert {"photo", "note"} <= set(may_ask("bar_force")) and "depth_in" in may_ask("surface_decay")
    assert may_ask("nonsense") == ("photo", "note", "condition_state")
