"""How bar force is judged, and bars set aside or released for jacking."""

from hashlib import sha256

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from inventory.access import permitted, structure_or_404
from inventory.actions.bar_policy import change_bar_policy
from inventory.actions.bar_state import release_bar, set_aside_bar
from inventory.actions.hold import stamp_of
from inventory.forms.bars import BarPolicyForm, ReleaseForm, SetAsideForm
from inventory.models import Bar, Structure
from inventory.pages import found_on
from inventory.pages.equipment import policy_context, policy_initial
from inventory.queries.people import agencies_of, permits_of
from inventory.rules.refusals import Refused
from inventory.vocabulary.roles import Permit

from .entry import entry_page
from .policy_change import policy_change
from .rating import chosen_agency


@permitted(Permit.READ)
@require_safe
def bar_policy_page(request: HttpRequest) -> HttpResponse:
    """Every value of loss, reading and jacking that the county may choose, the default beside it."""
    agency = chosen_agency(request)
    context = policy_context(agency) | {
        "agencies": agencies_of(request.user).order_by("name"),
        "may_change": Permit.SET_BARS in permits_of(request.user, agency),
    }
    return render(request, "inventory/bars/policy.html", context)


@permitted(Permit.SET_BARS)
@require_http_methods(["GET", "POST"])
def change_bar_policy_page(request: HttpRequest) -> HttpResponse:
    """Change them, with the reason; forecasts follow."""
    agency = chosen_agency(request, Permit.SET_BARS)
    return policy_change(
        request,
        agency=agency,
        form=BarPolicyForm(request.POST or None, initial=policy_initial(agency)),
        change=change_bar_policy,
        done="The policy is changed. Forecasts of bar force are made again with it.",
        back="inventory:bar_policy",
        template="inventory/bars/change.html",
    )


@permitted(Permit.RECORD_WORK)
@require_http_methods(["GET", "POST"])
def set_bar_aside(request: HttpRequest, pk: int, bar_pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk, Permit.RECORD_WORK)
    bar = _bar(structure, bar_pk)
    return entry_page(
        request,
        form=SetAsideForm(request.POST or None),
        title=f"Set aside: span {bar.system.span.index}, {bar}",
        note="It is in no stressing plan from today, until the engineer releases it.",
        structure=structure,
        stamp=stamp_of(structure),
        act=lambda fields: set_aside_bar(
            bar=bar,
            stamp=request.POST.get("stamp", ""),
            reason=fields["set_aside_reason"],
            by=request.user,
            at=timezone.now(),
        ),
        done=f"{str(bar).capitalize()} is set aside.",
    )


@permitted(Permit.RELEASE_STRESSING)
@require_http_methods(["GET", "POST"])
def release_bar_page(request: HttpRequest, pk: int, bar_pk: int) -> HttpResponse:
    """What was found on the bar, and the engineer's reason; what was found after the page was opened is shown first."""
    structure = structure_or_404(request, pk, Permit.RELEASE_STRESSING)
    bar = _bar(structure, bar_pk)
    against = [f"set aside: {bar.set_aside_reason}"] if bar.set_aside_reason else []
    against += found_on(bar)
    stamp, _, seen = request.POST.get("stamp", "").partition("|")

    def act(fields: dict) -> Bar:
        if seen != _digest(against):
            raise Refused(
                "Something else stands against this bar since you opened this page: it is told above. Read it, then "
                "open this page again to release the bar."
            )
        return release_bar(bar=bar, stamp=stamp, reason=fields["release_reason"], by=request.user, at=timezone.now())

    return entry_page(
        request,
        form=ReleaseForm(request.POST or None),
        title=f"Release for jacking: span {bar.system.span.index}, {bar}",
        note=f"Against it: {'; '.join(against) or 'nothing on record'}. A pitted or bent bar can break under the jack: "
        "nobody in line with it, and no load above the limit of its net area.",
        structure=structure,
        stamp=f"{stamp_of(structure)}|{_digest(against)}",
        act=act,
        done=f"{str(bar).capitalize()} is released for jacking.",
    )


def _digest(sentences: list[str]) -> str:
    return sha256("\n".join(sentences).encode()).hexdigest()[:16]


def _bar(structure: Structure, bar_pk: int) -> Bar:
    bars = Bar.objects.filter(system__span__structure=structure).select_related("system__span")
    return get_object_or_404(bars, pk=bar_pk)
