"""The month plan: what is due beside the days, and putting one on the other."""

from datetime import date

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.actions.field_days import make_field_day
from inspections.actions.field_stops import plan_new_day, put_on_day
from inspections.forms.field_days import NEW, GroupForm, PutForm
from inspections.models import FieldDay, Reminder
from inspections.pages.field_days import day_choices
from inspections.pages.month_plan import month_context
from inspections.queries.field_days import days_to_come
from inspections.queries.reminders import reminders_for
from inspections.rules.clocks.terms import count, day
from inspections.rules.field_days import MOST_STOPS, month_of
from inventory.access import permitted
from inventory.forms.row_numbers import row_number
from inventory.models import Agency
from inventory.queries.people import agencies_of, permits_of
from inventory.queries.qualifications import leaders_on, possible_leaders
from inventory.vocabulary.roles import Permit

from .agency_chosen import agency_chosen
from .attempts import Attempt, attempt

NOTHING = "Nothing is ticked: tick what is to be put on a day."


@permitted(Permit.READ)
@require_safe
def this_month(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    return _month(request, agency_chosen(request), *month_of(today.year, today.month))


@permitted(Permit.READ)
@require_safe
def month_page(request: HttpRequest, year: int, month: int) -> HttpResponse:
    return _month(request, agency_chosen(request), *_bounds(year, month))


@permitted(Permit.PLAN_FIELD)
@require_POST
def put(request: HttpRequest, year: int, month: int) -> HttpResponse:
    """What is ticked, or one whole group, onto a day to come or a new one; or a new day with nothing on it yet."""
    bounds, agency = _bounds(year, month), agency_chosen(request, Permit.PLAN_FIELD)
    days = list(days_to_come(agency, timezone.localdate()))
    form = _put_form(agency, days, request.POST)
    ids = _chosen(request)
    again = {"form": form, "ticked": set(ids)}
    if not form.is_valid():
        return _month(request, agency, *bounds, problems=form.problems(), status=422, **again)
    is_empty_day = "empty" in request.POST
    reminders = list(reminders_for(request.user).filter(structure__agency=agency, pk__in=ids))
    sentence = "" if is_empty_day else _fault(reminders, ids)
    if sentence:
        return _month(request, agency, *bounds, problems=[("", sentence)], status=422, **again)
    order = {pk: place for place, pk in enumerate(ids)}
    reminders.sort(key=lambda row: order[row.pk])
    tried = _put(request, agency, form, [] if is_empty_day else reminders, days)
    if not tried.done:
        problems = [("", sentence) for sentence in tried.sentences]
        return _month(request, agency, *bounds, problems=problems, status=tried.status, **again)
    made: FieldDay = tried.result
    said = "made" if is_empty_day else f"holds {count(len(reminders), 'more stop')}"
    messages.success(request, f"The field day of {day(made.on)} {said}.")
    return redirect(f"{reverse('inspections:plan_month', args=[year, month])}?agency={agency.pk}#day-{made.pk}")


def _put(request: HttpRequest, agency: Agency, form: PutForm, reminders: list[Reminder], days: list[FieldDay]):
    given, by, at = form.cleaned_data, request.user, timezone.now()
    if "empty" in request.POST:
        return attempt(lambda: make_field_day(agency=agency, wanted=form.wanted(), by=by, at=at))
    if given["day"] in (NEW, ""):
        return attempt(lambda: plan_new_day(agency=agency, wanted=form.wanted(), reminders=reminders, by=by, at=at))
    chosen = next((each for each in days if str(each.pk) == given["day"]), None)
    if chosen is None:
        return Attempt(sentences=("That day is not on the plan any more: choose another.",))
    reason = given["override_reason"]
    return attempt(
        lambda: put_on_day(
            day=chosen, revision=chosen.revision, reminders=reminders, by=by, at=at, override_reason=reason
        )
    )


def _chosen(request: HttpRequest) -> list[int]:
    """Ids of what is ticked, or of the group whose button was pressed; each once, in the order of the page."""
    group = request.POST.get("group", "")
    sent = request.POST.get(f"members-{group}", "").split(",") if group else request.POST.getlist("chosen")
    numbers = [number for number in (row_number(value) for value in sent[:500]) if number is not None]
    return list(dict.fromkeys(numbers))


def _fault(reminders: list[Reminder], ids: list[int]) -> str:
    if not ids:
        return NOTHING
    if len(ids) > MOST_STOPS:
        return f"{len(ids)} are ticked, and a field day holds at most {MOST_STOPS}: tick fewer."
    if len(reminders) != len(ids):
        return "Something that is ticked is owed no more: look at the list again."
    return ""


def _bounds(year: int, month: int) -> tuple[date, date]:
    found = month_of(year, month)
    if found is None:
        raise Http404("There is no such month.")
    return found


def _put_form(agency: Agency, days: list[FieldDay], data=None) -> PutForm:
    return PutForm(data, people=possible_leaders(agency), days=day_choices(days))


def _month(
    request: HttpRequest, agency: Agency, first: date, last: date, *, form: PutForm | None = None, problems=(),
    ticked=frozenset(), status: int = 200,
) -> HttpResponse:  # fmt: skip
    today = timezone.localdate()
    grouping = GroupForm(request.GET if {"per_day", "near_mi"} & set(request.GET) else None)
    per_day, near_mi = grouping.chosen()
    days = list(days_to_come(agency, today))
    context = {
        **month_context(agency, first, last, today=today, per_day=per_day, near_mi=near_mi),
        "agencies": agencies_of(request.user).order_by("name"),
        "grouping": grouping,
        "form": form or _put_form(agency, days),
        "to_come": days,
        "leaders": leaders_on(agency, today),
        "problems": [*problems, *(grouping.problems() if grouping.is_bound else [])],
        "ticked": ticked,
        "may_plan": Permit.PLAN_FIELD in permits_of(request.user, agency),
        "put_address": f"{reverse('inspections:plan_put', args=[first.year, first.month])}?agency={agency.pk}",
    }
    return render(request, "inspections/plan/month.html", context, status=status)
