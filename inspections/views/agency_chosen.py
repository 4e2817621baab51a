"""Which of a person's agencies a page is about."""

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest

from inventory.access import refusal
from inventory.forms.row_numbers import row_number
from inventory.models import Agency
from inventory.queries.people import agencies_permitting
from inventory.vocabulary.roles import Permit


def agency_chosen(request: HttpRequest, permit: Permit = Permit.READ) -> Agency:
    """The agency named in the address among those where the person may do `permit`, else the first of them."""
    own = list(agencies_permitting(request.user, permit).order_by("name"))
    wanted = row_number(request.GET.get("agency", ""))
    found = next((agency for agency in own if agency.pk == wanted), own[0] if own else None)
    if found is None or (wanted is not None and found.pk != wanted):
        raise PermissionDenied(refusal(permit))
    return found
