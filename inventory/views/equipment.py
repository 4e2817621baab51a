"""Jacks with their gauges: listed with their calibration in words, entered, changed, retired."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from inventory.access import permitted, require
from inventory.actions.equipment import add_jack, edit_jack, retire_jack
from inventory.forms.equipment import JackForm, RetireJackForm
from inventory.forms.row_numbers import row_number
from inventory.models import Jack
from inventory.pages.equipment import jack_events, jack_line, jacks_context
from inventory.queries.equipment import jacks_for
from inventory.queries.people import agencies_of, permits_of
from inventory.rules.refusals import Refused
from inventory.vocabulary.roles import Permit

from .entry import entry_page
from .rating import chosen_agency

KEEP = Permit.KEEP_EQUIPMENT
NOTE = (
    "A force is the gauge's pressure times the ram area times the efficiency, so a slip here is a slip in every bar. "
    "Enter jack and gauge as they were calibrated together."
)


@permitted(Permit.READ)
@require_safe
def jacks_page(request: HttpRequest) -> HttpResponse:
    """Every jack of the agency; those without a valid calibration are told first."""
    agency = chosen_agency(request)
    context = jacks_context(agency, timezone.localdate()) | {
        "agencies": agencies_of(request.user).order_by("name"),
        "may_keep": KEEP in permits_of(request.user, agency),
    }
    return render(request, "inventory/equipment/jacks.html", context)


@permitted(KEEP)
@require_http_methods(["GET", "POST"])
def new_jack(request: HttpRequest) -> HttpResponse:
    agency = chosen_agency(request, KEEP)
    return entry_page(
        request,
        form=JackForm(request.POST or None),
        title="New jack and gauge",
        note=f"It will belong to {agency}. {NOTE}",
        act=lambda values: add_jack(agency=agency, values=values, by=request.user, at=timezone.now()),
        done="The jack is entered.",
        after=_list_of,
        leave=f"{reverse('inventory:jacks')}?agency={agency.pk}",
    )


@permitted(KEEP)
@require_http_methods(["GET", "POST"])
def change_jack(request: HttpRequest, pk: int) -> HttpResponse:
    jack = _owned(request, pk)
    return entry_page(
        request,
        form=JackForm(request.POST or None, row=jack),
        title=f"Change {jack}",
        note=f"{NOTE} Forces read before stay as they were worked out.",
        stamp=str(jack.revision),
        act=lambda values: edit_jack(
            jack=jack, values=values, revision=_revision(request), by=request.user, at=timezone.now()
        ),
        done="The jack is changed.",
        after=_list_of,
        leave=_list_of(jack),
    )


@permitted(KEEP)
@require_http_methods(["GET", "POST"])
def take_jack_out(request: HttpRequest, pk: int) -> HttpResponse:
    """Retire a jack, with the reason; it stays on record for the readings made with it."""
    jack = _owned(request, pk)
    form = RetireJackForm(request.POST or None, initial={"revision": jack.revision})
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                retire_jack(jack=jack, **form.cleaned_data, by=request.user, at=timezone.now())
            except Refused as refused:
                for name, sentence in refused.faults.items():
                    form.add_error(name or None, sentence)
            else:
                messages.success(request, "The jack is retired. It stays on record for the readings made with it.")
                return redirect(_list_of(jack))
    context = {"form": form, "events": jack_events(jack), **jack_line(jack, timezone.localdate())}
    return render(request, "inventory/equipment/retire.html", context, status=status)


def _owned(request: HttpRequest, pk: int) -> Jack:
    jack = get_object_or_404(jacks_for(request.user), pk=pk)
    require(request.user, jack.agency, KEEP)
    return jack


def _revision(request: HttpRequest) -> int:
    found = row_number(request.POST.get("stamp", ""))
    return -1 if found is None else found


def _list_of(jack: Jack) -> str:
    return f"{reverse('inventory:jacks')}?agency={jack.agency_id}"
