"""The report of an inspection, as a page and as the PDF that is kept and signed."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from inspections.letters.report import file_name, inspection_report_pdf, report_content
from inspections.pages.report import report_context
from inventory.access import permitted
from inventory.vocabulary.roles import Permit

from .scope import inspection_or_404


@permitted(Permit.READ)
@require_safe
def report_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Everything of one inspection on a sheet that prints."""
    return render(request, "inspections/report/report.html", report_context(inspection_or_404(request, pk)))


@permitted(Permit.READ)
@require_safe
def report_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The same for the file; the same rows give the same bytes."""
    inspection = inspection_or_404(request, pk)
    response = HttpResponse(inspection_report_pdf(report_content(inspection)), content_type="application/pdf")
    name = file_name(inspection.structure.number, inspection.pk)
    response["Content-Disposition"] = f'inline; filename="{name}"'
    return response
