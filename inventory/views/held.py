"""Values of the record held back because the county entered its own: a person chooses."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inventory.access import permitted, require
from inventory.actions.decide_held import DecisionRefused, decide_held
from inventory.forms.row_numbers import row_number
from inventory.models import HeldChange, Structure
from inventory.queries.records import held_changes_for
from inventory.vocabulary.roles import Permit

_LABELS = {"position": "longitude and latitude", "restriction": "open, posted or closed"}


@permitted(Permit.IMPORT_RECORDS)
@require_http_methods(["GET", "POST"])
def held_page(request: HttpRequest) -> HttpResponse:
    """All undecided values, each with two buttons."""
    if request.method == "POST":
        hold = get_object_or_404(held_changes_for(request.user), pk=row_number(request.POST.get("hold", "")))
        require(request.user, hold.structure.agency, Permit.IMPORT_RECORDS)
        try:
            decide_held(hold, request.POST.get("decision", ""), by=request.user, at=timezone.now())
        except DecisionRefused as refusal:
            messages.error(request, str(refusal))
        else:
            messages.success(request, f"{hold.structure.number}, {label_of(hold)}: settled.")
        return redirect("inventory:held")
    page = Paginator(held_changes_for(request.user).order_by("structure__number", "field"), 50).get_page(
        request.GET.get("page")
    )
    rows = [
        {"hold": hold, "label": label_of(hold), "ours": shown(hold.county_value), "theirs": shown(hold.record_value)}
        for hold in page
    ]
    return render(request, "inventory/imports/held.html", {"page": page, "rows": rows})


def label_of(hold: HeldChange) -> str:
    """The field as people call it."""
    return _LABELS.get(hold.field) or str(Structure._meta.get_field(hold.field).verbose_name)


def shown(value) -> str:
    """A stored value in words."""
    if isinstance(value, list):
        return ", ".join(f"{part:.6f}" for part in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "blank" if value in (None, "") else str(value)
