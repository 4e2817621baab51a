"""How a county rates is changed: with its reason, told as an event, and every structure owed a new rating.

The settings' revision is the queue: a sweep finds the structures rated under an older one, however many they are.
"""

from collections.abc import Mapping
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from inventory.models import Agency, Person, RatingSettings
from inventory.queries.people import permits_of
from inventory.queries.rating import rated_vehicles
from inventory.rules.rating_settings import GENERAL, SETTINGS, reason_fault, settings_faults
from inventory.rules.refusals import Refused, Stale
from inventory.vocabulary.roles import ALLOWED, Permit

from .tell import tell_event


def hold_settings(agency: Agency, *, by: Person | None = None) -> RatingSettings:
    """The agency's settings, made where there are none, held until the transaction ends; refused where `by` may not."""
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("hold_settings belongs inside a transaction")
    if by is not None and Permit.SET_RATING not in permits_of(by, agency):
        roles = " or ".join(sorted(role.label.lower() for role in ALLOWED[Permit.SET_RATING]))
        raise Refused(f"You may not {Permit.SET_RATING.label} here: that needs the role {roles}.")
    Agency.objects.select_for_update().get(pk=agency.pk)
    settings, _made = RatingSettings.objects.get_or_create(agency=agency)
    return RatingSettings.objects.select_for_update().select_related(None).get(pk=settings.pk)


@transaction.atomic
def change_rating_settings(
    *, agency: Agency, values: Mapping, reason: str, revision: int, by: Person, at: datetime
) -> RatingSettings:
    """Adopt other settings; `values` holds every setting of the table, standard_vehicles and pressure_reason.

    Refused with a sentence for each entry out of range, without a reason, or where somebody changed them meanwhile.
    """
    held = hold_settings(agency, by=by)
    if held.revision != revision:
        raise Stale(
            f"Somebody changed how {agency} rates after you opened this page ({held.last_change}), so nothing of "
            "yours was saved. Your entries are still below: compare them with a fresh copy, then save again."
        )
    own = rated_vehicles(agency, day_of(at)).filter(vehicle_class__in=GENERAL).exists()
    if faults := settings_faults(values, own_general=own) | reason_fault(reason):
        raise Refused(faults)
    fresh = Agency.objects.get(pk=agency.pk)
    before = current_values(fresh, held)
    changed = {name: value for name, value in values.items() if _differs(before[name], value)}
    if not changed:
        raise Refused("Nothing was changed: every setting is as it was.")
    for name, value in changed.items():
        setattr(fresh if name in SETTINGS and SETTINGS[name].on_agency else held, name, value)
    fresh.save(update_fields=["posting_level", "rounding"])
    labels = ", ".join(SETTINGS[name].label.lower() if name in SETTINGS else _OTHERS[name] for name in changed)
    bump(held, f"Rating settings changed: {labels}")
    tell_event(
        verb="change_rating_settings",
        sentence=f"How the county rates was changed ({labels}): {reason.strip()}",
        at=at,
        by=by,
        agency=agency,
        detail={"before": {n: _plain(before[n]) for n in changed}, "after": {n: _plain(v) for n, v in changed.items()}},
    )
    return held


_OTHERS = {"standard_vehicles": "standard vehicles rated", "pressure_reason": "reason for a low pressure"}


def current_values(agency: Agency, settings: RatingSettings) -> dict:
    """Every setting as it stands, with the standard vehicles and the reason for a low pressure."""
    values = {name: getattr(agency if s.on_agency else settings, name) for name, s in SETTINGS.items()}
    values["posting_level"] = float(agency.posting_level)
    return values | {
        "standard_vehicles": list(settings.standard_vehicles),
        "pressure_reason": settings.pressure_reason,
    }


def _differs(before: object, after: object) -> bool:
    return sorted(before) != sorted(after) if isinstance(before, list) else before != after


def _plain(value: object) -> object:
    return value if isinstance(value, str | int | float | bool | list) or value is None else str(value)


def bump(held: RatingSettings, cause: str) -> None:
    """Every structure of the agency is owed a rating from now on; `cause` is what the sweep will say."""
    held.revision += 1
    held.last_change = cause[:200]
    held.save()


@transaction.atomic
def see_vehicles_in_use(*, agency: Agency, as_of: date) -> bool:
    """Notice that a vehicle came into use or went out of it by its own date; True where ratings are owed for it."""
    held = hold_settings(agency)
    keys = list(rated_vehicles(agency, as_of).values_list("key", flat=True))
    if keys == held.vehicles_in_use:
        return False
    moved = ", ".join(sorted(set(keys) ^ set(held.vehicles_in_use)))
    held.vehicles_in_use = keys
    bump(held, f"Rating vehicles came into use or were retired: {moved}")
    return True


def day_of(at: datetime) -> date:
    """The calendar day of a moment where the county is."""
    return timezone.localtime(at).date()
