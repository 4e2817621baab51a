"""Emergency contacts as every page shows them: role, name, number, and the address a telephone dials."""

from inventory.actions.contacts import contact_stamp
from inventory.models import Agency, EmergencyContact, Event
from inventory.queries.contacts import contacts_missing, contacts_of
from inventory.rules.contacts import dialled

SHOWN_CHANGES = 12
VERBS = ("add_contact", "change_contact", "remove_contact", "order_contacts")


def contact_line(contact: EmergencyContact) -> dict:
    """One contact for a page; `dial` is a `tel:` address."""
    return {"contact": contact, "dial": dialled(contact.phone), "stamp": contact_stamp(contact)}


def contact_lines(agency: Agency) -> list[dict]:
    """All of an agency, in the order of calling."""
    return [contact_line(contact) for contact in contacts_of(agency)]


def contacts_context(agency: Agency) -> dict:
    """The page "Whom to call"."""
    events = Event.objects.filter(agency=agency, structure=None, verb__in=VERBS).select_related("by")
    return {
        "agency": agency,
        "lines": contact_lines(agency),
        "missing": contacts_missing(agency),
        "events": events[:SHOWN_CHANGES],
    }
