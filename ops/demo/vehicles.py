"""A vehicle of the demonstration county's own: an invented mobile crane that asks now and then whether it may cross."""

from datetime import date, datetime

from inventory.actions.rating_vehicles import add_vehicle
from inventory.models import Agency, Person

CRANE = {
    "key": "CRANE-4",
    "name": "Four-axle mobile crane",
    "vehicle_class": "permit",
    "sign_class": "single_unit",
    "axles_kip": [21.0, 21.0, 24.0, 24.0],
    "spacings_ft": [[5.5, 5.5], [10.0, 10.0], [5.5, 5.5]],
    "gross_kip": 90.0,
    "source": "Axle weights from the owner's weigh ticket (demonstration)",
    "in_use_from": date(2020, 1, 1),
    "note": "Asks for a permit each time; rated where somebody asks.",
}


def enter_vehicles(*, agency: Agency, by: Person, at: datetime) -> None:
    add_vehicle(agency=agency, values=CRANE, by=by, at=at)
