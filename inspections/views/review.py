"""The review page and its verbs: adopt, send back with what is asked; restricting at once has its own address."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.actions import review
from inspections.forms.decisions import RestrictForm
from inspections.forms.review import ReviewAdoptForm, ReviewSendBackForm, asked_from
from inspections.models import Inspection
from inspections.pages.review import review_context
from inspections.tasks import nudge_dates
from inspections.vocabulary.states import InspectionState
from inventory.access import permitted
from inventory.vocabulary.roles import Permit

from .attempts import attempt
from .scope import inspection_or_404

CHANGED = (
    "The inspection or its recommendation changed after you opened this page, so nothing was done. The page shows how "
    "it stands now; what you typed is still here: read it again, then decide."
)


@permitted(Permit.REVIEW_INSPECTION)
@require_safe
def review_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Finding by finding; an inspection that awaits no review is shown on its own page."""
    inspection = inspection_or_404(request, pk, Permit.REVIEW_INSPECTION)
    if inspection.state != InspectionState.RATED:
        state = inspection.get_state_display().lower()
        messages.info(request, f"This inspection awaits no review: it is {state}.")
        return redirect("inspections:inspection", pk=pk)
    return _page(request, inspection)


@permitted(Permit.REVIEW_INSPECTION)
@require_POST
def review_adopt(request: HttpRequest, pk: int) -> HttpResponse:
    """Accept the inspection and adopt the recommendation, both or neither."""
    inspection = inspection_or_404(request, pk, Permit.REVIEW_INSPECTION)
    form = ReviewAdoptForm(request.POST, prefix="adopt")
    if not form.is_valid():
        return _page(request, inspection, adopt=form, problems=form.problems())
    given = form.cleaned_data
    tried = attempt(
        lambda: review.adopt_inspection(
            inspection=inspection,
            revision=given["revision"],
            proposal=form.read(),
            by=request.user,
            at=timezone.now(),
            order_number=given["order_number"],
            reason=given["reason"],
            no_danger=given["no_danger"],
        )
    )
    if not tried.done:
        return _refused(request, pk, tried, adopt=form)
    nudge_dates(inspection.structure_id)
    what = "The restriction is adopted too; signs that change are with the crew." if form.read() else ""
    messages.success(request, f"{inspection.structure.number}: inspection accepted. {what}".strip())
    return redirect("inspections:decisions")


@permitted(Permit.REVIEW_INSPECTION)
@require_POST
def review_send_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Back to the inspector with the reason and what is asked, finding by finding."""
    inspection = inspection_or_404(request, pk, Permit.REVIEW_INSPECTION)
    form = ReviewSendBackForm(request.POST, prefix="back")
    if not form.is_valid():
        return _page(request, inspection, back=form, problems=form.problems())
    tried = attempt(
        lambda: review.send_back(
            inspection=inspection,
            revision=form.cleaned_data["revision"],
            reason=form.cleaned_data["reason"],
            asked=asked_from(request.POST),
            by=request.user,
            at=timezone.now(),
        )
    )
    if not tried.done:
        return _refused(request, pk, tried, back=form)
    messages.success(request, f"{inspection.structure.number}: sent back to the inspector.")
    return redirect("inspections:decisions")


def _refused(request: HttpRequest, pk: int, tried, **forms) -> HttpResponse:
    """The page as it stands now, with what was typed; an inspection judged by another meanwhile is shown itself."""
    current = inspection_or_404(request, pk)
    if current.state != InspectionState.RATED:
        messages.error(request, " ".join(tried.sentences))
        return redirect("inspections:inspection", pk=pk)
    problems = [("", sentence) for sentence in tried.sentences]
    if tried.is_stale:
        # The page below is as it stands now: what was typed is kept, what was read before is not.
        kept = {name: form.cleaned_data for name, form in forms.items()}
        return _page(request, current, problems=[("", CHANGED)], status=tried.status, kept=kept)
    return _page(request, current, problems=problems, status=tried.status, **forms)


def _page(
    request: HttpRequest, inspection: Inspection, *, problems=(), status: int = 200, kept: dict | None = None, **forms
) -> HttpResponse:
    kept = kept or {}
    typed = request.POST if request.method == "POST" else {}
    context = review_context(inspection, request.user, timezone.localdate(), typed)
    proposal, revision = context["proposal"], {"revision": inspection.revision}
    read = {"proposal": None, "proposal_revision": None}
    if proposal:
        read = {"proposal": proposal.pk, "proposal_revision": proposal.revision}
    context |= {
        "adopt": ReviewAdoptForm(initial=kept.get("adopt", {}) | revision | read, prefix="adopt"),
        "back": ReviewSendBackForm(initial=kept.get("back", {}) | revision, prefix="back"),
        "restrict": RestrictForm(),
        "problems": problems,
        **forms,
    }
    return render(request, "inspections/review/review.html", context, status=status)
