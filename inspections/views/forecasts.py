"""The county's list of due re-tensioning, and the forecast of one structure's bars."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from inspections.filters import ForecastFilter
from inspections.pages.forecast import forecast_parts
from inspections.pages.forecast_list import forecast_csv, forecast_rows
from inspections.queries.forecasts import due_first, forecasts_for
from inventory.access import permitted, structure_or_404
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .list_address import page_links, sorted_headings

PAGE_ROWS, PRINT_ROWS, FILE_ROWS = 50, 1000, 20_000
HEADINGS = (
    ("structure", "Structure"),
    ("pressure", "Pressure today, psi"),
    ("chance", "Chance below the need"),
    ("need", "Need reached"),
    ("posting", "Posting would change"),
    ("date", "Re-tension by"),
)


@permitted(Permit.READ)
@require_safe
def forecasts_page(request: HttpRequest) -> HttpResponse:
    """Every row of bars of the person's agencies, what is overdue first."""
    chosen = _filter(request)
    page = Paginator(_ordered(chosen), PAGE_ROWS).get_page(request.GET.get("page"))
    context = {
        "chosen": chosen,
        "page": page,
        "rows": forecast_rows(page.object_list, chosen.as_of),
        "headings": sorted_headings(request, HEADINGS),
        **page_links(request, page),
    }
    return render(request, "inspections/forecasts/list.html", context)


@permitted(Permit.READ)
@require_safe
def forecasts_print(request: HttpRequest) -> HttpResponse:
    """The same list on paper."""
    chosen = _filter(request)
    rows = forecast_rows(_ordered(chosen)[: PRINT_ROWS + 1], chosen.as_of)
    context = {"chosen": chosen, "rows": rows[:PRINT_ROWS], "cut_at": PRINT_ROWS if len(rows) > PRINT_ROWS else None}
    return render(request, "inspections/forecasts/print.html", context)


@permitted(Permit.READ)
@require_safe
def forecasts_file(request: HttpRequest) -> HttpResponse:
    """The same list as CSV; a filter that cannot be read gives no file but the sentence."""
    chosen = _filter(request)
    if chosen.sentences:
        return HttpResponse("\n".join(chosen.sentences), status=400, content_type="text/plain; charset=utf-8")
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="bars-{chosen.as_of}.csv"'
    forecast_csv(response, forecast_rows(_ordered(chosen)[:FILE_ROWS], chosen.as_of))
    return response


@permitted(Permit.READ)
@require_safe
def bar_forecast_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Force in time of every row of bars of a structure, with what was assumed and what follows."""
    structure = structure_or_404(request, pk, Permit.READ)
    as_of = timezone.localdate()
    picked = tuple(value for value in request.GET.getlist("bar") if len(value) <= 8)[:6]
    context = {
        "structure": structure,
        "parts": forecast_parts(structure, as_of, picked=picked),
        "picked": picked,
        "may_plan": Permit.PLAN_STRESSING in permits_of(request.user, structure.agency),
    }
    return render(request, "inspections/forecasts/structure.html", context)


def _filter(request: HttpRequest) -> ForecastFilter:
    return ForecastFilter(request.GET, forecasts_for(request.user), as_of=timezone.localdate())


def _ordered(chosen: ForecastFilter):
    """In the order asked for; otherwise the earliest date first."""
    found = chosen.qs
    return found.order_by(*found.query.order_by, "pk") if chosen.data.get("sort") else due_first(found)
