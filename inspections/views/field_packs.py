"""What a device takes along: who is signed in, what is offered, the pack of one structure, its small photographs."""

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseNotModified, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import get_object_or_404
from django.utils import timezone

from inspections.pages.field_offers import offers, who_is_this
from inspections.pages.field_pack import pack_of
from inspections.pages.field_shell import shell_version
from inspections.queries.field_pack import photo_of
from inspections.rules.evidence_table import evidence_table
from inventory.actions.small_photo import small_photo
from inventory.queries.structures import structures_for
from inventory.vocabulary.roles import Permit

from .field_access import field_door


@field_door(Permit.READ, "GET", "HEAD")
def field_whoami(request: HttpRequest) -> HttpResponse:
    """Who is signed in, a fresh token, the site's clock and versions."""
    return JsonResponse(
        {
            **who_is_this(request.user),
            "csrf": get_token(request),
            "server_time": timezone.now().isoformat(),
            "app_version": shell_version(),
            "table_version": evidence_table()["version"],
        }
    )


@field_door(Permit.READ, "GET", "HEAD")
def field_offers(request: HttpRequest) -> HttpResponse:
    return JsonResponse(offers(request.user, as_of=timezone.localdate()))


@field_door(Permit.READ, "GET", "HEAD")
def field_pack(request: HttpRequest, pk: int) -> HttpResponse:
    """The pack, or 304 where the device's copy is still right."""
    structure = get_object_or_404(structures_for(request.user), pk=pk)
    pack = pack_of(
        structure,
        as_of=timezone.localdate(),
        made_at=timezone.now(),
        table_version=evidence_table()["version"],
    )
    tag = f'"{pack["version"]}"'
    same = tag in request.headers.get("If-None-Match", "")
    answer = HttpResponseNotModified() if same else JsonResponse(pack)
    answer.headers["ETag"] = tag
    answer.headers["Cache-Control"] = "private, no-cache"
    return answer


@field_door(Permit.READ, "GET", "HEAD")
def field_pack_photo(request: HttpRequest, pk: int, photo: int) -> HttpResponse:
    """A small copy, longest side 480 px, drawn anew from the clean one."""
    structure = get_object_or_404(structures_for(request.user), pk=pk)
    document = photo_of(structure, photo)
    file = small_photo(document) if document is not None else None
    if file is None:
        raise Http404
    answer = FileResponse(file, content_type="image/jpeg")
    # The device has a store of its own for it, which signing out empties; a browser's cache it would not.
    answer.headers["Cache-Control"] = "private, no-store"
    answer.headers["Content-Security-Policy"] = "default-src 'none'; sandbox"
    return answer


@field_door(Permit.READ, "GET", "HEAD")
def field_table(request: HttpRequest) -> HttpResponse:
    """The table of evidence, for the form; its version stands in it."""
    table = evidence_table()
    tag = f'"{table["version"]}"'
    same = tag in request.headers.get("If-None-Match", "")
    answer = HttpResponseNotModified() if same else JsonResponse(table)
    answer.headers["ETag"] = tag
    answer.headers["Cache-Control"] = "private, no-cache"
    return answer
