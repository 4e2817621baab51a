"""Lists, one inspection read back, and the calculation sheet."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from inspections.models import Inspection
from inspections.pages.bar_readings import reading_notes
from inspections.pages.condition_in_time import changes_context
from inspections.pages.critical import demanded_context
from inspections.pages.findings import finding_line
from inspections.pages.leading import leader_note
from inspections.pages.proposals import compared_ratings
from inspections.pages.schedule import record_words
from inspections.queries.critical_proposals import proposals_of
from inspections.queries.pages import inspections_for, open_inspections, rating_owed
from inspections.reckoning.rating_file import rating_file
from inspections.rules.lifecycle import EDITABLE
from inspections.vocabulary.elements import element_words
from inspections.vocabulary.states import InspectionState
from inventory.access import permitted
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .scope import inspection_or_404, rating_or_404

PER_PAGE = 50


@permitted(Permit.READ)
@require_safe
def inspections_page(request: HttpRequest) -> HttpResponse:
    """Own drafts and what was sent back first, then everything under way, then what was accepted."""
    under_way = list(open_inspections(request.user))
    mine = [row for row in under_way if row.inspector_id == request.user.pk and row.state in EDITABLE]
    accepted = inspections_for(request.user).filter(state=InspectionState.ACCEPTED)
    page = Paginator(accepted.order_by("-field_completed_on", "-id"), PER_PAGE).get_page(request.GET.get("page"))
    context = {"mine": mine, "under_way": [row for row in under_way if row not in mine], "page": page}
    return render(request, "inspections/inspections.html", context)


@permitted(Permit.READ)
@require_safe
def inspection_page(request: HttpRequest, pk: int) -> HttpResponse:
    return read_page(request, inspection_or_404(request, pk))


def read_page(request: HttpRequest, inspection: Inspection, *, problems=(), status: int = 200) -> HttpResponse:
    """One inspection as it stands, with what the reader may do next."""
    permits = permits_of(request.user, inspection.structure.agency)
    is_rated = inspection.state == InspectionState.RATED
    findings = list(inspection.findings.select_related("inspection", "member", "bar", "jack", "photo"))
    notes = reading_notes(findings)
    context = {
        "inspection": inspection,
        "structure": inspection.structure,
        "elements": [(element_words(row.number), row) for row in inspection.elements.all()],
        "lines": [finding_line(row, notes.get(row.pk, ())) for row in findings],
        "is_waiting": inspection.state == InspectionState.SUBMITTED,
        "owed": rating_owed(inspection.structure),
        "rating": inspection.ratings.first(),
        "may_edit": inspection.state in EDITABLE and Permit.ENTER_INSPECTION in permits,
        "may_review": is_rated and Permit.REVIEW_INSPECTION in permits,
        "problems": problems,
        "compared": compared_ratings(inspection, as_of=timezone.localdate()),
        **changes_context(inspection),
        "leader_note": leader_note(inspection),
        "record_words": record_words(inspection, timezone.localdate()),
        **demanded_context(proposals_of(inspection), permits),
    }
    return render(request, "inspections/inspection.html", context, status=status)


@permitted(Permit.READ)
@require_safe
def rating_progress(request: HttpRequest, pk: int) -> HttpResponse:
    """The part of the page that waits for the rating; once it is there, the whole page is asked for again."""
    inspection = inspection_or_404(request, pk)
    context = {"inspection": inspection, "owed": rating_owed(inspection.structure), "is_waiting": True}
    response = render(request, "inspections/_progress.html", context)
    if inspection.state != InspectionState.SUBMITTED:
        response.headers["HX-Refresh"] = "true"
    return response


@permitted(Permit.READ)
@require_safe
def rating_input(request: HttpRequest, pk: int) -> HttpResponse:
    """What a rating was made from, as a file that `manage.py rate` rates again to the same digest."""
    rating = rating_or_404(request, pk)
    made = rating_file(name=f"{rating.structure.number} {rating.structure.title}"[:200], snapshot=rating.snapshot)
    response = JsonResponse(made, json_dumps_params={"indent": 1, "ensure_ascii": False})
    response["Content-Disposition"] = f'attachment; filename="rating-{rating.pk}.json"'
    return response
