"""A record from the field is kept before anything is made of it; filing follows in a transaction of its own.

Nothing is lost where filing fails: what the rules refuse is held for a person, with the sentences; where the site
itself failed, the record stays kept and the sweep tries again.
"""

import hashlib
import json
import logging
from datetime import datetime, timedelta
from uuid import UUID

from django.db import IntegrityError, OperationalError, transaction

from inspections.actions.lock import lock_structure
from inspections.models import Inspection, Receipt
from inspections.rules.field_clock import stamp_error_s
from inspections.rules.field_record import envelope_faults, format_faults
from inspections.rules.field_text import storable
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import ReceiptState
from inventory.actions.tell import tell_event
from inventory.models import Agency, Person, Structure
from inventory.queries.people import agencies_of
from inventory.queries.structures import structures_for
from inventory.rules.refusals import Refused as RefusedAtInventory
from inventory.vocabulary.roles import Permit

from .file_critical import file_critical
from .file_inspection import file_inspection
from .file_sign import file_sign
from .filing import FORMAT, MISSING, REFUSED, Filed, Filing, held
from .photo_places import give_places, name_places

log = logging.getLogger(__name__)
FILERS = {"inspection": file_inspection, "critical": file_critical, "sign": file_sign}
TRIED_FOR = timedelta(hours=2)
"""A record that the site itself cannot file is tried so long by the sweep, then shown to a person."""
FAILED = (
    "The site fails on this record again and again. It is kept here, with its photographs: tell whoever runs the site, "
    "then file it or set it aside."
)
AT_EACH_SENDING = ("device_now",)
"""What a device writes anew each time it sends the same record: no part of what is compared."""


class OtherContent(Refused):
    """The identity is taken by a record of other content; both must be kept, and the new one needs an identity."""


def receive_record(*, record: dict, by: Person, at: datetime, way: str = "sent") -> tuple[Receipt, bool]:
    """Keep and file a record. Returns the receipt and whether it was here before.

    Raises Refused where it cannot even be kept (no identity, no agency), OtherContent where its identity is taken.
    """
    receipt, was_here = keep_record(record=record, by=by, at=at, way=way)
    if receipt.state == ReceiptState.KEPT:
        receipt = file_receipt(receipt_id=receipt.pk, at=at, by=by)
    return receipt, was_here


def keep_record(*, record: dict, by: Person, at: datetime, way: str) -> tuple[Receipt, bool]:
    """The row of the record, in a transaction of its own; the same record again is found, not kept twice."""
    if faults := envelope_faults(record):
        raise Refused(*faults)
    digest, record = content_digest(record), storable(record)
    if (before := _before(record, digest, by)) is not None:
        return before, True
    structure = structure_of(record, by)
    values = {
        "identity": UUID(record["record"]),
        "agency": structure.agency if structure else _agency_of(by),
        "structure": structure,
        "kind": str(record.get("kind") or "")[:12],
        "device": UUID(record["device"]),
        "person": by,
        "sha256": digest,
        "body": record,
        "way": way,
        "received_at": at,
        "clock_off_s": stamp_error_s(record.get("device_now"), record.get("clock_correction_s"), at)
        if way == "sent"
        else None,
    }
    try:
        with transaction.atomic():
            return Receipt.objects.create(**values), False
    except IntegrityError:
        # Two requests with one record at once: the other was first.
        before = _before(record, digest, by)
        if before is None:
            raise
        return before, True


def content_digest(record: dict) -> str:
    """Checksum of what the record says, whatever the order of its keys."""
    said = {name: value for name, value in record.items() if name not in AT_EACH_SENDING}
    return hashlib.sha256(json.dumps(said, sort_keys=True).encode("utf-8", "surrogatepass")).hexdigest()


def _before(record: dict, digest: str, by: Person) -> Receipt | None:
    found = Receipt.objects.filter(identity=record["record"]).first()
    if found is None:
        return None
    if found.sha256 != digest or not agencies_of(by).filter(pk=found.agency_id).exists():
        raise OtherContent(
            "The site already has a record of this identity that says something else. Nothing was changed; send what "
            "you have under a new identity."
        )
    return found


def structure_of(record: dict, by: Person) -> Structure | None:
    """The structure of the record, among those the person may see."""
    pk = record.get("structure")
    if not isinstance(pk, int) or isinstance(pk, bool) or not 0 < pk < 2**63:
        return None
    return structures_for(by).filter(pk=pk).first()


def _agency_of(by: Person) -> Agency:
    agency = agencies_of(by).first()
    if agency is None:
        raise Refused("You belong to no agency any more, so the site cannot keep this. It stays on your device.")
    return agency


def file_receipt(
    *,
    receipt_id: int,
    at: datetime,
    by: Person | None = None,
    choice: str = "",
    permit: Permit | None = None,
) -> Receipt:
    """File a kept record, or a held one that a person settles (`permit` then). Safe to run twice and two at once.

    Never raises for what is wrong with the record: it is held then, with the sentences.
    """
    receipt = Receipt.objects.select_related("person", "agency").get(pk=receipt_id)
    try:
        return _file(receipt, by or receipt.person, at, choice, permit)
    except (Refused, RefusedAtInventory) as refused:
        sentences = list(refused.sentences if isinstance(refused, Refused) else refused.faults.values())
        return _conclude(receipt.pk, held(REFUSED, *sentences), at)
    except Exception as failed:
        log.exception("record %s was kept but could not be filed", receipt.identity)
        if at - receipt.received_at > TRIED_FOR and not isinstance(failed, OperationalError):
            return _conclude(receipt.pk, held(REFUSED, FAILED), at)
        said = ["The record is kept; the site could not file it yet and will try again by itself."]
        Receipt.objects.filter(pk=receipt.pk, state=ReceiptState.KEPT).update(sentences=said)
        receipt.refresh_from_db()
        return receipt


@transaction.atomic
def _file(receipt: Receipt, by: Person, at: datetime, choice: str, permit: Permit | None) -> Receipt:
    structure = lock_structure(receipt.structure_id) if receipt.structure_id else None
    receipt = Receipt.objects.select_for_update().get(pk=receipt.pk)
    settles = permit is not None
    if receipt.state != (ReceiptState.HELD if settles else ReceiptState.KEPT):
        return receipt
    if receipt.way == "file":
        permit = Permit.SETTLE_RECEIPTS
    record = receipt.body
    if faults := format_faults(record):
        return _conclude(receipt.pk, held(FORMAT, *faults), at)
    name_places(receipt, record)
    if structure is None:
        number = str(record.get("structure_number") or record.get("structure"))
        return _conclude(
            receipt.pk,
            held(
                MISSING,
                f"Structure {number:.40} is not in your agency's register any more. The record and its photographs are "
                "kept at the office, which finds out where they belong.",
            ),
            at,
        )
    choice = choice or (record.get("resolves") or {}).get("choice") or ""
    filing = Filing(
        receipt=receipt,
        record=record,
        structure=structure,
        by=by,
        author=author_of(receipt, structure.agency),
        at=at,
        permit=permit,
        choice=choice,
        settles=settles,
    )
    filed = FILERS[record["kind"]](filing)
    if filed.state == ReceiptState.FILED:
        give_places(receipt, filed, at)
    return _conclude(receipt.pk, filed, at)


def author_of(receipt: Receipt, agency: Agency) -> Person:
    """Who entered the record, where the record names somebody of the agency; otherwise who sent it."""
    named = (receipt.body.get("made_by") or {}) if isinstance(receipt.body.get("made_by"), dict) else {}
    pk = named.get("id")
    if isinstance(pk, int) and not isinstance(pk, bool) and 0 < pk < 2**31:
        found = Person.objects.filter(pk=pk, memberships__agency=agency).distinct().first()
        return found or receipt.person
    return receipt.person


@transaction.atomic
def _conclude(receipt_id: int, filed: Filed, at: datetime) -> Receipt:
    """Write what became of it, and answer earlier records of the same thing that were still held."""
    receipt = Receipt.objects.select_for_update().get(pk=receipt_id)
    if filed.state == ReceiptState.HELD and receipt.state in (ReceiptState.FILED, ReceiptState.SET_ASIDE):
        # Filed or settled by another between our failing and this: that stands.
        return receipt
    receipt.state, receipt.held_for = filed.state, filed.held_for
    receipt.sentences, receipt.inspection = filed.sentences, filed.inspection or receipt.inspection
    receipt.answer = {
        "state": filed.state.value,
        "held_for": filed.held_for,
        "sentences": filed.sentences,
        "inspection": _inspection_answer(filed.inspection),
        "theirs": filed.theirs,
        "differs": filed.differs,
    }
    receipt.save()
    if filed.state == ReceiptState.FILED:
        _answer_earlier(receipt, filed, at)
    if filed.state == ReceiptState.HELD:
        tell_event(
            verb="hold_record",
            sentence=f"Record from the field held: {' '.join(filed.sentences)}",
            at=at,
            by=receipt.person,
            structure=receipt.structure,
            agency=receipt.agency,
            detail={"receipt": receipt.pk},
        )
    return receipt


def _inspection_answer(inspection: Inspection | None) -> dict | None:
    if inspection is None:
        return None
    return {
        "identity": str(inspection.identity),
        "id": inspection.pk,
        "revision": inspection.revision,
        "state": inspection.state,
    }


def _answer_earlier(receipt: Receipt, filed: Filed, at: datetime) -> None:
    """What the same device sent earlier of the same inspection and was held is answered by this."""
    if filed.inspection is None:
        return
    identity = str(filed.inspection.identity)
    earlier = Receipt.objects.select_for_update().filter(
        device=receipt.device, state=ReceiptState.HELD, kind="inspection", agency=receipt.agency, pk__lt=receipt.pk
    )
    for row in earlier:
        # What was held for its form may hold anything in that place.
        visit = row.body.get("inspection")
        if isinstance(visit, dict) and visit.get("identity") == identity:
            row.state, row.settled_at, row.settled_by = ReceiptState.SET_ASIDE, at, receipt.person
            row.sentences = [*row.sentences, "Answered by a later record of the same device."]
            row.save(update_fields=["state", "settled_at", "settled_by", "sentences"])
