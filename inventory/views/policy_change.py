"""Changing how a county does something: one form with its reason, refused with what was typed, told when it is done."""

from collections.abc import Callable

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from inventory.models import Agency
from inventory.rules.refusals import Refused

UNREAD = 422


def policy_change(
    request: HttpRequest, *, agency: Agency, form: Form, change: Callable, done: str, back: str, template: str, **more
) -> HttpResponse:
    """The page of the form, or on to the route `back`. `change` is the action; `more` names fields of the form that it
    takes besides values, reason and revision."""
    status = 200
    if request.method == "POST":
        status = UNREAD
        if form.is_valid():
            given = form.cleaned_data
            try:
                change(
                    agency=agency,
                    values=form.values(),
                    reason=given["reason"],
                    revision=given["revision"],
                    by=request.user,
                    at=timezone.now(),
                    **{name: given[field] for name, field in more.items()},
                )
            except Refused as refused:
                form.refuse(refused)
            else:
                messages.success(request, done)
                return redirect(f"{reverse(back)}?agency={agency.pk}")
    return render(request, template, {"form": form, "agency": agency}, status=status)
