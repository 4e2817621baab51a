"""The worklist: what is missing before each structure can be rated."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from inventory.access import permitted
from inventory.queries.completeness import worklist_ids, worklist_rows
from inventory.vocabulary.roles import Permit


@permitted(Permit.READ)
def missing_page(request: HttpRequest) -> HttpResponse:
    """Structures that lack something, those nearest to complete first."""
    page = Paginator(worklist_ids(request.user), 50).get_page(request.GET.get("page"))
    rows = worklist_rows(list(page.object_list))
    return render(request, "inventory/imports/missing.html", {"page": page, "rows": rows})
