"""Something happened: visits owed to one structure or to many, and one set aside."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from inspections.actions.visits import owe_visits, set_visit_aside
from inspections.forms.schedule import EventForm, ReasonForm
from inspections.pages.schedule import LISTED, ReportList, report_list
from inspections.queries.schedule import MAY_REPORT, structures_to_report, visits_for
from inspections.rules.clocks import kind_offered
from inventory.access import permitted, refusal, structure_or_404
from inventory.forms.row_numbers import row_number
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .attempts import Attempt, attempt
from .schedule import show_schedule


@permitted(Permit.READ)
@require_http_methods(["GET", "POST"])
def report_event(request: HttpRequest, pk: int) -> HttpResponse:
    """At one structure."""
    structure = structure_or_404(request, pk)
    _require_report(request, structure.agency)
    form = EventForm(request.POST or None, initial={"cause": "hit", "happened_on": timezone.localdate()})
    problems, status = (), 200
    if request.method == "POST":
        tried = _owe(request, form, [structure])
        if tried is not None and tried.done:
            return _told(request, tried, "inspections:schedule", pk=structure.pk)
        problems, status = _problems(form, tried)
    context = {"structure": structure, "form": form, "problems": problems}
    return render(request, "inspections/schedule/event.html", context, status=status)


@permitted(Permit.READ)
@require_http_methods(["GET", "POST"])
def report_events(request: HttpRequest) -> HttpResponse:
    """At several at once: after high water, the crossings of a stream. Narrowing the list keeps what is ticked."""
    _require_report(request, None)
    sent = request.POST if request.method == "POST" else None
    narrowing = sent is not None and "narrow" in sent
    form = EventForm(sent, initial={"cause": "flood", "happened_on": timezone.localdate()})
    listed = _listed(request, sent)
    problems, status = (), 200
    if sent is not None and not narrowing:
        chosen = list(structures_to_report(request.user).filter(pk__in=listed.ticked)) if listed.ticked else []
        tried = _owe(request, form, chosen)
        if tried is not None and tried.done:
            return _told(request, tried, "inspections:due")
        problems, status = _problems(form, tried)
    context = {
        "form": form,
        "listed": listed,
        "words_sought": sent.get("q", "") if sent else "",
        "water_only": sent is None or "water" in sent,
        "problems": problems,
        "most": LISTED,
    }
    return render(request, "inspections/schedule/events.html", context, status=status)


@permitted(Permit.MANAGE_REMINDERS)
@require_POST
def set_aside_visit(request: HttpRequest, pk: int, visit_pk: int) -> HttpResponse:
    """No visit after all, with its reason."""
    structure = structure_or_404(request, pk, Permit.MANAGE_REMINDERS)
    visit = get_object_or_404(visits_for(request.user), pk=visit_pk, structure=structure)
    form = ReasonForm(request.POST)
    if form.is_valid():
        given = form.cleaned_data["revision"]
        revision = -1 if given is None else given
        tried = attempt(
            lambda: set_visit_aside(
                visit=visit,
                revision=revision,
                reason=form.cleaned_data["reason"],
                by=request.user,
                at=timezone.now(),
            )
        )
        if tried.done:
            messages.success(request, "The visit is set aside, with its reason.")
            return redirect("inspections:schedule", pk=structure.pk)
        problems, status = [(f"aside-{visit.pk}", sentence) for sentence in tried.sentences], tried.status
    else:
        problems, status = form.problems(), 400
    typed = {"aside": visit.pk, "typed_reason": request.POST.get("reason", "")}
    return show_schedule(request, structure, problems=problems, status=status, **typed)


def _require_report(request: HttpRequest, agency) -> None:
    permits = permits_of(request.user, agency) if agency is not None else permits_of(request.user)
    if not set(MAY_REPORT) & permits:
        raise PermissionDenied(refusal(Permit.MANAGE_REMINDERS))


def _owe(request: HttpRequest, form: EventForm, structures: list) -> Attempt | None:
    """Owe the visits; None where the form itself could not be read."""
    if not form.is_valid():
        return None
    fields = form.cleaned_data
    return attempt(
        lambda: owe_visits(
            structures=structures,
            kind=fields["kind"] or kind_offered(fields["cause"]).value,
            cause=fields["cause"],
            happened_on=fields["happened_on"],
            words=fields["words"],
            by=request.user,
            at=timezone.now(),
        )
    )


def _problems(form: EventForm, tried: Attempt | None) -> tuple[list, int]:
    if tried is None:
        return form.problems(), 400
    return [("", sentence) for sentence in tried.sentences], tried.status


def _told(request: HttpRequest, tried: Attempt, name: str, **kwargs) -> HttpResponse:
    made, already = tried.result.made, tried.result.already
    if made:
        by = max(row.due_on for row in made)
        messages.success(
            request,
            f"{len(made)} visit{'' if len(made) == 1 else 's'} owed by {by.day} {by:%b %Y}; all are on the due list.",
        )
    if already:
        numbers = ", ".join(structure.number for structure in already[:12])
        messages.info(request, f"The same visit was on record already: {numbers}.")
    return redirect(name, **kwargs)


def _listed(request: HttpRequest, sent) -> ReportList:
    """The list as asked for. `listed` names every row the page showed, for the tick that takes them all."""
    if sent is None:
        return report_list(request.user, words="", water_only=True, ticked=set())
    names = ["chosen", *(["listed"] if "all_listed" in sent and "narrow" not in sent else [])]
    numbers = {row_number(value) for name in names for value in sent.getlist(name)[: 2 * LISTED]}
    ticked = {number for number in numbers if number is not None}
    return report_list(request.user, words=sent.get("q", "")[:120], water_only="water" in sent, ticked=ticked)
