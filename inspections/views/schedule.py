"""A structure's schedule: every kind of inspection with its date, and the intervals people set for it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.actions.schedule import end_need, set_need
from inspections.forms.schedule import NeedForm, ReasonForm
from inspections.pages.schedule import schedule_context
from inspections.queries.schedule import MAY_REPORT, needs_for
from inventory.access import permitted, structure_or_404
from inventory.models import Structure
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .attempts import attempt


@permitted(Permit.READ)
@require_safe
def schedule_page(request: HttpRequest, pk: int) -> HttpResponse:
    return show_schedule(request, structure_or_404(request, pk))


@permitted(Permit.SET_INSPECTION_POLICY)
@require_POST
def set_inspection_need(request: HttpRequest, pk: int) -> HttpResponse:
    """An interval of this structure's own, with its reason."""
    structure = structure_or_404(request, pk, Permit.SET_INSPECTION_POLICY)
    form = NeedForm(request.POST)
    if not form.is_valid():
        return show_schedule(request, structure, form=form, problems=form.problems(), status=400)
    fields = form.cleaned_data
    tried = attempt(
        lambda: set_need(
            structure=structure,
            kind=fields["kind"],
            interval_months=fields["interval_months"],
            first_due_on=fields["first_due_on"],
            reason=fields["reason"],
            seen=form.rows_seen(),
            by=request.user,
            at=timezone.now(),
        )
    )
    if not tried.done:
        problems = [("need", sentence) for sentence in tried.sentences]
        return show_schedule(request, structure, form=form, problems=problems, status=tried.status)
    messages.success(request, f"{tried.result} is set. The dates below follow.")
    return redirect("inspections:schedule", pk=structure.pk)


@permitted(Permit.SET_INSPECTION_POLICY)
@require_POST
def end_inspection_need(request: HttpRequest, pk: int, need_pk: int) -> HttpResponse:
    """End it with a reason; what was typed stays where it is refused."""
    structure = structure_or_404(request, pk, Permit.SET_INSPECTION_POLICY)
    need = get_object_or_404(needs_for(request.user), pk=need_pk, structure=structure)
    form = ReasonForm(request.POST)
    reason = form.cleaned_data["reason"] if form.is_valid() else ""
    problems = form.problems()
    status = 400
    if not problems:
        tried = attempt(lambda: end_need(need=need, reason=reason, by=request.user, at=timezone.now()))
        if tried.done:
            messages.success(request, f"{need} is ended. The dates below follow.")
            return redirect("inspections:schedule", pk=structure.pk)
        problems, status = [(f"end-{need.pk}", sentence) for sentence in tried.sentences], tried.status
    typed = {"ending": need.pk, "typed_reason": request.POST.get("reason", "")}
    return show_schedule(request, structure, problems=problems, status=status, **typed)


def show_schedule(
    request: HttpRequest, structure: Structure, *, form: NeedForm | None = None, problems=(), status: int = 200, **more
) -> HttpResponse:
    """The page, with what was typed where something was refused."""
    context = schedule_context(structure, timezone.localdate())
    permits = permits_of(request.user, structure.agency)
    seen = ",".join(str(need.pk) for need in context["needs"])
    start = {"kind": "special", "interval_months": context["special_months"], "seen": seen}
    context |= {
        "form": form or NeedForm(initial=start),
        "problems": problems,
        "may_set": Permit.SET_INSPECTION_POLICY in permits,
        "may_set_aside": Permit.MANAGE_REMINDERS in permits,
        "may_report": bool(set(MAY_REPORT) & permits),
        "may_start": Permit.ENTER_INSPECTION in permits,
    }
    return render(request, "inspections/schedule/schedule.html", context | more, status=status)
