"""The registry of inspectors: read by everyone, kept by those who may."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from inventory.access import permitted, require
from inventory.actions.qualifications import add_qualification, edit_qualification, withdraw_qualification
from inventory.forms.qualifications import QualificationForm, WithdrawForm
from inventory.forms.row_numbers import row_number
from inventory.models import Qualification
from inventory.pages.qualifications import qualification_events, qualification_line, registry_context
from inventory.queries.people import agencies_of, permits_of
from inventory.queries.qualifications import members_of, qualifications_for, refresher_of
from inventory.rules.refusals import Refused
from inventory.vocabulary.roles import Permit

from .entry import entry_page
from .rating import chosen_agency

KEEP = Permit.KEEP_QUALIFICATIONS
NOTE = "Enter what the proof says. The State's manual may ask for more than the national standards."


@permitted(Permit.READ)
@require_safe
def qualifications_page(request: HttpRequest) -> HttpResponse:
    """Everyone's qualifications; what lapsed or soon lapses is told first."""
    agency = chosen_agency(request)
    context = registry_context(agency, timezone.localdate()) | {
        "agencies": agencies_of(request.user).order_by("name"),
        "may_keep": KEEP in permits_of(request.user, agency),
    }
    return render(request, "inventory/qualifications/list.html", context)


@permitted(KEEP)
@require_http_methods(["GET", "POST"])
def new_qualification(request: HttpRequest) -> HttpResponse:
    agency = chosen_agency(request, KEEP)
    return entry_page(
        request,
        form=QualificationForm(request.POST or None, people=members_of(agency)),
        title="New qualification",
        note=f"For a person of {agency}. {NOTE}",
        act=lambda values: add_qualification(agency=agency, values=values, by=request.user, at=timezone.now()),
        done="The qualification is entered.",
        after=_list_of,
        leave=f"{reverse('inventory:qualifications')}?agency={agency.pk}",
    )


@permitted(KEEP)
@require_http_methods(["GET", "POST"])
def change_qualification(request: HttpRequest, pk: int) -> HttpResponse:
    row = _owned(request, pk)
    return entry_page(
        request,
        form=QualificationForm(request.POST or None, row=row),
        title=f"Change: {row}",
        note=NOTE,
        stamp=str(row.revision),
        act=lambda values: edit_qualification(
            row=row, values=values, revision=_revision(request), by=request.user, at=timezone.now()
        ),
        done="The qualification is changed.",
        after=_list_of,
        leave=_list_of(row),
    )


@permitted(KEEP)
@require_http_methods(["GET", "POST"])
def take_qualification_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Withdraw a line, with the reason; it stays on record for what was led under it."""
    row = _owned(request, pk)
    form = WithdrawForm(request.POST or None, initial={"revision": row.revision})
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                withdraw_qualification(row=row, **form.cleaned_data, by=request.user, at=timezone.now())
            except Refused as refused:
                for name, sentence in refused.faults.items():
                    form.add_error(name or None, sentence)
            else:
                messages.success(request, "The qualification is withdrawn from today. It stays on record.")
                return redirect(_list_of(row))
    line = qualification_line(row, timezone.localdate(), refresher_of(row.agency))
    context = {"form": form, "events": qualification_events(row), **line}
    return render(request, "inventory/qualifications/withdraw.html", context, status=status)


def _owned(request: HttpRequest, pk: int) -> Qualification:
    row = get_object_or_404(qualifications_for(request.user), pk=pk)
    require(request.user, row.agency, KEEP)
    return row


def _revision(request: HttpRequest) -> int:
    found = row_number(request.POST.get("stamp", ""))
    return -1 if found is None else found


def _list_of(row: Qualification) -> str:
    return f"{reverse('inventory:qualifications')}?agency={row.agency_id}"
