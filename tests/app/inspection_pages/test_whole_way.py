"""The whole way of an inspection through the pages: opened, saved, submitted, rated, reviewed, adopted, confirmed."""

import re

import pytest
from django.urls import reverse

from inspections.models import Inspection, OwedRating, Recommendation
from inspections.tasks import settle_rating
from inventory.models import Posting, Sign

from .sheets import decay, row, sheet

pytestmark = pytest.mark.django_db


def submitted(county, bridge, **changes) -> Inspection:
    """Through the pages to a submitted inspection with one finding of decay."""
    inspector = county.client("inspector")
    started = inspector.post(reverse("inspections:start", args=[bridge.pk]), {"kind": "routine"})
    inspection = Inspection.objects.get(structure=bridge)
    assert started.url == reverse("inspections:edit", args=[inspection.pk])
    address = reverse("inspections:edit", args=[inspection.pk])
    saved = inspector.post(address, sheet(inspection, decay(inspection, **changes)))
    assert saved.status_code == 302
    inspection.refresh_from_db()
    # The draft reads back as it was typed: 1-1/2 in is 1.5 in.
    assert inspection.findings.get().depth_in == 1.5 or "depth_in" in changes
    handed_in = inspector.post(address, sheet(inspection, decay(inspection, **changes), then="submit"))
    assert handed_in.url == reverse("inspections:inspection", args=[inspection.pk])
    inspection.refresh_from_db()
    assert inspection.state == "submitted"
    return inspection


def rated(county, bridge, **changes) -> Inspection:
    inspection = submitted(county, bridge, **changes)
    settle_rating(OwedRating.objects.get(inspection=inspection).pk)
    inspection.refresh_from_db()
    assert inspection.state == "rated"
    return inspection


def test_whole_way(county, bridge):
    inspection = submitted(county, bridge)
    page = reverse("inspections:inspection", args=[inspection.pk])
    progress = reverse("inspections:progress", args=[inspection.pk])
    engineer, crew = county.client("engineer"), county.client("crew")
    waiting = engineer.get(page)
    assert "Being rated" in waiting.content.decode() and progress in waiting.content.decode()
    assert "HX-Refresh" not in engineer.get(progress).headers

    settle_rating(OwedRating.objects.get(inspection=inspection).pk)
    assert engineer.get(progress).headers["HX-Refresh"] == "true"
    review = reverse("inspections:review", args=[inspection.pk])
    assert review in engineer.get(page).content.decode()
    assert review not in crew.get(page).content.decode()

    rating = inspection.ratings.get()
    assert rating.is_rated, rating.reasons
    structure_page = engineer.get(reverse("inventory:structure", args=[bridge.pk])).content.decode()
    for words in ("What it can carry", "Fair, lowest rating 5", rating.governing.split(":")[0], "Decay on a face"):
        assert words in structure_page

    proposal = Recommendation.objects.get(structure=bridge, state="proposed")
    desk = engineer.get(reverse("inspections:decisions")).content.decode()
    assert reverse("inspections:decision", args=[proposal.pk]) in desk
    sent = {
        "otherwise-revision": proposal.revision,
        "otherwise-restriction": "posted",
        "otherwise-single_ton": "3",
        "otherwise-reason": "Decay at midspan is to be watched until it is repaired.",
        "otherwise-order_number": "R-12",
    }
    adopted = engineer.post(reverse("inspections:otherwise", args=[proposal.pk]), sent)
    assert adopted.status_code == 302, adopted.content.decode()
    proposal.refresh_from_db()
    assert (proposal.state, proposal.adopted_otherwise) == ("adopted", True)
    assert Posting.objects.get(structure=bridge, superseded_on=None).single_ton == 3

    inspection.refresh_from_db()
    sent = {"adopt-revision": inspection.revision}
    assert engineer.post(reverse("inspections:review_adopt", args=[inspection.pk]), sent).status_code == 302
    inspection.refresh_from_db()
    assert inspection.state == "accepted"

    signs = list(Sign.objects.filter(posting__structure=bridge))
    assert len(signs) == 2
    for sign in signs:
        assert sign.legend in crew.get(reverse("inspections:signs")).content.decode()
        day = {f"sign-{sign.pk}-on": sign.posting.decided_on.isoformat()}
        assert crew.post(reverse("inspections:confirm_sign", args=[sign.pk]), day).status_code == 302
    proposal.refresh_from_db()
    assert proposal.state == "in_force"
    shown = engineer.get(reverse("inventory:structure", args=[bridge.pk])).content.decode()
    assert "Posted at 3 tons" in shown and "Seen standing and legible".lower() in shown


def test_adopt_as_recommended(county, bridge):
    rated(county, bridge)
    proposal = Recommendation.objects.get(structure=bridge, state="proposed")
    sent = {"adopt-revision": proposal.revision, "adopt-order_number": "R-1", "adopt-reason": ""}
    assert county.client("engineer").post(reverse("inspections:adopt", args=[proposal.pk]), sent).status_code == 302
    posting = Posting.objects.get(structure=bridge, superseded_on=None)
    assert (posting.restriction, posting.single_ton) == (proposal.restriction, proposal.single_ton)


def test_sent_back_and_submitted_again(county, bridge):
    inspection = rated(county, bridge)
    engineer, inspector = county.client("engineer"), county.client("inspector")
    back = reverse("inspections:review_send_back", args=[inspection.pk])
    sent = {"back-revision": inspection.revision, "back-reason": ""}
    refused = engineer.post(back, sent)
    assert refused.status_code == 409 and "Say what the inspector must put right" in refused.content.decode()
    sent["back-reason"] = "Measure the depth again."
    assert engineer.post(back, sent).status_code == 302
    listed = inspector.get(reverse("inspections:inspections")).content.decode()
    assert "Measure the depth again." in listed
    inspection.refresh_from_db()
    address = reverse("inspections:edit", args=[inspection.pk])
    assert "Measure the depth again." in inspector.get(address).content.decode()
    inspector.post(address, sheet(inspection, decay(inspection, depth_in="2"), then="submit"))
    inspection.refresh_from_db()
    assert inspection.state == "submitted" and inspection.findings.get().depth_in == 2


def test_restrict_at_once(county, bridge):
    supervisor = county.client("supervisor")
    address = reverse("inspections:restrict", args=[bridge.pk])
    assert "stay and block the road" in supervisor.get(address).content.decode()
    empty = supervisor.post(address, {})
    assert empty.status_code == 200 and "Choose closed or posted." in empty.content.decode()
    assert supervisor.post(address, {"restriction": "closed", "reason": "A stringer is broken."}).status_code == 302
    assert Posting.objects.get(structure=bridge, superseded_on=None).restriction == "closed"
    again = supervisor.post(address, {"restriction": "posted", "single_ton": "10", "reason": "It looks better now."})
    assert again.status_code == 409 and "It looks better now." in again.content.decode()
    assert Posting.objects.get(structure=bridge, superseded_on=None).restriction == "closed"


def test_sign_missing_and_bad_day(county, bridge):
    county.client("engineer").post(
        reverse("inspections:restrict", args=[bridge.pk]),
        {"restriction": "posted", "single_ton": "8", "reason": "Crushed cap."},
    )
    sign = Sign.objects.filter(posting__structure=bridge).first()
    crew = county.client("crew")
    for day, words in (
        ("", "write the date"),
        ("2199-01-01", "still to come"),
        ("2001-01-01", "cannot have been seen"),
    ):
        answer = crew.post(reverse("inspections:confirm_sign", args=[sign.pk]), {f"sign-{sign.pk}-on": day})
        assert answer.status_code in (200, 409) and words in answer.content.decode()
    day = {f"sign-{sign.pk}-on": sign.posting.decided_on.isoformat()}
    assert crew.post(reverse("inspections:sign_missing", args=[sign.pk]), day).status_code == 302
    sign.refresh_from_db()
    assert sign.state == "missing"


def test_calculation_sheet_prints_every_step(county, bridge):
    """The sheet is a print-out of the trace: as many rows as steps, versions and digest beside them."""
    rating = rated(county, bridge).ratings.get()
    text = county.client("reviewer").get(reverse("inspections:calculation", args=[rating.pk])).content.decode()
    steps = [step for group in rating.trace for step in group["steps"]]
    assert len(steps) > 10
    tables = text.split('<table class="steps">')[1:]
    assert sum(table.split("</table>")[0].count("<tr>") - 1 for table in tables) == len(steps)
    for words in (rating.digest, rating.kernel_version, "not an order", "Douglas fir-larch"):
        assert words in text


def test_calculation_sheet_has_a_chapter_for_each_vehicle_and_leads_to_it(county, bridge):
    """Law: every group of the trace stands once, and every link of the contents has its target on the sheet."""
    rating = rated(county, bridge).ratings.get()
    text = county.client("engineer").get(reverse("inspections:calculation", args=[rating.pk])).content.decode()
    anchors = [f'id="g{number}"' for number in range(1, len(rating.trace) + 1)]
    assert all(text.count(anchor) == 1 for anchor in anchors)
    links = re.findall('href="#([^"]+)"', text.split('<table class="contents">')[1].split("</table>")[0])
    assert links and all(f'id="{link}"' in text for link in links)
    vehicles = {row["vehicle"] for row in (*rating.results["governing"], *rating.results["load_factor"])}
    assert len([link for link in links if link.startswith("vehicle-")]) == len(vehicles)


def test_bar_readings_in_one_table(county, now):
    from tests.app.inspection_pages.stressed import make_stressed_bridge

    bridge = make_stressed_bridge(county.agency)
    inspector = county.client("inspector")
    inspector.post(reverse("inspections:start", args=[bridge.pk]), {"kind": "bar_check"})
    inspection = Inspection.objects.get(structure=bridge)
    address = reverse("inspections:edit", args=[inspection.pk])
    bars = list(bridge.spans.get().stressing.bars.all())
    page = inspector.get(address).content.decode()
    assert all(f'name="b-{bar.pk}-force_lb"' in page for bar in bars)
    sent = sheet(
        inspection, *[{f"b-{bar.pk}-force_lb": "30,000", f"b-{bar.pk}-force_method": "lift_off"} for bar in bars]
    )
    sent |= {f"b-{bars[0].pk}-force_lb": "", f"b-{bars[0].pk}-force_method": "hand_loose", "then": "submit"}
    assert inspector.post(address, sent).status_code == 302
    found = {finding.bar_id: finding.force_lb for finding in inspection.findings.all()}
    # Loose to the hand is a reading of no force.
    assert found == {bar.pk: 30000.0 for bar in bars} | {bars[0].pk: 0.0}
    settle_rating(OwedRating.objects.get(inspection=inspection).pk)
    shown = inspector.get(reverse("inventory:structure", args=[bridge.pk])).content.decode()
    assert shown.count('class="bar-stem"') == len(bars)
    inspector.post(reverse("inspections:start", args=[bridge.pk]), {"kind": "bar_check"})
    second = Inspection.objects.latest("pk")
    assert "30,000 lb" in inspector.get(reverse("inspections:edit", args=[second.pk])).content.decode()


def test_elements_prefilled_from_last_time(county, bridge):
    first = Inspection.objects.create(
        structure=bridge, kind="routine", state="accepted", field_completed_on="2024-05-01", deck_rating="7"
    )
    first.elements.create(number=117, unit="ft", total=180, cs1=150, cs2=30)
    inspector = county.client("inspector")
    inspector.post(reverse("inspections:start", args=[bridge.pk]), {"kind": "routine"})
    inspection = Inspection.objects.latest("pk")
    page = inspector.get(reverse("inspections:edit", args=[inspection.pk])).content.decode()
    assert 'value="180"' in page and "Filled in from last time" in page and "7 Good, 1 May 2024" in page
    quantities = row("e", 0, {"number": "117", "total": "180", "cs1": "140", "cs2": "30", "cs3": "10", "cs4": ""})
    inspector.post(reverse("inspections:edit", args=[inspection.pk]), sheet(inspection, quantities))
    assert inspection.elements.get().cs3 == 10
