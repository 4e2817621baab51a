"""Due lists, one reminder's page with what may be done about it, and a person's own messages."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.actions import remind
from inspections.filters import ReminderFilter
from inspections.forms.reminders import AssignForm, DeferForm, DoneForm
from inspections.models import Reminder
from inspections.pages.due_csv import due_csv
from inspections.pages.owed import due_row, due_rows
from inspections.queries.reminders import (
    assignable_in,
    assignable_people,
    late_first,
    late_reminders,
    messages_of,
    reminders_for,
    reminders_managed_by,
    unread_messages,
)
from inspections.rules.clocks import CLOSED_BY_RECORD, deferral_note, latest_deferral
from inventory.access import permitted, require
from inventory.forms.row_numbers import row_number
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .attempts import Attempt, attempt
from .list_address import page_links, sorted_headings

PAGE_ROWS = 50
PRINT_ROWS = 1000
HEADINGS = (("structure", "Structure"), ("kind", "What"), ("due", "Due"), ("person", "Assigned to"))


@permitted(Permit.READ)
@require_safe
def due_page(request: HttpRequest) -> HttpResponse:
    """Everything owed in the person's agencies."""
    return render(request, "inspections/reminders/due.html", _list_context(request, reminders_for(request.user)))


@permitted(Permit.READ)
@require_safe
def due_print(request: HttpRequest) -> HttpResponse:
    """The same list on paper."""
    chosen = _filter(request, reminders_for(request.user))
    rows = due_rows(_ordered(chosen)[: PRINT_ROWS + 1], chosen.as_of)
    context = {"chosen": chosen, "rows": rows[:PRINT_ROWS], "cut_at": PRINT_ROWS if len(rows) > PRINT_ROWS else None}
    return render(request, "inspections/reminders/print.html", context)


@permitted(Permit.READ)
@require_safe
def due_file(request: HttpRequest) -> HttpResponse:
    """The same list as CSV; a filter that cannot be read gives no file but the sentence."""
    chosen = _filter(request, reminders_for(request.user))
    if chosen.sentences:
        return HttpResponse("\n".join(chosen.sentences), status=400, content_type="text/plain; charset=utf-8")
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="due-{chosen.as_of}.csv"'
    due_csv(response, due_rows(_ordered(chosen).iterator(chunk_size=2000), chosen.as_of))
    return response


@permitted(Permit.MANAGE_REMINDERS)
@require_safe
def late_page(request: HttpRequest) -> HttpResponse:
    """The supervisors' overdue list: the longest late first, with something to do in every row."""
    return _late(request)


@permitted(Permit.MANAGE_REMINDERS)
@require_POST
def assign_chosen(request: HttpRequest) -> HttpResponse:
    """Assign every ticked row to one person; all or none."""
    numbers = [row_number(value) for value in request.POST.getlist("chosen")]
    ids = [number for number in numbers if number is not None][:PAGE_ROWS]
    if not ids:
        return _late(request, ["Nothing is ticked: tick the rows to assign."], 400)
    to = request.POST.get("to", "")
    number = row_number(to)
    person = assignable_people(request.user).filter(pk=number).first() if number is not None else None
    if person is None and to != "nobody":
        return _late(request, ["Choose the person to assign the ticked rows to."], 400, ids)
    rows = list(reminders_managed_by(request.user).filter(pk__in=ids))
    if len(rows) != len(set(ids)):
        return _late(request, ["A ticked row is not on your list any more: look at the list again."], 409, ids)
    chosen = [(row, _revision(request, row)) for row in rows]
    tried = attempt(lambda: remind.assign_many(chosen=chosen, by=request.user, at=timezone.now(), to=person))
    if not tried.done:
        return _late(request, tried.sentences, tried.status, ids)
    messages.success(request, f"{tried.result} assigned to {person or 'nobody'}.")
    return redirect(_late_address(request))


@permitted(Permit.READ)
@require_safe
def reminder_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _reminder(request, _reminder_or_404(request, pk))


@permitted(Permit.READ)
@require_POST
def acknowledge(request: HttpRequest, pk: int) -> HttpResponse:
    """Seen; from the overdue list or from the reminder's own page."""
    reminder = _reminder_or_404(request, pk)
    revision = _revision(request, reminder)
    tried = attempt(
        lambda: remind.acknowledge(reminder=reminder, revision=revision, by=request.user, at=timezone.now())
    )
    from_list = "from_list" in request.POST
    if not tried.done:
        if from_list and Permit.MANAGE_REMINDERS in permits_of(request.user):
            return _late(request, tried.sentences, tried.status)
        return _reminder(request, reminder, tried=tried)
    messages.success(request, f"Acknowledged: {tried.result.get_kind_display()}, {reminder.structure.number}.")
    return redirect(_late_address(request)) if from_list else redirect("inspections:reminder", pk=pk)


@permitted(Permit.MANAGE_REMINDERS)
@require_POST
def assign(request: HttpRequest, pk: int) -> HttpResponse:
    reminder = _managed_or_404(request, pk)
    people = assignable_in(reminder.structure.agency)
    form = AssignForm(request.POST, people=people, prefix="assign")
    return _move(request, reminder, form, remind.assign, ("to",), "Assigned.")


@permitted(Permit.MANAGE_REMINDERS)
@require_POST
def defer(request: HttpRequest, pk: int) -> HttpResponse:
    form = DeferForm(request.POST, prefix="defer")
    return _move(request, _managed_or_404(request, pk), form, remind.defer, ("to", "reason"), "Put off.")


@permitted(Permit.MANAGE_REMINDERS)
@require_POST
def complete(request: HttpRequest, pk: int) -> HttpResponse:
    form = DoneForm(request.POST, prefix="done")
    said = "Recorded as work done. Enter the particulars (layers, treatment) on the structure's page."
    return _move(request, _managed_or_404(request, pk), form, remind.complete, ("on", "note"), said)


@permitted(Permit.READ)
@require_safe
def messages_page(request: HttpRequest) -> HttpResponse:
    """The person's own messages, unread ones marked."""
    page = Paginator(messages_of(request.user), PAGE_ROWS).get_page(request.GET.get("page"))
    context = {"page": page, "unread": unread_messages(request.user).count()}
    return render(request, "inspections/reminders/messages.html", context)


@permitted(Permit.READ)
@require_POST
def messages_read(request: HttpRequest) -> HttpResponse:
    """Mark the one pressed, or all, as read."""
    one = row_number(request.POST.get("message", ""))
    # Only a page that names none means all; a number that is no row means no row.
    ids = None if "message" not in request.POST else [one] if one is not None else []
    read = remind.mark_read(person=request.user, message_ids=ids, at=timezone.now())
    messages.success(request, f"{read} marked as read." if read else "Nothing was unread.")
    return redirect("inspections:messages")


def _filter(request: HttpRequest, reminders) -> ReminderFilter:
    return ReminderFilter(request.GET, queryset=reminders, person=request.user, as_of=timezone.localdate())


def _ordered(chosen: ReminderFilter):
    """In the order asked for; otherwise what is owed longest first, what was put off last."""
    found = chosen.qs
    return found.order_by(*found.query.order_by, "pk") if chosen.data.get("sort") else late_first(found, chosen.as_of)


def _list_context(request: HttpRequest, reminders) -> dict:
    chosen = _filter(request, reminders)
    page = Paginator(_ordered(chosen), PAGE_ROWS).get_page(request.GET.get("page"))
    return {
        "chosen": chosen,
        "page": page,
        "rows": due_rows(page.object_list, chosen.as_of),
        "headings": sorted_headings(request, HEADINGS),
        **page_links(request, page),
    }


def _late(request: HttpRequest, sentences=(), status: int = 200, ticked=()) -> HttpResponse:
    context = _list_context(request, late_reminders(request.user, timezone.localdate()))
    context |= {
        "problems": [("", sentence) for sentence in sentences],
        "ticked": set(ticked),
        "people": assignable_people(request.user),
    }
    return render(request, "inspections/reminders/late.html", context, status=status)


def _late_address(request: HttpRequest) -> str:
    query = request.GET.urlencode()
    return "/due/late/" + (f"?{query}" if query else "")


def _revision(request: HttpRequest, row: Reminder) -> int:
    """The revision the page carried for this row; -1, which is always stale, where it carried none."""
    number = row_number(request.POST.get(f"revision-{row.pk}", ""))
    return -1 if number is None else number


def _reminder_or_404(request: HttpRequest, pk: int) -> Reminder:
    return get_object_or_404(reminders_for(request.user), pk=pk)


def _managed_or_404(request: HttpRequest, pk: int) -> Reminder:
    reminder = _reminder_or_404(request, pk)
    require(request.user, reminder.structure.agency, Permit.MANAGE_REMINDERS)
    return reminder


def _move(request: HttpRequest, reminder: Reminder, form, act, names: tuple[str, ...], said: str) -> HttpResponse:
    """Call one of the moves with what was typed; a refusal shows the page again with everything still there."""
    if not form.is_valid():
        return _reminder(request, reminder, form, form.problems(), 400)
    values = {name: form.cleaned_data[name] for name in names}
    revision = form.cleaned_data["revision"]
    tried = attempt(lambda: act(reminder=reminder, revision=revision, by=request.user, at=timezone.now(), **values))
    if not tried.done:
        return _reminder(request, reminder, form, tried=tried)
    messages.success(request, said)
    return redirect("inspections:reminder", pk=reminder.pk)


def _reminder(
    request: HttpRequest, reminder: Reminder, typed=None, problems=(), status: int = 200, tried: Attempt | None = None
) -> HttpResponse:
    today = timezone.localdate()
    if tried is not None:
        problems, status = [("", sentence) for sentence in tried.sentences], tried.status
    start = {"revision": reminder.revision}
    people = assignable_in(reminder.structure.agency)
    forms = {
        "assign": AssignForm(initial=start | {"to": reminder.assigned_to_id}, people=people, prefix="assign"),
        "defer": DeferForm(initial=start, prefix="defer"),
        "done": DoneForm(initial=start | {"on": today}, prefix="done"),
    }
    if typed is not None:
        forms[typed.prefix] = typed
    context = {
        "row": due_row(reminder, today),
        "reminder": reminder,
        "forms": forms,
        "problems": problems,
        "only_by_record": CLOSED_BY_RECORD.get(reminder.kind),
        "note": deferral_note(reminder.kind, reminder.due_on),
        "latest": latest_deferral(kind=reminder.kind, late_after=reminder.late_after, as_of=today),
        "may_manage": Permit.MANAGE_REMINDERS in permits_of(request.user, reminder.structure.agency),
        "is_own": reminder.assigned_to_id == request.user.pk,
    }
    return render(request, "inspections/reminders/reminder.html", context, status=status)
