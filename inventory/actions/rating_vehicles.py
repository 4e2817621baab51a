"""A vehicle of the State or the county is entered, changed, retired; none is deleted, a rating may have used it."""

from collections.abc import Mapping
from datetime import date, datetime

from django.db import transaction

from inventory.models import Agency, Person, RatingSettings, RatingVehicle
from inventory.queries.rating import rated_vehicles
from inventory.rules.axle_trains import vehicle_faults, weight_warnings
from inventory.rules.rating_settings import GENERAL, vehicle_set_faults
from inventory.rules.refusals import Refused, Stale
from inventory.vocabulary.vehicles import VehicleClass

from .rating_settings import bump, day_of, hold_settings
from .tell import tell_event

FIELDS = (
    "key", "name", "vehicle_class", "sign_class", "axles_kip", "spacings_ft", "gross_kip", "lane_klf",
    "lane_moment_kip", "lane_shear_kip", "relieving_axles_dropped", "source", "in_use_from", "note",
)  # fmt: skip


@transaction.atomic
def add_vehicle(*, agency: Agency, values: Mapping, by: Person, at: datetime) -> RatingVehicle:
    """Enter a vehicle; an excess over a federal limit is told with its numbers and refuses nothing."""
    held = hold_settings(agency, by=by)
    fields = _checked(agency, values, None)
    vehicle = RatingVehicle.objects.create(agency=agency, **fields)
    _finish(held, vehicle, "add_vehicle", f"Rating vehicle entered: {vehicle}", by, at, bears=_bears(vehicle))
    return vehicle


@transaction.atomic
def edit_vehicle(*, vehicle: RatingVehicle, values: Mapping, revision: int, by: Person, at: datetime) -> RatingVehicle:
    """Change a vehicle; ratings made keep their own copy, and new ones are owed where it bears on them."""
    held = hold_settings(vehicle.agency, by=by)
    fresh = _fresh(vehicle, revision)
    if fresh.in_use_to is not None:
        raise Refused(f"{fresh} was retired on {fresh.in_use_to:%d %b %Y}: enter it anew if it is legal again.")
    fields = _checked(fresh.agency, values, fresh)
    changed = [name for name in FIELDS if getattr(fresh, name) != fields[name]]
    if not changed:
        return fresh
    bears = _bears(fresh)
    before = {name: _plain(getattr(fresh, name)) for name in changed}
    for name in changed:
        setattr(fresh, name, fields[name])
    fresh.revision += 1
    fresh.save()
    _still_general(held, fresh.agency, day_of(at))
    names = ", ".join(str(RatingVehicle._meta.get_field(name).verbose_name) for name in changed)
    detail = {"before": before, "after": {name: _plain(getattr(fresh, name)) for name in changed}}
    bears = (bears or _bears(fresh)) and changed != ["note"]
    _finish(held, fresh, "edit_vehicle", f"Rating vehicle {fresh} changed: {names}", by, at, bears=bears, detail=detail)
    return fresh


@transaction.atomic
def retire_vehicle(*, vehicle: RatingVehicle, revision: int, reason: str, by: Person, at: datetime) -> RatingVehicle:
    """Take a vehicle out of use from today; it stays on record for the ratings that used it."""
    held = hold_settings(vehicle.agency, by=by)
    fresh = _fresh(vehicle, revision)
    if fresh.in_use_to is not None:
        raise Refused(f"{fresh} was retired already, on {fresh.in_use_to:%d %b %Y}.")
    if not reason.strip():
        raise Refused({"reason": "Say why it is retired: the reason is kept with the event."})
    today = day_of(at)
    bears = _bears(fresh)
    # One not yet in use never comes into use.
    fresh.in_use_to = max(today, fresh.in_use_from)
    fresh.revision += 1
    fresh.save()
    _still_general(held, fresh.agency, today)
    sentence = f"Rating vehicle {fresh} retired: {reason.strip()}"
    _finish(held, fresh, "retire_vehicle", sentence, by, at, bears=bears)
    return fresh


def _fresh(vehicle: RatingVehicle, revision: int) -> RatingVehicle:
    fresh = RatingVehicle.objects.select_for_update().select_related(None).get(pk=vehicle.pk)
    if fresh.revision != revision:
        raise Stale(
            f"Somebody changed {fresh} after you opened this page, so nothing of yours was saved. "
            "Your entries are still below: compare them with a fresh copy, then save again."
        )
    return fresh


def _checked(agency: Agency, values: Mapping, fresh: RatingVehicle | None) -> dict:
    others = RatingVehicle.objects.filter(agency=agency)
    if fresh is not None:
        others = others.exclude(pk=fresh.pk)
    if faults := vehicle_faults(values, taken=frozenset(others.values_list("key", flat=True))):
        raise Refused(faults)
    fields = {name: values.get(name) for name in FIELDS}
    fields |= {"gross_kip": sum(fields["axles_kip"]), "note": fields["note"] or ""}
    fields["relieving_axles_dropped"] = bool(fields["relieving_axles_dropped"])
    return fields


def _still_general(held: RatingSettings, agency: Agency, as_of: date) -> None:
    """Something must be left that posts: a legal, hauling or county vehicle, of the agency or a standard one."""
    own = rated_vehicles(agency, as_of).filter(vehicle_class__in=GENERAL).exists()
    if left := vehicle_set_faults(held.standard_vehicles, own_general=own):
        raise Refused(" ".join(left.values()))


def _bears(vehicle: RatingVehicle) -> bool:
    return vehicle.vehicle_class != VehicleClass.PERMIT


def _finish(
    held: RatingSettings, vehicle: RatingVehicle, verb: str, sentence: str, by: Person, at: datetime,
    *, bears: bool, detail: dict | None = None,
) -> None:  # fmt: skip
    if bears:
        held.vehicles_in_use = list(rated_vehicles(vehicle.agency, day_of(at)).values_list("key", flat=True))
        bump(held, sentence)
    told = {"vehicle": vehicle.pk, "warnings": weight_warnings(vehicle.__dict__), **(detail or {})}
    tell_event(verb=verb, sentence=sentence, at=at, by=by, agency=vehicle.agency, detail=told)


def _plain(value: object) -> object:
    return value if isinstance(value, str | int | float | bool | list) or value is None else str(value)
