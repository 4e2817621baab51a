"""A critical finding by number as far as the person may see it; a photograph kept before the rest is judged."""

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.utils import timezone

from inspections.models import CriticalFinding
from inspections.queries.critical import critical_for
from inventory.access import refusal, require
from inventory.actions.receive_photo import receive_photo
from inventory.models import Agency, Document, Structure
from inventory.queries.people import agencies_permitting
from inventory.rules.refusals import Refused
from inventory.vocabulary.roles import Permit


def critical_or_404(request: HttpRequest, pk: int, permit: Permit = Permit.READ) -> CriticalFinding:
    finding = get_object_or_404(critical_for(request.user), pk=pk)
    require(request.user, finding.structure.agency, permit)
    return finding


def chosen_agency(request: HttpRequest, permit: Permit = Permit.READ) -> Agency:
    """The agency named in the address among those where the person may do `permit`, else the first of them."""
    own = list(agencies_permitting(request.user, permit).order_by("name"))
    wanted = request.GET.get("agency", "")
    found = next((agency for agency in own if str(agency.pk) == wanted), own[0] if own and not wanted else None)
    if found is None:
        raise PermissionDenied(refusal(permit))
    return found


def photo_kept(
    request: HttpRequest, structure: Structure, data: bytes | None, title: str
) -> tuple[Document | None, list[str]]:
    """The photograph sent with a form, kept; or the sentences that say why it cannot be."""
    if data is None:
        return None, []
    try:
        now = timezone.now()
        photo = receive_photo(
            structure=structure, data=data, title=title[:160], by=request.user, at=now, taken_on=timezone.localdate(now)
        )
    except Refused as refused:
        return None, list(refused.faults.values())
    return photo, []
