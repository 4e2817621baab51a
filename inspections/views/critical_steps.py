"""What is done about a critical finding: told, planned, made safe, restricted, closed. One page each, three buttons."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from inspections.actions import critical as actions
from inspections.forms.critical import (
    CloseForm,
    DescribeForm,
    PhotoChosenForm,
    PlanForm,
    RestrictForCriticalForm,
    SafeForm,
    SentForm,
    TellForm,
    UnsafeForm,
)
from inspections.forms.decisions import PlainForm
from inspections.models import CriticalFinding
from inspections.pages.critical import critical_context
from inspections.pages.posting import posting_context
from inspections.queries.critical import critical_for, open_critical, photos_to_choose
from inspections.queries.inspections import posting_in_force
from inspections.rules.refusals import Refused
from inspections.tasks import nudge_dates
from inventory.access import permitted
from inventory.queries.contacts import contacts_of
from inventory.vocabulary.people import ContactRole
from inventory.vocabulary.roles import Permit

from .attempts import Attempt, attempt
from .critical import status_page
from .critical_scope import chosen_agency, critical_or_404, photo_kept

HANDLE = Permit.HANDLE_CRITICAL


def _step(
    request: HttpRequest,
    finding: CriticalFinding,
    form: PlainForm,
    *,
    name: str,
    act: Callable[[dict], object],
    done: str,
    more: dict | None = None,
) -> HttpResponse:
    """Show the form of one step; on POST act, and go back to the finding. What was typed stays where it is refused."""
    problems, status = [], 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            tried: Attempt = attempt(lambda: act(form.cleaned_data))
            if tried.done:
                nudge_dates(finding.structure_id)
                messages.success(request, done)
                return redirect("inspections:critical", pk=finding.pk)
            problems, status = [("", sentence) for sentence in tried.sentences], tried.status
    context = critical_context(request, finding) | (more or {})
    context |= {"form": form, "problems": [*form.problems(), *problems]}
    return render(request, f"inspections/critical/{name}.html", context, status=status)


def _form(request: HttpRequest, finding: CriticalFinding, kind: type[PlainForm], **more) -> PlainForm:
    posted = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    return kind(*posted, initial={"revision": finding.revision} | more.pop("initial", {}), **more)


@permitted(Permit.REPORT_CRITICAL)
@require_http_methods(["GET", "POST"])
def tell(request: HttpRequest, pk: int) -> HttpResponse:
    """Whom was told, how and when. `?contact=` fills in one of the list."""
    finding = critical_or_404(request, pk, Permit.REPORT_CRITICAL)
    chosen = _contact(request, finding)
    initial = {"whom": chosen.name, "role": chosen.role} if chosen else {}
    return _step(
        request,
        finding,
        _form(request, finding, TellForm, initial=initial),
        name="tell",
        act=lambda given: actions.tell_of_critical(finding=finding, notice=given, by=request.user, at=timezone.now()),
        done="Written down: who was told, how and when.",
    )


def _contact(request: HttpRequest, finding: CriticalFinding):
    wanted = request.GET.get("contact", "")
    rows = contacts_of(finding.structure.agency)
    if wanted.isascii() and wanted.isdigit() and len(wanted) < 10:
        return rows.filter(pk=int(wanted)).first()
    return rows.filter(role=ContactRole.STATE.value).first() if finding.told_state_at is None else None


@permitted(HANDLE)
@require_http_methods(["GET", "POST"])
def plan(request: HttpRequest, pk: int) -> HttpResponse:
    finding = critical_or_404(request, pk, HANDLE)
    initial = {"words": finding.plan_words, "until": finding.plan_until}
    return _step(
        request,
        finding,
        _form(request, finding, PlanForm, initial=initial),
        name="plan",
        act=lambda given: actions.plan_critical(finding=finding, by=request.user, at=timezone.now(), **given),
        done="The plan is on record.",
    )


@permitted(HANDLE)
@require_http_methods(["GET", "POST"])
def safe(request: HttpRequest, pk: int) -> HttpResponse:
    finding = critical_or_404(request, pk, HANDLE)
    return _step(
        request,
        finding,
        _form(request, finding, SafeForm),
        name="safe",
        act=lambda given: actions.make_safe(finding=finding, by=request.user, at=timezone.now(), **given),
        done="Made safe for now. The clocks go on until it is closed.",
    )


@permitted(HANDLE)
@require_http_methods(["GET", "POST"])
def unsafe(request: HttpRequest, pk: int) -> HttpResponse:
    finding = critical_or_404(request, pk, HANDLE)
    return _step(
        request,
        finding,
        _form(request, finding, UnsafeForm),
        name="unsafe",
        act=lambda given: actions.say_no_longer_safe(finding=finding, by=request.user, at=timezone.now(), **given),
        done="It counts as not safe again, and everyone who answers has a message. Block the road first.",
    )


@permitted(Permit.RESTRICT_NOW)
@require_http_methods(["GET", "POST"])
def restrict(request: HttpRequest, pk: int) -> HttpResponse:
    """Close or post at once because of this finding; nothing is waited for."""
    finding = critical_or_404(request, pk, Permit.RESTRICT_NOW)
    return _step(
        request,
        finding,
        _form(request, finding, RestrictForCriticalForm, initial={"restriction": "closed", "reason": finding.words}),
        name="restrict",
        act=lambda given: actions.link_restriction(finding=finding, by=request.user, at=timezone.now(), **given),
        done="Restricted at once. Now say what stands at the road: a record is not a closing.",
        more=posting_context(posting_in_force(finding.structure), key=f"critical-{pk}"),
    )


@permitted(Permit.REPORT_CRITICAL)
@require_http_methods(["GET", "POST"])
def describe(request: HttpRequest, pk: int) -> HttpResponse:
    """Better words, and a photograph, after the two taps on the road."""
    finding = critical_or_404(request, pk, Permit.REPORT_CRITICAL)
    return _with_photo(
        request,
        finding,
        DescribeForm,
        name="describe",
        title="Critical finding, what was found",
        act=actions.describe_critical,
        done="What was seen is on record.",
        initial={"words": finding.words},
    )


@permitted(HANDLE)
@require_http_methods(["GET", "POST"])
def close(request: HttpRequest, pk: int) -> HttpResponse:
    """Close it with what was done and a photograph."""
    return _with_photo(
        request,
        critical_or_404(request, pk, HANDLE),
        CloseForm,
        name="close",
        title="Critical finding, what was done",
        act=actions.close_critical,
        done="Closed, with what was done and its photograph.",
    )


def _with_photo(
    request: HttpRequest,
    finding: CriticalFinding,
    kind: type[PhotoChosenForm],
    *,
    name: str,
    title: str,
    act: Callable[..., object],
    done: str,
    initial: dict | None = None,
) -> HttpResponse:
    """A step with words and a photograph. A photograph sent is kept even where the words are missing."""
    photos = photos_to_choose(finding.structure)
    form = _form(request, finding, kind, photos=photos, initial=initial or {})
    sent, faults = None, []
    if request.method == "POST":
        form.is_valid()
        words = form.cleaned_data.get("words") or title
        sent, faults = photo_kept(request, finding.structure, form.cleaned_data.get("photo"), words)
    if sent is not None and form.errors:
        # Nothing already entered is lost: the photograph is on the structure now, and stays chosen.
        posted = request.POST.copy()
        posted["kept"] = str(sent.pk)
        form = kind(posted, photos=photos_to_choose(finding.structure))

    def taken(given: dict) -> object:
        if faults:
            raise Refused(*faults)
        photo = sent or finding.structure.documents.filter(pk=given["kept"]).first()
        return act(
            finding=finding, revision=given["revision"], words=given["words"], photo=photo, by=request.user,
            at=timezone.now(),
        )  # fmt: skip

    return _step(request, finding, form, name=name, act=taken, done=done)


@permitted(HANDLE)
@require_POST
def status_sent(request: HttpRequest) -> HttpResponse:
    """The status report went out: every open finding of the agency keeps to whom and when."""
    agency = chosen_agency(request, HANDLE)
    form = SentForm(request.POST)
    if not form.is_valid():
        return status_page(request, form, form.problems(), 422)
    now = timezone.now()
    notice = form.cleaned_data | {"role": ContactRole.STATE.value, "told_at": now, "is_status_report": True}
    rows = list(open_critical(critical_for(request.user).filter(structure__agency=agency)))
    for row in rows:
        tried = attempt(lambda row=row: actions.tell_of_critical(finding=row, notice=notice, by=request.user, at=now))
        if not tried.done:
            return status_page(request, form, [("", sentence) for sentence in tried.sentences], tried.status)
        nudge_dates(row.structure_id)
    messages.success(request, f"Written down for {len(rows)} open critical finding{'' if len(rows) == 1 else 's'}.")
    return redirect(f"{request.path.removesuffix('sent/')}?agency={agency.pk}")
