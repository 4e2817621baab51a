"""Try a change, on the page: beside today's rating, said to be unsaved, refusals at their fields, nothing lost."""

from urllib.parse import urlencode

import pytest

from inspections.models import OwedRating, Rating, Recommendation
from inspections.pages.trial import posting_words
from inventory.models import Event
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.inspected import bar_readings, decay, make_stressed_deck, rated


@pytest.fixture
def bridge(county, now):
    structure = make_stringer_bridge(county.agency)
    rated(structure, county.people["inspector"], now, findings=[decay(structure)])
    return structure


def ask(county, structure, role="engineer", **fields):
    query = urlencode({"try": "1"} | fields) if fields else ""
    return county.client(role).get(f"/structures/{structure.pk}/try/?{query}")


def test_an_overlay_is_shown_beside_today(county, bridge):
    answer = ask(county, bridge, overlay_in="3", overlay_pcf="140")
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "Nothing is saved here" in text and "Answer, not saved" in text
    assert "3 in at 140 lb/ft3 laid, 35 lb/ft2" in text
    assert "Today" in text and "With the change" in text
    assert 'name="overlay_in" value="3"' in text


def test_nothing_is_written(county, bridge):
    def counted():
        return [table.objects.count() for table in (Rating, OwedRating, Recommendation, Event)]

    before = counted()
    ask(county, bridge, overlay_in="3")
    assert counted() == before


def test_bad_input_is_told_at_its_field_and_kept(county, bridge):
    answer = ask(county, bridge, overlay_in="thick", mill_in="2", lanes_loaded="40", bars_lost="three")
    text = answer.content.decode()
    assert answer.status_code == 422
    assert "“thick” is not a number" in text and "“three” is not the number of a bar" in text
    assert 'value="thick"' in text and 'value="three"' in text and 'value="2"' in text
    assert "Answer, not saved" not in text


def test_what_the_trial_refuses_is_told_at_its_field(county, bridge):
    answer = ask(county, bridge, mill_in="2")
    text = answer.content.decode()
    assert answer.status_code == 422
    assert "2 in cannot be milled off 0 in on record" in text
    assert 'id="id_mill_in_error"' in text


def test_nothing_chosen_is_no_trial(county, bridge):
    assert "change at least one thing" in ask(county, bridge, span="1").content.decode()


def test_damage_without_its_place_is_asked_for(county, bridge):
    text = ask(county, bridge, member="inner stringers", damage_kind="void").content.decode()
    assert "Say where the damage begins and ends" in text


def test_a_typed_vehicle_is_rated(county, bridge):
    text = ask(county, bridge, axles_kip="12, 20, 20", spacings_ft="12, 4.5").content.decode()
    assert "Vehicle tried, 26 tons" in text  # (12 + 20 + 20)/2
    wrong = ask(county, bridge, axles_kip="12, 20, 20", spacings_ft="12").content.decode()
    assert "3 axles have 2 spacings between them; 1 were entered." in wrong


def test_a_published_vehicle_can_be_chosen(county, bridge):
    text = ask(county, bridge, vehicle="HL93").content.decode()
    assert "Also rated: " in text and "HL-93" in text


def test_bars_are_tried(county, now):
    deck = make_stressed_deck(county.agency)
    rated(deck, county.people["inspector"], now, findings=bar_readings(deck, 34560.0))
    text = ask(county, deck, pressure_psi="30").content.decode()
    assert "least local bar pressure 30.0 psi, before 60.0 psi" in text


def test_a_structure_nobody_rated_says_so(county):
    structure = make_stringer_bridge(county.agency, number="Q-4")
    assert "has not been rated yet" in ask(county, structure).content.decode()


@pytest.mark.parametrize(("role", "status"), [("engineer", 200), ("supervisor", 200), ("office", 200), ("crew", 403)])
def test_who_may_try(county, bridge, role, status):
    answer = ask(county, bridge, role)
    assert answer.status_code == status
    text = county.client(role).get(f"/structures/{bridge.pk}/").content.decode()
    assert ("Try a change" in text) is (status == 200)


def test_another_county_is_not_there(county, bridge):
    assert ask(make_county("Heron County", "002"), bridge).status_code == 404


def test_a_posting_in_one_phrase():
    posted = {"action": "post", "single_tons": 12.0, "single_unit_tons": 12.0, "combination_tons": 20.0}
    assert posting_words(posted | {"two_trailer_tons": None}, False) == "Post 12 tons (single unit 12, combination 20)"
    assert posting_words({"action": "close", "single_tons": None}, True) == "Close"
    assert posting_words(None, True).startswith("Close until")
