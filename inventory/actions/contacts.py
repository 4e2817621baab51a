"""Emergency contacts are entered, changed, moved up and removed; each with its event."""

from collections.abc import Mapping
from datetime import datetime
from hashlib import sha256

from django.db import transaction

from inventory.models import Agency, EmergencyContact, Person
from inventory.queries.contacts import contacts_of
from inventory.queries.people import permits_of
from inventory.rules.contacts import contact_faults
from inventory.rules.refusals import Refused, Stale
from inventory.vocabulary.roles import ALLOWED, Permit

from .tell import tell_event

FIELDS = ("role", "name", "phone", "note")
CHANGE = Permit.MANAGE_REMINDERS


def contact_stamp(contact: EmergencyContact) -> str:
    """The mark a page carries to say which entry the person read."""
    return sha256(repr([getattr(contact, name) for name in FIELDS]).encode()).hexdigest()[:16]


@transaction.atomic
def add_contact(*, agency: Agency, values: Mapping, by: Person, at: datetime) -> EmergencyContact:
    """Enter a contact, at the end of the list; refused with a sentence beside each entry that cannot be."""
    _hold(agency, by)
    others = list(contacts_of(agency))
    fields = _checked(values, len(others))
    order = max((row.order for row in others), default=0) + 1
    contact = EmergencyContact.objects.create(agency=agency, order=order, **fields)
    _tell("add_contact", f"Emergency contact entered: {contact}", agency, by, at)
    return contact


@transaction.atomic
def change_contact(
    *, contact: EmergencyContact, values: Mapping, stamp: str, by: Person, at: datetime
) -> EmergencyContact:
    """Change a contact; refused as stale where another changed or removed it since it was read."""
    _hold(contact.agency, by)
    fresh = _fresh(contact, stamp)
    fields = _checked(values, contacts_of(fresh.agency_id).exclude(pk=fresh.pk).count())
    before = str(fresh)
    if all(getattr(fresh, name) == fields[name] for name in FIELDS):
        return fresh
    for name in FIELDS:
        setattr(fresh, name, fields[name])
    fresh.save()
    _tell("change_contact", f"Emergency contact changed: {before} is now {fresh}", contact.agency, by, at)
    return fresh


@transaction.atomic
def remove_contact(*, contact: EmergencyContact, stamp: str, by: Person, at: datetime) -> None:
    """Take a contact off the list; the event keeps who it was."""
    _hold(contact.agency, by)
    fresh = _fresh(contact, stamp)
    told = str(fresh)
    fresh.delete()
    _tell("remove_contact", f"Emergency contact removed: {told}", contact.agency, by, at)


@transaction.atomic
def call_earlier(*, contact: EmergencyContact, by: Person, at: datetime) -> None:
    """Move a contact one place up; the first stays first."""
    _hold(contact.agency, by)
    rows = list(contacts_of(contact.agency_id))
    place = next((index for index, row in enumerate(rows) if row.pk == contact.pk), None)
    if place is None:
        raise Refused("Somebody removed this contact meanwhile: open the list again.")
    if place == 0:
        return
    rows[place - 1], rows[place] = rows[place], rows[place - 1]
    for order, row in enumerate(rows, start=1):
        row.order = order
    EmergencyContact.objects.bulk_update(rows, ["order"])
    _tell("order_contacts", f"Emergency contact called earlier: {contact}", contact.agency, by, at)


def _hold(agency: Agency, by: Person) -> None:
    if CHANGE not in permits_of(by, agency):
        roles = " or ".join(sorted(role.label.lower() for role in ALLOWED[CHANGE]))
        raise Refused(f"You may not change whom to call here: that needs the role {roles}.")
    Agency.objects.select_for_update().get(pk=agency.pk)


def _fresh(contact: EmergencyContact, stamp: str) -> EmergencyContact:
    fresh = EmergencyContact.objects.filter(pk=contact.pk).first()
    if fresh is None or contact_stamp(fresh) != stamp:
        raise Stale(
            "Somebody changed or removed this contact after you opened it, so nothing of yours was saved. "
            "Your entries are still below: compare them with the list, then save again."
        )
    return fresh


def _checked(values: Mapping, count: int) -> dict:
    if faults := contact_faults(values, count=count):
        raise Refused(faults)
    return {name: (values.get(name) or "").strip() for name in FIELDS}


def _tell(verb: str, sentence: str, agency: Agency, by: Person, at: datetime) -> None:
    tell_event(verb=verb, sentence=sentence, at=at, by=by, agency=agency)
