"""How the agency rates, as the kernel and the losses take it."""

from datetime import date

from inspections.rules.loss_policy import LossPolicy
from inventory.mechanics.rating import RatingPolicy
from inventory.mechanics.vehicle import STANDARD_VEHICLES, LaneLoad, Vehicle
from inventory.models import Agency, RatingSettings
from inventory.queries.rating import rated_vehicles, rating_settings_of
from inventory.rules.axle_trains import train_of

FROM_SETTINGS = (
    "posting_method", "load_factor_table", "one_lane_case_too", "emergency_in_one_lane",
    "raise_condition_where_measured", "rate_edge_strip", "deflection_ratio", "transition_in", "least_shell_in",
    "least_shell_ratio", "pressure_floor_psi", "closing_pressure_psi", "drilled_void_below", "drilled_sound_from",
)  # fmt: skip
"""Fields of the settings that bear the same name in the kernel's policy."""
FOR_LOSSES = (
    "wave_sound_us_per_ft", "wave_grade_ratio", "wave_half_ratio", "wave_void_ratio", "drilled_void_below",
    "drilled_sound_from", "transition_in",
)  # fmt: skip


def rating_policy(agency: Agency, settings: RatingSettings | None = None) -> RatingPolicy:
    """The owner's policy as the kernel takes it; the smallest posting is law and no setting."""
    settings = settings or rating_settings_of(agency)
    return RatingPolicy(
        posting_level=float(agency.posting_level),
        rounding=agency.rounding,
        **{name: getattr(settings, name) for name in FROM_SETTINGS},
    )


def loss_policy(agency: Agency, settings: RatingSettings | None = None) -> LossPolicy:
    """What drilling and stress-wave readings mean in this county."""
    settings = settings or rating_settings_of(agency)
    return LossPolicy(**{name: getattr(settings, name) for name in FOR_LOSSES})


def vehicles_to_rate(agency: Agency, as_of: date, settings: RatingSettings | None = None) -> tuple[str | Vehicle, ...]:
    """The standard vehicles chosen, in the order of the kernel's table, then the agency's own in use on the day."""
    settings = settings or rating_settings_of(agency)
    chosen = set(settings.standard_vehicles)
    standard = [key for key in STANDARD_VEHICLES if key in chosen]
    return (*standard, *(train_of(row.__dict__) for row in rated_vehicles(agency, as_of)))


def vehicle_from_dict(plain: str | dict) -> str | Vehicle:
    """A vehicle of a snapshot: a standard one by its key, the agency's own with all its numbers."""
    if isinstance(plain, str):
        return plain
    known = {name: value for name, value in plain.items() if name in Vehicle.__dataclass_fields__}
    lane = known.get("lane")
    for name in ("spacings_ft", "instead_spacings_ft"):
        known[name] = tuple((float(least), float(most)) for least, most in known.get(name) or ())
    for name in ("axles_kip", "instead_kip"):
        known[name] = tuple(float(axle) for axle in known.get(name) or ())
    return Vehicle(**known | {"lane": None if lane is None else LaneLoad(**lane)})
