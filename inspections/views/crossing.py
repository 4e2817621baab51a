"""Can this load cross? Asked in the address, answered on the page, kept nowhere."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from inspections.forms.crossing import CrossingForm
from inspections.pages.crossing import answer_context, standing_context
from inspections.reckoning.crossing import AMONG_TRAFFIC
from inventory.access import permitted, structure_or_404
from inventory.queries.rating import vehicles_in_use
from inventory.vocabulary.roles import Permit


@permitted(Permit.READ)
@require_safe
def crossing_page(request: HttpRequest, pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk)
    today = timezone.localdate()
    vehicles = list(vehicles_in_use(structure.agency, today))
    is_asked = "circumstance" in request.GET
    form = CrossingForm(request.GET if is_asked else None, vehicles=vehicles, initial={"circumstance": AMONG_TRAFFIC})
    context = {"structure": structure, "form": form, "problems": form.problems(), **standing_context(structure)}
    if is_asked and form.is_valid():
        context |= answer_context(
            structure, values=form.train_values(), circumstance=form.cleaned_data["circumstance"], as_of=today
        )
    return render(request, "inspections/crossing.html", context, status=422 if context["problems"] else 200)
