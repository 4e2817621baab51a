"""Scour of one structure: appraisal, plan of action, and the sheet that is carried out to the bridge."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.actions.scour import adopt_scour_plan, appraise_scour
from inspections.forms.scour import AppraisalForm, PlanForm
from inspections.pages.scour import scour_context
from inspections.queries.scour import scour_owed
from inspections.tasks import nudge_dates
from inventory.access import permitted, structure_or_404
from inventory.models import Structure
from inventory.queries.contacts import contacts_of
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .attempts import attempt

PER_PAGE = 50
PLAN_WORDS = ("watch_when", "watch_how", "close_when", "reopen_when", "countermeasures", "review_on")


@permitted(Permit.READ)
@require_safe
def scour_owed_page(request: HttpRequest) -> HttpResponse:
    """Every structure that owes an appraisal, a plan of action or a new look at it."""
    today = timezone.localdate()
    owed = scour_owed(request.user, today)
    counts = {
        "appraisals": sum(duties.needs_appraisal for _, duties in owed),
        "plans": sum(duties.needs_plan for _, duties in owed),
    }
    page = Paginator(owed, PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "inspections/scour/owed.html", {"page": page, **counts})


@permitted(Permit.READ)
@require_safe
def scour_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, structure_or_404(request, pk))


@permitted(Permit.READ)
@require_safe
def scour_print(request: HttpRequest, pk: int) -> HttpResponse:
    """One sheet to carry: the plan in force, whom to call, the last bed."""
    structure = structure_or_404(request, pk)
    context = {
        "structure": structure,
        "contacts": contacts_of(structure.agency),
        **scour_context(structure, timezone.localdate()),
    }
    return render(request, "inspections/scour/print.html", context)


def _page(
    request: HttpRequest, structure: Structure, *, appraisal=None, plan=None, problems=(), status: int = 200
) -> HttpResponse:
    today = timezone.localdate()
    context = scour_context(structure, today)
    newest, current = context["newest"], context["plan"]
    plan_values = {name: getattr(current, name) for name in PLAN_WORDS} if current else {}
    context |= {
        "structure": structure,
        "may_appraise": Permit.APPRAISE_SCOUR in permits_of(request.user, structure.agency),
        "appraisal_form": appraisal
        or AppraisalForm(initial={"seen": newest.pk if newest else 0, "on": today}, prefix="appraisal"),
        "plan_form": plan or PlanForm(initial={"seen": current.pk if current else 0, **plan_values}, prefix="plan"),
        "problems": problems,
    }
    return render(request, "inspections/scour/page.html", context, status=status)


@permitted(Permit.APPRAISE_SCOUR)
@require_POST
def appraise(request: HttpRequest, pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk, Permit.APPRAISE_SCOUR)
    form = AppraisalForm(request.POST, prefix="appraisal")
    if not form.is_valid():
        return _page(request, structure, appraisal=form, problems=form.problems(), status=422)
    tried = attempt(lambda: appraise_scour(structure=structure, by=request.user, at=timezone.now(), **form.values()))
    if not tried.done:
        problems = [(form["basis"].id_for_label, sentence) for sentence in tried.sentences]
        return _page(request, structure, appraisal=form, problems=problems, status=tried.status)
    nudge_dates(structure.pk)
    messages.success(request, "Appraisal recorded.")
    return redirect("inspections:scour", pk=structure.pk)


@permitted(Permit.APPRAISE_SCOUR)
@require_POST
def adopt_plan(request: HttpRequest, pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk, Permit.APPRAISE_SCOUR)
    form = PlanForm(request.POST, prefix="plan")
    if not form.is_valid():
        return _page(request, structure, plan=form, problems=form.problems(), status=422)
    tried = attempt(lambda: adopt_scour_plan(structure=structure, by=request.user, at=timezone.now(), **form.values()))
    if not tried.done:
        problems = [(form["watch_when"].id_for_label, sentence) for sentence in tried.sentences]
        return _page(request, structure, plan=form, problems=problems, status=tried.status)
    nudge_dates(structure.pk)
    messages.success(request, "Plan of action adopted.")
    return redirect("inspections:scour", pk=structure.pk)
