"""The jacks of the demonstration county: invented serials, one calibrated, one whose calibration has run out."""

from datetime import date, datetime

from dateutil.relativedelta import relativedelta

from inventory.actions.equipment import add_jack
from inventory.models import Agency, Jack, Person

BOTH = {
    "ram_area_in2": 12.25,
    "capacity_lb": 120_000.0,
    "gauge_division_psi": 100.0,
    "gauge_most_psi": 10_000.0,
    "calibration_months": 12,
    "calibrated_by": "Larkmoor instrument shop (demonstration)",
}


def enter_jacks(*, agency: Agency, by: Person, at: datetime, today: date) -> list[Jack]:
    """Jack 1 in calibration, Jack 2 out of it."""
    own = (
        {"name": "Jack 1", "serial": "LK-J-0417", "gauge_serial": "LK-G-0417", "efficiency": 0.97,
         "calibrated_on": today - relativedelta(months=5), "note": ""},
        {"name": "Jack 2", "serial": "LK-J-0388", "gauge_serial": "LK-G-0391", "efficiency": 0.96,
         "calibrated_on": today - relativedelta(months=19), "note": "To be sent in before the next stressing day."},
    )  # fmt: skip
    return [add_jack(agency=agency, values=BOTH | values, by=by, at=at) for values in own]
