"""Whom to call: shown to everyone of the agency, changed by those who answer for it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inventory.access import permitted, require
from inventory.actions import contacts as actions
from inventory.forms.contacts import ContactForm
from inventory.models import Agency, EmergencyContact
from inventory.pages.contacts import contacts_context
from inventory.queries.contacts import contacts_for
from inventory.queries.people import agencies_of, permits_of
from inventory.rules.refusals import Refused
from inventory.vocabulary.roles import Permit

from .entry import entry_page
from .rating import chosen_agency

CHANGE = Permit.MANAGE_REMINDERS
NOTE = "The list stands on every page that reports a critical finding, and on the telephones of those in the field."


@permitted(Permit.READ)
@require_safe
def contacts_page(request: HttpRequest) -> HttpResponse:
    """Whom to call, in order, each number dialled with one press."""
    agency = chosen_agency(request)
    context = contacts_context(agency) | {
        "agencies": agencies_of(request.user).order_by("name"),
        "may_change": CHANGE in permits_of(request.user, agency),
    }
    return render(request, "inventory/contacts/contacts.html", context)


@permitted(CHANGE)
@require_http_methods(["GET", "POST"])
def new_contact(request: HttpRequest) -> HttpResponse:
    agency = chosen_agency(request, CHANGE)
    return entry_page(
        request,
        form=ContactForm(request.POST or None),
        title="New emergency contact",
        note=f"It will belong to {agency}. {NOTE}",
        act=lambda values: actions.add_contact(agency=agency, values=values, by=request.user, at=timezone.now()),
        done="The contact is on the list.",
        after=lambda contact: _list_of(contact.agency),
        leave=_list_of(agency),
    )


@permitted(CHANGE)
@require_http_methods(["GET", "POST"])
def change_contact(request: HttpRequest, pk: int) -> HttpResponse:
    contact = _owned(request, pk)
    return entry_page(
        request,
        form=ContactForm(request.POST or None, row=contact),
        title=f"Change {contact.name}",
        note=NOTE,
        stamp=actions.contact_stamp(contact),
        act=lambda values: actions.change_contact(
            contact=contact, values=values, stamp=request.POST.get("stamp", ""), by=request.user, at=timezone.now()
        ),
        done="The contact is changed.",
        after=lambda changed: _list_of(changed.agency),
        removal=reverse("inventory:remove_contact", args=[pk]),
        leave=_list_of(contact.agency),
    )


@permitted(CHANGE)
@require_POST
def remove_contact(request: HttpRequest, pk: int) -> HttpResponse:
    contact = _owned(request, pk)
    stamp = request.POST.get("stamp", "")
    return _answer(
        request,
        contact.agency,
        lambda: actions.remove_contact(contact=contact, stamp=stamp, by=request.user, at=timezone.now()),
        "The contact is off the list.",
    )


@permitted(CHANGE)
@require_POST
def call_earlier(request: HttpRequest, pk: int) -> HttpResponse:
    """One place up in the order of calling."""
    contact = _owned(request, pk)
    return _answer(
        request,
        contact.agency,
        lambda: actions.call_earlier(contact=contact, by=request.user, at=timezone.now()),
        "The order of calling is changed.",
    )


def _answer(request: HttpRequest, agency: Agency, act, done: str) -> HttpResponse:
    try:
        act()
    except Refused as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(request, done)
    return redirect(_list_of(agency))


def _owned(request: HttpRequest, pk: int) -> EmergencyContact:
    contact = get_object_or_404(contacts_for(request.user), pk=pk)
    require(request.user, contact.agency, CHANGE)
    return contact


def _list_of(agency: Agency) -> str:
    return f"{reverse('inventory:contacts')}?agency={agency.pk}"
