"""The lock on every page: who may open it, and for which agency's rows."""

from collections.abc import Callable
from functools import wraps

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from inventory.models import Agency, Person, Structure
from inventory.queries.people import permits_of
from inventory.queries.structures import structures_for
from inventory.vocabulary.roles import ALLOWED, Permit


def refusal(permit: Permit) -> str:
    """The sentence a person reads when they may not."""
    roles = " or ".join(sorted(role.label.lower() for role in ALLOWED[permit]))
    return f"You may not {permit.label} here: that needs the role {roles}. Ask your administrator."


def require(person: Person, agency: Agency, permit: Permit) -> None:
    """Refuse with a sentence unless the person may do `permit` in this agency."""
    if permit not in permits_of(person, agency):
        raise PermissionDenied(refusal(permit))


def permitted(permit: Permit) -> Callable:
    """A page for those who may do `permit` in at least one agency; rows are still scoped by queries."""

    def wrap(view: Callable) -> Callable:
        @wraps(view)
        def guarded(request: HttpRequest, *args, **kwargs):
            if permit not in permits_of(request.user):
                raise PermissionDenied(refusal(permit))
            return view(request, *args, **kwargs)

        guarded.permit = permit
        return guarded

    return wrap


def structure_or_404(request: HttpRequest, pk: int, permit: Permit = Permit.READ) -> Structure:
    """The structure if it is in the person's scope (otherwise it does not exist for them) and `permit` is theirs."""
    structure = get_object_or_404(structures_for(request.user), pk=pk)
    require(request.user, structure.agency, permit)
    return structure
