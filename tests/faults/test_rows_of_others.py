"""Numbers of rows mixed across structures and agencies, in addresses and in what a page sends: nothing is reached.

Two agencies with one of everything each; the asker belongs to the first, in some tests to the second as a reader.
"""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from inspections.actions.receive import open_inspection
from inspections.actions.remind import refresh_reminders
from inspections.actions.restrict_now import restrict_now
from inspections.models import Finding, OwedMessage, Recommendation, Reminder
from inventory.models import Bar, Document, HeldChange, MemberGroup, Membership, Person, Sign, SurfacingLayer
from tests.app.inspection_pages.sheets import DECAY, row, sheet
from tests.app.reminders.made import make_late_bridge
from tests.house.doors import OPEN, routes
from tests.makers.county import make_county
from tests.makers.inspected import decay, make_stressed_deck, rated

REFUSED = (403, 404, 405)


class Held:
    """One of everything in one agency."""

    def __init__(self, county, letter: str, now):
        people, self.county = county.people, county
        self.bridge = make_late_bridge(county.agency, f"{letter}-1")
        self.deck = make_stressed_deck(county.agency, f"{letter}-2")
        self.layer = SurfacingLayer.objects.create(
            structure=self.bridge, material="gravel", thickness_in=3, unit_weight_pcf=130, laid_on="2020-05-01"
        )
        self.inspection = rated(self.bridge, people["inspector"], now, [decay(self.bridge)])
        restrict_now(
            structure=self.deck, restriction="posted", single_ton=5, reason="Slack", by=people["supervisor"], at=now
        )
        self.draft = open_inspection(structure=self.deck, kind="routine", by=people["inspector"], at=now)
        self.photo = Document.objects.create(structure=self.deck, kind="photo", title="x", sha256=letter * 64, at=now)
        self.hold = HeldChange.objects.create(
            structure=self.bridge, field="road_name", county_value="Heron Road", record_value="HERON RD"
        )
        refresh_reminders(structure_ids=[self.bridge.pk, self.deck.pk], as_of=now.date(), at=now)
        self.reminder = Reminder.objects.filter(structure=self.bridge).order_by("pk").first()
        self.proposal = Recommendation.objects.get(structure=self.bridge, state="proposed")
        self.sign = Sign.objects.filter(posting__structure=self.deck).first()


@pytest.fixture
def ours(county, now):
    return Held(county, "A", now)


@pytest.fixture
def theirs(ours, now):
    return Held(make_county("Marrow County", "003"), "B", now)


@pytest.mark.parametrize("method", ["get", "post"])
def test_mixed_addresses_lead_nowhere(ours, theirs, method):
    client, before = ours.county.client("office"), MemberGroup.objects.count()
    a, b, deck = f"/structures/{ours.bridge.pk}", f"/structures/{theirs.bridge.pk}", f"/structures/{ours.deck.pk}"
    span, strange, other = ours.bridge.spans.get(), theirs.bridge.spans.get(), ours.deck.spans.get()
    member, strange_member = span.members.get().pk, strange.members.get().pk
    addresses = (
        f"{b}/spans/{strange.pk}/",
        f"{a}/spans/{strange.pk}/",
        f"{a}/spans/{strange.pk}/remove/",
        f"{a}/spans/{strange.pk}/bars/",
        f"{a}/spans/{strange.pk}/members/new/",
        f"{a}/spans/{span.pk}/members/{strange_member}/",
        f"{a}/spans/{span.pk}/members/{strange_member}/remove/",
        f"{a}/spans/99999/members/{member}/remove/",
        f"{deck}/spans/{span.pk}/",
        f"{deck}/spans/{other.pk}/members/{member}/",
        f"{deck}/spans/{other.pk}/members/{member}/remove/",
        f"{a}/surfacing/{theirs.layer.pk}/remove/",
        f"{deck}/surfacing/{ours.layer.pk}/remove/",
        f"/photos/{theirs.photo.pk}/",
    )
    sent = {"stamp": ours.bridge.updated_at.isoformat()}
    answers = {address: getattr(client, method)(address, sent).status_code for address in addresses}
    assert {address: code for address, code in answers.items() if code not in REFUSED} == {}
    assert MemberGroup.objects.count() == before


def test_a_finding_names_only_its_own_structure(ours, theirs):
    client, address = ours.county.client("inspector"), f"/inspections/{ours.draft.pk}/edit/"
    strange_bar = Bar.objects.filter(system__span__structure=theirs.deck).first().pk
    wrong = (
        {"member": theirs.deck.spans.get().members.get().pk},
        {"member": ours.bridge.spans.get().members.get().pk},
        {"kind": "bar_force", "bar": strange_bar},
        {"photo": theirs.photo.pk},
    )
    for values in wrong:
        values = {name: str(value) for name, value in values.items()}
        assert client.post(address, sheet(ours.draft, row("f", 0, {**DECAY, **values}))).status_code == 200
        assert not Finding.objects.filter(inspection=ours.draft).exists(), values
    reading = {f"b-{strange_bar}-force_lb": "1000", f"b-{strange_bar}-force_method": "lift_off"}
    client.post(address, sheet(ours.draft, reading))
    assert not Finding.objects.filter(bar=strange_bar).exists()


def test_nothing_is_assigned_to_or_from_outside(ours, theirs):
    client, outsider = ours.county.client("supervisor"), theirs.county.people["inspector"]
    for reminder, to in ((ours.reminder, outsider), (theirs.reminder, ours.county.people["inspector"])):
        sent = {"chosen": [reminder.pk], f"revision-{reminder.pk}": reminder.revision, "to": to.pk}
        assert client.post("/due/assign/", sent).status_code in (400, 409)
    for to in (outsider, ours.county.people["reviewer"]):
        sent = {"assign-revision": ours.reminder.revision, "assign-to": to.pk}
        assert client.post(f"/due/{ours.reminder.pk}/assign/", sent).status_code in (400, 409)
    for verb in ("acknowledge", "assign", "defer", "done"):
        assert client.post(f"/due/{theirs.reminder.pk}/{verb}/", {}).status_code == 404
    assert not Reminder.objects.exclude(assigned_to=None).exists()


def test_held_values_and_messages_of_others_stay(ours, theirs, now):
    client = ours.county.client("office")
    assert client.post("/records/held/", {"hold": theirs.hold.pk, "decision": "taken"}).status_code == 404
    message = OwedMessage.objects.create(person=theirs.county.people["office"], sentence="Due", key="x", created_at=now)
    client.post("/messages/read/", {"message": message.pk})
    message.refresh_from_db()
    assert message.read_at is None


@pytest.mark.parametrize("role", ["engineer", "supervisor", "office", "inspector", "crew"])
def test_a_role_in_one_agency_gives_nothing_in_another(ours, theirs, role):
    """The asker reads in the second agency and has a role in the first only."""
    Membership.objects.create(person=ours.county.people[role], agency=theirs.county.agency, role="reviewer")
    client, bridge = ours.county.client(role), theirs.bridge.pk
    asked = {
        f"/decisions/{theirs.proposal.pk}/adopt/": {"adopt-revision": theirs.proposal.revision},
        f"/decisions/{theirs.proposal.pk}/otherwise/": {"otherwise-revision": theirs.proposal.revision},
        f"/decisions/{theirs.proposal.pk}/withdraw/": {"withdraw-revision": theirs.proposal.revision},
        f"/inspections/{theirs.inspection.pk}/review/adopt/": {"adopt-revision": "0"},
        f"/inspections/{theirs.inspection.pk}/review/send-back/": {"back-revision": "0", "back-reason": "x"},
        f"/inspections/{theirs.draft.pk}/edit/": {"revision": "0"},
        f"/structures/{bridge}/inspections/start/": {"kind": "routine"},
        f"/structures/{bridge}/restrict/": {"restriction": "closed", "reason": "x"},
        f"/structures/{bridge}/edit/": {"number": "x"},
        f"/structures/{bridge}/record/work/": {"kind": "repair"},
        f"/structures/{bridge}/photos/new/": {},
        f"/signs/{theirs.sign.pk}/confirm/": {f"sign-{theirs.sign.pk}-on": "2026-06-15"},
        f"/due/{theirs.reminder.pk}/assign/": {},
        f"/due/{theirs.reminder.pk}/defer/": {},
        f"/due/{theirs.reminder.pk}/done/": {},
    }
    answers = {address: client.post(address, sent).status_code for address, sent in asked.items()}
    assert {address: code for address, code in answers.items() if code not in REFUSED} == {}
    page = client.get(f"/decisions/{theirs.proposal.pk}/").content.decode()
    assert "/adopt/" not in page and "/withdraw/" not in page
    page = client.get(f"/structures/{bridge}/").content.decode()
    shown = [each for each in ("/edit/", "/record/", "/restrict/", "/start/", "/photos/new/") if each in page]
    assert not shown and not re.search(r"/spans/\d+/bars/", page)


@pytest.mark.parametrize("role", ["engineer", "office", "supervisor", "crew", "inspector"])
def test_asking_for_a_page_writes_nothing_and_sending_needs_the_pages_own_mark(ours, role):
    client, careful = ours.county.client(role), Client(enforce_csrf_checks=True)
    careful.force_login(ours.county.people[role])
    for route in routes():
        if route.name in OPEN:
            continue
        address = route.address(ours.bridge.pk)
        with CaptureQueriesContext(connection) as asked:
            client.get(address)
        written = [each["sql"] for each in asked if each["sql"].split()[0] in ("INSERT", "UPDATE", "DELETE")]
        assert not [sql for sql in written if "django_session" not in sql], address
        assert careful.post(address, {}).status_code in REFUSED, address


def test_the_administrators_room_is_for_superusers(ours):
    for role in ours.county.people:
        assert ours.county.client(role).get("/office/").status_code == 302
    staff = Client()
    staff.force_login(Person.objects.create_user("staff", password="x", is_staff=True))
    for name in ("person", "agency", "event"):
        assert staff.get(f"/office/inventory/{name}/").status_code == 403


def test_the_administrators_room_takes_nothing_away_that_bears_on_the_register(ours):
    client = Client()
    client.force_login(Person.objects.create_superuser("root", password="x"))
    agency, inspector = ours.county.agency, ours.county.people["inspector"]
    client.post(f"/office/inventory/agency/{agency.pk}/delete/", {"post": "yes"})
    client.post(f"/office/inventory/person/{inspector.pk}/delete/", {"post": "yes"})
    agency.refresh_from_db()
    inspector.refresh_from_db()
    event = ours.bridge.events.first()
    for verb in ("delete", "change"):
        assert client.post(f"/office/inventory/event/{event.pk}/{verb}/", {"post": "yes"}).status_code == 403
