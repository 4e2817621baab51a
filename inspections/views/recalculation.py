"""What newer formulas and tables would change: asked for, looked at, and owed or set aside."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.actions.recalculate import ask_recalculation, decide_recalculation
from inspections.models import Recalculation
from inspections.pages.recalculation import cells_of, line_of, report_csv, touched_by
from inspections.queries.recalculations import UNDER_WAY, lines_of, recalculations_for
from inspections.reckoning.recalculation import present_versions
from inspections.tasks import nudge_recalculation
from inspections.vocabulary.states import RecalculationState
from inventory.access import permitted
from inventory.queries.people import agencies_permitting
from inventory.vocabulary.roles import Permit

from .attempts import attempt

PER_PAGE = 100


@permitted(Permit.RECALCULATE)
@require_safe
def recalculations_page(request: HttpRequest) -> HttpResponse:
    """Every look taken so far, and a button for a new one."""
    return _overview(request)


def _overview(request: HttpRequest, *, problems=(), status: int = 200) -> HttpResponse:
    kernel, tables = present_versions()
    page = Paginator(recalculations_for(request.user), PER_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "agencies": agencies_permitting(request.user, Permit.RECALCULATE).order_by("name"),
        "kernel": kernel,
        "tables": sorted((name.replace("_", " "), version) for name, version in tables.items()),
        "problems": problems,
    }
    return render(request, "inspections/recalculations.html", context, status=status)


@permitted(Permit.RECALCULATE)
@require_POST
def ask(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask the worker to look at every standing rating of an agency."""
    agency = get_object_or_404(agencies_permitting(request.user, Permit.RECALCULATE), pk=pk)
    tried = attempt(lambda: ask_recalculation(agency=agency, by=request.user, at=timezone.now()))
    if not tried.done:
        return _overview(request, problems=tried.sentences, status=tried.status)
    nudge_recalculation(tried.result.pk)
    return redirect("inspections:recalculation", pk=tried.result.pk)


@permitted(Permit.RECALCULATE)
@require_safe
def recalculation_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _look(request, _found(request, pk))


@permitted(Permit.RECALCULATE)
@require_safe
def recalculation_progress(request: HttpRequest, pk: int) -> HttpResponse:
    """The part that waits for the worker; once it is done, the whole page is asked for again."""
    found = _found(request, pk)
    response = render(request, "inspections/_recalculation_progress.html", {"found": found})
    if found.state not in UNDER_WAY:
        response.headers["HX-Refresh"] = "true"
    return response


@permitted(Permit.RECALCULATE)
@require_safe
def recalculation_file(request: HttpRequest, pk: int) -> HttpResponse:
    """Every structure touched, as CSV."""
    found = _found(request, pk)
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="recalculation-{found.pk}.csv"'
    report_csv(response, (cells_of(_names(row, found), _line(row)) for row in lines_of(found).iterator(chunk_size=500)))
    return response


@permitted(Permit.RECALCULATE)
@require_POST
def decide(request: HttpRequest, pk: int) -> HttpResponse:
    """Owe the changed structures a rating, or set the look aside."""
    found = _found(request, pk)
    is_taken = request.POST.get("decision") == "owe"
    if not is_taken and request.POST.get("decision") != "set_aside":
        return _look(request, found, problems=("Choose: owe the ratings, or set this aside.",), status=400)
    tried = attempt(
        lambda: decide_recalculation(recalculation=found, is_taken=is_taken, by=request.user, at=timezone.now())
    )
    if not tried.done:
        return _look(request, found, problems=tried.sentences, status=tried.status)
    owed = f"{tried.result} structures are owed a rating; recommendations follow for the engineer to decide."
    messages.success(request, owed if is_taken else "Set aside: nothing was changed.")
    return redirect("inspections:recalculation", pk=pk)


def _found(request: HttpRequest, pk: int) -> Recalculation:
    return get_object_or_404(recalculations_for(request.user), pk=pk)


def _line(row) -> dict:
    return line_of(row.change, row.causes, row.problem) | {"structure": row.rating.structure}


def _names(row, found: Recalculation) -> dict:
    structure = row.rating.structure
    return {
        "agency": found.agency.name,
        "number": structure.number,
        "road": structure.road_name,
        "feature": structure.feature_crossed,
    }


def _look(request: HttpRequest, found: Recalculation, *, problems=(), status: int = 200) -> HttpResponse:
    rows = lines_of(found).order_by("-is_changed", "rating__structure__number", "id")
    page = Paginator(rows, PER_PAGE).get_page(request.GET.get("page"))
    context = {
        "found": found,
        "page": page,
        "lines": [_line(row) for row in page],
        "touched_by": touched_by(found.lines.values_list("causes", flat=True)),
        "is_under_way": found.state in UNDER_WAY,
        "may_decide": found.state == RecalculationState.READY,
        "problems": problems,
    }
    return render(request, "inspections/recalculation.html", context, status=status)
