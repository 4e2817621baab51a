"""A snapshot, as a rating keeps it, written as a file that can be read and rated again to the same digest."""

from collections.abc import Mapping
from dataclasses import MISSING, fields
from typing import get_type_hints

from inspections.reckoning.json_file import dataclasses_in
from inventory.mechanics.rating import RatingPolicy, SpanCase
from inventory.mechanics.rating.cases import CapCase

from .form import VERSION
from .read import SENTENCES


def rating_file(*, name: str, snapshot: Mapping) -> dict:
    """The file's object from a stored snapshot (``Snapshot.as_dict()``); what equals the form's default is left out."""
    made = {
        "form": VERSION,
        "name": name,
        "as_of": snapshot["as_of"],
        "spans": [_tidy(SpanCase, case) for case in snapshot["cases"]],
        "caps": [_tidy(CapCase, cap) for cap in snapshot.get("caps", [])],
        "vehicles": [_vehicle(vehicle) for vehicle in snapshot["vehicles"]],
        "policy": _tidy(RatingPolicy, snapshot["policy"]),
        "loss_policy": snapshot.get("loss_policy", {}),
        "pressures": [{"span": span, "least_local_pressure_psi": psi} for span, psi in snapshot["pressures"]],
        **{key: list(snapshot[key]) for key in SENTENCES},
    }
    return {key: value for key, value in made.items() if value not in ([], {}) or key == "spans"}


def _tidy(cls: type, plain: Mapping) -> dict:
    hints = get_type_hints(cls)
    made = {}
    for field in fields(cls):
        if field.name not in plain:
            continue
        value = plain[field.name]
        if field.default is not MISSING and (value == field.default or (value == [] and field.default == ())):
            continue
        inner = next(iter(dataclasses_in(hints[field.name])), None)
        if inner is not None and isinstance(value, list):
            value = [_tidy(inner, item) for item in value]
        elif inner is not None and isinstance(value, Mapping):
            value = _tidy(inner, value)
        made[field.name] = value
    return made


def _vehicle(vehicle: str | Mapping) -> str | dict:
    if isinstance(vehicle, str):
        return vehicle
    return {key: value for key, value in vehicle.items() if value not in (None, [], ())}
