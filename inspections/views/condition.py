"""Condition of one structure over the years, and what the findings of a sheet propose while it is typed."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.forms.entry import EntrySheet
from inspections.pages.condition_in_time import condition_context
from inspections.pages.proposals import proposals_context
from inspections.rules.proposed_ratings import table_json
from inventory.access import permitted, structure_or_404
from inventory.vocabulary.roles import Permit

from .scope import inspection_or_404


@permitted(Permit.READ)
@require_safe
def condition_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Ratings, elements and findings of a structure since it was first inspected."""
    structure = structure_or_404(request, pk)
    context = {"structure": structure, **condition_context(structure, timezone.localdate())}
    return render(request, "inspections/condition/page.html", context)


@permitted(Permit.ENTER_INSPECTION)
@require_POST
def propose(request: HttpRequest, pk: int) -> HttpResponse:
    """The panel of proposals for a sheet as typed; nothing is saved."""
    inspection = inspection_or_404(request, pk, Permit.ENTER_INSPECTION)
    today = timezone.localdate()
    sheet = EntrySheet(inspection, today=today, data=request.POST)
    if not sheet.is_valid():
        return render(request, "inspections/condition/_proposals.html", {"problems": sheet.problems()})
    context = proposals_context(inspection, as_of=today, values=sheet.values())
    return render(request, "inspections/condition/_proposals.html", {"proposals": context})


@permitted(Permit.READ)
@require_safe
def rating_table(request: HttpRequest) -> JsonResponse:
    """The table from sizes to proposed ratings, for a device or another program."""
    return JsonResponse(table_json())
