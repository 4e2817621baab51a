"""What a device sends: records one at a time, photographs piece by piece."""

import json
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone

from inspections.actions.field.photos import MOST_PIECE, OtherPhoto, WrongPlace, begin_photo, take_piece
from inspections.actions.field.receive_record import OtherContent, receive_record
from inspections.models import PhotoUpload, Receipt
from inspections.pages.field_answers import photo_answer, record_answer
from inspections.queries.field_received import receipts_for, uploads_for
from inspections.rules.field_text import read_record
from inspections.rules.refusals import Refused
from inspections.tasks import nudge_dates
from inspections.vocabulary.states import InspectionState, ReceiptState
from inventory.vocabulary.roles import Permit

from .field_access import field_door, sentences
from .nudges import nudge_rating

MOST_ANNOUNCED = 16 * 1024


@field_door(Permit.READ, "POST")
def field_records(request: HttpRequest) -> HttpResponse:
    """Take one record; the same one again gets the same answer."""
    try:
        record = read_record(request.body)
        receipt, already = receive_record(record=record, by=request.user, at=timezone.now())
    except OtherContent as taken:
        return sentences(*taken.sentences, status=409)
    except Refused as refused:
        return sentences(*refused.sentences)
    if not already:
        _nudge(receipt)
    return JsonResponse(record_answer(receipt, already=already))


@field_door(Permit.READ, "GET", "HEAD")
def field_record(request: HttpRequest, identity: UUID) -> HttpResponse:
    """What became of a record."""
    receipt = receipts_for(request.user).filter(identity=identity).first()
    if receipt is None:
        return sentences("The site has no record of this identity.", status=404)
    return JsonResponse(record_answer(receipt, already=True))


@field_door(Permit.READ, "GET", "HEAD", "POST", "PUT")
def field_photo(request: HttpRequest, identity: UUID) -> HttpResponse:
    """Announce a photograph (POST), send a piece of it (PUT), or ask how much is here (GET)."""
    try:
        if request.method == "POST":
            return JsonResponse(photo_answer(_begin(request, identity)))
        if request.method == "PUT":
            return JsonResponse(photo_answer(_piece(request, identity)))
        return JsonResponse(photo_answer(_upload(request, identity)))
    except WrongPlace as wrong:
        return JsonResponse(photo_answer(wrong.upload), status=409)
    except OtherPhoto as taken:
        return sentences(*taken.sentences, status=409, photo=str(identity))
    except Refused as refused:
        return sentences(*refused.sentences, photo=str(identity))


def _upload(request: HttpRequest, identity: UUID) -> PhotoUpload:
    upload = uploads_for(request.user).filter(identity=identity).first()
    if upload is None:
        raise Http404
    return upload


def _begin(request: HttpRequest, identity: UUID) -> PhotoUpload:
    if len(request.body) > MOST_ANNOUNCED:
        raise Refused("What a photograph is announced with is too long.")
    try:
        about = json.loads(request.body.decode("utf-8"))
    except (ValueError, RecursionError):
        about = None
    if not isinstance(about, dict):
        raise Refused("A photograph is announced with a JSON object.")
    return begin_photo(identity=identity, about=about, by=request.user, at=timezone.now())


def _piece(request: HttpRequest, identity: UUID) -> PhotoUpload:
    start = request.headers.get("X-From-Byte", "")
    if not start.isascii() or not start.isdecimal() or len(start) > 12:
        raise Refused("The header X-From-Byte must say from which byte the piece begins.")
    _upload(request, identity)
    length = request.headers.get("Content-Length") or "0"
    if length.isdecimal() and int(length) > MOST_PIECE:
        raise Refused(f"A piece may have at most {MOST_PIECE // 1024} kB.")
    return take_piece(identity=identity, from_byte=int(start), piece=request.body, by=request.user, at=timezone.now())


def _nudge(receipt: Receipt) -> None:
    """After the commit: a rating where one is owed, the dates of the structure anyway."""
    if receipt.state != ReceiptState.FILED or receipt.structure_id is None:
        return
    if receipt.inspection is not None and receipt.inspection.state == InspectionState.SUBMITTED:
        nudge_rating(receipt.structure)
    else:
        nudge_dates(receipt.structure_id)
