"""The crew's page: signs to set and confirm, signs to report missing."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections.actions import signs
from inspections.forms.decisions import SignDayForm
from inspections.pages.sign_place import place_words
from inspections.queries.pages import signs_standing, signs_to_see_to
from inspections.rules.posting import TAKE_DOWN
from inspections.tasks import nudge_dates
from inventory.access import permitted
from inventory.models import Sign
from inventory.vocabulary.roles import Permit

from .attempts import attempt
from .critical_scope import photo_kept
from .scope import sign_or_404


@permitted(Permit.CONFIRM_SIGN)
@require_safe
def signs_page(request: HttpRequest) -> HttpResponse:
    return _signs(request)


@permitted(Permit.CONFIRM_SIGN)
@require_POST
def confirm_sign(request: HttpRequest, pk: int) -> HttpResponse:
    """Seen standing and legible, or taken down where that was ordered."""
    return _act(request, sign_or_404(request, pk), signs.confirm_sign, "Confirmed.")


@permitted(Permit.CONFIRM_SIGN)
@require_POST
def report_sign_missing(request: HttpRequest, pk: int) -> HttpResponse:
    return _act(request, sign_or_404(request, pk), signs.report_sign_missing, "Reported missing.")


def _act(request: HttpRequest, sign: Sign, act, said: str) -> HttpResponse:
    form = SignDayForm(request.POST, request.FILES, prefix=f"sign-{sign.pk}")
    if not form.is_valid():
        return _signs(request, {sign.pk: form}, form.problems())
    given, title = form.cleaned_data, f"Sign {sign.code} {sign.legend}, {sign.approach}"
    # The photograph is kept first: where the rest is refused it is on the structure, and sent again it is kept once.
    photo, faults = photo_kept(request, sign.posting.structure, given["photo"], title)
    if faults:
        return _signs(request, {sign.pk: form}, [(form["photo"].id_for_label, words) for words in faults])
    seen = {"on": given["on"], "lon": given["lon"], "lat": given["lat"], "photo": photo}
    tried = attempt(lambda: act(sign=sign, by=request.user, at=timezone.now(), **seen))
    if tried.done:
        nudge_dates(sign.posting.structure_id)
        messages.success(request, f"{said} {sign}, {sign.posting.structure.title}.")
        return redirect("inspections:signs")
    anchor = form["on"].id_for_label
    return _signs(request, {sign.pk: form}, [(anchor, sentence) for sentence in tried.sentences], tried.status)


def _signs(request: HttpRequest, typed: dict | None = None, problems=(), status: int = 200) -> HttpResponse:
    typed, today = typed or {}, timezone.localdate()

    def rows(found):
        for sign in found:
            form = typed.get(sign.pk) or SignDayForm(prefix=f"sign-{sign.pk}", initial={"on": today})
            place = place_words(sign.lon, sign.lat, sign.posting.structure)
            yield {"sign": sign, "form": form, "is_take_down": sign.legend.startswith(TAKE_DOWN), "place": place}

    context = {
        "to_see": list(rows(signs_to_see_to(request.user))),
        "standing": list(rows(signs_standing(request.user))),
        "problems": problems,
    }
    return render(request, "inspections/signs.html", context, status=status)
