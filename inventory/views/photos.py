"""Photographs: take one in, show the clean copy to those who may see the structure."""

from django.core.exceptions import PermissionDenied
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone

from inventory.access import refusal, structure_or_404
from inventory.actions.receive_photo import MAY_ADD, receive_photo
from inventory.forms.photos import PhotoForm
from inventory.models import Document
from inventory.queries.people import permits_of
from inventory.queries.structures import structures_for

from .entry import entry_page


def add_photo(request: HttpRequest, pk: int) -> HttpResponse:
    structure = structure_or_404(request, pk)
    if not permits_of(request.user, structure.agency) & set(MAY_ADD):
        raise PermissionDenied(refusal(MAY_ADD[0]))
    return entry_page(
        request,
        form=PhotoForm(request.POST or None, request.FILES or None),
        title=f"Photograph: {structure.number}",
        structure=structure,
        act=lambda fields: receive_photo(
            structure=structure,
            data=fields["photo"],
            title=fields["title"],
            taken_on=fields["taken_on"],
            place=fields["place"],
            by=request.user,
            at=timezone.now(),
        ),
        done="The photograph is kept.",
    )


def show_photo(request: HttpRequest, pk: int) -> FileResponse:
    """The clean copy, never the received file; a stranger's structure has no photographs for this person."""
    photo = get_object_or_404(Document, pk=pk, structure__in=structures_for(request.user).order_by().values("pk"))
    if not photo.served:
        raise Http404
    try:
        answer = FileResponse(photo.served.open(), content_type="image/jpeg")
    except FileNotFoundError:
        raise Http404 from None
    answer.headers["Cache-Control"] = "private, max-age=86400"
    answer.headers["Content-Security-Policy"] = "default-src 'none'; sandbox"
    return answer
