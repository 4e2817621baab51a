"""When a county inspects: its policy, the defaults where it never changed any."""

from collections.abc import Iterable

from django.db.models import Value
from django.db.models.functions import Coalesce

from inventory.models import Agency, InspectionPolicy
from inventory.rules.inspection_policy import DEFAULTS


def policy_of(agency: Agency) -> InspectionPolicy:
    """The agency's policy; the defaults, not yet saved, where nobody has changed anything."""
    return InspectionPolicy.objects.filter(agency=agency).first() or InspectionPolicy(agency=agency)


def policies_of(agency_ids: Iterable[int]) -> dict[int, InspectionPolicy]:
    """The policy of each agency, in one query."""
    ids = set(agency_ids)
    held = {policy.agency_id: policy for policy in InspectionPolicy.objects.filter(agency__in=ids)}
    return {pk: held.get(pk) or InspectionPolicy(agency_id=pk) for pk in ids}


def agencies_by_bar_check() -> dict[int, list[int]]:
    """Months between bar checks -> the agencies that keep to them."""
    months = Coalesce("inspection_policy__bar_check_months", Value(DEFAULTS["bar_check_months"]))
    found: dict[int, list[int]] = {}
    for pk, number in Agency.objects.annotate(number=months).values_list("pk", "number"):
        found.setdefault(number, []).append(pk)
    return found
