"""Quality assurance: samples drawn, inspections done again by another, differences followed until they are closed."""

from dateutil.relativedelta import relativedelta
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.actions import quality as act
from inspections.forms.quality import CloseForm, DrawForm, LinkForm, RevisionForm, WordsForm
from inspections.models import QualityCheck
from inspections.pages.quality import check_context, policy_words, sample_blocks
from inspections.queries.quality import checks_for, could_repeat, differences_for, samples_for
from inspections.rules.clocks.terms import count
from inspections.rules.quality import DRAW_RULE
from inspections.vocabulary.states import QualityState
from inventory.access import permitted, require
from inventory.queries.people import agencies_of, permits_of
from inventory.vocabulary.roles import Permit

from .agency_chosen import agency_chosen
from .attempts import Attempt, attempt

PER_PAGE = 10
CHECK = Permit.CHECK_QUALITY


@permitted(Permit.READ)
@require_safe
def quality_page(request: HttpRequest) -> HttpResponse:
    return _list(request)


@permitted(CHECK)
@require_POST
def draw(request: HttpRequest) -> HttpResponse:
    """A sample of the county's share, at least one, from the accepted full inspections of a period."""
    agency = agency_chosen(request, CHECK)
    form = DrawForm(request.POST)
    if not form.is_valid():
        return _list(request, form=form, problems=form.problems(), status=422)
    tried = attempt(lambda: act.draw_sample(agency=agency, **form.cleaned_data, by=request.user, at=timezone.now()))
    if not tried.done:
        problems = [("", sentence) for sentence in tried.sentences]
        return _list(request, form=form, problems=problems, status=tried.status)
    messages.success(request, f"Drawn: {count(tried.result.checks.count(), 'inspection')} to be done again by another.")
    return redirect(f"{reverse('inspections:quality')}?agency={agency.pk}")


@permitted(Permit.READ)
@require_safe
def check_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, _check_or_404(request, pk))


@permitted(Permit.ENTER_INSPECTION)
@require_POST
def start(request: HttpRequest, pk: int) -> HttpResponse:
    """Open the second inspection, by somebody who entered no part of the first."""
    check = _check_or_404(request, pk, Permit.ENTER_INSPECTION)
    form = RevisionForm(request.POST)
    if not form.is_valid():
        return _page(request, check, problems=form.problems(), status=422)
    revision = form.cleaned_data["revision"]
    tried = attempt(lambda: act.start_repeat(check=check, revision=revision, by=request.user, at=timezone.now()))
    if not tried.done:
        return _refused(request, check, tried)
    return redirect("inspections:edit", pk=tried.result.pk)


@permitted(CHECK)
@require_POST
def link(request: HttpRequest, pk: int) -> HttpResponse:
    """Name an inspection another made since as the one that repeats it."""
    check = _check_or_404(request, pk, CHECK)
    rows = could_repeat(check)
    form = LinkForm(request.POST, rows=rows)
    if not form.is_valid():
        return _page(request, check, problems=form.problems(), status=422, link=form)
    given = form.cleaned_data
    chosen = next(row for row in rows if str(row.pk) == given["inspection"])
    tried = attempt(
        lambda: act.link_repeat(
            check=check, revision=given["revision"], inspection=chosen, by=request.user, at=timezone.now()
        )
    )
    return _acted(request, check, tried, "Named as the one that repeats it.", link=form)


@permitted(CHECK)
@require_POST
def compare(request: HttpRequest, pk: int) -> HttpResponse:
    check = _check_or_404(request, pk, CHECK)
    form = RevisionForm(request.POST)
    if not form.is_valid():
        return _page(request, check, problems=form.problems(), status=422)
    revision = form.cleaned_data["revision"]
    tried = attempt(lambda: act.compare_check(check=check, revision=revision, by=request.user, at=timezone.now()))
    return _acted(request, check, tried, "Compared. Close each difference with what came of it.")


@permitted(CHECK)
@require_POST
def close(request: HttpRequest, pk: int) -> HttpResponse:
    check = _check_or_404(request, pk, CHECK)
    form = CloseForm(request.POST)
    if not form.is_valid():
        return _page(request, check, problems=form.problems(), status=422, close=form)
    tried = attempt(lambda: act.close_check(check=check, **form.cleaned_data, by=request.user, at=timezone.now()))
    return _acted(request, check, tried, "The check is closed.", close=form)


@permitted(CHECK)
@require_POST
def close_difference(request: HttpRequest, pk: int) -> HttpResponse:
    difference = get_object_or_404(differences_for(request.user), pk=pk)
    require(request.user, difference.check_of.sample.agency, CHECK)
    check = _check_or_404(request, difference.check_of_id, CHECK)
    form = WordsForm(request.POST, auto_id=f"id_{pk}_%s")
    if not form.is_valid():
        return _page(request, check, problems=form.problems(), status=422, typed={pk: form})
    words = form.cleaned_data["words"]
    tried = attempt(
        lambda: act.close_difference(difference=difference, words=words, by=request.user, at=timezone.now())
    )
    said = "Closed."
    if tried.done and tried.result.state == QualityState.CLOSED:
        said = "Closed, and with it the check: every difference is closed."
    return _acted(request, check, tried, said, typed={pk: form})


def _acted(request: HttpRequest, check: QualityCheck, tried: Attempt, said: str, **more) -> HttpResponse:
    if not tried.done:
        return _refused(request, check, tried, **more)
    messages.success(request, said)
    return redirect("inspections:quality_check", pk=check.pk)


def _refused(request: HttpRequest, check: QualityCheck, tried: Attempt, **more) -> HttpResponse:
    problems = [("", sentence) for sentence in tried.sentences]
    return _page(request, _check_or_404(request, check.pk), problems=problems, status=tried.status, **more)


def _list(request: HttpRequest, *, form: DrawForm | None = None, problems=(), status: int = 200) -> HttpResponse:
    agency, today = agency_chosen(request), timezone.localdate()
    page = Paginator(samples_for(request.user).filter(agency=agency), PER_PAGE).get_page(request.GET.get("page"))
    start = {"period_from": today - relativedelta(years=1), "period_to": today}
    context = {
        "agency": agency,
        "agencies": agencies_of(request.user).order_by("name"),
        "page": page,
        "blocks": sample_blocks(page),
        "form": form or DrawForm(initial=start),
        "problems": problems,
        "draw_rule": DRAW_RULE,
        "may_check": CHECK in permits_of(request.user, agency),
        **policy_words(agency),
    }
    return render(request, "inspections/quality/list.html", context, status=status)


def _page(request: HttpRequest, check: QualityCheck, *, problems=(), status=200, typed=None, **forms) -> HttpResponse:
    context = check_context(check, request.user)
    typed = typed or {}
    permits = permits_of(request.user, check.sample.agency)
    is_drawn = check.state == QualityState.DRAWN
    lines = [
        {"difference": row, "form": typed.get(row.pk) or WordsForm(auto_id=f"id_{row.pk}_%s")}
        for row in context["differences"]
    ]
    start = {"revision": check.revision}
    context |= {
        "lines": lines,
        "problems": problems,
        "may_check": CHECK in permits and check.state != QualityState.CLOSED,
        "may_close": CHECK in permits and (not context["is_author"] or check.sample.agency.reviewer_may_be_inspector),
        "may_start": is_drawn and Permit.ENTER_INSPECTION in permits and check.repeated_id is None,
        "may_compare": is_drawn and CHECK in permits and context["second_is_in"],
        "link": LinkForm(initial=start, rows=context["could_repeat"], auto_id="id_link_%s"),
        "close": CloseForm(initial=start, auto_id="id_close_%s"),
        "revision": check.revision,
        **forms,
    }
    return render(request, "inspections/quality/check.html", context, status=status)


def _check_or_404(request: HttpRequest, pk: int, permit: Permit = Permit.READ) -> QualityCheck:
    check = get_object_or_404(checks_for(request.user), pk=pk)
    require(request.user, check.sample.agency, permit)
    return check
