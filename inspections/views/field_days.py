"""One field day: its stops moved about, its leader changed, and the sheet the team takes along."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.actions.field_days import change_field_day, remove_field_day
from inspections.actions.field_stops import move_stop, move_stop_to, order_by_nearness, take_off
from inspections.forms.field_days import ChangeDayForm
from inspections.models import FieldDay, FieldStop
from inspections.pages.field_days import day_card, day_choices, day_events
from inspections.pages.route_sheet import route_sheet
from inspections.queries.field_days import days_to_come, field_days_for, stops_for
from inspections.rules.clocks.terms import count, day
from inventory.access import permitted, require
from inventory.forms.row_numbers import row_number
from inventory.queries.people import permits_of
from inventory.queries.qualifications import leaders_on, possible_leaders
from inventory.vocabulary.roles import Permit

from .attempts import Attempt, attempt

STEPS = {"up": -1, "down": 1}


@permitted(Permit.READ)
@require_safe
def field_day(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, _day_or_404(request, pk))


@permitted(Permit.READ)
@require_safe
def route_sheet_page(request: HttpRequest, pk: int) -> HttpResponse:
    """The sheet of a day, to be read on a phone or printed."""
    found = _day_or_404(request, pk)
    context = {"day": found, **route_sheet(found, today=timezone.localdate())}
    return render(request, "inspections/plan/route_sheet.html", context)


@permitted(Permit.PLAN_FIELD)
@require_POST
def change_day(request: HttpRequest, pk: int) -> HttpResponse:
    found = _day_or_404(request, pk, Permit.PLAN_FIELD)
    form = ChangeDayForm(request.POST, people=possible_leaders(found.agency))
    if not form.is_valid():
        return _page(request, found, form=form, problems=form.problems(), status=422)
    revision = form.cleaned_data["revision"]
    tried = attempt(
        lambda: change_field_day(day=found, revision=revision, wanted=form.wanted(), by=request.user, at=timezone.now())
    )
    if not tried.done:
        return _refused(request, found, tried, form=form)
    messages.success(request, "The field day is changed.")
    return redirect("inspections:field_day", pk=pk)


@permitted(Permit.PLAN_FIELD)
@require_POST
def remove_day(request: HttpRequest, pk: int) -> HttpResponse:
    found = _day_or_404(request, pk, Permit.PLAN_FIELD)
    month = reverse("inspections:plan_month", args=[found.on.year, found.on.month])
    agency = found.agency_id
    tried = attempt(
        lambda: remove_field_day(day=found, revision=_revision(request), by=request.user, at=timezone.now())
    )
    if not tried.done:
        return _refused(request, found, tried)
    messages.success(request, f"The day is off the plan; {count(tried.result, 'stop')} owed as before.")
    return redirect(f"{month}?agency={agency}")


@permitted(Permit.PLAN_FIELD)
@require_POST
def order_day(request: HttpRequest, pk: int) -> HttpResponse:
    """Order by nearness, from the first stop."""
    found = _day_or_404(request, pk, Permit.PLAN_FIELD)
    tried = attempt(
        lambda: order_by_nearness(day=found, revision=_revision(request), by=request.user, at=timezone.now())
    )
    if not tried.done:
        return _refused(request, found, tried)
    messages.success(request, f"The stops of {day(found.on)} are ordered by nearness from the first.")
    return redirect(_back(request, found))


@permitted(Permit.PLAN_FIELD)
@require_POST
def move(request: HttpRequest, pk: int) -> HttpResponse:
    """One stop up, down, to another day, or off the plan."""
    stop = get_object_or_404(stops_for(request.user), pk=pk)
    require(request.user, stop.day.agency, Permit.PLAN_FIELD)
    found = _day_or_404(request, stop.day_id, Permit.PLAN_FIELD)
    tried = _move(request, stop)
    if not tried.done:
        return _refused(request, found, tried, moving=stop.pk)
    messages.success(request, f"{stop.structure.number} is moved.")
    return redirect(_back(request, found))


def _move(request: HttpRequest, stop: FieldStop) -> Attempt:
    how, revision = request.POST.get("how", ""), _revision(request)
    by, at = request.user, timezone.now()
    if how in STEPS:
        return attempt(lambda: move_stop(stop=stop, revision=revision, step=STEPS[how], by=by, at=at))
    if how == "off":
        return attempt(lambda: take_off(stop=stop, revision=revision, by=by, at=at))
    chosen = row_number(request.POST.get("to", ""))
    to = days_to_come(stop.day.agency, timezone.localdate(at)).filter(pk=chosen).first() if chosen else None
    if to is None:
        return Attempt(sentences=("Choose the day to move it to.",))
    reason = request.POST.get("override_reason", "")[:300]
    return attempt(lambda: move_stop_to(stop=stop, revision=revision, to=to, by=by, at=at, override_reason=reason))


def _refused(request: HttpRequest, found: FieldDay, tried: Attempt, **more) -> HttpResponse:
    """The day as it stands now, with the sentences of what could not be done."""
    fresh = field_days_for(request.user).filter(pk=found.pk).first()
    problems = [("", sentence) for sentence in tried.sentences]
    return _page(request, fresh or found, problems=problems, status=tried.status, **more)


def _page(
    request: HttpRequest, found: FieldDay, *, form: ChangeDayForm | None = None, problems=(), status=200, moving=None
) -> HttpResponse:
    today = timezone.localdate()
    card = day_card(found, today)
    people = possible_leaders(found.agency)
    start = {"on": found.on, "leader": found.leader_id, "team": found.team, "note": found.note}
    context = {
        "card": card,
        "day": found,
        "form": form or ChangeDayForm(initial=start | {"revision": found.revision}, people=people),
        "problems": problems,
        "moving": moving,
        "other_days": day_choices(days_to_come(found.agency, today).exclude(pk=found.pk)),
        "may_plan": Permit.PLAN_FIELD in permits_of(request.user, found.agency) and not card.is_past,
        "leaders": leaders_on(found.agency, found.on),
        "events": day_events(found),
        "revision": found.revision,
    }
    return render(request, "inspections/plan/day.html", context, status=status)


def _day_or_404(request: HttpRequest, pk: int, permit: Permit = Permit.READ) -> FieldDay:
    found = get_object_or_404(field_days_for(request.user), pk=pk)
    require(request.user, found.agency, permit)
    return found


def _revision(request: HttpRequest) -> int:
    """The revision the page carried; -1, which is always stale, where it carried none."""
    number = row_number(request.POST.get("revision", ""))
    return -1 if number is None else number


def _back(request: HttpRequest, found: FieldDay) -> str:
    """Where the button was pressed: the month, or the day's own page."""
    if request.POST.get("from") == "month":
        month = reverse("inspections:plan_month", args=[found.on.year, found.on.month])
        return f"{month}?agency={found.agency_id}#day-{found.pk}"
    return reverse("inspections:field_day", args=[found.pk])
