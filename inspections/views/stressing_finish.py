"""The end of a stressing day: forces read at the end, the finished log, traffic let back."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inspections.actions.stressing.finish import finish
from inspections.actions.stressing.reopen import reopen
from inspections.forms.stressing_log import FinishForm, ReopenForm
from inspections.models import StressingDay
from inspections.pages.stressing_log import CAUTIONS
from inspections.pages.stressing_logged import finish_page, logged_page
from inspections.queries.stressing_log import people_who_inspect
from inspections.tasks import nudge_dates, nudge_forecast
from inspections.vocabulary.states import StressingState
from inventory.access import permitted
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .attempts import attempt
from .nudges import nudge_rating
from .readable_plan import plan_readable
from .scope import stressing_day_or_404
from .typed_over_sign_in import typed_over_sign_in


@typed_over_sign_in
@permitted(Permit.LOG_STRESSING)
@require_http_methods(["GET", "POST"])
@plan_readable
def finish_stressing(request: HttpRequest, pk: int) -> HttpResponse:
    """Read the bars, say who answers for the readings, end the day."""
    day = stressing_day_or_404(request, pk, Permit.LOG_STRESSING)
    if day.state == StressingState.FINISHED and request.method == "GET":
        return redirect("inspections:stressing_logged", pk=day.pk)
    log, bars, open_ = finish_page(day)
    people = people_who_inspect(day.structure)
    if request.method == "GET":
        form = FinishForm(initial=_initial(request, day), bars=bars, inspectors=people)
        return _finish_form(request, day, log, open_, form)
    form = FinishForm(request.POST, bars=bars, inspectors=people)
    if not form.is_valid():
        return _finish_form(request, day, log, open_, form, form.problems())
    given = form.cleaned_data
    tried = attempt(
        lambda: finish(
            day=day,
            revision=given["revision"],
            readings=form.readings(),
            method=given["method"],
            inspector=given["inspector"],
            wood_temp_f=given["wood_temp_f"],
            moisture_pct=given["moisture_pct"],
            reason=given["reason"],
            by=request.user,
            at=timezone.now(),
        )
    )
    if not tried.done:
        problems = [("", sentence) for sentence in tried.sentences]
        return _finish_form(request, day, log, open_, form, problems, tried.status)
    nudge_rating(day.structure)
    nudge_dates(day.structure_id)
    nudge_forecast(day.structure_id)
    messages.success(request, "Finished: the work is on record, dates and rating follow. Traffic is not let back yet.")
    return redirect("inspections:stressing_logged", pk=day.pk)


def _initial(request: HttpRequest, day: StressingDay) -> dict:
    """An empty sheet, or what was typed before the session ended."""
    initial = {"revision": day.revision, "method": "lift_off"}
    if Permit.ENTER_INSPECTION in permits_of(request.user, day.structure.agency):
        initial["inspector"] = request.user.pk
    if "typed" in request.GET:
        initial |= {name: value for name, value in request.GET.items() if name not in ("typed", "revision")}
    return initial


def _finish_form(request, day, log, open_, form, problems=(), status: int = 200) -> HttpResponse:
    rows = [
        {"bar": bar, "field": form[f"r{index}"], "known_lb": log.standing_lb[index]}
        for index, bar in enumerate(log.plan.given.bars)
    ]
    context = {
        "day": day,
        "structure": day.structure,
        "cautions": CAUTIONS,
        "form": form,
        "rows": rows,
        "open": open_,
        "problems": problems,
        "is_held": day.state == StressingState.HELD,
        "is_typed_back": not form.is_bound and "typed" in request.GET,
        "may_release": Permit.RELEASE_STRESSING in permits_of(request.user, day.structure.agency),
    }
    return render(request, "inspections/stressing/finish.html", context, status=status)


@permitted(Permit.READ)
@require_safe
@plan_readable
def stressing_logged(request: HttpRequest, pk: int) -> HttpResponse:
    """Planned against done; printable."""
    return _logged(request, stressing_day_or_404(request, pk))


def _logged(request: HttpRequest, day: StressingDay, form: ReopenForm | None = None, problems=(), status: int = 200):
    permits = permits_of(request.user, day.structure.agency)
    may_reopen = day.state == StressingState.FINISHED and day.reopened_at is None and Permit.LOG_STRESSING in permits
    context = logged_page(day, timezone.localdate()) | {
        "day": day,
        "structure": day.structure,
        "cautions": CAUTIONS,
        "problems": problems,
        "may_reopen": may_reopen,
        "may_release": Permit.RELEASE_STRESSING in permits,
        "may_log": Permit.LOG_STRESSING in permits,
        "form": form or ReopenForm(initial={"revision": day.revision}),
    }
    return render(request, "inspections/stressing/logged.html", context, status=status)


@permitted(Permit.LOG_STRESSING)
@require_POST
@plan_readable
def reopen_span(request: HttpRequest, pk: int) -> HttpResponse:
    """Traffic back on the span, with hour and name."""
    day = stressing_day_or_404(request, pk, Permit.LOG_STRESSING)
    form = ReopenForm(request.POST)
    if not form.is_valid():
        return _logged(request, day, form, form.problems())
    given = form.cleaned_data
    tried = attempt(
        lambda: reopen(day=day, revision=given["revision"], reason=given["reason"], by=request.user, at=timezone.now())
    )
    if not tried.done:
        return _logged(request, day, form, [("", sentence) for sentence in tried.sentences], tried.status)
    messages.success(request, "Recorded: traffic is let back on the span.")
    return redirect("inspections:stressing_logged", pk=day.pk)
