"""Critical findings: the list, one of them, and the report from the road."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inspections.actions.critical import report_critical, report_proposed
from inspections.forms.critical import ReportForm, SentForm
from inspections.pages.critical import critical_context, critical_lines, open_lines, status_lines
from inspections.queries.critical import OPEN, critical_for, critical_terms
from inspections.tasks import nudge_dates
from inspections.vocabulary.findings import CriticalKind
from inventory.access import permitted, structure_or_404
from inventory.models import Structure
from inventory.pages.contacts import contact_lines
from inventory.queries.contacts import contacts_of
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .attempts import Attempt, attempt
from .critical_scope import chosen_agency, critical_or_404, photo_kept
from .reading import read_page
from .scope import inspection_or_404

CLOSED_SHOWN = 100
# On the road the page holds what is needed there and nothing else: no navigation stands before the numbers to call.
ON_THE_ROAD = {"doors": (), "banners": ()}


@permitted(Permit.READ)
@require_safe
def critical_findings_page(request: HttpRequest) -> HttpResponse:
    """Open first, the longest open at the top; then the newest that were closed."""
    now = timezone.now()
    rows = critical_for(request.user).prefetch_related("notices")
    closed = rows.exclude(state__in=OPEN).order_by("-closed_at", "-id")[:CLOSED_SHOWN]
    context = {"open_lines": open_lines(rows, now), "closed_lines": critical_lines(closed, now)}
    return render(request, "inspections/critical/list.html", context)


@permitted(Permit.READ)
@require_safe
def critical_page(request: HttpRequest, pk: int) -> HttpResponse:
    context = critical_context(request, critical_or_404(request, pk))
    return render(request, "inspections/critical/finding.html", context)


@permitted(Permit.REPORT_CRITICAL)
@require_http_methods(["GET", "POST"])
def new_critical(request: HttpRequest, pk: int) -> HttpResponse:
    """First whom to call, to stay and block the road; then the record: a kind is a button, and that sends it."""
    structure = structure_or_404(request, pk, Permit.REPORT_CRITICAL)
    if request.method == "GET" and "record" not in request.GET:
        context = {"structure": structure, "contacts": contact_lines(structure.agency)} | ON_THE_ROAD
        return render(request, "inspections/critical/call.html", context)
    contacts = list(contacts_of(structure.agency))
    form = ReportForm(request.POST or None, request.FILES or None, contacts=contacts)
    problems, status = [], 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            tried = _report(request, structure, form, contacts)
            if tried.done:
                nudge_dates(structure.pk)
                messages.success(
                    request, "On record, and everyone who answers for it has a message. Now tell the State."
                )
                return redirect("inspections:critical", pk=tried.result.pk)
            problems, status = [("", sentence) for sentence in tried.sentences], tried.status
    context = {
        "structure": structure,
        "form": form,
        "contacts": contact_lines(structure.agency),
        "kinds": [(kind.value, kind.label) for kind in CriticalKind],
        "problems": [*form.problems(), *problems],
        **ON_THE_ROAD,
    }
    return render(request, "inspections/critical/record.html", context, status=status)


def _report(request: HttpRequest, structure: Structure, form: ReportForm, contacts: list) -> Attempt:
    given, now = form.cleaned_data, timezone.now()
    photo, faults = photo_kept(request, structure, given["photo"], given["words"] or "Critical finding")
    if faults:
        return Attempt(sentences=tuple(faults))
    called = [row for row in contacts if row.pk in given["told"]]
    return attempt(
        lambda: report_critical(
            structure=structure,
            identity=UUID(str(given["identity"])),
            kind=given["kind"],
            words=given["words"],
            found_at=now,
            by=request.user,
            at=now,
            photo=photo,
            notices=[{"whom": row.name, "role": row.role, "how": "call", "told_at": now} for row in called],
        )
    )


@permitted(Permit.REPORT_CRITICAL)
@require_POST
def report_proposed_critical(request: HttpRequest, pk: int) -> HttpResponse:
    """What an inspection asks for, reported with one press."""
    inspection = inspection_or_404(request, pk, Permit.REPORT_CRITICAL)
    tried = attempt(
        lambda: report_proposed(
            inspection=inspection, kind=request.POST.get("kind", ""), by=request.user, at=timezone.now()
        )
    )
    if not tried.done:
        return read_page(request, inspection, problems=[("", s) for s in tried.sentences], status=tried.status)
    nudge_dates(inspection.structure_id)
    messages.success(request, "On record, and everyone who answers for it has a message. Now tell the State.")
    return redirect("inspections:critical", pk=tried.result.pk)


@permitted(Permit.READ)
@require_safe
def critical_status(request: HttpRequest) -> HttpResponse:
    """The written status of every critical finding of one agency, for the State."""
    return status_page(request)


def status_page(request: HttpRequest, form: SentForm | None = None, problems=(), status: int = 200) -> HttpResponse:
    """The status report with the form that says it was sent."""
    agency = chosen_agency(request)
    now = timezone.now()
    days = critical_terms([agency])[agency.pk].status_days
    rows = critical_for(request.user).filter(structure__agency=agency).select_related("closing_photo")
    lines = status_lines(rows.prefetch_related("notices").order_by("found_at", "id"), now, days)
    context = {
        "agency": agency,
        "lines": lines,
        "active": [line for line in lines if line["is_active"]],
        "days": days,
        "now": now,
        "form": form or SentForm(),
        "problems": problems,
        "may_send": Permit.HANDLE_CRITICAL in permits_of(request.user, agency),
    }
    return render(request, "inspections/critical/status.html", context, status=status)
