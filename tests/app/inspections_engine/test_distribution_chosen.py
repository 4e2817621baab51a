"""The engineer says how wheel loads are shared; the rating and its pages say which method gave the factor."""

from datetime import date

import pytest

from inspections.actions.rate import owe_rating
from inspections.assembly.snapshot import assemble_snapshot
from inspections.queries.ratings import structures_ahead
from inventory.actions.edit_members import save_span
from inventory.actions.hold import stamp_of
from inventory.models import Event
from inventory.rules.refusals import Refused
from tests.app.structures.test_entry import page_values, words
from tests.makers.inspected import bar_readings, make_stressed_deck, rated, settle_all

pytestmark = [pytest.mark.django_db, pytest.mark.database]
TODAY = date(2026, 5, 4)


@pytest.fixture
def deck(county, now):
    """The deck of worked example D3, its bars read at 60 psi: 60 x 48 x 12 = 34,560 lb."""
    bridge = make_stressed_deck(county.agency)
    rated(bridge, county.people["inspector"], now, bar_readings(bridge, 34560.0))
    return bridge


def address_of(bridge) -> str:
    return f"/structures/{bridge.pk}/spans/{bridge.spans.get().pk}/"


def rate_what_changed(now) -> None:
    """As the sweep does: whatever the register shows as changed since its rating is owed one, and settled."""
    for structure in structures_ahead():
        owe_rating(structure=structure, cause="the register changed", at=now)


def choose(client, bridge, value):
    values = page_values(client, address_of(bridge)) | {"skew_deg": "0", "distribution": value}
    return client.post(address_of(bridge), values)


def test_the_engineer_chooses_and_the_rating_follows(county, deck, now):
    engineer = county.client("engineer")
    before, revision = deck.ratings.latest("pk"), deck.revision
    assert choose(engineer, deck, "refined").status_code == 302
    deck.refresh_from_db()
    assert deck.spans.get().distribution == "refined" and deck.revision == revision + 1
    told = Event.objects.filter(structure=deck, verb="save_span").latest("pk")
    assert "wheel loads shared: refined" in told.sentence and told.by == county.people["engineer"]
    rate_what_changed(now)
    rating = settle_all(deck, now)
    assert rating.pk != before.pk and rating.digest != before.digest
    bending = [r for s in rating.results["spans"] for r in s["results"] if r["limit_state"] == "bending"]
    assert bending and all(row["distribution_rule"].startswith("plate, E_T/E_L 0.0153") for row in bending)
    assert {row["method"] for row in bending} == {"ASR", "LRFR"}
    assert rating.least_factor > before.least_factor  # one wheel line over 57 in against 44 (D3, deck B: computed)


def test_pages_say_which_method_gave_the_factor(county, deck, now):
    engineer = county.client("engineer")
    page = words(engineer.get(f"/structures/{deck.pk}/"))
    assert "Wheel loads shared by the published rules" in page and "b_t + 2 t" in page
    choose(engineer, deck, "refined")
    rate_what_changed(now)
    rating = settle_all(deck, now)
    page = words(engineer.get(f"/structures/{deck.pk}/"))
    assert "Wheel loads shared by the refined analysis" in page and "first wheel line 24 in from the curb" in page
    sheet = words(engineer.get(f"/ratings/{rating.pk}/"))
    assert "Refined distribution" in sheet and "one wheel line over" in sheet


def test_the_office_does_not_choose(county, deck):
    """Its form has no such entry, what it sends is not looked at, and the action itself refuses."""
    office = county.client("office")
    assert "distribution" not in office.get(address_of(deck)).context["form"].fields
    assert choose(office, deck, "refined").status_code == 302
    span = deck.spans.get()
    assert span.distribution == "rules"
    deck.refresh_from_db()
    fields = {"index": 1, "length_ft": 24.0, "system": span.system, "distribution": "refined"}
    with pytest.raises(Refused, match="engineer's choice"):
        save_span(
            structure=deck,
            span=span,
            stamp=stamp_of(deck),
            fields=fields,
            by=county.people["office"],
            at=deck.updated_at,
        )
    assert deck.spans.get().distribution == "rules"


def test_the_office_keeps_what_the_engineer_chose(county, deck):
    choose(county.client("engineer"), deck, "refined")
    office = county.client("office")
    values = page_values(office, address_of(deck)) | {"skew_deg": "0", "camber_in": "1"}
    assert office.post(address_of(deck), values).status_code == 302
    assert deck.spans.get().camber_in == 1.0 and deck.spans.get().distribution == "refined"


def test_joint_spacing_and_own_need_are_entered_and_reach_the_rating(county, deck):
    """One lamination jointed in 5 on the span's form; the needed pressure on the form of the bars."""
    office = county.client("office")
    values = page_values(office, address_of(deck)) | {"skew_deg": "0", "butt_jointed": "true", "joint_every": "5"}
    assert office.post(address_of(deck), values).status_code == 302
    bars = address_of(deck) + "bars/"
    assert office.post(bars, page_values(office, bars) | {"needed_pressure_psi": "44"}).status_code == 302
    (case,) = assemble_snapshot(structure=deck, as_of=TODAY).cases
    assert (case.bars.joint_every, case.bars.needed_pressure_psi) == (5, 44.0)
    refused = office.post(bars, page_values(office, bars) | {"needed_pressure_psi": "700"})
    assert refused.status_code == 422 and "The needed pressure must be above 0 to 500 psi" in words(refused)
    refused = office.post(
        address_of(deck), page_values(office, address_of(deck)) | {"skew_deg": "0", "joint_every": "1"}
    )
    assert refused.status_code == 422 and "of which one is jointed must be from 2 to 100" in words(refused)
