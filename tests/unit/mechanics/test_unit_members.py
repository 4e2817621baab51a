"""Stringers matched from span to span of a unit; what cannot be matched is refused in a sentence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inventory.mechanics.rating import rate_span, rate_structure
from inventory.mechanics.rating.unit_lines import unit_spans
from tests.unit.mechanics.spans import surface
from tests.unit.mechanics.units import factors, found, unit, with_member

SET = ("HS20", "TYPE3", "TYPE3-3")


def test_a_stringer_damaged_in_one_span_is_sound_in_the_next():
    """The damaged one is matched with the sound ones of the same place; they are matched with each other."""
    one, two = unit(count=8)
    inner = replace(one.members[0], label="inner stringers")
    hurt = replace(inner, label="stringer 3", losses=(surface(1.0, "bottom", 5, 9),))
    rating = rate_structure((replace(one, members=(inner, hurt)), replace(two, members=(inner,))), SET)
    assert rating.is_rated
    sound = rate_structure((replace(one, members=(inner,)), replace(two, members=(inner,))), SET)
    mine = {key: value for key, value in factors(rating).items() if key[2] == "inner stringers"}
    assert mine == factors(sound)
    assert rating.governing[0].member == "stringer 3"


def test_the_harsher_share_of_the_spans_counts_for_the_line():
    """One span recorded with one lane, the other with two: the line is rated with two."""
    one, two = unit()
    mixed = found(rate_structure((replace(one, lanes_loaded=1), two), SET), "TYPE3", "bending", span="1")
    assert mixed.distribution_factor == pytest.approx(2 / 3.75)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda a, b: (a, with_member(b, spacing_ft=2.5)), "2 ft of spacing and 2.5 ft in span 2"),
        (lambda a, b: (a, with_member(b, exterior=True, count=8)), "no inside stringer in span 2"),
        (lambda a, b: (a, replace(b, system="nail_laminated_deck")), "span 2 is a nail laminated deck; only stringers"),
        (lambda a, b: (a, replace(b, members=b.members * 2)), "two members of span 2 have one name"),
        (lambda a, b: (a, replace(b, continuous_unit="V")), "Unit U: 1 span side by side run through"),
        (lambda a, b: (a, replace(b, span_ft=float("nan"))), "Span 2 of the same unit cannot be rated"),
        (lambda a, b: (replace(a, continuous_unit="", simply_supported=False), b), "which spans it runs through with"),
        (lambda a, b: (a, with_member(b, depth_in=80.0)), "stiffest span over the least stiff"),
    ],
)
def test_what_cannot_be_matched_is_refused_in_a_sentence(change, words):
    rating = rate_structure(change(*unit()), SET)
    assert not rating.is_rated
    assert words in " ".join(rating.reasons)


def test_more_than_five_spans_are_refused_and_five_are_not():
    many = rate_structure(unit(*[15.0] * 6), ("TYPE3",))
    assert "6 spans side by side run through; stringers over 2 to 5 spans are rated" in " ".join(many.reasons)
    assert rate_structure(unit(*[15.0] * 5), ("TYPE3",)).is_rated


def test_two_unlike_stringers_of_one_place_are_not_guessed():
    one, two = unit()
    deep, shallow = (replace(two.members[0], label=f"inside {d:g}", depth_in=d) for d in (14.0, 18.0))
    rating = rate_structure((one, replace(two, members=(deep, shallow))), SET)
    assert "2 unlike stringers of that place in span 2" in " ".join(rating.reasons)


def test_a_span_of_a_unit_is_not_rated_by_itself():
    (one, _two) = unit()
    assert "rate them together" in " ".join(rate_span(one, SET).reasons)
    assert [u and (len(u.cases), u.span_no) for u in unit_spans((replace(one, continuous_unit=""), *unit()))] == [
        None,
        (2, 1),
        (2, 2),
    ]
