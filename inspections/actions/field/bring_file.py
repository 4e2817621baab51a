"""Unsent work brought to the office as a file: every record and photograph goes the way it would have gone by itself.

Brought twice it changes nothing. Who entered and who brought it are both named.
"""

import base64
import binascii
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from inspections.actions.lock import require_agency_permit
from inspections.rules.field_record import is_identity
from inspections.rules.field_text import bearable
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import ReceiptState, UploadState
from inventory.actions.tell import tell_event
from inventory.models import Agency, Person
from inventory.vocabulary.roles import Permit

from .photos import take_whole
from .receive_record import receive_record

MOST_LINES = 200


@dataclass(kw_only=True)
class Brought:
    """What became of a file: counts, and a sentence for whatever needs a person."""

    filed: int = 0
    held: int = 0
    already: int = 0
    photos: int = 0
    photos_refused: int = 0
    sentences: list[str] = field(default_factory=list)

    def say(self, sentence: str) -> None:
        if len(self.sentences) < MOST_LINES:
            self.sentences.append(sentence)

    @property
    def words(self) -> str:
        return (
            f"{self.filed} filed, {self.held} held, {self.already} already here; {self.photos} photographs kept, "
            f"{self.photos_refused} not taken"
        )


def bring_file(*, agency: Agency, parts: Iterable[tuple[str, object]], by: Person, at: datetime) -> Brought:
    """Take ("head", value), ("work", record) and ("photo", row) one after another, as a reader of the file gives them.

    Each record is a transaction of its own, so that a file that breaks off leaves what came before it in place.
    Raises Refused where the person may not.
    """
    require_agency_permit(by, agency, Permit.SETTLE_RECEIPTS)
    brought, who, device = Brought(), "", None
    for part, value in parts:
        if part == "head":
            who, device = _name(value) or who, value.get("device") if isinstance(value, Mapping) else None
        elif part == "work":
            _take_record(brought, value, by, at)
        elif part == "photo":
            _take_photo(brought, {"device": device, **value} if isinstance(value, dict) else value, by, at)
    tell_event(
        verb="bring_file",
        sentence=f"Unsent work{f' of {who}' if who else ''} brought as a file by {by}: {brought.words}.",
        at=at,
        by=by,
        agency=agency,
    )
    return brought


def _name(head) -> str:
    person = head.get("person") if isinstance(head, Mapping) else None
    return str(person.get("name") or "")[:80] if isinstance(person, Mapping) else ""


def _take_record(brought: Brought, record, by: Person, at: datetime) -> None:
    if not isinstance(record, dict):
        brought.say("One entry of the file is no record and was left out.")
        return
    number = str(record.get("structure_number") or "?")[:30]
    try:
        bearable(record)
        receipt, was_here = receive_record(record=record, by=by, at=at, way="file")
    except Refused as refused:
        brought.say(f"{number}: {refused.sentence}")
        return
    if was_here:
        brought.already += 1
    elif receipt.state == ReceiptState.FILED:
        brought.filed += 1
    else:
        brought.held += 1
    for sentence in [] if was_here else receipt.sentences:
        brought.say(f"{number}: {sentence}")


def _take_photo(brought: Brought, row, by: Person, at: datetime) -> None:
    identity = row.get("identity") if isinstance(row, dict) else None
    if not is_identity(identity):
        brought.photos_refused += 1
        brought.say("A photograph of the file carries no identity and was left out.")
        return
    try:
        data = base64.b64decode(row.get("base64") or "", validate=True)
        upload = take_whole(identity=UUID(identity), about=row, data=data, by=by, at=at)
    except (binascii.Error, TypeError, ValueError):
        brought.photos_refused += 1
        brought.say(f"Photograph {identity[:8]}: its bytes cannot be read from the file.")
        return
    except Refused as refused:
        brought.photos_refused += 1
        brought.say(f"Photograph {identity[:8]}: {refused.sentence}")
        return
    if upload.state == UploadState.KEPT:
        brought.photos += 1
    else:
        brought.photos_refused += 1
        brought.say(f"Photograph {identity[:8]}: {upload.problem}")
