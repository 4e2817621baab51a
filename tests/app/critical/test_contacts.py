"""Whom to call: kept in order, changed only by those who answer for it, never over another's change."""

import pytest

from inventory.actions import contacts as actions
from inventory.models import EmergencyContact, Event
from inventory.queries.contacts import contacts_missing, contacts_of
from inventory.rules.refusals import Refused, Stale
from tests.makers.county import make_county
from tests.makers.critical import make_contacts

VALUES = {"role": "sheriff", "name": "Night desk", "phone": "911", "note": ""}


def test_a_new_contact_comes_last_and_is_told_of(county, now):
    make_contacts(county.agency)
    made = actions.add_contact(agency=county.agency, values=VALUES, by=county.people["supervisor"], at=now)
    assert list(contacts_of(county.agency))[-1] == made
    assert Event.objects.get(verb="add_contact").by == county.people["supervisor"]


def test_one_place_earlier_and_the_first_stays_first(county, now):
    first, second, third = make_contacts(county.agency)
    by = county.people["engineer"]
    actions.call_earlier(contact=third, by=by, at=now)
    assert list(contacts_of(county.agency)) == [first, third, second]
    actions.call_earlier(contact=first, by=by, at=now)
    assert list(contacts_of(county.agency)) == [first, third, second]


def test_an_older_page_does_not_win(county, now):
    contact = make_contacts(county.agency)[0]
    stamp, by = actions.contact_stamp(contact), county.people["office"]
    actions.change_contact(contact=contact, values=VALUES, stamp=stamp, by=by, at=now)
    with pytest.raises(Stale):
        actions.change_contact(contact=contact, values=VALUES | {"phone": "112"}, stamp=stamp, by=by, at=now)
    with pytest.raises(Stale):
        actions.remove_contact(contact=contact, stamp=stamp, by=by, at=now)
    assert EmergencyContact.objects.get(pk=contact.pk).phone == "911"


def test_an_inspector_reads_and_may_not_change(county, now):
    make_contacts(county.agency)
    with pytest.raises(Refused):
        actions.add_contact(agency=county.agency, values=VALUES, by=county.people["inspector"], at=now)
    page = county.client("inspector").get("/contacts/").content.decode()
    assert 'href="tel:5550142;ext=7"' in page
    assert "New contact" not in page


def test_entered_changed_and_removed_on_the_pages(county):
    client = county.client("supervisor")
    refused = client.post("/contacts/new/", VALUES | {"phone": "call me"})
    assert refused.status_code == 422
    assert "cannot be dialled" in refused.content.decode()
    assert "Night desk" in refused.content.decode()
    assert client.post("/contacts/new/", VALUES).status_code == 302
    row = contacts_of(county.agency).get()
    stamp = actions.contact_stamp(row)
    client.post(f"/contacts/{row.pk}/", VALUES | {"name": "Day desk", "stamp": stamp})
    row.refresh_from_db()
    assert row.name == "Day desk"
    client.post(f"/contacts/{row.pk}/remove/", {"stamp": actions.contact_stamp(row)})
    assert not contacts_of(county.agency).exists()


def test_the_page_says_who_is_missing(county):
    assert len(contacts_missing(county.agency)) == 2
    make_contacts(county.agency)
    assert contacts_missing(county.agency) == []


def test_another_agency_has_its_own_list(county):
    other = make_county("Marrow County", "003")
    theirs = make_contacts(other.agency)[0]
    client = county.client("supervisor")
    assert "Dispatcher" not in client.get("/contacts/").content.decode()
    assert client.get(f"/contacts/{theirs.pk}/").status_code == 404
    assert client.post(f"/contacts/{theirs.pk}/remove/", {"stamp": actions.contact_stamp(theirs)}).status_code == 404
    assert contacts_of(other.agency).filter(pk=theirs.pk).exists()
