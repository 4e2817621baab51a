"""Try a change: asked in the address, answered beside today's rating, kept nowhere."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from inspections.forms.trials import TrialForm
from inspections.models import Rating
from inspections.pages.trial import trial_context
from inspections.queries.pages import rating_owed
from inspections.queries.ratings import current_rating
from inspections.reckoning.trials import try_changes
from inspections.rules.trials import TrialRefused
from inventory.access import permitted, structure_or_404
from inventory.models import Structure
from inventory.queries.rating import vehicles_in_use
from inventory.vocabulary.roles import Permit


@permitted(Permit.TRY_CHANGE)
@require_safe
def trial_page(request: HttpRequest, pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk, Permit.TRY_CHANGE)
    rating = current_rating(structure)
    context = {"structure": structure, "rating": rating, "owed": rating_owed(structure), "problems": []}
    if rating is not None:
        context |= _answered(request, structure, rating)
    return render(request, "inspections/trial.html", context, status=422 if context["problems"] else 200)


def _answered(request: HttpRequest, structure: Structure, rating: Rating) -> dict:
    today = timezone.localdate()
    cases = rating.snapshot.get("cases", [])
    form = TrialForm(
        request.GET if "try" in request.GET else None,
        spans=[case["label"] for case in cases],
        members=list(dict.fromkeys(member["label"] for case in cases for member in case["members"])),
        vehicles=[(row.key, f"{row}, {row.gross_kip / 2:g} tons") for row in vehicles_in_use(structure.agency, today)],
    )
    context = {"form": form}
    if form.is_bound and form.is_valid():
        try:
            context |= trial_context(try_changes(rating=rating, changes=form.changes(), as_of=today))
        except TrialRefused as refusal:
            for name, sentence in refusal.problems:
                form.add_error(name if name in form.fields else None, sentence)
    return context | {"problems": form.problems()}
