"""The list of structures and the page of one."""

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from inventory.access import permitted, structure_or_404
from inventory.filters import StructureFilter
from inventory.pages import list_links, sections
from inventory.queries.people import permits_of
from inventory.queries.structures import SORTS, page_of, structures_for
from inventory.vocabulary.roles import Permit

HEADINGS = (
    ("number", "Number"),
    ("road", "Road over feature"),
    ("system", "System"),
    ("built", "Built"),
    ("length", "Length, ft"),
    ("condition", "Condition"),
    ("sign", "Sign"),
    ("factor", "Least factor"),
    ("bars", "Bars"),
    ("due", "Next due"),
)
FIGURES = frozenset({"built", "length", "factor"})


@permitted(Permit.READ)
def structure_list(request: HttpRequest) -> HttpResponse:
    """The filtered list, one page of it; the same parameters go to the sheet and the exports."""
    today = timezone.localdate()
    chosen = StructureFilter(request.GET, queryset=structures_for(request.user), as_of=today)
    sort = request.GET.get("sort", "number")
    sort = sort if sort.removeprefix("-") in SORTS else "number"
    page = page_of(chosen.qs, sort=sort, number=_whole(request.GET.get("page", "")))
    kept = chosen.chosen
    context = {
        "filter": chosen,
        "kept": kept,
        "page": page,
        "sort": sort,
        "today": today,
        "headings": [_heading(name, label, sort, kept) for name, label in HEADINGS],
        "links": [
            (link.label, _address(reverse(link.url_name, kwargs=dict(link.kwargs)), kept)) for link in list_links()
        ],
        "previous": _address("", {**kept, "sort": sort, "page": page.number - 1}) if page.number > 1 else "",
        "next": _address("", {**kept, "sort": sort, "page": page.number + 1}) if page.number < page.last else "",
    }
    return render(request, "inventory/structures.html", context)


def structure_page(request: HttpRequest, pk: int) -> HttpResponse:
    """The sheet of one structure: every section that has something to say."""
    structure = structure_or_404(request, pk)
    # What is offered here is what the person may do in this agency, not what the frame knows of all of theirs.
    permits = {permit.value for permit in permits_of(request.user, structure.agency)}
    filled = []
    for section in sections():
        context = section.load(request, structure)
        if context is not None:
            body = render_to_string(section.template, {"structure": structure, "permits": permits, **context}, request)
            filled.append({"section": section, "body": body, "number": len(filled) + 1})
    context = {
        "structure": structure,
        "filled": filled,
        "head": [item for item in filled if item["section"].key == "identity"],
        "columns": [
            [item for item in filled if not item["section"].aside],
            [item for item in filled if item["section"].aside and item["section"].key != "identity"],
        ],
    }
    return render(request, "inventory/structure.html", context)


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 1


def _address(path: str, parameters: dict) -> str:
    return f"{path}?{urlencode(parameters)}" if parameters else path or "?"


def _heading(name: str, label: str, sort: str, kept: dict) -> dict:
    """A column heading: its link sorts by it, and turns the order round where it is sorted by already."""
    state = {name: "ascending", f"-{name}": "descending"}.get(sort, "none")
    turned = f"-{name}" if state == "ascending" else name
    address = _address("", {**kept, "sort": turned})
    return {"label": label, "state": state, "address": address, "is_figure": name in FIGURES}
