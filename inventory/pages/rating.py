"""What the pages of rating settings and vehicles show: plain words, defaults beside the values, drawings to scale."""

from datetime import date

from django.utils.safestring import mark_safe

from inventory.actions.rating_settings import current_values
from inventory.drawings.axle_train import axle_train
from inventory.models import Agency, Event, RatingVehicle
from inventory.queries.rating import rating_settings_of, vehicles_in_use
from inventory.reckoning.standard_vehicles import VehicleRow, row_of, standard_rows
from inventory.rules.rating_settings import CLOSING_SENTENCE, GROUPS

SHOWN_CHANGES = 12
CHANGE_VERBS = ("change_rating_settings", "add_vehicle", "edit_vehicle", "retire_vehicle")


def drawing_of(row: VehicleRow, *, key: str) -> str:
    """The axle train of a vehicle as SVG."""
    train = axle_train(axles_kip=row.axles_kip, spacings_ft=row.spacings_ft, name=row.name, key=key)
    return mark_safe(train)  # noqa: S308 the writer escapes every text


def settings_initial(agency: Agency) -> dict:
    """The form as it opens: every setting as it stands, numbers short."""
    settings = rating_settings_of(agency)
    values = {
        name: int(value) if isinstance(value, float) and value.is_integer() else value
        for name, value in current_values(agency, settings).items()
    }
    return values | {"revision": settings.revision}


def vehicle_choices() -> list[tuple[str, str]]:
    """Standard vehicles with their words, for the boxes to tick."""
    return [
        (row.key, f"{row.key} {row.name}, {row.gross_tons:g} tons{' (usual set)' if row.in_usual_set else ''}")
        for row in standard_rows()
    ]


def settings_context(agency: Agency, as_of: date) -> dict:
    """The page "How this county rates"."""
    settings = rating_settings_of(agency)
    values = current_values(agency, settings)
    chosen = set(values["standard_vehicles"])
    return {
        "agency": agency,
        "settings": settings,
        "groups": [(heading, [_line(setting, values[setting.name]) for setting in group]) for heading, group in GROUPS],
        "closing_sentence": CLOSING_SENTENCE,
        "standard": [(row, row.key in chosen) for row in standard_rows()],
        "own": [(vehicle, row_of(vehicle)) for vehicle in vehicles_in_use(agency, as_of)],
        "changes": Event.objects.filter(agency=agency, structure=None, verb__in=CHANGE_VERBS).select_related("by")[
            :SHOWN_CHANGES
        ],
    }


def _line(setting, value) -> dict:
    return {
        "setting": setting,
        "shown": setting.words(value),
        "default": setting.words(setting.default),
        "is_changed": value != setting.default,
    }


def vehicle_context(vehicle: RatingVehicle) -> dict:
    """One vehicle of the agency: its numbers, its drawing, what was said of it."""
    row = row_of(vehicle)
    events = Event.objects.filter(agency=vehicle.agency, structure=None, detail__vehicle=vehicle.pk)
    return {
        "vehicle": vehicle,
        "row": row,
        "drawing": drawing_of(row, key=f"vehicle-{vehicle.pk}"),
        "events": events.select_related("by")[:SHOWN_CHANGES],
    }
