"""The app for the field: its page, its worker and its manifest. What it asks and sends is answered elsewhere."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from inspections.pages.field_shell import manifest, shell_page, worker_script
from inventory.access import permitted
from inventory.vocabulary.roles import Permit

# Whoever enters inspections may also report a critical finding, so one permit opens the app to both.
DOOR = Permit.REPORT_CRITICAL


@permitted(DOOR)
@never_cache
@require_safe
def field_page(request: HttpRequest) -> HttpResponse:
    """The shell: one page, the same for everybody, filled by the device from its own store."""
    return HttpResponse(shell_page())


@login_not_required
@never_cache
@require_safe
def field_worker(request: HttpRequest) -> HttpResponse:
    """The worker that opens the app without signal; a changed file makes it another.

    It names files and holds nothing of anybody: a browser asks for a worker that is a module without the sign-in, and
    looks for a newer one also where that has run out.
    """
    answer = HttpResponse(worker_script(sends="sends" in request.GET), content_type="text/javascript; charset=utf-8")
    answer.headers["Service-Worker-Allowed"] = "/field/"
    return answer


@permitted(DOOR)
@require_safe
def field_manifest(request: HttpRequest) -> HttpResponse:
    """Name, icon and start of the installed app."""
    return JsonResponse(manifest(), content_type="application/manifest+json")
