"""When this county inspects: the settings of the clocks in plain words, and their change with its reason."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_safe

from inventory.access import permitted
from inventory.actions.inspection_policy import change_inspection_policy
from inventory.forms.inspection_policy import InspectionPolicyForm
from inventory.pages.inspection_policy import inspection_policy_context, inspection_policy_initial
from inventory.queries.people import agencies_of, permits_of
from inventory.vocabulary.roles import Permit

from .policy_change import policy_change
from .rating import chosen_agency


@permitted(Permit.READ)
@require_safe
def inspection_policy_page(request: HttpRequest) -> HttpResponse:
    """Every interval and clock with its mark and source, the default beside what was chosen."""
    agency = chosen_agency(request)
    context = inspection_policy_context(agency) | {
        "agencies": agencies_of(request.user).order_by("name"),
        "may_change": Permit.SET_INSPECTION_POLICY in permits_of(request.user, agency),
    }
    return render(request, "inventory/inspection_policy/policy.html", context)


@permitted(Permit.SET_INSPECTION_POLICY)
@require_http_methods(["GET", "POST"])
def change_inspection_policy_page(request: HttpRequest) -> HttpResponse:
    """Change them, with the reason; what asks for less than the federal rule is asked about first."""
    agency = chosen_agency(request, Permit.SET_INSPECTION_POLICY)
    return policy_change(
        request,
        agency=agency,
        form=InspectionPolicyForm(request.POST or None, initial=inspection_policy_initial(agency)),
        change=change_inspection_policy,
        done="The policy is changed. Due dates follow within the hour.",
        back="inventory:inspection_policy",
        template="inventory/inspection_policy/change.html",
        longer_is_meant="longer_is_meant",
    )
