"""The calculation sheet of a rating, as a page and as the PDF that is kept and sealed."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from inspections.letters.calculation import calculation_sheet_pdf, sheet_of_rating
from inspections.pages.calculation import calculation_context
from inventory.access import permitted
from inventory.vocabulary.roles import Permit

from .scope import rating_or_404


@permitted(Permit.READ)
@require_safe
def calculation_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """Every number of a rating with its formula, inputs, dates and clause."""
    rating = rating_or_404(request, pk)
    context = {"structure": rating.structure, **calculation_context(rating)}
    return render(request, "inspections/calculation.html", context)


@permitted(Permit.READ)
@require_safe
def calculation_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The same sheet for the file; the same rating gives the same bytes."""
    sheet = sheet_of_rating(rating_or_404(request, pk))
    response = HttpResponse(calculation_sheet_pdf(sheet), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{sheet.file_name}"'
    return response
