"""Starting an inspection and filling in its sheet."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inspections.actions import receive
from inspections.forms.decisions import StartForm
from inspections.forms.entry import EntrySheet
from inspections.models import Inspection
from inspections.pages.entry import entry_context
from inspections.pages.proposals import with_proposed_quantities
from inspections.queries.findings import last_elements
from inspections.queries.pages import last_save
from inspections.rules.lifecycle import EDITABLE
from inventory.access import permitted, structure_or_404
from inventory.vocabulary.roles import Permit

from .asked_photos import photos_linked
from .attempts import Attempt, attempt
from .nudges import nudge_rating
from .scope import inspection_or_404

NO_REVISION = "This page was sent without the revision it was opened at; nothing was saved. Open the inspection again."


@permitted(Permit.ENTER_INSPECTION)
@require_http_methods(["GET", "POST"])
def start_inspection(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose the kind and open a draft."""
    structure = structure_or_404(request, pk, Permit.ENTER_INSPECTION)
    form = StartForm(request.POST if request.method == "POST" else None, initial={"kind": "routine"})
    tried = Attempt()
    if request.method == "POST" and form.is_valid():
        tried = attempt(
            lambda: receive.open_inspection(
                structure=structure, kind=form.cleaned_data["kind"], by=request.user, at=timezone.now()
            )
        )
        if tried.done:
            return redirect("inspections:edit", pk=tried.result.pk)
    context = {
        "structure": structure,
        "form": form,
        "problems": [*form.problems(), *(("", sentence) for sentence in tried.sentences)],
        "open_drafts": structure.inspections.filter(state__in=EDITABLE).select_related("inspector"),
    }
    return render(request, "inspections/start.html", context, status=tried.status)


@permitted(Permit.ENTER_INSPECTION)
@require_http_methods(["GET", "POST"])
def edit_inspection(request: HttpRequest, pk: int) -> HttpResponse:
    """The entry sheet: show it, save it as a draft, or save and submit it."""
    inspection = inspection_or_404(request, pk, Permit.ENTER_INSPECTION)
    if request.method == "POST":
        return _receive(request, inspection)
    if inspection.state not in EDITABLE:
        messages.error(request, f"This inspection can no longer be changed: it is {inspection.get_state_display()}.")
        return redirect("inspections:inspection", pk=inspection.pk)
    return _sheet_page(request, inspection, _sheet(inspection))


def _receive(request: HttpRequest, inspection: Inspection) -> HttpResponse:
    sheet = _sheet(inspection, request.POST, request.FILES)
    # "replace" comes from the button of a stale page only: the person has read who saved in between.
    sent = request.POST.get("replace") or request.POST.get("revision", "")
    typed_revision = request.POST.get("revision", "")
    if not sheet.is_valid():
        return _sheet_page(request, inspection, sheet, problems=sheet.problems(), revision=typed_revision)
    if not sent.isdecimal() or len(sent) > 9:
        return _sheet_page(request, inspection, sheet, problems=[("", NO_REVISION)])
    if problems := photos_linked(request, inspection, sheet.asked.photos()):
        return _sheet_page(request, inspection, sheet, problems=problems, revision=typed_revision)
    saved = attempt(
        lambda: receive.save_draft(
            inspection=inspection, revision=int(sent), by=request.user, at=timezone.now(), **_values(request, sheet)
        )
    )
    if not saved.done:
        return _refused(request, inspection, sheet, saved, typed_revision)
    if request.POST.get("then") != "submit":
        messages.success(request, "Saved as a draft.")
        anchor = {"propose": "#proposals", "quantities": "#elements"}.get(request.POST.get("then"), "")
        return redirect(reverse("inspections:edit", args=[inspection.pk]) + anchor)
    return _submit(request, saved.result)


def _values(request: HttpRequest, sheet: EntrySheet) -> dict:
    """What the sheet says; where its button asks so, with the element quantities that the findings propose."""
    values = sheet.values()
    if request.POST.get("then") == "quantities":
        return with_proposed_quantities(sheet.inspection, values)
    return values


def _submit(request: HttpRequest, inspection: Inspection) -> HttpResponse:
    handed_in = attempt(
        lambda: receive.submit_inspection(
            inspection=inspection, revision=inspection.revision, by=request.user, at=timezone.now()
        )
    )
    if handed_in.done:
        nudge_rating(inspection.structure)
        messages.success(request, "Submitted. The rating follows; you may leave this page.")
        return redirect("inspections:inspection", pk=inspection.pk)
    inspection = inspection_or_404(request, inspection.pk)
    sheet = _sheet(inspection)
    return _sheet_page(
        request,
        inspection,
        sheet,
        problems=sheet.places_of(handed_in.sentences),
        heading="Saved as a draft, not yet submitted",
    )


def _refused(
    request: HttpRequest, inspection: Inspection, sheet: EntrySheet, saved: Attempt, typed_revision: str
) -> HttpResponse:
    """The page again with what was typed; where another saved in between, who and when, and a way to see theirs."""
    current = inspection_or_404(request, inspection.pk)
    return _sheet_page(
        request,
        current,
        sheet,
        problems=sheet.places_of(saved.sentences),
        revision=typed_revision,
        stale=last_save(current) if saved.is_stale else None,
        is_stale=saved.is_stale and current.state in EDITABLE,
        status=saved.status if saved.is_stale else 200,
    )


def _sheet(inspection: Inspection, data=None, files=None) -> EntrySheet:
    structure = inspection.structure
    return EntrySheet(
        inspection,
        data=data,
        files=files,
        today=timezone.localdate(),
        last_elements=last_elements(structure, but=inspection),
    )


def _sheet_page(request: HttpRequest, inspection: Inspection, sheet: EntrySheet, **more) -> HttpResponse:
    context = entry_context(inspection, sheet, timezone.localdate()) | more
    return render(request, "inspections/entry.html", context, status=more.get("status", 200))
