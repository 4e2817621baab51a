"""Deck and cap rows reach the rating: what the rows say, what was found on them, what is lacking, and the forms."""

from datetime import date

import pytest

from inspections.assembly.snapshot import Snapshot, assemble_snapshot
from inspections.models import Rating
from inspections.reckoning.rating import rate_snapshot
from inspections.rules.stringer_row import widest_gap
from inventory.models import MemberGroup, Span
from inventory.rules.sizes import member_faults
from tests.app.structures.test_entry import page_values, words
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import rated

pytestmark = [pytest.mark.django_db, pytest.mark.database]
TODAY = date(2026, 7, 1)


@pytest.fixture
def bridge(county):
    """Two spans of 18 ft that meet on a pile cap, with 3 x 12 planks on the first."""
    bridge = make_stringer_bridge(county.agency)
    first = bridge.spans.get()
    group = first.members.get()
    second = Span.objects.get(pk=first.pk)
    second.pk, second.index, second._state.adding = None, 2, True
    second.save()
    group.pk, group.span, group._state.adding = None, second, True
    group.save()
    return bridge


def add_deck(bridge, **changed):
    fields = {
        "role": "deck",
        "count": 1,
        "width_in": 12.0,
        "depth_in": 3.0,
        "product": "sawn",
        "species": "Douglas fir-larch",
        "grade": "No.1",
        "size_class": "dimension, 2 to 4 in thick",
        "runs_over_supports": True,
    } | changed
    return MemberGroup.objects.create(span=bridge.spans.get(index=1), **fields)


def add_cap(bridge, **changed):
    fields = {
        "role": "cap",
        "count": 5,
        "spacing_ft": 4.0,
        "at_end": "far",
        "width_in": 12.0,
        "depth_in": 12.0,
        "bearing_length_in": 12.0,
        "product": "sawn",
        "species": "Douglas fir-larch",
        "grade": "No.1",
        "size_class": "posts and timbers",
    } | changed
    return MemberGroup.objects.create(span=bridge.spans.get(index=1), **fields)


def snapshot(bridge):
    return assemble_snapshot(structure=bridge, as_of=TODAY)


def factors(outcome, member):
    rows = [row for span in outcome.results["spans"] for row in span["results"] if row["member"] == member]
    return {(row["vehicle"], row["limit_state"], row["level"]): row for row in rows}


def test_a_deck_row_becomes_the_deck_of_its_span(bridge):
    add_deck(bridge)
    first, second = snapshot(bridge).cases
    assert second.deck is None
    deck = first.deck
    assert (deck.kind, deck.thickness_in, deck.width_in, deck.continuous) == ("plank", 3.0, 12.0, True)
    assert (deck.support_spacing_ft, deck.support_width_in, deck.support) == (2.0, 6.0, "timber")
    outcome = rate_snapshot(snapshot(bridge))
    # Type 3: s = 21 in, b_t = sqrt(212.5) = 14.577, M = 0.80 x 8500 (21/4 - 14.577/8)/12 = 1942.4 lb-ft per foot;
    # F_b' S = 1000 x 1.15 x 1.2 x 18/12 = 2070 (arithmetic of tests/unit/mechanics/test_transverse_decks.py)
    row = factors(outcome, "deck")["TYPE3", "bending", "inventory"]
    assert (row["live_effect"], row["capacity"]) == pytest.approx((1942.4, 2070.0), abs=0.1)


def test_without_deck_and_cap_rows_nothing_changes(bridge):
    """Old records, old snapshots: the same digest with and without the empty field, and the note stands."""
    plain = snapshot(bridge)
    old = plain.as_dict()
    del old["caps"]
    assert Snapshot.from_dict(old) == plain
    assert Snapshot.from_dict(old).digest == plain.digest
    outcome = rate_snapshot(plain)
    assert any("deck on the stringers is not rated" in note for note in outcome.results["notes"])
    assert [span["label"] for span in outcome.results["spans"]] == ["1", "2"]


def test_rows_bear_on_the_digest_and_come_back(bridge):
    plain = snapshot(bridge).digest
    add_deck(bridge)
    with_deck = snapshot(bridge)
    add_cap(bridge)
    with_cap = snapshot(bridge)
    assert len({plain, with_deck.digest, with_cap.digest}) == 3
    assert Snapshot.from_dict(with_cap.as_dict()) == with_cap
    assert Snapshot.from_dict(with_cap.as_dict()).digest == with_cap.digest


def test_wear_thins_the_deck_and_a_broken_plank_is_a_hole(bridge, county, now):
    deck = add_deck(bridge)
    sound = factors(rate_snapshot(snapshot(bridge)), "deck")["TYPE3", "bending", "inventory"]
    place = {"span_index": 1, "member": deck, "member_number": 1, "station_ft": 8.0}
    wear = place | {"kind": "wear", "extent_ft": 3.0, "face": "top", "depth_in": 0.75}
    rated(bridge, county.people["inspector"], now, findings=[wear])
    worn = factors(rate_snapshot(snapshot(bridge)), "deck")["TYPE3", "bending", "inventory"]
    # 0.75 in and a transition layer of 0.25 in leave 2 of 3 in
    assert worn["capacity"] / sound["capacity"] == pytest.approx(4 / 9)
    rated(bridge, county.people["inspector"], now, findings=[place | {"kind": "broken", "note": "fell"}])
    outcome = rate_snapshot(snapshot(bridge))
    assert outcome.least_factor == 0
    assert outcome.results["close_recommended"]


def test_a_broken_stringer_lets_the_deck_span_two_spacings(bridge, county, now):
    add_deck(bridge)
    stringer = bridge.spans.get(index=1).members.get(role="stringer")
    broken = {"kind": "broken", "span_index": 1, "member": stringer, "member_number": 5, "note": "fell"}
    rated(bridge, county.people["inspector"], now, findings=[broken])
    assert snapshot(bridge).cases[0].deck.support_spacing_ft == 4.0


@pytest.mark.parametrize(
    ("broken", "gap"), [(set(), 1), ({5}, 2), ({5, 6}, 3), ({1}, 1), ({1, 2}, 1), ({3, 7}, 2), (set(range(1, 11)), 1)]
)
def test_widest_gap(broken, gap):
    assert widest_gap(frozenset(broken), 10) == gap


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"species": "", "grade": ""}, "no design value"),
        ({"size_class": "beams and stringers", "grade": "No.9"}, "no design value"),
    ],
)
def test_a_deck_that_cannot_be_rated_is_told_and_the_stringers_are_rated(bridge, changed, said):
    add_deck(bridge, **changed)
    outcome = rate_snapshot(snapshot(bridge))
    assert outcome.is_rated
    assert any("deck is not rated" in note and said in note for note in outcome.results["notes"])


def test_an_unknown_kind_of_deck_is_told(bridge):
    add_deck(bridge)
    bridge.spans.filter(index=1).update(deck_kind="stress_laminated")
    taken = snapshot(bridge)
    assert taken.cases[0].deck is None
    assert any("its kind" in sentence for sentence in taken.assumed)


def test_steel_flanges_of_unknown_width_count_as_nothing(bridge):
    """Unknown counts as absent: the deck spans from centre to centre, 24 in (clear + half of nothing)."""
    add_deck(bridge, on_steel=True)
    taken = snapshot(bridge)
    deck = taken.cases[0].deck
    assert (deck.support, deck.support_width_in) == ("steel", pytest.approx(0.1))
    assert any("flanges is not on record" in sentence for sentence in taken.assumed)
    MemberGroup.objects.filter(role="deck").update(support_width_in=8.0)
    assert snapshot(bridge).cases[0].deck.support_width_in == 8.0


def test_a_cap_row_is_rated_with_the_structure(bridge):
    add_cap(bridge, depth_in=8.0)
    taken = snapshot(bridge)
    (cap,) = taken.caps
    assert (cap.before, cap.after, cap.pile_count, cap.pile_spacing_ft) == ("1", "2", 5, 4.0)
    outcome = rate_snapshot(taken)
    assert [span["label"] for span in outcome.results["spans"]] == ["1", "2", "Cap at the far end of span 1"]
    assert "pile cap, Cap at the far end of span 1" in outcome.governing
    assert any(step["span"] == "Cap at the far end of span 1" for step in outcome.trace)


def test_which_spans_a_cap_holds(bridge):
    for end, index, held in (
        ("near", 1, ("", "1")),
        ("far", 1, ("1", "2")),
        ("near", 2, ("1", "2")),
        ("far", 2, ("2", "")),
    ):
        cap = add_cap(bridge, at_end=end)
        MemberGroup.objects.filter(pk=cap.pk).update(span=bridge.spans.get(index=index))
        (case,) = snapshot(bridge).caps
        assert (case.before, case.after) == held
        cap.delete()


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"at_end": ""}, "which end"),
        ({"spacing_ft": None}, "spacing of its piles"),
        ({"bearing_length_in": None}, "rests on a pile"),
        ({"species": "", "grade": ""}, "no design value"),
    ],
)
def test_a_cap_that_cannot_be_rated_is_told(bridge, changed, said):
    add_cap(bridge, **changed)
    outcome = rate_snapshot(snapshot(bridge))
    assert outcome.is_rated
    assert any("is not rated" in note and said in note for note in outcome.results["notes"])


def test_a_cap_on_one_pile_reaches_the_engineer(bridge):
    add_cap(bridge, count=1)
    outcome = rate_snapshot(snapshot(bridge))
    assert outcome.is_rated
    assert any("not rated, have the engineer" in flag and "piles" in flag for flag in outcome.flags)


def test_findings_on_a_cap(bridge, county, now):
    """Crushing is wet and flagged; a broken cap carries nothing, so the structure closes."""
    cap = add_cap(bridge)
    crushed = {
        "kind": "crushing",
        "span_index": 1,
        "member": cap,
        "member_number": 2,
        "station_ft": 6.0,
        "depth_in": 0.5,
    }
    rated(bridge, county.people["inspector"], now, findings=[crushed])
    taken = snapshot(bridge)
    (loss,) = taken.caps[0].losses
    assert (loss.kind, loss.from_ft, loss.depth_in) == ("crushing", 6.0, 0.5)
    assert taken.caps[0].condition_rating == 6
    assert any("crushed" in flag for flag in rate_snapshot(taken).flags)
    broken = {"kind": "broken", "span_index": 1, "member": cap, "member_number": 1, "note": "fell"}
    rated(bridge, county.people["inspector"], now, findings=[broken])
    taken = snapshot(bridge)
    assert any("Cap at the far end of span 1 is broken" in sentence for sentence in taken.closing)
    assert rate_snapshot(taken).results["close_recommended"]


def test_moisture_makes_a_dry_deck_wet(bridge, county, now):
    deck = add_deck(bridge)
    bridge.spans.update(wet_service=False)
    reading = {
        "kind": "moisture",
        "span_index": 1,
        "member": deck,
        "member_number": 1,
        "station_ft": 4.0,
        "moisture_pct": 24.0,
        "moisture_depth_in": 1.0,
    }
    rated(bridge, county.people["inspector"], now, findings=[reading])
    first = snapshot(bridge).cases[0]
    assert first.deck.wet_service is True
    assert first.wet_service is False


@pytest.mark.parametrize("weak", ["deck", "cap"])
def test_a_governing_deck_or_cap_is_shown_on_the_page_and_the_calculation(bridge, county, client, now, weak):
    add_deck(bridge, depth_in=1.5 if weak == "deck" else 3.0)
    add_cap(bridge, depth_in=6.0 if weak == "cap" else 14.0, width_in=14.0)
    rated(bridge, county.people["inspector"], now)
    rating = Rating.objects.get(structure=bridge)
    assert ("deck, span 1" if weak == "deck" else "pile cap, Cap at the far end of span 1") in rating.governing
    client.force_login(county.people["engineer"])
    for address in (f"/structures/{bridge.pk}/", f"/ratings/{rating.pk}/"):
        shown = client.get(address)
        assert shown.status_code == 200
        assert "Cap at the far end of span 1" in words(shown) or weak == "deck"
        assert "deck" in words(shown)


# the office's forms


def test_the_office_enters_a_cap(bridge, client, county):
    client.force_login(county.people["office"])
    path = f"/structures/{bridge.pk}/spans/{bridge.spans.get(index=1).pk}/members/new/"
    values = page_values(client, path) | {
        "role": "cap",
        "count": "5",
        "spacing_ft": "4",
        "width_in": "12",
        "depth_in": "12",
        "bearing_length_in": "12",
        "unbraced_ft": "0",
        "species": "Douglas fir-larch",
        "grade": "No.1",
        "size_class": "posts and timbers",
        "product": "sawn",
    }
    refused = client.post(path, values)
    assert "which end of the span the cap holds" in words(refused)
    client.post(path, values | {"at_end": "far"})
    cap = MemberGroup.objects.get(role="cap")
    assert (cap.at_end, cap.count) == ("far", 5)
    shown = words(client.get(f"/structures/{bridge.pk}/"))
    assert "Pile cap" in shown and "far end, 5 piles at 4 ft" in shown


def test_sizes_of_decks_and_caps():
    assert "count" in member_faults({"role": "cap", "count": 1, "at_end": "far"}, 20.0)
    assert "at_end" in member_faults({"role": "cap", "count": 4, "at_end": ""}, 20.0)
    assert not member_faults({"role": "cap", "count": 4, "at_end": "near"}, 20.0)
    assert "support_width_in" in member_faults({"role": "deck", "count": 1, "support_width_in": -1.0}, 20.0)
