"""What a device is told of a record and of a photograph."""

from inspections.actions.field.photo_places import photos_wanted
from inspections.models import PhotoUpload, Receipt
from inspections.vocabulary.states import ReceiptState


def record_answer(receipt: Receipt, *, already: bool) -> dict:
    """What became of a record, in the shape every device knows; asked again it is the same."""
    told = receipt.answer or {}
    return {
        "record": str(receipt.identity),
        "already": already,
        "state": _state(receipt),
        "held_for": receipt.held_for if receipt.state == ReceiptState.HELD else "",
        "sentences": receipt.sentences,
        "inspection": told.get("inspection"),
        "theirs": told.get("theirs"),
        "differs": told.get("differs") or [],
        "wants_photos": photos_wanted(receipt),
    }


def _state(receipt: Receipt) -> str:
    """A record that the office settled or set aside is done for the device: it may forget it."""
    return ReceiptState.FILED.value if receipt.state == ReceiptState.SET_ASIDE else receipt.state


def photo_answer(upload: PhotoUpload) -> dict:
    """How much of a photograph is here, and whether it is kept."""
    return {
        "photo": str(upload.identity),
        "received_bytes": upload.received_bytes,
        "size_bytes": upload.size_bytes,
        "state": upload.state,
        "sentences": [upload.problem] if upload.problem else [],
    }
