"""How an agency rates: its settings, and the vehicles of its own that are in use on a day."""

from datetime import date

from django.db.models import Q, QuerySet

from inventory.models import Agency, Person, RatingSettings, RatingVehicle
from inventory.vocabulary.vehicles import VehicleClass

from .people import agencies_of


def rating_settings_of(agency: Agency) -> RatingSettings:
    """The agency's row; where it has none yet, an unsaved one with every default."""
    found = RatingSettings.objects.filter(agency=agency).first()
    return found if found is not None else RatingSettings(agency=agency)


def vehicles_for(person: Person) -> QuerySet[RatingVehicle]:
    """All vehicles of the person's agencies, retired ones included."""
    return RatingVehicle.objects.filter(agency__in=agencies_of(person)).select_related("agency")


def agencies_with_vehicles() -> QuerySet[Agency]:
    """Agencies that have entered a vehicle of their own: the day alone may bring one into use."""
    return Agency.objects.filter(rating_vehicles__isnull=False).distinct()


def vehicles_in_use(agency: Agency, as_of: date) -> QuerySet[RatingVehicle]:
    """The agency's own vehicles in use on a day, in the order of their keys; retired on that day is not in use."""
    open_end = Q(in_use_to__isnull=True) | Q(in_use_to__gt=as_of)
    return RatingVehicle.objects.filter(open_end, agency=agency, in_use_from__lte=as_of).order_by("key")


def rated_vehicles(agency: Agency, as_of: date) -> QuerySet[RatingVehicle]:
    """Those rated with every structure: a permit vehicle is rated only where somebody asks."""
    return vehicles_in_use(agency, as_of).exclude(vehicle_class=VehicleClass.PERMIT)
