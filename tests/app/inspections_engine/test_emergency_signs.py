"""Limits of emergency vehicles go the whole way: rating, recommendation, decision, signs, lists and files.

A separate sign gives single axle, tandem and gross (a State's page on load posting, checked; code R12-7, memory). EV2
weighs 57,500 lb on axles of 24,000 and 33,500 lb, EV3 86,000 lb on 24,000 and a tandem of 62,000 lb (23 U.S.C. 127(r),
checked-2nd): at a factor f below 1 and posting at operating, an axle may weigh f times that, in whole tons.
"""

import csv
from math import floor

import pytest

from inspections.actions import adopt, restrict_now, signs
from inspections.actions.rate import owe_rating
from inspections.models import Recommendation
from inspections.queries.inspections import posting_in_force
from inspections.rules.posting import PostingTerms
from inspections.rules.refusals import Refused
from inventory.models import Posting, RatingSettings, Sign, Standing
from inventory.vocabulary.vehicles import USUAL_SET
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import decay, rated, settle_all

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def bridge(county, now):
    """Sound: every truck passes, the heavier emergency vehicles do not."""
    structure = make_stringer_bridge(county.agency)
    rated(structure, county.people["inspector"], now)
    return structure


def proposal_of(bridge):
    return Recommendation.objects.get(structure=bridge, state="proposed")


def take(bridge, people, now, **more):
    proposal = proposal_of(bridge)
    return adopt.adopt_recommendation(
        recommendation=proposal, revision=proposal.revision, by=people["engineer"], at=now, **more
    )


def test_where_only_emergency_vehicles_fail_the_terms_are_an_emergency_posting(bridge):
    proposal = proposal_of(bridge)
    rows = {row["vehicle"]: row for row in proposal.rating.results["governing"]}
    assert all(rows[key]["operating_factor"] >= 1 for key in ("TYPE3", "TYPE3S2", "TYPE3-3", "SU7"))
    assert rows["EV3"]["operating_factor"] < 1
    assert proposal.restriction == "posted" and proposal.single_ton is None
    assert proposal.emergency_gross_ton == floor(
        min(rows[key]["operating_factor"] * rows[key]["gross_tons"] for key in ("EV2", "EV3") if
            rows[key]["operating_factor"] < 1)
    )  # fmt: skip
    assert proposal.emergency_tandem_ton == floor(rows["EV3"]["operating_factor"] * 31.0)


def test_no_reason_says_it_twice(bridge):
    told = [reason for reason in proposal_of(bridge).reasons if "mergency vehicles" in reason and "limit" in reason]
    assert len(told) == 1 and "Tell the fire department" in told[0]


def test_adopted_signed_confirmed_and_shown_everywhere(county, bridge, now):
    decision = take(bridge, county.people, now)
    posting = posting_in_force(bridge)
    rows = list(Sign.objects.filter(posting=posting))
    assert decision.state == "adopted" and [row.code for row in rows] == ["R12-7", "R12-7"]
    assert f"GROSS {posting.emergency_gross_ton:g} T" in rows[0].legend
    page = county.client("crew").get("/signs/").content.decode()
    assert "R12-7" in page and "EMERGENCY VEHICLE WEIGHT LIMIT" in page
    for row in rows:
        signs.confirm_sign(sign=row, on=now.date(), by=county.people["crew"], at=now)
    posting.refresh_from_db()
    assert posting.in_force_from == now.date()
    standing = Standing.objects.get(structure=bridge)
    assert standing.restriction == "posted" and standing.posted_ton is None
    assert standing.emergency_gross_ton == posting.emergency_gross_ton
    assert standing.sign_words.startswith("emergency ")
    client = county.client("engineer")
    sheet = client.get(f"/structures/{bridge.pk}/").content.decode()
    assert "EMERGENCY" in sheet and "emergency vehicles" in sheet
    exported = client.get("/structures/export.csv").content.decode("utf-8-sig").splitlines()
    named = dict(zip(exported[0].split(","), next(csv.reader([exported[1]])), strict=True))
    assert float(named["emergency_gross_ton"]) == posting.emergency_gross_ton and named["posted_ton"] == ""


def test_opening_is_refused_while_an_emergency_vehicle_is_over_its_operating_rating(county, bridge, now):
    with pytest.raises(Refused, match="above its operating rating"):
        take(bridge, county.people, now, otherwise=PostingTerms(restriction="open"), reason="no engine comes here")


def test_both_signs_where_trucks_fail_too_and_each_changes_alone(county, bridge, now):
    take(bridge, county.people, now)
    engine = posting_in_force(bridge)
    for row in Sign.objects.filter(posting=engine):
        signs.confirm_sign(sign=row, on=now.date(), by=county.people["crew"], at=now)
    rated(bridge, county.people["inspector"], now, [decay(bridge, depth_in=2.0)])
    proposal = proposal_of(bridge)
    assert proposal.single_ton is not None or proposal.single_unit_ton is not None
    assert proposal.emergency_gross_ton < engine.emergency_gross_ton
    take(bridge, county.people, now)
    posting = posting_in_force(bridge)
    ordered = Sign.objects.filter(posting=posting, state="ordered")
    codes = sorted(ordered.values_list("code", flat=True))
    assert codes[0] == codes[1] and codes[0] in ("R12-1", "R12-5") and codes[2:] == ["R12-7", "R12-7"]
    assert not ordered.filter(legend__startswith="TAKE DOWN").exists(), "the new plate takes the old one's place"
    # The engineer takes the emergency limits away: only those signs are ordered down.
    for row in ordered:
        signs.confirm_sign(sign=row, on=now.date(), by=county.people["crew"], at=now)
    RatingSettings.objects.create(agency=county.agency, standard_vehicles=[k for k in USUAL_SET if k[:2] != "EV"])
    owe_rating(structure=bridge, cause="no emergency vehicle uses this road", at=now)
    settle_all(bridge, now)
    take(bridge, county.people, now)
    last = Sign.objects.filter(posting=posting_in_force(bridge))
    down = last.filter(legend__startswith="TAKE DOWN")
    assert set(down.values_list("code", flat=True)) == {"R12-7"} and down.count() == 2
    assert last.filter(state="confirmed", code__in=["R12-1", "R12-5"]).count() == 2, "the others stay where they stand"


def test_the_engineer_types_other_emergency_limits(county, bridge, now):
    proposal = proposal_of(bridge)
    client = county.client("engineer")
    typed = {
        "otherwise-revision": proposal.revision,
        "otherwise-restriction": "posted",
        "otherwise-emergency_gross_ton": "20",
        "otherwise-reason": "The chief's own engine weighs 19 tons.",
    }
    refused = client.post(f"/decisions/{proposal.pk}/otherwise/", typed | {"otherwise-emergency_gross_ton": "50"})
    assert refused.status_code == 409 and "outside 3 to 43 tons" in refused.content.decode()
    assert client.post(f"/decisions/{proposal.pk}/otherwise/", typed).status_code == 302
    posting = posting_in_force(bridge)
    assert posting.emergency_gross_ton == 20.0 and posting.emergency_tandem_ton is None
    assert posting.words == "emergency - / - / 20 T"


def test_restricting_at_once_keeps_a_harder_emergency_limit(county, bridge, now):
    take(bridge, county.people, now, otherwise=PostingTerms(restriction="posted", emergency_gross_ton=10.0), reason="x")

    def restrict(tons):
        return restrict_now.restrict_now(
            structure=bridge,
            restriction="posted",
            single_ton=tons,
            reason="a split seen",
            by=county.people["engineer"],
            at=now,
        )

    posting = restrict(15.0)
    assert (posting.single_ton, posting.emergency_gross_ton) == (15.0, 10.0)
    posting = restrict(8.0)
    assert (posting.single_ton, posting.emergency_gross_ton) == (8.0, None)
    assert Posting.objects.filter(structure=bridge).count() == 3
