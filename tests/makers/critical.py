"""Critical findings and photographs for tests, made through the office's own actions."""

import io
import uuid
from datetime import datetime

from PIL import Image

from inspections.actions.critical import report_critical
from inspections.models import CriticalFinding
from inventory.actions.receive_photo import receive_photo
from inventory.models import Document, EmergencyContact, Person, Structure


def jpeg(colour: tuple[int, int, int] = (120, 90, 60), size: tuple[int, int] = (64, 48)) -> bytes:
    """A picture of one colour; another colour is another file."""
    kept = io.BytesIO()
    Image.new("RGB", size, colour).save(kept, "JPEG")
    return kept.getvalue()


def make_photo(
    structure: Structure, by: Person, at: datetime, colour=(120, 90, 60), title="Pile at bent 1"
) -> Document:
    return receive_photo(structure=structure, data=jpeg(colour), title=title, by=by, at=at)


def make_critical(structure: Structure, by: Person, at: datetime, **changed) -> CriticalFinding:
    values = {
        "identity": uuid.uuid4(),
        "kind": "threat",
        "words": "Pile 3 of bent 1 hangs free.",
        "found_at": at,
    } | changed
    return report_critical(structure=structure, by=by, at=at, **values)


def make_contacts(agency) -> list[EmergencyContact]:
    rows = [
        ("sheriff", "Dispatcher", "555-0100"),
        ("engineer", "Bridge engineer", "555-0142 ext 7"),
        ("state", "State bridge office", "555-0199"),
    ]
    return [
        EmergencyContact.objects.create(agency=agency, role=role, name=name, phone=phone, order=order)
        for order, (role, name, phone) in enumerate(rows, start=1)
    ]
