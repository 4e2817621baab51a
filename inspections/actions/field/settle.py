"""A held record is settled by the office: as it came, theirs, both put together, or set aside with a reason."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from inspections.actions.lock import lock_structure, require_agency_permit, require_move
from inspections.models import Receipt
from inspections.rules import lifecycle
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import ReceiptState
from inventory.actions.tell import tell_event
from inventory.models import Person, Structure
from inventory.vocabulary.roles import Permit

from .photos_left import take_up_again
from .receive_record import file_receipt

SET_ASIDE, THEIRS = "set_aside", "theirs"
FILING = {"mine": "filed as it came", "both": "put together with what stood there"}
CHOICES = (*FILING, THEIRS, SET_ASIDE)
LEAST_REASON = 3


@dataclass(frozen=True, kw_only=True)
class Settled:
    """The receipt afterwards; `sentences` where it is still held."""

    receipt: Receipt
    sentences: tuple[str, ...] = ()


@transaction.atomic
def settle_receipt(
    *,
    receipt: Receipt,
    choice: str,
    reason: str,
    by: Person,
    at: datetime,
    structure: Structure | None = None,
) -> Settled:
    """Settle one held record by one of CHOICES. `structure` gives a record its place where the register had none.

    Filing is for drafts only: what another entered is submitted by that person. Raises Refused; where the record still
    cannot be filed it stays held, and the sentences say why.
    """
    permits = require_agency_permit(by, receipt.agency, Permit.SETTLE_RECEIPTS)
    if choice not in CHOICES:
        raise Refused("Choose what shall become of the record: as it came, theirs, both, or set aside.")
    if choice in (SET_ASIDE, THEIRS) and len(reason.strip()) < LEAST_REASON:
        raise Refused("Give the reason for which this record is not filed; it stays on record with it.")
    state = Receipt.objects.values_list("state", flat=True).get(pk=receipt.pk)
    target = ReceiptState.FILED if choice in FILING else ReceiptState.SET_ASIDE
    require_move(lifecycle.RECEIPT, state, target, permits)
    if choice not in FILING:
        return Settled(receipt=_put_aside(receipt, choice, reason.strip(), by, at))
    if structure is not None:
        if structure.agency_id != receipt.agency_id:
            raise Refused("That structure belongs to another agency.")
        # The structure before the receipt, as everybody locks them.
        lock_structure(structure.pk)
        Receipt.objects.filter(pk=receipt.pk).update(structure=structure)
    filed = file_receipt(receipt_id=receipt.pk, at=at, by=by, choice=choice, permit=Permit.SETTLE_RECEIPTS)
    if filed.state != ReceiptState.FILED:
        return Settled(receipt=filed, sentences=tuple(filed.sentences))
    if structure is not None:
        for place in filed.photo_places.all():
            take_up_again(identity=place.identity, structure=structure, at=at)
    _sign(filed, by, at)
    words = FILING[choice] + (f": {reason.strip()}" if reason.strip() else "")
    _tell(filed, f"Record from the field, entered by {filed.person}, {words}.", by, at)
    return Settled(receipt=filed)


def _put_aside(receipt: Receipt, choice: str, reason: str, by: Person, at: datetime) -> Receipt:
    receipt = Receipt.objects.select_for_update().get(pk=receipt.pk)
    if receipt.state != ReceiptState.HELD:
        raise Refused("Somebody else has just settled this record: open the page again.")
    receipt.state = ReceiptState.SET_ASIDE
    what = "What stood on the site was kept" if choice == THEIRS else "Set aside"
    receipt.sentences = [*receipt.sentences, f"{what} by {by}: {reason}"]
    receipt.save(update_fields=["state", "sentences"])
    _sign(receipt, by, at)
    _tell(receipt, f"Record from the field, sent by {receipt.person}, not filed: {reason}", by, at)
    return receipt


def _sign(receipt: Receipt, by: Person, at: datetime) -> None:
    receipt.settled_by, receipt.settled_at = by, at
    receipt.save(update_fields=["settled_by", "settled_at"])


def _tell(receipt: Receipt, sentence: str, by: Person, at: datetime) -> None:
    tell_event(
        verb="settle_record",
        sentence=sentence,
        at=at,
        by=by,
        structure=receipt.structure,
        agency=receipt.agency,
        detail={"receipt": receipt.pk},
    )
