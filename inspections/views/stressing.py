"""Stressing days: the list, the plan tried and kept, a day with its release, and the sheet a crew holds."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.actions.stressing.release import release_refusals, release_stressing_day
from inspections.actions.stressing.withdraw import withdraw_stressing_day
from inspections.assembly.stressing_basis import calibrations, changes_since, sheet_faults
from inspections.forms.stressing import ReleaseForm, WithdrawDayForm
from inspections.letters.stressing import file_name, sheet_content, stressing_sheet_pdf
from inspections.models import StressingDay
from inspections.pages.stressing import day_rows, final_rows, plan_context, plan_title, revised_lines
from inspections.queries.stressing import OPEN_STATES, stressing_days_for, without_plans
from inspections.reckoning.stressing import tell_stored_plan
from inspections.rules import lifecycle
from inspections.vocabulary.states import StressingState
from inventory.access import permitted
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .attempts import attempt
from .readable_plan import plan_readable
from .scope import stressing_day_or_404

PAGE_ROWS = 50
LOGGED = (StressingState.RELEASED, StressingState.UNDER_WAY, StressingState.HELD, StressingState.FINISHED)


@permitted(Permit.READ)
@require_safe
def stressing_days(request: HttpRequest) -> HttpResponse:
    """Days of the person's agencies, with who must act on each."""
    show = "all" if request.GET.get("show") == "all" else "open"
    days = without_plans(stressing_days_for(request.user)).order_by("-planned_for", "-pk")
    if show == "open":
        days = days.filter(state__in=[state.value for state in OPEN_STATES])
    page = Paginator(days, PAGE_ROWS).get_page(request.GET.get("page"))
    return render(request, "inspections/stressing/days.html", {"days": day_rows(page), "page": page, "show": show})


@permitted(Permit.READ)
@require_safe
@plan_readable
def stressing_day(request: HttpRequest, pk: int) -> HttpResponse:
    return day_page(request, stressing_day_or_404(request, pk))


def day_page(request: HttpRequest, day: StressingDay, *, problems=(), status: int = 200, **forms) -> HttpResponse:
    """A day's page, with what was typed where an act was refused."""
    # The log holds what became of it: a revised plan checks only the pulls that were left.
    shown = day.released_plan or day.plan
    told = tell_stored_plan(shown)
    now, permits = timezone.now(), permits_of(request.user, day.structure.agency)
    is_draft = day.state == StressingState.DRAFTED
    is_open = day.state in OPEN_STATES
    refusals = release_refusals(day, at=now, note="given") if is_draft else ()
    changed = changes_since(day) if is_open else ()
    faults = refusals or (sheet_faults(day, timezone.localdate(now)) if is_open else ())
    revision = {"revision": day.revision}
    context = {
        "day": day,
        "structure": day.structure,
        "key": f"{day.system_id}-{day.level}",
        "owner": lifecycle.OWNERS[lifecycle.STRESSING][StressingState(day.state)].words,
        "faults": faults,
        "changed": changed,
        "calibrations": calibrations(day, day.planned_for or timezone.localdate(now)) if is_open else (),
        "may_plan": Permit.PLAN_STRESSING in permits,
        "may_release": is_draft and not refusals and Permit.RELEASE_STRESSING in permits,
        "may_withdraw": not lifecycle.may_move(
            lifecycle.STRESSING, day.state, StressingState.WITHDRAWN, permits=permits
        ),
        "log_address": _log_address(day),
        "release": ReleaseForm(initial=revision, prefix="release"),
        "withdraw": WithdrawDayForm(initial=revision, prefix="withdraw"),
        "problems": problems,
        **plan_context(
            plan=shown, told=told, sources=day.sources, key=f"day-{day.pk}",
            title=plan_title(day.span_index, day.level),
        ),
        "revised": revised_lines(day),
        "final_rows": final_rows(day),
        **forms,
    }  # fmt: skip
    return render(request, "inspections/stressing/day.html", context, status=status)


def _log_address(day: StressingDay) -> str:
    return reverse("inspections:stressing_log", args=[day.pk]) if day.state in LOGGED else ""


@permitted(Permit.RELEASE_STRESSING)
@require_POST
@plan_readable
def release_stressing(request: HttpRequest, pk: int) -> HttpResponse:
    """The engineer's release."""
    day = stressing_day_or_404(request, pk, Permit.RELEASE_STRESSING)
    form = ReleaseForm(request.POST, prefix="release")
    if not form.is_valid():
        return day_page(request, day, problems=form.problems(), status=422, release=form)
    given = form.cleaned_data
    tried = attempt(
        lambda: release_stressing_day(
            day=day, revision=given["revision"], note=given["note"], by=request.user, at=timezone.now()
        )
    )
    return _acted(request, day, tried, "Released. The sheet may be used as printed from now on.", release=form)


@permitted(Permit.PLAN_STRESSING)
@require_POST
@plan_readable
def withdraw_stressing(request: HttpRequest, pk: int) -> HttpResponse:
    """A draft by whoever plans; a released sheet by the engineer (the action asks)."""
    day = stressing_day_or_404(request, pk, Permit.PLAN_STRESSING)
    form = WithdrawDayForm(request.POST, prefix="withdraw")
    if not form.is_valid():
        return day_page(request, day, problems=form.problems(), status=422, withdraw=form)
    given = form.cleaned_data
    tried = attempt(
        lambda: withdraw_stressing_day(
            day=day, revision=given["revision"], reason=given["reason"], by=request.user, at=timezone.now()
        )
    )
    return _acted(request, day, tried, "Withdrawn.", withdraw=form)


def _acted(request: HttpRequest, day: StressingDay, tried, said: str, **forms) -> HttpResponse:
    if tried.done:
        messages.success(request, said)
        return redirect("inspections:stressing_day", pk=day.pk)
    problems = [("", sentence) for sentence in tried.sentences]
    fresh = stressing_day_or_404(request, day.pk)
    return day_page(request, fresh, problems=problems, status=tried.status, **forms)


@permitted(Permit.READ)
@require_safe
@plan_readable
def stressing_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """The sheet as a page that prints: one for each jack crew."""
    day = stressing_day_or_404(request, pk)
    content = sheet_content(day, as_of=timezone.localdate())
    return render(request, "inspections/stressing/sheet.html", {"day": day, "sheet": content})


@permitted(Permit.READ)
@require_safe
@plan_readable
def stressing_sheet_pdf_file(request: HttpRequest, pk: int) -> HttpResponse:
    """The same sheet as PDF."""
    day = stressing_day_or_404(request, pk)
    content = sheet_content(day, as_of=timezone.localdate())
    response = HttpResponse(stressing_sheet_pdf(content), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{file_name(day.structure.number, day.pk)}"'
    return response
