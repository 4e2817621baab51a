"""The office's page of the field: held records are settled, a file of unsent work is brought."""

import json

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.actions.field.bring_file import Brought, bring_file
from inspections.actions.field.settle import settle_receipt
from inspections.forms.field_held import BringForm, SettleForm
from inspections.models import Receipt
from inspections.pages.field_held import HeldRow, held_row, refused_photo_words
from inspections.queries.field_received import receipts_to_settle, uploads_refused
from inspections.records.field_file import MOST_BYTES, read_export
from inspections.tasks import nudge_dates
from inventory.access import permitted
from inventory.queries.people import agencies_permitting
from inventory.queries.structures import structures_for
from inventory.vocabulary.roles import Permit

from .attempts import Attempt, attempt

SHOWN = 60


@permitted(Permit.SETTLE_RECEIPTS)
@require_safe
def field_held(request: HttpRequest) -> HttpResponse:
    return _page(request)


@permitted(Permit.SETTLE_RECEIPTS)
@require_safe
def held_record(request: HttpRequest, pk: int) -> HttpResponse:
    """The record exactly as it came, as a file."""
    receipt = get_object_or_404(receipts_to_settle(request.user), pk=pk)
    answer = HttpResponse(json.dumps(receipt.body, indent=1), content_type="application/json")
    answer.headers["Content-Disposition"] = f'attachment; filename="record-{str(receipt.identity)[:8]}.json"'
    return answer


@permitted(Permit.SETTLE_RECEIPTS)
@require_POST
def settle(request: HttpRequest, pk: int) -> HttpResponse:
    """One held record: mine, theirs, both, filed as a draft, or set aside."""
    receipt = get_object_or_404(receipts_to_settle(request.user), pk=pk)
    row = held_row(receipt)
    form = _form(row, request.POST)
    if not form.is_valid():
        return _page(request, {pk: form}, form.problems())
    number = form.cleaned_data.get("number", "").strip()
    structure = structures_for(request.user).filter(agency=receipt.agency, number=number).first() if number else None
    if number and structure is None:
        told = [(form["number"].id_for_label, f"No structure has the number {number} here; look it up and try again.")]
        return _page(request, {pk: form}, told)
    tried = attempt(
        lambda: settle_receipt(
            receipt=receipt,
            choice=form.cleaned_data["choice"],
            reason=form.cleaned_data["reason"],
            structure=structure,
            by=request.user,
            at=timezone.now(),
        )
    )
    sentences = tried.sentences or tried.result.sentences
    if sentences:
        told = [(form["choice"].id_for_label, sentence) for sentence in sentences]
        return _page(request, {pk: form}, told, status=409)
    settled: Receipt = tried.result.receipt
    if settled.structure_id:
        nudge_dates(settled.structure_id)
    for sentence in settled.sentences:
        messages.info(request, sentence)
    messages.success(request, f"Settled: {row.what}.")
    return redirect("inspections:field_held")


@permitted(Permit.SETTLE_RECEIPTS)
@require_POST
def bring(request: HttpRequest) -> HttpResponse:
    """Take in a file of unsent work; every record goes the way it would have gone by itself."""
    form = BringForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, problems=form.problems())
    file = form.cleaned_data["file"]
    if file.size > MOST_BYTES:
        words = f"The file is larger than {MOST_BYTES // 2**20} MB; export the work in two parts."
        return _page(request, problems=[("id_file", words)])
    agency = agencies_permitting(request.user, Permit.SETTLE_RECEIPTS).first()
    tried: Attempt = attempt(
        lambda: bring_file(agency=agency, parts=read_export(file), by=request.user, at=timezone.now())
    )
    if not tried.done:
        return _page(request, problems=[("id_file", sentence) for sentence in tried.sentences])
    brought: Brought = tried.result
    messages.success(request, f"The file was taken in: {brought.words}.")
    return _page(request, brought=brought)


def _form(row: HeldRow, data=None) -> SettleForm:
    return SettleForm(data, prefix=f"r{row.receipt.pk}", is_meeting=row.is_meeting, asks_structure=row.asks_structure)


def _page(
    request: HttpRequest, typed: dict | None = None, problems=(), status: int = 200, brought: Brought | None = None
) -> HttpResponse:
    typed = typed or {}
    held = receipts_to_settle(request.user)
    rows = [held_row(receipt) for receipt in held[:SHOWN]]
    photos = uploads_refused(request.user)[:SHOWN]
    context = {
        "rows": [{"row": row, "form": typed.get(row.receipt.pk) or _form(row)} for row in rows],
        "more": max(0, held.count() - SHOWN),
        "photos": [{"upload": upload, "where": refused_photo_words(upload)} for upload in photos],
        "bring": BringForm(),
        "brought": brought,
        "problems": problems,
    }
    return render(request, "inspections/field_held.html", context, status=status)
