"""A person's calendar feed: its secret address made, shown once and revoked; and the feed itself."""

import hashlib

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.views.decorators.http import require_POST, require_safe

from inspections.actions.calendar import make_calendar_key, revoke_calendar_key
from inspections.letters.calendar_feed import calendar_feed as written_feed
from inspections.queries.calendar import feed_days, feed_dues, key_in_use, keys_of, last_told
from inventory.access import permitted
from inventory.queries.people import agencies_of
from inventory.vocabulary.roles import Permit

from .agency_chosen import agency_chosen
from .attempts import attempt


@permitted(Permit.READ)
@require_safe
def calendar_page(request: HttpRequest) -> HttpResponse:
    return _page(request)


@permitted(Permit.READ)
@require_POST
def make_key(request: HttpRequest) -> HttpResponse:
    """The answer holds the key, once; it is neither kept nor to be had again."""
    agency = agency_chosen(request)
    tried = attempt(lambda: make_calendar_key(agency=agency, by=request.user, at=timezone.now()))
    if not tried.done:
        return _page(request, problems=[("", sentence) for sentence in tried.sentences], status=tried.status)
    _row, key = tried.result
    address = request.build_absolute_uri(reverse("inspections:calendar_feed", args=[key]))
    response = _page(request, address=address)
    response.headers["Cache-Control"] = "no-store"
    return response


@permitted(Permit.READ)
@require_POST
def revoke_key(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(keys_of(request.user), pk=pk)
    revoke_calendar_key(row=row, by=request.user, at=timezone.now())
    messages.success(request, "Revoked. That address answers nobody any more.")
    return redirect(f"{reverse('inspections:plan_calendar')}?agency={row.agency_id}")


@login_not_required
@require_safe
def calendar_feed(request: HttpRequest, key: str) -> HttpResponse:
    """The feed of one person's agency, for whoever holds the key; anything else does not exist."""
    row = key_in_use(key)
    if row is None:
        raise Http404("There is no such page.")
    today = timezone.localdate()
    days = feed_days(row.agency, today)
    body = written_feed(
        agency=row.agency,
        days=days,
        changed=last_told(row.agency, days),
        dues=feed_dues(row.agency, today),
        address_of=lambda route, pk: request.build_absolute_uri(reverse(route, args=[pk])),
    )
    etag = f'"{hashlib.sha256(body).hexdigest()}"'
    response = HttpResponse(body, content_type="text/calendar; charset=utf-8")
    response.headers["ETag"] = etag
    response.headers["Cache-Control"] = "private, no-cache"
    response.headers["Content-Disposition"] = 'inline; filename="field-plan.ics"'
    return get_conditional_response(request, etag=etag, response=response)


def _page(request: HttpRequest, *, address: str = "", problems=(), status: int = 200) -> HttpResponse:
    agency = agency_chosen(request)
    context = {
        "agency": agency,
        "agencies": agencies_of(request.user).order_by("name"),
        "keys": keys_of(request.user).filter(agency=agency),
        "address": address,
        "problems": problems,
    }
    return render(request, "inspections/plan/calendar.html", context, status=status)
