"""The engineer's desk: adopt, adopt otherwise, withdraw; and restricting at once."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inspections.actions import adopt, restrict_now
from inspections.forms.decisions import (
    TON_FIELDS,
    AdoptForm,
    OtherwiseForm,
    RestrictForm,
    WithdrawForm,
)
from inspections.models import Recommendation
from inspections.pages.carrying import rating_context
from inspections.pages.findings import load as load_findings
from inspections.pages.posting import face_of, posting_context
from inspections.pages.review import queue_context
from inspections.queries.inspections import posting_in_force
from inspections.queries.pages import inspections_to_review, proposals_to_decide
from inspections.rules.posting import terms_of
from inspections.tasks import nudge_dates
from inspections.vocabulary.states import InspectionState, RecommendationState
from inventory.access import permitted, structure_or_404
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

from .attempts import attempt
from .scope import recommendation_or_404


@permitted(Permit.DECIDE_POSTING)
@require_safe
def decisions_page(request: HttpRequest) -> HttpResponse:
    """What awaits this engineer: inspections to review and restrictions to decide."""
    proposals = [
        (row, terms_of(row).words, posting_in_force(row.structure)) for row in proposals_to_decide(request.user)
    ]
    graves = {row.structure_id for row, _words, _posting in proposals if row.needs_review_now}
    context = {"proposals": proposals, **queue_context(inspections_to_review(request.user), request.user, graves)}
    return render(request, "inspections/decisions.html", context)


@permitted(Permit.READ)
@require_safe
def decision_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _decision(request, recommendation_or_404(request, pk))


@permitted(Permit.DECIDE_POSTING)
@require_POST
def adopt_recommendation(request: HttpRequest, pk: int) -> HttpResponse:
    """Adopt as recommended."""
    recommendation = recommendation_or_404(request, pk, Permit.DECIDE_POSTING)
    return _adopt(request, recommendation, "adopt", AdoptForm(request.POST, prefix="adopt"))


@permitted(Permit.DECIDE_POSTING)
@require_POST
def adopt_otherwise(request: HttpRequest, pk: int) -> HttpResponse:
    """Adopt other terms with a reason."""
    recommendation = recommendation_or_404(request, pk, Permit.DECIDE_POSTING)
    return _adopt(request, recommendation, "otherwise", OtherwiseForm(request.POST, prefix="otherwise"))


@permitted(Permit.DECIDE_POSTING)
@require_POST
def withdraw_recommendation(request: HttpRequest, pk: int) -> HttpResponse:
    recommendation = recommendation_or_404(request, pk, Permit.DECIDE_POSTING)
    form = WithdrawForm(request.POST, prefix="withdraw")
    if not form.is_valid():
        return _decision(request, recommendation, problems=form.problems(), withdraw=form)
    given = form.cleaned_data
    tried = attempt(
        lambda: adopt.withdraw(
            recommendation=recommendation,
            revision=given["revision"],
            reason=given["reason"],
            by=request.user,
            at=timezone.now(),
        )
    )
    return _decided(request, recommendation, tried, "Recommendation withdrawn.", withdraw=form)


def _adopt(request: HttpRequest, recommendation: Recommendation, name: str, form) -> HttpResponse:
    if not form.is_valid():
        return _decision(request, recommendation, problems=form.problems(), **{name: form})
    given = form.cleaned_data
    tried = attempt(
        lambda: adopt.adopt_recommendation(
            recommendation=recommendation,
            revision=given["revision"],
            by=request.user,
            at=timezone.now(),
            order_number=given["order_number"],
            otherwise=form.terms() if isinstance(form, OtherwiseForm) else None,
            reason=given["reason"],
        )
    )
    return _decided(request, recommendation, tried, "Adopted. Signs that change are with the crew now.", **{name: form})


def _decided(request: HttpRequest, recommendation: Recommendation, tried, said: str, **forms) -> HttpResponse:
    if tried.done:
        nudge_dates(recommendation.structure_id)
        messages.success(request, said)
        return redirect("inspections:decision", pk=recommendation.pk)
    current = recommendation_or_404(request, recommendation.pk)
    problems = [("", sentence) for sentence in tried.sentences]
    return _decision(request, current, problems=problems, status=tried.status, **forms)


def _decision(
    request: HttpRequest, recommendation: Recommendation, *, problems=(), status: int = 200, **forms
) -> HttpResponse:
    structure, rating = recommendation.structure, recommendation.rating
    revision = {"revision": recommendation.revision}
    tons = {name: getattr(recommendation, name) for name in TON_FIELDS}
    inspection = rating.inspection if rating else None
    key = f"decision-{recommendation.pk}"
    context = {
        "structure": structure,
        "recommendation": recommendation,
        "words": terms_of(recommendation).words,
        "face": face_of(recommendation, key=key, is_awaited=True),
        **posting_context(posting_in_force(structure), key=key),
        **(rating_context(rating) if rating else {}),
        **load_findings(request, structure),
        "inspection": inspection,
        "is_open": recommendation.state == RecommendationState.PROPOSED,
        # The frame's permits are those of all the person's agencies; a decision needs them in this one.
        "may_decide": Permit.DECIDE_POSTING in permits_of(request.user, structure.agency),
        "may_review": inspection is not None and inspection.state == InspectionState.RATED,
        "adopt": AdoptForm(initial=revision, prefix="adopt"),
        "otherwise": OtherwiseForm(
            initial={**revision, "restriction": recommendation.restriction, **tons}, prefix="otherwise"
        ),
        "withdraw": WithdrawForm(initial=revision, prefix="withdraw"),
        "problems": problems,
        **forms,
    }
    return render(request, "inspections/decision.html", context, status=status)


@permitted(Permit.RESTRICT_NOW)
@require_http_methods(["GET", "POST"])
def restrict_now_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Close or post at once. The page says first what a record cannot do."""
    structure = structure_or_404(request, pk, Permit.RESTRICT_NOW)
    form = RestrictForm(request.POST if request.method == "POST" else None)
    problems, status = [], 200
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        tried = attempt(
            lambda: restrict_now.restrict_now(structure=structure, by=request.user, at=timezone.now(), **given)
        )
        if tried.done:
            nudge_dates(pk)
            messages.success(request, "Restricted at once. The engineer and the crew have it on their lists.")
            return redirect("inventory:structure", pk=pk)
        problems, status = [("", sentence) for sentence in tried.sentences], tried.status
    context = {
        "structure": structure,
        "form": form,
        "problems": [*form.problems(), *problems],
        **posting_context(posting_in_force(structure), key=f"restrict-{pk}"),
    }
    return render(request, "inspections/restrict.html", context, status=status)
