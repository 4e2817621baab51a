"""The pages of a critical finding as a person uses them: two taps on the road, then told, safe, closed."""

import uuid
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from inspections.models import CriticalFinding, Inspection
from inspections.queries.critical_proposals import proposals_of
from inventory.models import Posting
from tests.makers.county import make_county, make_stringer_bridge
from tests.makers.critical import jpeg, make_contacts, make_critical
from tests.makers.inspected import rated, submitted

pytestmark = pytest.mark.django_db


@pytest.fixture
def bridge(county):
    make_contacts(county.agency)
    return make_stringer_bridge(county.agency)


@pytest.fixture
def finding(county, bridge):
    return make_critical(bridge, county.people["inspector"], timezone.now() - timedelta(hours=21))


def text(answer) -> str:
    return answer.content.decode()


def test_first_whom_to_call_and_no_entry_box(county, bridge):
    page = text(county.client("inspector").get(f"/structures/{bridge.pk}/critical/new/"))
    assert page.index("Stay here") < page.index('href="tel:5550100"') < page.index("record it now")
    assert "<textarea" not in page


def test_two_taps_put_it_on_record(county, bridge):
    client = county.client("inspector")
    page = client.get(f"/structures/{bridge.pk}/critical/new/?record=1")
    identity = page.context["form"].initial["identity"]
    sent = {"identity": identity, "kind": "threat", "told": [page.context["contacts"][0]["contact"].pk]}
    answer = client.post(f"/structures/{bridge.pk}/critical/new/", sent)
    made = CriticalFinding.objects.get()
    assert answer.url == f"/critical/{made.pk}/"
    assert made.notices.get().whom == "Dispatcher"
    # A double tap sends the same identity again.
    assert client.post(f"/structures/{bridge.pk}/critical/new/", sent).url == f"/critical/{made.pk}/"
    assert CriticalFinding.objects.count() == 1


def test_what_was_typed_stays_where_no_kind_was_pressed(county, bridge):
    sent = {"identity": uuid.uuid4(), "words": "Cap split at the west pile"}
    answer = county.client("inspector").post(f"/structures/{bridge.pk}/critical/new/", sent)
    assert answer.status_code == 422
    assert "Cap split at the west pile" in text(answer)
    assert str(sent["identity"]) in text(answer)


def test_a_file_that_is_no_photograph_is_refused_and_the_words_stay(county, bridge):
    sent = {
        "identity": uuid.uuid4(),
        "kind": "threat",
        "words": "Cap split",
        "photo": SimpleUploadedFile("a.jpg", b"not a picture"),
    }
    answer = county.client("inspector").post(f"/structures/{bridge.pk}/critical/new/", sent)
    assert answer.status_code == 409
    assert "not a photograph" in text(answer)
    assert "Cap split" in text(answer)
    assert not CriticalFinding.objects.exists()


def test_the_banner_stands_over_every_page_of_those_who_answer(county, finding):
    """Found 21 hours ago under the default of 24: 3 hours less a moment are left, in full hours 2."""
    for address in ("/structures/", "/due/", "/contacts/"):
        page = text(county.client("supervisor").get(address))
        assert "1 critical finding open, 2 h left to tell the State (Q-1)" in page
    assert "critical finding open" not in text(county.client("crew").get("/structures/"))


def test_list_and_page_say_clocks_and_who_was_told(county, finding):
    client = county.client("supervisor")
    for address in ("/critical/", f"/critical/{finding.pk}/"):
        page = text(client.get(address))
        assert "h left to tell the State" in page
        assert "Nobody yet" in page
    told_at = timezone.localtime().strftime("%Y-%m-%dT%H:%M")
    sent = {"whom": "Duty officer", "role": "state", "how": "call", "told_at": told_at}
    client.post(f"/critical/{finding.pk}/tell/", sent)
    page = text(client.get(f"/critical/{finding.pk}/"))
    assert "Duty officer" in page
    assert "tell the State: done" in page


def test_told_offers_the_state_first(county, finding):
    page = county.client("supervisor").get(f"/critical/{finding.pk}/tell/")
    assert page.context["form"]["role"].value() == "state"


def test_three_steps_to_closed(county, finding):
    client = county.client("supervisor")
    at = f"/critical/{finding.pk}"
    client.post(f"{at}/safe/", {"revision": 0, "words": "Barricades at both ends."})
    client.post(f"{at}/plan/", {"revision": 1, "words": "Drive a new pile.", "until": "2099-01-01"})
    photo = SimpleUploadedFile("done.jpg", jpeg((9, 9, 200)))
    answer = client.post(f"{at}/close/", {"revision": 2, "words": "New pile driven.", "photo": photo})
    assert answer.status_code == 302
    finding.refresh_from_db()
    assert (finding.state, finding.closed_words) == ("closed", "New pile driven.")
    page = text(client.get(f"{at}/"))
    assert f"/photos/{finding.closing_photo_id}/" in page
    assert "The State was never told" in page


def test_a_photograph_sent_without_words_is_kept_and_stays_chosen(county, finding):
    client = county.client("supervisor")
    photo = SimpleUploadedFile("done.jpg", jpeg((9, 9, 200)))
    answer = client.post(f"/critical/{finding.pk}/close/", {"revision": 0, "words": "", "photo": photo})
    assert answer.status_code == 422
    kept = finding.structure.documents.get()
    assert answer.context["form"]["kept"].value() == str(kept.pk)
    client.post(f"/critical/{finding.pk}/close/", {"revision": 0, "words": "New pile.", "kept": kept.pk})
    finding.refresh_from_db()
    assert finding.closing_photo == kept


def test_better_words_and_a_photograph_come_after_the_two_taps(county, finding):
    client = county.client("inspector")
    photo = SimpleUploadedFile("seen.jpg", jpeg((200, 9, 9)))
    sent = {"revision": 0, "words": "Pile 3 of bent 1 hangs 2 in free; scour under it.", "photo": photo}
    assert client.post(f"/critical/{finding.pk}/describe/", sent).status_code == 302
    finding.refresh_from_db()
    assert finding.words.startswith("Pile 3 of bent 1 hangs 2 in free")
    assert finding.photo == finding.structure.documents.get()
    page = text(client.get(f"/critical/{finding.pk}/"))
    assert "Before: Pile 3 of bent 1 hangs free." in page


def test_without_a_photograph_it_stays_open_and_the_words_stay(county, finding):
    answer = county.client("engineer").post(f"/critical/{finding.pk}/close/", {"revision": 0, "words": "New pile."})
    assert answer.status_code == 409
    assert "Add a photograph" in text(answer)
    assert "New pile." in text(answer)


def test_restrict_is_one_press_away_for_those_allowed(county, finding):
    address = f"/critical/{finding.pk}/restrict/"
    assert address in text(county.client("supervisor").get(f"/critical/{finding.pk}/"))
    assert address not in text(county.client("inspector").get(f"/critical/{finding.pk}/"))
    county.client("supervisor").post(address, {"restriction": "closed", "reason": "Pile gone."})
    finding.refresh_from_db()
    assert finding.posting == Posting.objects.get(restriction="closed", superseded_on=None)


def test_the_structure_page_shows_it_and_asks_for_one_after_a_restriction(county, bridge):
    client = county.client("engineer")
    client.post(f"/structures/{bridge.pk}/restrict/", {"restriction": "closed", "reason": "Washed out."})
    page = text(client.get(f"/structures/{bridge.pk}/"))
    assert "no critical finding names it" in page
    make_critical(bridge, county.people["engineer"], timezone.now(), kind="closure")
    page = text(client.get(f"/structures/{bridge.pk}/"))
    assert "no critical finding names it" not in page
    assert "Bridge closed, whole or in part" in page


def test_an_inspection_with_a_rating_of_two_demands_it_with_one_press(county, bridge, now):
    by = county.people["inspector"]
    inspection = submitted(bridge, by, now, superstructure_rating="2")
    assert not CriticalFinding.objects.exists()
    client = county.client("inspector")
    page = text(client.get(f"/inspections/{inspection.pk}/"))
    assert "Rated 2 or less: superstructure 2." in page
    for _press in range(2):
        client.post(f"/inspections/{inspection.pk}/critical/", {"kind": "component"})
    made = CriticalFinding.objects.get()
    assert (made.inspection, made.kind) == (inspection, "component")
    # The field portion was finished on 14 June: found at noon of that day, where the county is.
    assert timezone.localtime(made.found_at).strftime("%Y-%m-%d %H") == "2026-06-14 12"
    assert "Rated 2 or less" not in text(client.get(f"/inspections/{inspection.pk}/"))


def test_what_is_open_already_is_named_and_not_demanded(county, bridge, now):
    by = county.people["inspector"]
    make_critical(bridge, by, now, kind="component")
    inspection = rated(bridge, by, now, superstructure_rating="1")
    page = text(county.client("engineer").get(f"/inspections/{inspection.pk}/"))
    assert "open already since" in page
    assert "Report this critical finding" not in page


def test_what_is_another_danger_of_an_open_kind_is_shown_and_can_be_reported_too(county, bridge, now):
    """A pile that hangs free and a superstructure rated 1 are of different kinds; two piles are of one."""
    by = county.people["inspector"]
    make_critical(bridge, by, now, kind="component", words="Substructure rated 2: pile 3 hangs free.")
    inspection = rated(bridge, by, now, superstructure_rating="1")
    page = text(county.client("engineer").get(f"/inspections/{inspection.pk}/"))
    assert "superstructure 1" in page and "pile 3 hangs free" in page
    for _press in range(2):
        county.client("engineer").post(f"/inspections/{inspection.pk}/critical/", {"kind": "component"})
    assert CriticalFinding.objects.filter(kind="component").count() == 2


def test_what_was_added_after_it_was_sent_back_is_not_hidden_by_the_first_report(county, bridge, now):
    by, client = county.people["inspector"], county.client("inspector")
    inspection = submitted(bridge, by, now - timedelta(hours=9), superstructure_rating="2")
    address = f"/inspections/{inspection.pk}/"
    client.post(f"{address}critical/", {"kind": "component"})
    CriticalFinding.objects.update(received_at=now - timedelta(hours=8))
    Inspection.objects.filter(pk=inspection.pk).update(submitted_at=now)
    assert proposals_of(Inspection.objects.get(pk=inspection.pk)) == [], "the same words are no news"
    Inspection.objects.filter(pk=inspection.pk).update(deck_rating="1")
    assert "Rated 2 or less: deck 1, superstructure 2." in text(client.get(address))
    for _press in range(2):
        client.post(f"{address}critical/", {"kind": "component"})
    assert CriticalFinding.objects.count() == 2
    assert proposals_of(Inspection.objects.get(pk=inspection.pk)) == []


def test_a_later_look_at_the_whole_structure_asks_in_its_place(county, bridge, now):
    by = county.people["inspector"]
    old = rated(bridge, by, now, superstructure_rating="2", field_completed_on="2026-06-01")
    assert [row.kind for row in proposals_of(old)] == ["component"]
    rated(bridge, by, now, superstructure_rating="6")
    assert proposals_of(old) == []


def test_a_kind_the_inspection_does_not_ask_for_is_refused(county, bridge, now):
    inspection = submitted(bridge, county.people["inspector"], now)
    answer = county.client("inspector").post(f"/inspections/{inspection.pk}/critical/", {"kind": "threat"})
    assert answer.status_code == 409
    assert not CriticalFinding.objects.exists()


def test_the_status_report_holds_what_the_rule_names(county, finding):
    client = county.client("supervisor")
    client.post(f"/critical/{finding.pk}/plan/", {"revision": 0, "words": "Drive a new pile.", "until": "2099-01-02"})
    page = text(client.get("/critical/status/"))
    for said in ("Q-1", "Pile 3 of bent 1 hangs free.", "Drive a new pile.", "2 Jan 2099", "Active"):
        assert said in page
    assert timezone.localtime(finding.found_at).strftime("%b %Y") in page
    client.post("/critical/status/sent/", {"whom": "State bridge office", "how": "mail"})
    notice = finding.notices.get()
    assert (notice.is_status_report, notice.role) == (True, "state")


def test_what_was_closed_long_ago_leaves_the_status_report(county, finding):
    done = {"state": "closed", "closed_words": "Done.", "closed_at": timezone.now() - timedelta(days=29)}
    CriticalFinding.objects.update(**done)
    client = county.client("supervisor")
    assert "Completed" in text(client.get("/critical/status/"))
    CriticalFinding.objects.update(closed_at=timezone.now() - timedelta(days=31))
    assert "Completed" not in text(client.get("/critical/status/"))


def test_an_older_page_is_refused_and_keeps_what_was_typed(county, finding):
    CriticalFinding.objects.update(revision=4)
    answer = county.client("engineer").post(f"/critical/{finding.pk}/safe/", {"revision": 0, "words": "Barricades."})
    assert answer.status_code == 409
    assert "Barricades." in text(answer)


def test_another_agency_sees_nothing_of_it(county, finding):
    other = make_county("Marrow County", "003")
    client = other.client("engineer")
    assert client.get(f"/critical/{finding.pk}/").status_code == 404
    for address in ("/critical/", "/critical/status/", "/structures/"):
        assert "hangs free" not in text(client.get(address))
        assert "critical finding open" not in text(client.get(address))
