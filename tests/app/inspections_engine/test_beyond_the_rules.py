"""What is on record but beyond the rules is said so beside its field or with its range, and reaches the engineer."""

import pytest
from django.urls import reverse

from inspections.models import OwedRating, Rating, Recommendation
from inspections.rules.proposal import propose
from inventory.models import MemberGroup, Posting, Span
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import decay, draft, rated

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def bridge(county):
    return make_stringer_bridge(county.agency)


def test_a_span_longer_than_the_rules_reach_goes_to_the_engineer(bridge, county, now):
    """A record may hold a 250 ft span; the rating says why it stops, and a proposal without terms awaits a person."""
    Span.objects.filter(structure=bridge).update(length_ft=250.0)
    rated(bridge, county.people["inspector"], now)
    rating = Rating.objects.get()
    assert not rating.is_rated
    assert any("250" in reason and "200 ft" in reason for reason in rating.reasons)
    proposal = Recommendation.objects.get()
    assert (proposal.state, proposal.restriction) == ("proposed", "unknown") and proposal.needs_review_now
    page = county.client("engineer").get(reverse("inspections:decisions")).content.decode()
    assert bridge.number in page and "needed now" in page
    assert not Posting.objects.exists()


def test_a_hole_recorded_outside_the_wood_goes_to_the_engineer(bridge, county, now):
    """Stored before the member was measured anew: it is neither dropped nor guessed at."""
    member = MemberGroup.objects.get(span__structure=bridge)
    finding = decay(bridge, kind="internal_void", face="", width_in=2.0, height_in=2.0, offset_in=6.0, depth_in=None)
    MemberGroup.objects.filter(pk=member.pk).update(depth_in=16.0)
    inspection = draft(bridge, county.people["inspector"], now, [finding])
    MemberGroup.objects.filter(pk=member.pk).update(depth_in=8.0)
    from inspections.actions import receive
    from tests.makers.inspected import settle_all

    receive.submit_inspection(
        inspection=inspection, revision=inspection.revision, by=county.people["inspector"], at=now
    )
    settle_all(bridge, now)
    rating = Rating.objects.get()
    assert not rating.is_rated and any("reaches out of the section" in reason for reason in rating.reasons)
    assert Recommendation.objects.get().restriction == "unknown"


def test_what_is_only_missing_waits_for_the_office():
    """Without a value out of range, a flag or a closing there is nothing for the engineer to judge yet."""
    terms, _said = propose(is_rated=False, results={}, reasons=["The deck width is not on record."], flags=[])
    assert terms is None


def test_a_depth_beyond_the_member_is_told_beside_its_field(bridge, county, now):
    inspection = draft(bridge, county.people["inspector"], now)
    client = county.client("inspector")
    address = reverse("inspections:edit", args=[inspection.pk])
    client.get(address)
    member = MemberGroup.objects.get(span__structure=bridge)
    data = {
        "revision": inspection.revision,
        "f-0-kind": "surface_decay",
        "f-0-span_index": "1",
        "f-0-member": member.pk,
        "f-0-member_number": "2",
        "f-0-station_ft": "4",
        "f-0-extent_ft": "2",
        "f-0-face": "top",
        "f-0-depth_in": "17",
        "save": "1",
    }
    page = client.post(address, data).content.decode()
    assert 'id="id_f-0-depth_in_error"' in page
    assert "The depth is 17 in, but the member is 16 in deep on record" in page
    assert 'value="17"' in page, "what was typed stays in the box"
    inspection.refresh_from_db()
    assert not inspection.findings.exists() and not OwedRating.objects.exists()
