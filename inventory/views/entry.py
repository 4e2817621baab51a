"""One page for every entry: show the form, hand its values to one action, keep what was typed where it is refused."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from inventory.forms.entry import EntryForm
from inventory.models import Structure
from inventory.rules.refusals import Refused


def entry_page(
    request: HttpRequest,
    *,
    form: EntryForm,
    title: str,
    act: Callable[[dict], object],
    done: str,
    structure: Structure | None = None,
    stamp: str = "",
    note: str = "",
    after: Callable[[object], str] | None = None,
    removal: str = "",
    leave: str = "",
) -> HttpResponse:
    """Show `form`; on POST call `act` with its values and go to `after(result)` or the structure's page.

    `stamp` is the state of the structure the person read; it travels in the page so that an older page is refused.
    """
    status = 200
    if request.method == "POST":
        if form.is_valid():
            try:
                result = act(form.cleaned_data)
            except Refused as refusal:
                form.refuse(refusal)
            else:
                messages.success(request, done)
                return redirect(after(result)) if after else redirect("inventory:structure", pk=structure.pk)
        status = 422
    context = {
        "form": form,
        "title": title,
        "structure": structure,
        "stamp": request.POST.get("stamp", stamp),
        "note": note,
        "removal": removal,
        "leave": leave,
    }
    return render(request, "inventory/entry.html", context, status=status)


def answer_removal(request: HttpRequest, act: Callable[[], None], done: str, structure: Structure) -> HttpResponse:
    """Take something out on POST; a refusal is shown on the structure's page."""
    try:
        act()
    except Refused as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(request, done)
    return redirect("inventory:structure", pk=structure.pk)
