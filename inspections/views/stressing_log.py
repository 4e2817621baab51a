"""The log of a stressing day on the crew's telephone: log a pull, take an entry back, go on after a hold."""

from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from inspections.actions.stressing.log_pull import log_pull
from inspections.actions.stressing.resume import resume
from inspections.actions.stressing.take_back import take_back
from inspections.assembly.stressing_log import DayLog, day_log
from inspections.forms.stressing_log import LogPullForm, ResumeForm, TakeBackForm
from inspections.models import StressingDay
from inspections.pages.stressing_log import (
    CAUTIONS,
    bars_beside,
    bars_now,
    entry_lines,
    hold_words,
    shown_pull,
    slot_to_show,
    stopped_bars,
)
from inspections.queries.stressing_log import all_entries_of
from inspections.rules.stressing.order import slots_left
from inspections.vocabulary.states import StressingState
from inventory.access import permitted
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .attempts import attempt
from .readable_plan import plan_readable
from .scope import stressing_day_or_404
from .typed_over_sign_in import typed_over_sign_in

READY = (StressingState.RELEASED, StressingState.UNDER_WAY, StressingState.HELD)
NEWEST = 12
ALREADY = "That entry was saved before; nothing was written twice."


@typed_over_sign_in
@permitted(Permit.LOG_STRESSING)
@require_http_methods(["GET", "POST"])
@plan_readable
def stressing_log(request: HttpRequest, pk: int) -> HttpResponse:
    """One pull at a time."""
    day = stressing_day_or_404(request, pk, Permit.LOG_STRESSING)
    if day.state not in READY:
        if day.state == StressingState.FINISHED:
            return redirect("inspections:stressing_logged", pk=day.pk)
        return render(request, "inspections/stressing/log_closed.html", {"day": day, "cautions": CAUTIONS})
    if request.method == "POST":
        return _save(request, day)
    return _show(request, day)


def _save(request: HttpRequest, day: StressingDay) -> HttpResponse:
    log = day_log(day)
    wanted = _wanted(request, is_posted=True)
    beside = bars_beside(log, wanted[1]) if wanted and 0 <= wanted[1] < len(day.bar_ids) else ()
    form = LogPullForm(request.POST, neighbours=beside)
    if not form.is_valid():
        return _show(request, day, form=form, problems=form.problems())
    given = form.cleaned_data
    tried = attempt(
        lambda: log_pull(
            day=day,
            identity=given["identity"],
            pull_number=given["pull_number"],
            bar_index=given["bar_index"],
            seen=form.seen(),
            by=request.user,
            at=timezone.now(),
        )
    )
    if not tried.done:
        return _show(
            request, day, form=form, problems=[("", sentence) for sentence in tried.sentences], status=tried.status
        )
    if not tried.result.is_new:
        messages.info(request, ALREADY)
    return redirect("inspections:stressing_log", pk=day.pk)


def _show(
    request: HttpRequest, day: StressingDay, *, form: LogPullForm | None = None, problems=(), status: int = 200, **more
) -> HttpResponse:
    log = day_log(day)
    shown = slot_to_show(log, day.state, _wanted(request, is_posted=form is not None))
    pull = shown_pull(day, log, shown) if shown else None
    is_other = pull is None or _wanted(request, is_posted=form is not None) != pull.slot.key
    kept = form.typed if form is not None and form.is_bound and is_other else ()
    if pull is not None:
        form = _form(request, log, pull, form, problems)
    permits = permits_of(request.user, day.structure.agency)
    lines = entry_lines(day, log, person_pk=request.user.pk, may_all=Permit.PLAN_STRESSING in permits)
    last = next((line for line in lines if not line.is_taken_back), None)
    may_release = Permit.RELEASE_STRESSING in permits
    context = {
        "day": day,
        "structure": day.structure,
        "cautions": CAUTIONS,
        "pull": pull,
        "form": form if pull else None,
        "problems": problems,
        "kept": kept,
        "is_typed_back": bool(pull and form and not form.is_bound and "typed" in request.GET),
        "bars": bars_now(log, shown),
        "lines": lines if "all" in request.GET else lines[:NEWEST],
        "line_count": len(lines),
        "last": last,
        "left": slots_left(log.plan, log.logged),
        "left_names": _left_names(log),
        "is_held": day.state == StressingState.HELD,
        "hold_words": hold_words(day, last),
        "model_problem": log.problem,
        "may_release": may_release,
        "resume_form": more.get("resume_form")
        or ResumeForm(initial={"revision": day.revision}, stopped=stopped_bars(log)),
        "revision_words": day.learned[-1]["sentences"] if day.learned else (),
    }
    return render(request, "inspections/stressing/log.html", context, status=status)


def _wanted(request: HttpRequest, *, is_posted: bool) -> tuple[int, int] | None:
    """The pull the person means: of the form sent, else of the address."""
    source = request.POST if is_posted else request.GET
    try:
        return int(source.get("pull_number", "")), int(source.get("bar_index", ""))
    except ValueError:
        return None


def _form(request: HttpRequest, log: DayLog, pull, form: LogPullForm | None, problems) -> LogPullForm:
    """The form of the pull shown: what was sent with its refusal, or an empty one, or what was typed before sign-in."""
    beside = bars_beside(log, pull.slot.bar_index)
    own = {"pull_number": pull.slot.pull_number, "bar_index": pull.slot.bar_index}
    if form is not None and _wanted(request, is_posted=True) == pull.slot.key:
        form.is_out_of_order = not pull.is_next
        form.asks_gauge = any("no load above the sheet" in sentence for _anchor, sentence in problems)
        return form
    initial = own | {"identity": uuid4(), "force_method": "lift_off"}
    if "typed" in request.GET and _wanted(request, is_posted=False) == pull.slot.key:
        initial |= {name: value for name, value in request.GET.items() if name in ("identity",)}
        initial |= {name: value for name, value in request.GET.items() if name != "typed"}
    return LogPullForm(initial=initial, neighbours=beside, is_out_of_order=not pull.is_next)


def _left_names(log: DayLog) -> list[dict]:
    bars = log.plan.given.bars
    return [
        {"pull": slot.pull_number, "bar_index": slot.bar_index, "name": bars[slot.bar_index].name}
        for slot in slots_left(log.plan, log.logged)
    ]


@permitted(Permit.LOG_STRESSING)
@require_POST
@plan_readable
def take_back_pull(request: HttpRequest, pk: int, entry: int) -> HttpResponse:
    """An entry was wrong."""
    day = stressing_day_or_404(request, pk, Permit.LOG_STRESSING)
    row = get_object_or_404(all_entries_of(day), pk=entry)
    form = TakeBackForm(request.POST)
    if not form.is_valid():
        return _show(request, day, problems=form.problems(), status=409)
    row.day = day
    tried = attempt(
        lambda: take_back(entry=row, reason=form.cleaned_data["reason"], by=request.user, at=timezone.now())
    )
    if not tried.done:
        return _show(request, day, problems=[("", each) for each in tried.sentences], status=tried.status)
    messages.success(request, "The entry was taken back; its pull is to be logged again.")
    return redirect("inspections:stressing_log", pk=day.pk)


@permitted(Permit.RELEASE_STRESSING)
@require_POST
@plan_readable
def resume_stressing(request: HttpRequest, pk: int) -> HttpResponse:
    """The engineer lets the crew go on."""
    day = stressing_day_or_404(request, pk, Permit.RELEASE_STRESSING)
    form = ResumeForm(request.POST, stopped=stopped_bars(day_log(day)))
    if not form.is_valid():
        return _show(request, day, problems=form.problems(), resume_form=form)
    given = form.cleaned_data
    tried = attempt(
        lambda: resume(
            day=day,
            revision=given["revision"],
            reason=given["reason"],
            most_lb=given["most_lb"],
            plan_before=given["plan_before"],
            leave_out=tuple(given["leave_out"]),
            by=request.user,
            at=timezone.now(),
        )
    )
    if not tried.done:
        problems = [("", sentence) for sentence in tried.sentences]
        return _show(request, day, problems=problems, status=tried.status, resume_form=form)
    messages.success(request, "The rest of the day is released. Tell the crew.")
    return redirect("inspections:stressing_log", pk=day.pk)
