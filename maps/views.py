"""The county sheet, its layers, and the files a list leaves in."""

from datetime import date

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from inventory.access import permitted
from inventory.filters import StructureFilter
from inventory.queries.people import agencies_of
from inventory.queries.structures import in_order, structures_for
from inventory.vocabulary.roles import Permit
from maps.drawings.sheet import county_context
from maps.exports.columns import LAT, LON, rows_of
from maps.exports.files import FILE_KINDS
from maps.exports.map_json import MEDIA_TYPE, cell_deg, groups_geojson, lines_geojson, marks_geojson
from maps.geometry import Bounds, NotOnTheMap, bounds_from_text
from maps.queries.lines import lines_extent, lines_in_view, lines_last_drawn
from maps.queries.marks import (
    MARKS_IN_VIEW,
    chosen_structures,
    groups_of,
    marks_of,
    owed_marks,
    structures_within,
    tally_of,
)

ROWS_BESIDE = 20


@permitted(Permit.READ)
def county_sheet(request: HttpRequest) -> HttpResponse:
    """The front page: the county drawn, the day's owed work beside it."""
    as_of = timezone.localdate()
    filtered = structure_filter(request, as_of)
    chosen = chosen_structures(filtered.qs)
    page = Paginator(in_order(filtered.qs, "number"), ROWS_BESIDE).get_page(request.GET.get("page"))
    tally = tally_of(chosen, as_of)
    context = county_context(
        filtered=filtered,
        query=request.GET,
        agencies=list(agencies_of(request.user)),
        total=structures_for(request.user).count(),
        tally=tally,
        bounds=tally.bounds or lines_extent(request.user),
        owed=owed_marks(chosen, as_of),
        rows=marks_of(page.object_list, as_of),
        page=page,
        lines_drawn_at=lines_last_drawn(request.user),
    )
    return render(request, "maps/county.html", context)


@permitted(Permit.READ)
def structures_layer(request: HttpRequest) -> HttpResponse:
    """The filtered structures in the window as GeoJSON; with gather=1, groups where there are too many to draw."""
    as_of = timezone.localdate()
    filtered = structure_filter(request, as_of)
    try:
        bounds = asked_bounds(request)
    except NotOnTheMap as refusal:
        return refused(str(refusal))
    if not filtered.is_valid():
        return refused(filter_refusal(filtered))
    seen = chosen_structures(filtered.qs)
    if bounds is not None or "gather" in request.GET:
        seen = structures_within(seen, bounds)
    if "gather" in request.GET and seen.count() > MARKS_IN_VIEW:
        return HttpResponse(groups_geojson(groups_of(seen, cell_deg(bounds))), content_type=MEDIA_TYPE)
    marks = marks_of(in_order(seen, "number"), as_of)
    stem = reverse("inventory:structure", args=[0])
    return HttpResponse(
        marks_geojson(marks, lambda pk: stem.replace("/0/", f"/{pk}/")),
        content_type=MEDIA_TYPE,
    )


@permitted(Permit.READ)
def lines_layer(request: HttpRequest) -> HttpResponse:
    """The drawn lines in the window as GeoJSON."""
    try:
        bounds = asked_bounds(request)
    except NotOnTheMap as refusal:
        return refused(str(refusal))
    return HttpResponse(lines_geojson(lines_in_view(request.user, bounds), bounds), content_type=MEDIA_TYPE)


@permitted(Permit.READ)
def export_list(request: HttpRequest, form: str) -> HttpResponse:
    """The filtered list, in its order, as a file."""
    if form not in FILE_KINDS:
        raise Http404(f"No list leaves as {form}; the kinds are {', '.join(FILE_KINDS)}.")
    as_of = timezone.localdate()
    filtered = structure_filter(request, as_of)
    if not filtered.is_valid():
        return refused(filter_refusal(filtered))
    kind = FILE_KINDS[form]
    rows = list(rows_of(in_order(filtered.qs, request.GET.get("sort", "number"))))
    response = HttpResponse(kind.make(rows), content_type=kind.media_type)
    response["Content-Disposition"] = f'attachment; filename="structures-{as_of:%Y-%m-%d}.{form}"'
    response["X-Structures"] = str(len(rows))
    response["X-Structures-Without-Position"] = str(sum(None in (row[1 + LAT], row[1 + LON]) for row in rows))
    return response


def structure_filter(request: HttpRequest, as_of: date) -> StructureFilter:
    """The list's own filter over the structures this person may see."""
    return StructureFilter(data=request.GET, queryset=structures_for(request.user), as_of=as_of)


def asked_bounds(request: HttpRequest) -> Bounds | None:
    text = request.GET.get("bbox", "")
    return bounds_from_text(text) if text else None


def filter_refusal(filtered: StructureFilter) -> str:
    """What was wrong with a filter, for a program or a person asking by address."""
    return f"The filter was not understood, so nothing is sent. {' '.join(filtered.sentences)}"


def refused(sentence: str) -> HttpResponse:
    return HttpResponse(sentence, status=400, content_type="text/plain; charset=utf-8")
