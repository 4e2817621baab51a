"""A structure's page."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from inventory.access import structure_or_404
from inventory.pages import sections


def structure_page(request: HttpRequest, pk: int) -> HttpResponse:
    """The sheet of one structure: every section that has something to say."""
    structure = structure_or_404(request, pk)
    filled = []
    for section in sections():
        context = section.load(request, structure)
        if context is not None:
            body = render_to_string(section.template, {"structure": structure, **context}, request)
            filled.append({"section": section, "body": body})
    return render(request, "inventory/structure.html", {"structure": structure, "filled": filled})
