"""A county's policy of bar force, and its jacks."""

from django.db.models import QuerySet

from inventory.models import Agency, BarPolicy, Jack


def bar_policy_of(agency: Agency) -> BarPolicy:
    """The agency's policy; the defaults, not yet saved, where nobody has changed anything."""
    return BarPolicy.objects.filter(agency=agency).first() or BarPolicy(agency=agency)


def jacks_in_use(agency: Agency) -> QuerySet[Jack]:
    """Jacks not retired, by name."""
    return Jack.objects.filter(agency=agency, retired_on__isnull=True).order_by("name", "pk")
