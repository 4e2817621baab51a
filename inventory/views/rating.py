"""How this county rates: the settings in plain words, and their change with its reason."""

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from inventory.access import permitted, refusal
from inventory.actions.rating_settings import change_rating_settings
from inventory.forms.rating import SettingsForm
from inventory.forms.row_numbers import row_number
from inventory.models import Agency
from inventory.pages.rating import settings_context, settings_initial, vehicle_choices
from inventory.queries.people import agencies_of, agencies_permitting, permits_of
from inventory.vocabulary.roles import Permit

from .policy_change import policy_change


def chosen_agency(request: HttpRequest, permit: Permit = Permit.READ) -> Agency:
    """The agency named in the address among those where the person may do `permit`, else the first of them."""
    own = list(agencies_permitting(request.user, permit).order_by("name"))
    wanted = row_number(request.GET.get("agency", ""))
    found = next((agency for agency in own if agency.pk == wanted), own[0] if own else None)
    if found is None or (wanted is not None and found.pk != wanted):
        raise PermissionDenied(refusal(permit))
    return found


@permitted(Permit.READ)
@require_safe
def rating_settings_page(request: HttpRequest) -> HttpResponse:
    """Everything by which the county rates, the defaults beside what was chosen."""
    agency = chosen_agency(request)
    context = {
        **settings_context(agency, timezone.localdate()),
        "agencies": agencies_of(request.user).order_by("name"),
        "may_change": Permit.SET_RATING in permits_of(request.user, agency),
    }
    return render(request, "inventory/rating/settings.html", context)


@permitted(Permit.SET_RATING)
@require_http_methods(["GET", "POST"])
def change_settings_page(request: HttpRequest) -> HttpResponse:
    """Change them, with the reason; every structure of the agency is then owed a new rating."""
    agency = chosen_agency(request, Permit.SET_RATING)
    return policy_change(
        request,
        agency=agency,
        form=SettingsForm(request.POST or None, choices=vehicle_choices(), initial=settings_initial(agency)),
        change=change_rating_settings,
        done="The settings are changed. Every structure is owed a new rating.",
        back="inventory:rating_settings",
        template="inventory/rating/change.html",
    )
