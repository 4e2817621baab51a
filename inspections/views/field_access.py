"""The door of everything a device in the field asks for: it answers in JSON, also where it refuses.

A device must be able to tell "sign in again" from "this will never do": a stranger gets 401, a stale token 403 with
`csrf`, everything else a list of sentences. A page of HTML or a redirect would look to it like a broken network.
"""

import logging
from collections.abc import Callable
from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.db import OperationalError
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotAllowed, JsonResponse
from django.views.csrf import csrf_failure as csrf_page

from inventory.access import refusal
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit

log = logging.getLogger(__name__)
STRANGER = {"signed_in": False}
PLACE, OFFICE = "/field/", "/field/held/"


def sentences(*said: str, status: int = 400, **more) -> JsonResponse:
    """A refusal in words."""
    return private(JsonResponse({"sentences": list(said), **more}, status=status))


def private(answer: HttpResponse) -> HttpResponse:
    """Nobody between the site and the device may keep it."""
    answer.headers.setdefault("Cache-Control", "private, no-store")
    return answer


def field_door(permit: Permit, *methods: str) -> Callable:
    """A JSON address for those who may do `permit` in one of their agencies; rows are still scoped by queries."""

    def wrap(view: Callable) -> Callable:
        @login_not_required  # a stranger is refused here, in JSON
        @wraps(view)
        def guarded(request: HttpRequest, *args, **kwargs) -> HttpResponse:
            if not request.user.is_authenticated:
                return private(JsonResponse(STRANGER, status=401))
            if request.method not in methods:
                return HttpResponseNotAllowed(methods)
            if permit not in permits_of(request.user):
                return sentences(refusal(permit), status=403)
            return _answer(view, request, args, kwargs)

        guarded.permit = permit
        return guarded

    return wrap


def _answer(view: Callable, request: HttpRequest, args: tuple, kwargs: dict) -> HttpResponse:
    try:
        return private(view(request, *args, **kwargs))
    except Http404:
        return sentences("There is no such row in your agency; it may have been removed.", status=404)
    except PermissionDenied as refused:
        return sentences(str(refused) or "You may not do this here.", status=403)
    except RequestDataTooBig:
        return sentences("This is larger than the site takes in one piece; send it in smaller parts.", status=413)
    except OperationalError:
        log.warning("busy: %s %s", request.method, request.path, exc_info=True)
        return sentences("The site is busy with another save; send it again in a moment.", status=503)
    except Exception:
        # A device must learn in words that the fault is not its own, and keep what it has.
        log.exception("a device's request failed: %s %s", request.method, request.path)
        return sentences("The site failed on this; what you sent stays on your device. Try again later.", status=500)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A stale token: in words for a device, the usual page elsewhere."""
    if not request.path.startswith(PLACE) or request.path.startswith(OFFICE):
        return csrf_page(request, reason=reason)
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return private(JsonResponse(STRANGER, status=401))
    return private(JsonResponse({"csrf": True}, status=403))
